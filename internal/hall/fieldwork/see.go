package fieldwork

import (
	"context"
	"slices"
	"strconv"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// Which records are shown: those of a team by its number, one's own, or all.
const (
	ShowOwn = "own"
	ShowAll = "all"
)

// Row is a record as somebody may see it.
type Row struct {
	hall.SeenThere
	Current   *taxon.Name // nil where the name is not known
	Team      int
	Site      string
	Observer  string
	Behind    []string // who stands behind it
	Counts    bool     // somebody stands behind it, and it was not taken back
	MayTally  bool
	MayStand  bool
	MayStrike bool
}

// Page is what somebody needs to write down what they see.
type Page struct {
	Event       store.Event
	Seq         int64
	Held        access.Held
	Sites       []Site         // that the actor may name
	Teams       []store.Team   // that the actor may write for
	Own         int            // the number of the team that the actor leads or walks with; 0: none or several
	Others      bool           // the actor may write for other observers, and see what they wrote
	Determiners []store.Person // for a scribe
	Show        string         // what the rows are: own, all, or a team's number
	Rows        []Row          // newest first
}

// See shows field records: all to who may name what others found, their own and their team's to members. An empty show
// is the actor's own team, or else their own.
func See(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, show string) (Page, error) {
	var p Page
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) (err error) {
		p.Held, p.Others = l.Held, l.Held.Can(access.NameAny)
		if p.Event, err = l.Tx.EventByID(scope.Society, scope.Event); err != nil {
			return err
		}
		if p.Seq, err = l.Tx.ChangeSeq(scope.Society, scope.Event); err != nil {
			return err
		}
		if l.Held.Can(access.ScribeSignOff) {
			if p.Determiners, err = l.Determiners(); err != nil {
				return err
			}
		}
		r := reader{Look: l, page: &p}
		return r.read(show)
	})
	return p, err
}

// reader makes the rows.
type reader struct {
	*hall.Look
	page   *Page
	teams  map[foray.ID]store.Team
	mine   map[foray.ID]bool // teams that the actor leads or walks with
	people map[foray.ID]store.Person
	sites  map[foray.ID]string
	named  map[foray.ID]bool // sites that the actor may name
}

func (r *reader) read(show string) (err error) {
	if r.people, err = r.PeopleNames(); err != nil {
		return err
	}
	if err := r.readSites(); err != nil {
		return err
	}
	if err := r.readTeams(); err != nil {
		return err
	}
	r.page.Show = r.shown(show)
	all, err := r.SeenThere()
	for _, s := range slices.Backward(all) {
		if r.wanted(s) {
			r.page.Rows = append(r.page.Rows, r.row(s))
		}
	}
	return err
}

func (r *reader) readSites() error {
	all, err := r.Tx.Sites(r.Scope.Society, r.Scope.Event)
	if err != nil {
		return err
	}
	r.sites, r.named = map[foray.ID]string{}, map[foray.ID]bool{}
	for _, s := range all {
		r.sites[s.ID] = s.Name
	}
	may, err := sitesFor(r.Look)
	for _, s := range may {
		r.named[s.ID] = true
		r.page.Sites = append(r.page.Sites, Site{s.ID, s.Name})
	}
	return err
}

func (r *reader) readTeams() error {
	teams, err := r.Tx.Teams(r.Scope.Society, r.Scope.Event)
	if err != nil {
		return err
	}
	members, err := r.Tx.TeamMembers(r.Scope.Society, r.Scope.Event, foray.ID{})
	r.teams, r.mine = map[foray.ID]store.Team{}, map[foray.ID]bool{}
	for _, m := range members {
		r.mine[m.TeamID] = r.mine[m.TeamID] || m.RemovedAt.IsZero() && m.PersonID == r.Actor.Person
	}
	own := []int{}
	for _, t := range teams {
		r.teams[t.ID] = t
		if r.mine[t.ID] = r.mine[t.ID] || t.LeaderID == r.Actor.Person; r.mine[t.ID] {
			own = append(own, t.Number)
		}
		if r.mine[t.ID] || r.page.Others || leads(r.Look, t) {
			r.page.Teams = append(r.page.Teams, t)
		}
	}
	if len(own) == 1 {
		r.page.Own = own[0]
	}
	return err
}

// shown is what is shown of what was asked for.
func (r *reader) shown(show string) string {
	switch {
	case show == ShowOwn, show == ShowAll && r.page.Others:
		return show
	case slices.ContainsFunc(r.page.Teams, func(t store.Team) bool { return strconv.Itoa(t.Number) == show }):
		return show
	case show == "" && r.page.Own > 0:
		return strconv.Itoa(r.page.Own)
	}
	return ShowOwn
}

func (r *reader) wanted(s hall.SeenThere) bool {
	switch r.page.Show {
	case ShowAll:
		return true
	case ShowOwn:
		return reacher{r.Look}.own(s.FieldRecord)
	}
	return !s.TeamID.IsZero() && strconv.Itoa(r.teams[s.TeamID].Number) == r.page.Show
}

func (r *reader) row(s hall.SeenThere) Row {
	row := Row{SeenThere: s, Current: r.Hall.Current(s.SlipName()), Team: r.teams[s.TeamID].Number,
		Observer: r.people[s.ObserverID].Name, Counts: len(s.Stands) > 0 && s.Struck == nil}
	reach, stands := reacher{r.Look}, false
	if r.named[s.SiteID] || reach.own(s.FieldRecord) {
		row.Site = r.sites[s.SiteID]
	}
	for _, w := range s.Stands {
		row.Behind = append(row.Behind, r.people[w.PersonID].Name)
		stands = stands || w.PersonID == r.Actor.Person
	}
	if s.Struck != nil {
		return row
	}
	row.MayTally = reach.own(s.FieldRecord) || r.page.Others || leads(r.Look, r.teams[s.TeamID])
	row.MayStrike, _ = reach.strikes(s.FieldRecord)
	row.MayStand = r.Held.Can(access.SignOff) && !stands || r.Held.Can(access.ScribeSignOff)
	return row
}
