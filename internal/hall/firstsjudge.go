package hall

import (
	"cmp"
	"crypto/sha256"
	"fmt"
	"slices"
	"strconv"

	"forayhall/internal/foray"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// past is what a society knew before an event.
type past struct {
	look   *Look
	lists  []pastList
	events []pastEvent // the oldest first
	sites  []siteSaid  // of all events, this one and later ones too
}

type pastList struct {
	store.EarlierList
	*said
}

type pastEvent struct {
	store.Event
	*said
}

// pastBefore reads the lists in force and the events that ended before an event began; nil: all events.
func (l *Look) pastBefore(event *store.Event) (*past, error) {
	now, err := l.pastStates(event)
	if err != nil {
		return nil, err
	}
	return l.pastIn(now)
}

// pastStates is which lists and events there are, as they are now, without what they say.
type pastStates struct {
	lists  []store.EarlierList
	events []store.EventState
	sites  []store.Site // names of the sites of all events
}

func (l *Look) pastStates(before *store.Event) (now pastStates, err error) {
	if now.lists, err = l.Tx.EarlierLists(l.Scope.Society); err != nil {
		return now, err
	}
	now.lists = slices.DeleteFunc(now.lists, func(list store.EarlierList) bool { return !list.InForce() })
	if now.events, err = l.Tx.EventStates(l.Scope.Society); err != nil {
		return now, err
	}
	if before != nil {
		now.events = slices.DeleteFunc(now.events, func(e store.EventState) bool { return e.ID == before.ID || e.EndsOn >= before.StartsOn })
	}
	now.sites, err = l.siteNames()
	return now, err
}

// siteNames are the codes and names of the sites of all events, with whether the public learns of them, each once.
func (l *Look) siteNames() (names []store.Site, err error) {
	a, err := l.KeptBackAnywhere()
	seen := map[store.Site]bool{}
	for _, s := range a.Sites {
		if name := (store.Site{Code: s.Code, Name: s.Name, Sensitive: s.Sensitive}); !seen[name] {
			seen[name] = true
			names = append(names, name)
		}
	}
	return names, err
}

// mark changes when anything does that a comparison is made from.
func (now pastStates) mark(own []store.Site) string {
	sum := sha256.New()
	for _, list := range now.lists {
		fmt.Fprintf(sum, "%s\n", list.ID)
	}
	for _, e := range now.events {
		fmt.Fprintf(sum, "%s %d %q\n", e.ID, e.ChangeSeq, e.Code)
	}
	for _, s := range append(slices.Clone(now.sites), own...) {
		fmt.Fprintf(sum, "%q %q %v %s\n", s.Code, s.Name, s.Sensitive, s.ID)
	}
	return string(sum.Sum(nil))
}

func (l *Look) pastIn(now pastStates) (*past, error) {
	p := &past{look: l}
	for _, s := range now.sites {
		p.sites = append(p.sites, siteSaid{code: taxon.Fold(s.Code), name: taxon.Fold(s.Name), called: s.Name, sensitive: s.Sensitive})
	}
	for _, list := range now.lists {
		s, err := remembered(l, list.ID, false, "", func() (*said, error) { return l.listSaid(list.ID) })
		if err != nil {
			return nil, err
		}
		p.lists = append(p.lists, pastList{list, s})
	}
	for _, e := range now.events {
		s, err := remembered(l, e.ID, false, strconv.FormatInt(e.ChangeSeq, 10), func() (*said, error) { return l.eventSaid(e.Event) })
		if err != nil {
			return nil, err
		}
		p.events = append(p.events, pastEvent{e.Event, s})
	}
	return p, nil
}

// public is the name of a site as anybody may know it: of one that is sensitive at no event, and that some event has.
// Doubt widens what is kept back.
func (p *past) public(code, name string) (called string) {
	code, name = taxon.Fold(code), taxon.Fold(name)
	for _, s := range p.sites {
		switch {
		case !s.is(code, name):
		case s.sensitive:
			return ""
		default:
			called = s.called
		}
	}
	return called
}

// comparison is one scope and place with what is known there.
type comparison struct {
	Compared
	code  string // of a site
	known []map[string]bool
	also  []map[string]bool // known too, and nothing to compare with by itself
	all   map[string]bool   // what any of them knows, once it is counted
}

func (c *comparison) list(l pastList) {
	c.Lists, c.known, c.Unread = append(c.Lists, l.Title), append(c.known, l.species), c.Unread+l.unread
}

func (c *comparison) event(code string, said ...map[string]bool) {
	said = slices.DeleteFunc(said, func(species map[string]bool) bool { return len(species) == 0 })
	if len(said) > 0 {
		c.Events, c.known = append(c.Events, code), append(c.known, said...)
	}
}

// lines are those of a list that name the site themselves. Of a list of the society's they are something to compare with;
// the list of record of an area that happens to name the site is none, and makes known what it has all the same.
func (c *comparison) lines(l pastList, code, name string) {
	for i, place := range []string{code, name} {
		species := l.places[place]
		switch {
		case len(species) == 0 || i == 1 && name == code:
		case l.Scope == store.OfRecord:
			c.also = append(c.also, species)
		default:
			c.known = append(c.known, species)
			if !slices.Contains(c.Lists, l.Title) && l.Scope == store.OfSociety {
				c.Lists = append(c.Lists, l.Title)
			}
		}
	}
}

// counted joins what is known, so that a find is looked up once.
func (c *comparison) counted() *comparison {
	c.all, c.Nothing = map[string]bool{}, len(c.known) == 0
	for _, species := range append(c.known, c.also...) {
		for key := range species {
			c.all[key] = true
		}
	}
	c.Names, c.known, c.also = len(c.all), nil, nil
	if c.Nothing {
		c.Names = 0
	}
	c.List = c.against()
	return c
}

func compare(scope, place string) *comparison {
	return &comparison{Compared: Compared{Scope: scope, Place: place, Lists: []string{}, Events: []string{}}}
}

// records is a comparison for each area of which there is a list of record.
func (p *past) records() []*comparison {
	var all []*comparison
	for _, l := range p.lists {
		if l.Scope != store.OfRecord {
			continue
		}
		i := slices.IndexFunc(all, func(c *comparison) bool { return taxon.Fold(c.Place) == taxon.Fold(l.Area) })
		if i < 0 {
			i = len(all)
			all = append(all, compare(store.OfRecord, l.Area))
		}
		all[i].list(l)
	}
	if len(all) == 0 {
		all = append(all, compare(store.OfRecord, ""))
	}
	return all
}

// society is what the society knew from anywhere. A list of a site that the public may not know is compared with, and not
// named.
func (p *past) society() *comparison {
	c := compare(store.OfSociety, "")
	for _, l := range p.lists {
		switch {
		case l.Scope == store.OfSite && p.public(l.Site, l.Site) == "":
			c.known, c.Unread = append(c.known, l.species), c.Unread+l.unread
		case l.Scope != store.OfRecord:
			c.list(l)
		}
	}
	for _, e := range p.events {
		c.event(e.Code, e.species)
	}
	return c
}

// site is what was known of a site of the event, by its code or its name.
func (p *past) site(s store.Site) *comparison {
	code, name := taxon.Fold(s.Code), taxon.Fold(s.Name)
	c := compare(store.OfSite, s.Name)
	c.Secret, c.code = p.public(s.Code, s.Name) == "", s.Code
	for _, l := range p.lists {
		if at := taxon.Fold(l.Site); l.Scope == store.OfSite && (at == code || at == name) {
			c.list(l)
		} else {
			c.lines(l, code, name)
		}
	}
	for _, e := range p.events {
		var known []map[string]bool
		for _, there := range e.sites {
			if there.is(code, name) {
				known = append(known, there.species)
			}
		}
		c.event(e.Code, known...)
	}
	return c
}

// comparisons is all that the finds of one event are compared with.
type comparisons struct {
	records []*comparison
	society *comparison
	sites   map[foray.ID]*comparison
	inOrder []Compared
	before  map[string]string // by species: the first event at which the society found it
}

func (c *comparisons) weight() int {
	n := len(c.society.all) + len(c.before)
	for _, r := range c.records {
		n += len(r.all)
	}
	for _, s := range c.sites {
		n += len(s.all)
	}
	return n
}

// comparisons gives what the finds of an event are compared with.
func (l *Look) comparisons(event *store.Event, own []store.Site) (*comparisons, error) {
	now, err := l.pastStates(event)
	if err != nil {
		return nil, err
	}
	return remembered(l, event.ID, true, now.mark(own), func() (*comparisons, error) {
		p, err := l.pastIn(now)
		if err != nil {
			return nil, err
		}
		return p.comparisons(own), nil
	})
}

func (p *past) comparisons(own []store.Site) *comparisons {
	all := &comparisons{society: p.society().counted(), sites: map[foray.ID]*comparison{}, before: map[string]string{}}
	for _, r := range p.records() {
		all.records = append(all.records, r.counted())
		all.inOrder = append(all.inOrder, r.Compared)
	}
	all.inOrder = append(all.inOrder, all.society.Compared)
	for _, s := range own {
		all.sites[s.ID] = p.site(s).counted()
		all.inOrder = append(all.inOrder, all.sites[s.ID].Compared)
	}
	for _, e := range slices.Backward(p.events) {
		for key := range e.species {
			all.before[key] = e.Code
		}
	}
	return all
}

// judge says of every find what it is new to.
func (all *comparisons) judge(g gather) Firsts {
	f := Firsts{taxa: map[string]*FirstTaxon{}, hall: g.look.Hall, compared: all.inOrder}
	for key, c := range g.taxa {
		t := c.FirstTaxon
		for _, r := range all.records {
			if first, ok := r.first(c, c.whole); ok {
				first.Before = all.before[key]
				t.Firsts = append(t.Firsts, first)
			}
		}
		if first, ok := all.society.first(c, c.whole); ok {
			t.Firsts = append(t.Firsts, first)
		}
		t.Firsts = append(t.Firsts, c.atSites(all.sites)...)
		if len(t.Firsts) > 0 {
			f.taxa[key] = &t
		}
	}
	return f
}

// first compares one species.
func (c *comparison) first(of *candidate, e evidence) (First, bool) {
	if c.Nothing || c.all[of.Key] {
		return First{}, false
	}
	lacks := e.lacks(of.Name != nil)
	return First{Scope: c.Scope, Place: c.Place, List: c.List, Sure: len(lacks) == 0, Lacks: lacks, Secret: c.Secret, code: c.code}, true
}

func (c *candidate) atSites(sites map[foray.ID]*comparison) (firsts []First) {
	for id, e := range c.sites {
		there := sites[id]
		if there == nil {
			continue
		}
		if first, ok := there.first(c, e.evidence); ok {
			first.Secret = first.Secret || e.place == ""
			firsts = append(firsts, first)
		}
	}
	slices.SortFunc(firsts, func(a, b First) int { return cmp.Compare(a.Place, b.Place) })
	return firsts
}

// inOrder is the sites by code.
func (p Places) inOrder() []store.Site {
	all := make([]store.Site, 0, len(p.sites))
	for _, s := range p.sites {
		all = append(all, s)
	}
	slices.SortFunc(all, func(a, b store.Site) int { return cmp.Compare(a.Code, b.Code) })
	return all
}
