package hall

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"forayhall/internal/foray"
	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// What an earlier list is of, and what a find may be new to.
const (
	OfSite    = store.OfSite
	OfSociety = store.OfSociety
	OfRecord  = store.OfRecord // the list of record of an area
)

// What a first record lacks to be sure.
const (
	LacksConfirmation = "confirmation" // nobody who may determine stands behind it, or somebody stands against it
	LacksVoucher      = "voucher"      // nothing is kept by which it could be checked
	LacksName         = "name"         // the classification does not know the name, so that it may be a synonym
)

// First says that a taxon is new to a place.
type First struct {
	Scope  string   `json:"scope"`             // site, society, record
	Place  string   `json:"place,omitempty"`   // the site, or the area of the list of record
	List   string   `json:"list"`              // what it was compared with, in short
	Sure   bool     `json:"sure"`              // else it is a possible first
	Lacks  []string `json:"lacks,omitempty"`   // what would make it sure
	Before string   `json:"before,omitempty"`  // of a list of record: the code of an earlier event at which the society found it all the same
	Secret bool     `json:"private,omitempty"` // the site is one that the public does not learn of
	code   string   // of the site
}

// FirstTaxon is a taxon that is new somewhere.
type FirstTaxon struct {
	Key     string      // of the species
	Name    *taxon.Name // as it is called now; nil where the classification does not know it
	Written string      // as it was determined
	Firsts  []First
	Numbers []string // of the plates, by number
	Fields  int      // field records
}

// Compared is what the finds of an event were compared with for one scope and place.
type Compared struct {
	Scope  string   `json:"scope"`
	Place  string   `json:"place,omitempty"`
	List   string   `json:"in_short"`
	Lists  []string `json:"lists"`  // titles
	Events []string `json:"events"` // codes, the oldest first
	Names  int      `json:"names"`  // species that were known
	Unread int      `json:"unread"` // names of the lists that the classification does not know
	Secret bool     `json:"private,omitempty"`
	// Nothing: there is nothing to compare with, so that nothing is called a first.
	Nothing bool `json:"nothing,omitempty"`
}

// against names what was compared with, a few of many events.
func (c Compared) against() string {
	const few = 3
	parts := slices.Clone(c.Lists)
	if n := len(c.Events); n > few {
		parts = append(parts, fmt.Sprintf("%s – %s (%d)", c.Events[0], c.Events[n-1], n))
	} else {
		parts = append(parts, c.Events...)
	}
	return strings.Join(parts, "; ")
}

// Firsts is what of an event's finds is new to a site, to the society, or to a list of record.
//
// The rule: the finds are compared with every earlier list in force of that scope and, for a site and for the society,
// with every event of the society that ended before this one began; to the society is also known what one of its lists
// of a site has, and of a site what a line of any list says that names the site. Names are compared as they are called now, synonyms merged, as species: a variety, form or subspecies
// counts as its species, a group or a name in the wide sense as the species that it is called after. A name wider than
// a species is never a first. Only what was confirmed and not doubted makes something known; what is disputed,
// unconfirmed, cf., aff., cultivated or brought from outside does not. Where there is nothing to compare with, nothing
// is a first. It is a possible first until a plate of it is confirmed and kept as a voucher.
type Firsts struct {
	taxa     map[string]*FirstTaxon
	compared []Compared
	hall     *Hall
}

// Of gives what a name is new to, as the public may know it: for a line of a list. Where sites are given by code or
// name, only what is new to one of them is told of sites. nil is no first.
func (f Firsts) Of(n *taxon.Name, sites ...string) []First {
	if n == nil || f.hall == nil {
		return nil
	}
	return f.OfKey(f.hall.speciesOf(n.Current()), sites...)
}

// OfKey is Of by SpeciesKey.
func (f Firsts) OfKey(key string, sites ...string) []First {
	t := f.taxa[key]
	if key == "" || t == nil {
		return nil
	}
	var public []First
	for _, first := range t.Firsts {
		elsewhere := first.Scope == store.OfSite && len(sites) > 0 && !slices.ContainsFunc(sites, func(s string) bool { return strings.EqualFold(s, first.Place) || strings.EqualFold(s, first.code) })
		if !first.Secret && !elsewhere {
			public = append(public, first)
		}
	}
	return public
}

// Has reports first-record interest: what a plate is asked to be first is new to the society or to a list of record.
func (f Firsts) Has(p Plate) bool {
	if len(p.Standing.Question) == 0 || f.hall == nil {
		return false
	}
	first := p.Standing.Question[0].SlipName
	t := f.taxa[f.hall.SpeciesKey(first)]
	return t != nil && !Doubtful(first.Qualifier) && slices.ContainsFunc(t.Firsts, func(f First) bool { return f.Scope != store.OfSite })
}

// All is every taxon that is new somewhere, by name, as the public may know it; whole tells of all sites, for those who
// keep the list.
func (f Firsts) All(whole bool) []FirstTaxon {
	var all []FirstTaxon
	for _, t := range f.taxa {
		one := *t
		if !whole {
			one.Firsts = f.OfKey(t.Key)
		}
		if len(one.Firsts) > 0 {
			all = append(all, one)
		}
	}
	slices.SortFunc(all, func(a, b FirstTaxon) int { return cmp.Compare(a.sortName(), b.sortName()) })
	return all
}

func (t FirstTaxon) sortName() string {
	if t.Name != nil {
		return t.Name.Name
	}
	return t.Written
}

// Compared is what the finds were compared with, also where that is nothing; whole tells of all sites.
func (f Firsts) Compared(whole bool) []Compared {
	return slices.DeleteFunc(slices.Clone(f.compared), func(c Compared) bool { return c.Secret && !whole })
}

// Firsts reads what of the scope's event is new.
func (l *Look) Firsts() (Firsts, error) {
	plates, err := l.Plates()
	if err != nil {
		return Firsts{}, err
	}
	seen, err := l.SeenThere()
	if err != nil {
		return Firsts{}, err
	}
	places, err := l.Places()
	if err != nil {
		return Firsts{}, err
	}
	vouchers, err := l.Vouchers()
	if err != nil {
		return Firsts{}, err
	}
	return l.FirstsAmong(plates, seen, places, vouchers)
}

// FirstsAmong is Firsts for a caller that has read the event's finds already.
func (l *Look) FirstsAmong(plates []Plate, seen []SeenThere, places Places, vouchers map[foray.ID]Voucher) (Firsts, error) {
	event, err := l.Event()
	if err != nil {
		return Firsts{}, err
	}
	with, err := l.comparisons(&event, places.inOrder())
	if err != nil {
		return Firsts{}, err
	}
	g := gather{look: l, places: places, taxa: map[string]*candidate{}}
	for i := range plates {
		g.plate(&plates[i], vouchers[plates[i].ID].Chosen)
	}
	for _, s := range seen {
		g.seen(s)
	}
	return with.judge(g), nil
}

// Text says what a first record is, as it is written on a list: "possible first for …" until it is sure.
func (f First) Text() message.Text {
	state := "possible"
	if f.Sure {
		state = "sure"
	}
	return message.T("earlier.first."+f.Scope+"."+state, "place", f.Place)
}

// Missing says what would make it sure.
func (f First) Missing() []message.Text {
	texts := make([]message.Text, len(f.Lacks))
	for i, l := range f.Lacks {
		texts[i] = message.T("earlier.lacks." + l)
	}
	return texts
}
