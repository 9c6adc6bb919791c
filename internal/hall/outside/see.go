package outside

import (
	"cmp"
	"context"
	"slices"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/muster"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// Line is somebody on a sheet with the mark that stands.
type Line struct {
	store.TeamMember
	Mark muster.MarkKind // "" where nobody said
	At   time.Time
}

// Entry is a count, word from the field, or what the hall did, with who and when.
type Entry struct {
	Kind     muster.CountKind
	Heads    *int // of a hand-in: collections
	By       string
	At       time.Time
	Recorded time.Time
	Remarks  string
}

// Late reports whether it was typed long after it happened: from a paper sheet, or a device without network.
func (e Entry) Late() bool { return e.Recorded.Sub(e.At) > 5*time.Minute }

// Numbers is a team's labels against what was logged of them.
type Numbers struct {
	Blocks []store.NumberBlock
	Issued int
	Logged int // of its blocks; of a team without one, whatever was logged for it
}

// Sheet is a team as its leader and the hall see it.
type Sheet struct {
	hall.Muster
	Alert   muster.Alert
	Lines   []Line  // by name
	Log     []Entry // newest first
	Leader  string
	Site    string
	Numbers Numbers
	Runs    bool // the actor may count it out
	Acts    bool // and write down what the hall did
	Private bool // and read what is private
}

// Teams is every team that the actor may see.
type Teams struct {
	Event  store.Event
	Now    time.Time
	Seq    int64
	Sheets []Sheet
	Again  time.Duration // after which the clock alone changes what is shown; 0: never
}

// SeeTeams shows every team to those who may sign anyone in, those that are waited for longest first.
func SeeTeams(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Teams, error) {
	t, err := see(ctx, h, actor, scope, access.SignAnyoneIn, func(*hall.Look, store.Team) bool { return true })
	slices.SortStableFunc(t.Sheets, func(a, b Sheet) int {
		return cmp.Or(cmp.Compare(b.Alert.Step, a.Alert.Step), cmp.Compare(waited(b), waited(a)), cmp.Compare(a.Team.Number, b.Team.Number))
	})
	return t, err
}

func waited(s Sheet) int {
	if s.Awaited() {
		return 1
	}
	return 0
}

// SeeOwn shows the teams that the actor leads; an organiser every team.
func SeeOwn(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Teams, error) {
	return see(ctx, h, actor, scope, access.RunOwnTeam, (*hall.Look).Leads)
}

// SeeTeam shows one team by its number, to its leader and to those who may sign anyone in.
func SeeTeam(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, number int) (Teams, error) {
	t, err := see(ctx, h, actor, scope, access.NameOwn, func(l *hall.Look, t store.Team) bool { return t.Number == number })
	if err != nil {
		return t, err
	}
	if len(t.Sheets) == 0 {
		return t, fault.Missing()
	}
	return t, nil
}

// see reads the teams that are wanted. A team that is another's is not shown to a leader.
func see(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, action access.Action, wanted func(*hall.Look, store.Team) bool) (Teams, error) {
	var out Teams
	err := h.View(ctx, actor, action, scope, func(l *hall.Look) (err error) {
		if !l.Held.Can(access.RunOwnTeam) && !l.Held.Can(access.SignAnyoneIn) {
			return hall.NotAllowed(access.RunOwnTeam)
		}
		r := reader{Look: l}
		if err = r.read(); err != nil {
			return err
		}
		out = Teams{Event: r.event, Now: l.Now, Seq: r.seq}
		var shown []hall.Muster
		for _, m := range r.musters {
			if !wanted(l, m.Team) {
				continue
			}
			if err := hallToo.open(l, m.Team); err != nil {
				return err
			}
			shown = append(shown, m)
			out.Sheets = append(out.Sheets, r.sheet(m))
		}
		out.Again = hall.AskAgain(l.Now, shown, hall.Ladder(r.event))
		return nil
	})
	return out, err
}

// reader is what sheets are made from.
type reader struct {
	*hall.Look
	event   store.Event
	seq     int64
	musters []hall.Muster
	members map[foray.ID][]store.TeamMember
	marks   map[foray.ID]store.HeadMark // that stands, by member
	counts  map[foray.ID][]store.HeadCount
	people  map[foray.ID]store.Person
	sites   map[foray.ID]store.Site
	blocks  []store.NumberBlock
	plates  []store.Collection
}

func (r *reader) read() (err error) {
	society, event := r.Scope.Society, r.Scope.Event
	if r.event, err = r.Tx.EventByID(society, event); err != nil {
		return err
	}
	if r.seq, err = r.Tx.ChangeSeq(society, event); err != nil {
		return err
	}
	if r.musters, err = r.Musters(); err != nil {
		return err
	}
	if r.people, err = r.PeopleNames(); err != nil {
		return err
	}
	if r.blocks, err = r.Tx.NumberBlocks(society, event); err != nil {
		return err
	}
	if r.plates, err = r.Tx.Collections(society, event); err != nil {
		return err
	}
	sites, err := r.Tx.Sites(society, event)
	r.sites = map[foray.ID]store.Site{}
	for _, s := range sites {
		r.sites[s.ID] = s
	}
	if err != nil {
		return err
	}
	return r.readHeads()
}

func (r *reader) readHeads() error {
	society, event := r.Scope.Society, r.Scope.Event
	members, err := r.Tx.TeamMembers(society, event, foray.ID{})
	if err != nil {
		return err
	}
	marks, err := r.Tx.HeadMarks(society, event, foray.ID{})
	if err != nil {
		return err
	}
	counts, err := r.Tx.HeadCounts(society, event, foray.ID{})
	r.members, r.marks, r.counts = map[foray.ID][]store.TeamMember{}, map[foray.ID]store.HeadMark{}, map[foray.ID][]store.HeadCount{}
	for _, m := range members {
		r.members[m.TeamID] = append(r.members[m.TeamID], m)
	}
	for _, m := range marks {
		r.marks[m.MemberID] = m // in the order in which they happened: the last one stays
	}
	for _, c := range counts {
		r.counts[c.TeamID] = append(r.counts[c.TeamID], c)
	}
	return err
}

func (r *reader) sheet(m hall.Muster) Sheet {
	s := Sheet{Muster: m, Alert: muster.Warnings(r.Now, m.Plan, hall.Ladder(r.event), m.Standing), Leader: r.people[m.Team.LeaderID].Name,
		Site: r.siteOf(m), Numbers: r.numbers(m.Team), Runs: r.Look.Leads(m.Team), Acts: r.Held.Can(access.SignAnyoneIn), Private: readsPrivate(r.Look, m.Team)}
	stands := marksOf(m.Standing)
	for _, member := range r.members[m.Team.ID] {
		if kind := stands[member.ID]; member.RemovedAt.IsZero() || kind != "" {
			s.Lines = append(s.Lines, Line{TeamMember: member, Mark: kind, At: r.marks[member.ID].HappenedAt.Time})
		}
	}
	slices.SortStableFunc(s.Lines, func(a, b Line) int { return cmp.Compare(taxon.Fold(a.Name), taxon.Fold(b.Name)) })
	for _, c := range slices.Backward(r.counts[m.Team.ID]) {
		s.Log = append(s.Log, Entry{Kind: muster.CountKind(c.Kind), Heads: c.Heads, By: r.people[c.CountedBy].Name, At: c.HappenedAt.Time,
			Recorded: c.RecordedAt.Time, Remarks: c.Remarks})
	}
	return s
}

func marksOf(s muster.Standing) map[foray.ID]muster.MarkKind {
	kinds := map[foray.ID]muster.MarkKind{}
	for kind, members := range map[muster.MarkKind][]muster.Member{muster.Out: s.Out, muster.Back: s.Back, muster.LeftEarly: s.Left,
		muster.Found: s.Found, muster.NotGoing: s.NotGoing} {
		for _, m := range members {
			kinds[m.ID] = kind
		}
	}
	return kinds
}

// siteOf is the site's name as the society knows it.
func (r *reader) siteOf(m hall.Muster) string {
	if s, ok := r.sites[m.Team.SiteID]; ok {
		return s.Name
	}
	return r.sites[m.Walk.SiteID].Name
}

func (r *reader) numbers(t store.Team) (n Numbers) {
	for _, b := range r.blocks {
		if b.TeamID == t.ID {
			n.Blocks = append(n.Blocks, b)
			n.Issued += b.ToNumber - b.FromNumber + 1
		}
	}
	logged := map[int]bool{}
	for _, c := range r.plates {
		inBlock := slices.ContainsFunc(n.Blocks, func(b store.NumberBlock) bool { return b.FromNumber <= c.NumberBase && c.NumberBase <= b.ToNumber })
		if inBlock || len(n.Blocks) == 0 && c.TeamID == t.ID {
			logged[c.NumberBase] = true
		}
	}
	n.Logged = len(logged)
	return n
}

// Late is a team that is late, as everybody in the hall may know it.
type Late struct {
	Number int
	Alert  muster.Alert
}

// SeeLate lists the teams about which something is to be done now, the most urgent first, for all staff; and after how
// long the clock alone makes that another list.
func SeeLate(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (late []Late, again time.Duration, err error) {
	err = h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) error {
		if !l.Held.Staff() {
			return hall.NotAllowed(access.NameAny)
		}
		event, err := l.Tx.EventByID(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		musters, err := l.Musters()
		ladder := hall.Ladder(event)
		for _, m := range musters {
			if alert := muster.Warnings(l.Now, m.Plan, ladder, m.Standing); alert.Step > muster.Wait {
				alert.Findings = nil
				late = append(late, Late{Number: m.Team.Number, Alert: alert})
			}
		}
		again = hall.AskAgain(l.Now, musters, ladder)
		return err
	})
	slices.SortStableFunc(late, func(a, b Late) int { return cmp.Compare(b.Alert.Step, a.Alert.Step) })
	return late, again, err
}
