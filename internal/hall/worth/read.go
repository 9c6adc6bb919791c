package worth

import (
	"cmp"
	"slices"
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/muster"
	"forayhall/internal/store"
	"forayhall/internal/tally"
	"forayhall/internal/taxon"
)

// Words that stand where a place has no name here.
const (
	KeptBack Word = "kept-back" // the public does not learn which
	NoPlace  Word = "no-place"  // nobody wrote it down
)

// find is one collection or field record with what the list does not ask.
type find struct {
	tally.Find
	species string // as finds are compared over the years; empty: named no farther than to genus, or not counted
	team    foray.ID
	site    foray.ID
	place   Word // KeptBack, NoPlace; empty: Find.Place has a name
	host    string
	at      time.Time
	n       int // encounters
}

// ours reports whether a find is of the event's area and grew there by itself.
func (f find) ours() bool { return !f.Outside && !f.Cultivated }

// where is under what a find's place is told.
func (f find) where() Place { return Place{Name: f.Place, Word: f.place} }

// Place is a site's name, or the word for several that have none here.
type Place struct {
	Name string
	Word Word
}

func (p Place) compare(q Place) int {
	return cmp.Or(cmp.Compare(rankOf(p.Word), rankOf(q.Word)), cmp.Compare(p.Name, q.Name))
}

func rankOf(w Word) int { return slices.Index([]Word{"", KeptBack, NoPlace}, w) }

// ground is all that the figures are made of, read once.
type ground struct {
	look    *hall.Look
	event   store.Event
	zone    *time.Location
	seq     int64
	teams   []store.Team
	starts  map[foray.ID]time.Time // of the walk that a team is on
	handed  map[foray.ID]time.Time // teams that handed in
	finds   []find
	unnamed int
	waiting int
	list    tally.List
	keys    map[string][]string // what each find adds to the list
	past    []hall.EarlierRecord
}

func readGround(l *hall.Look) (*ground, error) {
	g := &ground{look: l, starts: map[foray.ID]time.Time{}, handed: map[foray.ID]time.Time{}}
	for _, read := range []func() error{g.readEvent, g.readTeams, g.readFinds} {
		if err := read(); err != nil {
			return nil, err
		}
	}
	plain := make([]tally.Find, len(g.finds))
	for i, f := range g.finds {
		plain[i] = f.Find
		if f.State != tally.Confirmed {
			g.waiting++
		}
	}
	g.waiting += g.unnamed
	g.list = tally.Make(plain)
	g.keys = keysOf(g.list)
	var err error
	g.past, err = l.EarlierRecords()
	return g, err
}

func (g *ground) readEvent() (err error) {
	scope := g.look.Scope
	if g.event, err = g.look.Tx.EventByID(scope.Society, scope.Event); err != nil {
		return err
	}
	g.zone = hall.Zone(g.event)
	g.seq, err = g.look.Tx.ChangeSeq(scope.Society, scope.Event)
	return err
}

func (g *ground) readTeams() (err error) {
	tx, scope := g.look.Tx, g.look.Scope
	if g.teams, err = tx.Teams(scope.Society, scope.Event); err != nil {
		return err
	}
	walks, err := tx.Walks(scope.Society, scope.Event)
	if err != nil {
		return err
	}
	plans, err := tx.TeamPlans(scope.Society, scope.Event)
	if err != nil {
		return err
	}
	for _, p := range plans {
		for _, w := range walks {
			if w.ID == p.WalkID {
				g.starts[p.TeamID] = w.StartsAt.Time
			}
		}
	}
	counts, err := tx.HeadCounts(scope.Society, scope.Event, foray.ID{})
	for _, c := range counts {
		if c.Kind == string(muster.HandIn) {
			g.handed[c.TeamID] = c.HappenedAt.Time
		}
	}
	return err
}

func (g *ground) readFinds() error {
	plates, err := g.look.Plates()
	if err != nil {
		return err
	}
	places, err := g.look.Places()
	if err != nil {
		return err
	}
	for _, p := range plates {
		f, ok := g.plate(p, places)
		switch {
		case ok:
			g.finds = append(g.finds, f)
		case p.Naming == foray.BroughtIn:
			g.unnamed++
		}
	}
	seen, err := g.look.SeenThere()
	for _, s := range seen {
		if s.Struck == nil {
			g.finds = append(g.finds, g.fieldRecord(s, places))
		}
	}
	return err
}

// plate reads a plate as the list does: its standing names where it was signed, its first choice where it was not.
func (g *ground) plate(p hall.Plate, places hall.Places) (find, bool) {
	f := find{Find: tally.Find{ID: p.ID.String(), Number: p.Number().String(), Outside: p.Outside, Cultivated: p.Cultivated},
		team: p.TeamID, site: p.SiteID, host: hall.HostOf(p.Host), at: cmp.Or(p.PickedAt, p.HappenedAt).Time, n: 1}
	f.Day = hall.FoundOn(g.zone, &p.Collection)
	g.put(&f, places, p.Asked())
	var names []foray.SlipName
	switch {
	case p.Standing.Naming == foray.Confirmed:
		f.State = tally.Confirmed
		if current, ok := p.Standing.Current(); ok {
			names = append(names, current.Name())
		}
	case p.Standing.Disputed:
		f.State = tally.Disputed
		for _, side := range p.Standing.Sides {
			names = append(names, side.Name())
		}
	case p.Standing.Naming == foray.Provisional && len(p.Standing.Question) > 0:
		choice, ok := p.FirstChoice()
		if !ok {
			return f, false
		}
		f.State, names = tally.Provisional, append(names, choice)
	default:
		return f, false
	}
	g.name(&f, names)
	return f, true
}

func (g *ground) fieldRecord(s hall.SeenThere, places hall.Places) find {
	name := s.SlipName()
	f := find{Find: tally.Find{ID: s.ID.String(), Field: true, Seen: s.Count, Outside: s.Outside, State: tally.Provisional},
		team: s.TeamID, site: s.SiteID, host: hall.HostOf(s.Host), at: s.HappenedAt.Time, n: max(1, s.Count)}
	f.Day = f.at.In(g.zone).Format(time.DateOnly)
	g.put(&f, places, []foray.SlipName{name})
	if len(s.Stands) > 0 {
		f.State = tally.Confirmed
	}
	g.name(&f, []foray.SlipName{name})
	return f
}

func (g *ground) put(f *find, places hall.Places, names []foray.SlipName) {
	f.Place = places.Of(f.site, names...).Name()
	switch {
	case f.site.IsZero():
		f.place = NoPlace
	case f.Place == "":
		f.place = KeptBack
	}
}

func (g *ground) name(f *find, names []foray.SlipName) {
	h := g.look.Hall
	for _, n := range names {
		named := tally.Named{Name: n.Name, Author: n.Author, Rank: taxon.Rank(n.NameRank), Qualifier: taxon.Qualifier(n.Qualifier),
			Position: taxon.Rank(n.Position), Key: n.Key, Current: h.Current(n)}
		f.Names = append(f.Names, named)
	}
	if f.State == tally.Confirmed && f.ours() && len(names) > 0 && !hall.Doubtful(names[0].Qualifier) {
		f.species = h.SpeciesKey(names[0])
	}
}
