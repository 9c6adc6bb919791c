package tally

import (
	"strings"

	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

// count decides of each line whether it counts, and says why.
func (l *List) count() {
	held := l.held()
	for i := range l.Lines {
		line := &l.Lines[i]
		line.Counts, line.Why = l.decide(i, held)
		if line.Counts {
			l.Total++
			l.Totals[line.Realm]++
		}
	}
}

func (l *List) decide(i int, held within) (bool, message.Text) {
	line := &l.Lines[i]
	switch {
	case line.Apart != Counted:
		return false, line.whyApart()
	case line.Rank == taxon.Form:
		return false, message.T("tally.form")
	}
	narrower, holds := l.narrower(i, held)
	same, repeats := l.repeated(i, held)
	switch {
	case holds && (!repeats || narrower < same):
		return false, message.T("tally.narrower", "name", l.Lines[narrower].Name)
	case repeats:
		return false, message.T("tally.repeated", "name", l.Lines[same].Name)
	case line.Current == nil:
		return true, message.T("tally.counts-unknown")
	}
	return true, line.whyCounts()
}

// whyApart speaks of signing plates and of standing behind field records.
func (l *Line) whyApart() message.Text {
	if l.Apart == Unconfirmed && l.Plates() == 0 {
		return message.T("tally.apart.unconfirmed-field")
	}
	return message.T("tally.apart." + string(l.Apart))
}

// whyCounts says plates and field records apart.
func (l *Line) whyCounts() message.Text {
	plates, fields := l.Plates(), l.Fields()
	if fields == 0 {
		return message.T("tally.counts", "n", plates)
	}
	said := message.T("tally.fields", "n", fields, "seen", l.Seen())
	if plates == 0 {
		return message.T("tally.counts-fields", "fields", said)
	}
	return message.T("tally.counts-both", "n", plates, "fields", said)
}

// holder is what a line may lie in or be: a name, a rank above it, a sense.
type holder struct{ kind, name string }

const (
	inName  = "name"
	inWide  = "wide"
	inSense = "sense"
)

// within is the lines that lie within wider names: by what they lie in, in the order of the list.
type within map[holder][]int

// held puts each counted line under everything on the list that holds it: another taxon of the genus, section, family and
// so on, a variety of the species, or the plain species beside its group. A line stands under its own sense too.
func (l *List) held() within {
	w := within{}
	for i := range l.Lines {
		for _, h := range l.Lines[i].holds() {
			w[h] = nil
		}
	}
	for i := range l.Lines {
		line := &l.Lines[i]
		if line.Apart != Counted {
			continue
		}
		for h := range line.heldBy {
			if at, holds := w[h]; holds || h.kind == inSense {
				w[h] = append(at, i)
			}
		}
	}
	return w
}

// narrower is the first line that lies within the i-th.
func (l *List) narrower(i int, held within) (first int, ok bool) {
	for _, h := range l.Lines[i].holds() {
		for _, at := range held[h] {
			if at != i && (!ok || at < first) {
				first, ok = at, true
				break
			}
		}
	}
	return first, ok
}

// repeated is the first line that is the same taxon in as wide a sense and stands before the i-th: of "s.str." beside the
// plain name, or "s.l." beside "group", one counts.
func (l *List) repeated(i int, held within) (int, bool) {
	line := &l.Lines[i]
	for _, at := range held[holder{inSense, line.sense()}] {
		if other := &l.Lines[at]; line.wide() == other.wide() && other.Qualifier < line.Qualifier {
			return at, true
		}
	}
	return 0, false
}

// heldBy yields all that holds the line.
func (l *Line) heldBy(yield func(holder) bool) {
	sense := l.sense()
	if !yield(holder{inSense, sense}) || !l.wide() && !yield(holder{inWide, sense}) {
		return
	}
	for at, r := range l.Name {
		if r == ' ' && !yield(holder{inName, l.Name[:at]}) {
			return
		}
	}
	n := l.Current
	if n == nil {
		return
	}
	if genus, _, ok := strings.Cut(n.Name, " "); ok && n.Section != "" && n.Rank != taxon.Section && !yield(holder{inName, genus + " sect. " + n.Section}) {
		return
	}
	for _, above := range [...]struct {
		rank taxon.Rank
		name string
	}{{taxon.Family, n.Family}, {taxon.Order, n.Order}, {taxon.Class, n.Class}, {taxon.Phylum, n.Phylum}, {taxon.Kingdom, n.Kingdom}} {
		if above.name != "" && above.name != l.Name && !yield(holder{string(above.rank), above.name}) {
			return
		}
	}
}

// holds is all that may lie within the line.
func (l *Line) holds() (all []holder) {
	if l.wide() {
		all = append(all, holder{inWide, l.sense()})
	}
	switch l.Rank {
	case taxon.Genus, taxon.Species:
		return append(all, holder{inName, l.Name})
	case taxon.Section:
		if l.Current != nil {
			return append(all, holder{inName, l.Name})
		}
	case taxon.Family, taxon.Order, taxon.Class, taxon.Phylum, taxon.Kingdom:
		if l.Current != nil {
			return append(all, holder{string(l.Rank), l.Name})
		}
	}
	return all
}

func (l *Line) wide() bool { return l.Qualifier == taxon.SensuLato || l.Qualifier == taxon.Group }
