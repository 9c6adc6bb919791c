package hall

import (
	"cmp"
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// EarlierList is a list of what was found before, as a society took it in.
type EarlierList = store.EarlierList

// said is what one earlier list or event makes known, under the names as they are called now. It is never written to
// again once it is made.
type said struct {
	species map[string]bool            // by the key of the species
	sites   []siteSaid                 // of an event
	places  map[string]map[string]bool // of a list: by the place that a line names, folded
	unread  int                        // names that the classification does not know, which are compared as they are written
}

// siteSaid is what an event makes known of one site.
type siteSaid struct {
	code, name string // folded
	called     string
	sensitive  bool
	species    map[string]bool
}

func (s siteSaid) is(code, name string) bool { return s.code == code || s.name == name }

func (s *said) weight() int {
	n := len(s.species)
	for _, site := range s.sites {
		n += len(site.species) + 8
	}
	for _, species := range s.places {
		n += len(species) + 8
	}
	return n
}

// SpeciesKey is the key under which a name is compared with what was found before: that of the species as it is called
// now, of a variety or form that of its species. It is empty for a name wider than a species, which is never a first
// record. A name that the classification does not know is compared as it is written.
func (h *Hall) SpeciesKey(n foray.SlipName) string { return h.speciesKey(n, h.Current(n)) }

// speciesKey is SpeciesKey for who knows what the name is called now.
func (h *Hall) speciesKey(n foray.SlipName, current *taxon.Name) string {
	if current != nil {
		return h.speciesOf(current)
	}
	w := taxon.Read(n.Name)
	if w.Genus == "" || w.Epithet == "" || n.NameRank == string(taxon.Form) {
		return ""
	}
	return taxon.Key(w.Genus + " " + w.Epithet)
}

// speciesOf is SpeciesKey of a current name. What the classification calls the species of a variety today is asked too:
// it may have moved without it.
func (h *Hall) speciesOf(current *taxon.Name) string {
	switch current.Rank {
	case taxon.Species:
		return current.Key
	case taxon.Subspecies, taxon.Variety, taxon.FormaRank:
	default:
		return ""
	}
	w := taxon.Read(current.Name)
	key := taxon.Key(w.Genus + " " + w.Epithet)
	if species, ok := h.Knowledge.Names.Lookup(key); ok && species.Current().Rank == taxon.Species {
		return species.Current().Key
	}
	return key
}

// Doubtful reports whether a qualifier says that a find is near to a name, or probably it: it makes nothing known.
func Doubtful(qualifier string) bool {
	switch taxon.Qualifier(qualifier) {
	case taxon.Confer, taxon.Affinis, taxon.Doubt:
		return true
	}
	return false
}

// listSaid reads what a list makes known.
func (l *Look) listSaid(list foray.ID) (*said, error) {
	names, err := l.Tx.EarlierNames(l.Scope.Society, list)
	if err != nil {
		return nil, err
	}
	s := &said{species: map[string]bool{}, places: map[string]map[string]bool{}}
	unread := map[string]bool{}
	for _, r := range names {
		n := r.SlipName()
		if l.Hall.Current(n) == nil {
			unread[r.Name] = true
		}
		if key := l.Hall.SpeciesKey(n); key != "" && !Doubtful(n.Qualifier) {
			s.species[key] = true
			s.at(r.Place, key)
		}
	}
	s.unread = len(unread)
	return s, nil
}

// mostPlaces is of how many places a list is kept apart: a society has some dozens of sites, and a list that names
// more has words there.
const mostPlaces = 2000

func (s *said) at(place, key string) {
	place = taxon.Fold(place)
	if place == "" || s.places[place] == nil && len(s.places) == mostPlaces {
		return
	}
	if s.places[place] == nil {
		s.places[place] = map[string]bool{}
	}
	s.places[place][key] = true
}

// eventSaid reads what an event makes known: what was confirmed there within its area.
func (l *Look) eventSaid(event store.Event) (*said, error) {
	s := &said{species: map[string]bool{}}
	finds, sites, err := l.pastFinds(event)
	if err != nil {
		return nil, err
	}
	at := map[foray.ID]int{}
	for i, site := range sites {
		at[site.ID] = i
		s.sites = append(s.sites, siteSaid{code: taxon.Fold(site.Code), name: taxon.Fold(site.Name), called: site.Name, sensitive: site.Sensitive, species: map[string]bool{}})
	}
	for _, f := range finds {
		s.species[f.key] = true
		if i, ok := at[f.site]; ok {
			s.sites[i].species[f.key] = true
		}
	}
	return s, nil
}

// pastFind is one find that an event makes known.
type pastFind struct {
	key      string
	name     foray.SlipName
	site     foray.ID
	from, to string // ISO dates
}

// pastFinds reads the finds of an event of the society that make something known: confirmed and not doubted, neither
// brought from outside the area nor cultivated, named to species or below.
func (l *Look) pastFinds(event store.Event) (finds []pastFind, sites []store.Site, err error) {
	there := *l
	there.Scope.Event = event.ID
	if sites, err = there.Tx.Sites(event.SocietyID, event.ID); err != nil {
		return nil, nil, err
	}
	plates, err := there.Tx.PastFinds(event.SocietyID, event.ID)
	if err != nil {
		return nil, nil, err
	}
	take := func(f pastFind) {
		if f.key = l.Hall.SpeciesKey(f.name); f.key != "" && !Doubtful(f.name.Qualifier) {
			finds = append(finds, f)
		}
	}
	for _, p := range plates {
		standing := p.Standing()
		if slip, ok := standing.Current(); ok {
			from, to := daysOf(event, p)
			take(pastFind{name: slip.Name(), site: p.SiteID, from: from, to: to})
		}
	}
	seen, err := there.SeenThere()
	for _, s := range seen {
		if s.Struck == nil && len(s.Stands) > 0 && !s.Outside {
			day := dayOf(event, s.HappenedAt)
			take(pastFind{name: s.SlipName(), site: s.SiteID, from: day, to: day})
		}
	}
	return finds, sites, err
}

// daysOf is the first and the last day on which a find may have been picked; what nobody dated was found at the event.
func daysOf(e store.Event, c store.PastFind) (from, to string) {
	switch {
	case !c.PickedAt.IsZero():
		day := dayOf(e, c.PickedAt)
		return day, day
	case c.PickedFrom != "":
		return c.PickedFrom, cmp.Or(c.PickedTo, c.PickedFrom)
	}
	return e.StartsOn, e.EndsOn
}

func dayOf(e store.Event, at store.Stamp) string { return at.In(Zone(e)).Format(time.DateOnly) }
