package hall

import (
	"maps"
	"slices"
	"strings"

	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// Common is a common name to be printed, and what it borrows from a scientific one.
type Common struct {
	Name    string
	Borrows taxon.Borrowing
}

// Common is the English common name of a taxon that a society prints: the first, or, where the society leaves out
// those that borrow, the first that does not. The zero value is none.
func (h *Hall) Common(s store.Society, n *taxon.Name) Common {
	if n == nil {
		return Common{}
	}
	for _, c := range n.Common {
		if c.Language != message.English {
			continue
		}
		borrows := h.Knowledge.Borrows(c.Name, n.Name)
		if s.BorrowedNames != store.BorrowedLeftOut || borrows.Relation == taxon.BorrowsNothing {
			return Common{c.Name, borrows}
		}
	}
	return Common{}
}

// BorrowedHere is the English common names that borrow, of the names written at an event, whatever the society chose.
func (l *Look) BorrowedHere() ([]Common, error) {
	keys, err := l.EventNames()
	if err != nil {
		return nil, err
	}
	found := map[string]Common{}
	for key := range keys {
		n, known := l.Hall.Knowledge.Names.Lookup(key)
		if !known {
			continue
		}
		n = n.Current()
		for _, c := range n.Common {
			b := l.Hall.Knowledge.Borrows(c.Name, n.Name)
			if c.Language == message.English && b.Relation != taxon.BorrowsNothing {
				found[c.Name] = Common{c.Name, b}
			}
		}
	}
	return slices.SortedFunc(maps.Values(found), func(a, b Common) int { return strings.Compare(a.Name, b.Name) }), nil
}

// CommonNamer is Common for who needs the name alone.
func (h *Hall) CommonNamer(s store.Society) func(*taxon.Name) string {
	return func(n *taxon.Name) string { return h.Common(s, n).Name }
}
