package records

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// importer is one import: what the event had, and what is to be added.
type importer struct {
	*hall.Write
	opts    Options
	event   store.Event
	zone    *time.Location
	earlier map[int]bool // lines taken by an earlier import of the same table
	again   int

	used        map[foray.Number]store.Collection
	names       map[foray.ID]string // of people
	people      map[string]foray.ID // by folded name
	determiners map[foray.ID]bool
	sites       map[string]foray.ID // by folded code and name
	siteCodes   map[string]bool
	siteAdded   map[foray.ID]*newSite
	teams       map[int]store.Team
	hadTeams    bool
	tables      map[string]foray.ID // by number and folded title
	read        map[archive.NamedChoice]foray.SlipName

	newPeople   []store.Person
	newRights   []store.EventRight
	newSites    []*newSite
	newTeams    []store.Team
	collections []store.Collection
	slips       []foray.Slip
	history     []store.NamingHistory
	characters  []store.CharacterNote
	placements  []store.Placement
	seen        remarkable
	out         Outcome

	ids    map[foray.ID]bool // that are in use in the event, or free in the archive no more
	fields []seenThere
	kept   []keptThere
	borne  map[string]bool // codes that finds of the archive bear
}

func newImporter(w *hall.Write, opts Options, earlier map[int]bool) (*importer, error) {
	im := &importer{Write: w, opts: opts, earlier: earlier, used: map[foray.Number]store.Collection{}, names: map[foray.ID]string{},
		people: map[string]foray.ID{}, determiners: map[foray.ID]bool{}, sites: map[string]foray.ID{}, siteCodes: map[string]bool{},
		siteAdded: map[foray.ID]*newSite{}, teams: map[int]store.Team{}, tables: map[string]foray.ID{},
		read: map[archive.NamedChoice]foray.SlipName{}, ids: map[foray.ID]bool{}, borne: map[string]bool{}}
	var err error
	if im.event, err = w.Event(); err != nil {
		return nil, err
	}
	switch {
	case im.event.State == "closed":
		return nil, fault.New(fault.Refused, "event.is-closed")
	case im.event.Home == "lent":
		return nil, fault.New(fault.Refused, "event.is-lent")
	}
	im.zone = hall.Zone(im.event)
	for _, load := range []func() error{im.loadPeople, im.loadPlaces, im.loadNumbers} {
		if err := load(); err != nil {
			return nil, err
		}
	}
	return im, nil
}

func (im *importer) loadPeople() error {
	persons, err := im.Tx.Persons(im.Scope.Society)
	if err != nil {
		return err
	}
	for _, p := range slices.Backward(persons) { // of two of one name the first, as when somebody is named at the desk
		im.names[p.ID] = p.Name
		if p.Kind == "person" {
			im.people[taxon.Fold(p.Name)] = p.ID
		}
	}
	rights, err := im.Tx.EventRights(im.Scope.Society, im.Scope.Event)
	for _, r := range rights {
		if access.Allows(r.Held, access.SignOff) {
			im.determiners[r.PersonID] = true
		}
	}
	return err
}

func (im *importer) loadPlaces() error {
	sites, err := im.Tx.Sites(im.Scope.Society, im.Scope.Event)
	if err != nil {
		return err
	}
	for _, s := range sites {
		im.sites[taxon.Fold(s.Name)] = s.ID
		im.siteCodes[s.Code] = true
	}
	for _, s := range sites {
		im.sites[taxon.Fold(s.Code)] = s.ID
	}
	teams, err := im.Tx.Teams(im.Scope.Society, im.Scope.Event)
	if err != nil {
		return err
	}
	for _, m := range teams {
		im.teams[m.Number] = m
	}
	im.hadTeams = len(teams) > 0
	tables, err := im.Tx.HallTables(im.Scope.Society, im.Scope.Event)
	for _, h := range tables {
		if h.Title != "" {
			im.tables[taxon.Fold(h.Title)] = h.ID
		}
		im.tables[strconv.Itoa(h.Number)] = h.ID
	}
	return err
}

func (im *importer) loadNumbers() error {
	collections, err := im.Tx.Collections(im.Scope.Society, im.Scope.Event)
	for _, c := range collections {
		im.used[c.Number()] = c
	}
	return err
}

// today is the day at the event's place.
func (im *importer) today() time.Time {
	y, m, d := im.Now.In(im.zone).Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// groupNames is how a group may be written: its key, its name, or a part of the name.
func groupNames(groups []hazard.Group) map[string]string {
	names := map[string]string{}
	for _, g := range groups {
		for part := range strings.SplitSeq(g.Name, ",") {
			names[strings.TrimSpace(part)] = g.Key
		}
	}
	for _, g := range groups {
		names[g.Name], names[g.Key] = g.Key, g.Key
	}
	return names
}

// number gives rows without a number the next free ones, after all that the event and the table have.
func (im *importer) number(recs []archive.Record) {
	highest := 0
	for n := range im.used {
		highest = max(highest, n.Base)
	}
	for _, rec := range recs {
		highest = max(highest, rec.Base)
	}
	for i := range recs {
		if recs[i].Base == 0 {
			highest++
			recs[i].Base = highest
		}
	}
}

// refuse explains why a row is not taken.
func (im *importer) refuse(rec archive.Record, field, value string, reason message.Text) {
	im.out.Refused = append(im.out.Refused, archive.Refused{Line: rec.Line, Field: field, Value: value, Reason: reason})
}

func sortByLine(refused []archive.Refused) {
	slices.SortStableFunc(refused, func(a, b archive.Refused) int { return cmp.Compare(a.Line, b.Line) })
}

// named finds somebody by name or adds them, as the desk does.
func (im *importer) named(name string) (foray.ID, error) {
	name = tidy(name)
	if name == "" {
		return foray.ID{}, nil
	}
	if id, there := im.people[taxon.Fold(name)]; there {
		return id, nil
	}
	id, err := im.NewID()
	if err != nil {
		return id, err
	}
	im.people[taxon.Fold(name)], im.names[id] = id, name
	im.newPeople = append(im.newPeople, im.person(id, name))
	return id, nil
}

func tidy(s string) string { return strings.Join(strings.Fields(s), " ") }
