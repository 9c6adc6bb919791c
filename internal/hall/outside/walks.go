package outside

import (
	"context"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// mostWishes is how many walks somebody may name.
const mostWishes = 3

// Wishes is the walks that somebody would like to join, the first choice first; none takes back what was wished.
type Wishes struct {
	Walks []foray.ID `json:"walks"`
	With  string     `json:"with,omitempty"` // with whom
}

// Wished is how many wishes stand.
type Wished struct {
	Wishes int `json:"wishes"`
}

// Walk is a walk as anybody may see it.
type Walk struct {
	ID        foray.ID
	Number    int
	Title     string
	StartsAt  time.Time
	DueAt     time.Time
	Place     string // as the public may know it
	KeptBack  bool   // there is a place, and the public is not told which
	Leader    string // as they wish to appear; "" where they do not
	Remarks   string
	Capacity  int // 0: not bounded
	Going     int // on the sheets of its teams
	CalledOff bool
	Open      bool // it may still be wished for
	Wish      int  // the actor's; 0: none
}

// Left is how many places are left, where they are bounded.
func (w Walk) Left() int { return max(0, w.Capacity-w.Going) }

// Placed is a team that somebody is on.
type Placed struct {
	Team   int
	Walk   int // number; 0: none
	Leader string
	Due    *time.Time
}

// Wisher is somebody with what they wished for, for those who put teams together.
type Wisher struct {
	Person foray.ID
	Name   string
	Wishes []int // numbers of walks, the first choice first
	With   string
	On     []Placed
}

// WalkTeam is a team that somebody may be put on.
type WalkTeam struct {
	ID     foray.ID
	Number int
	Name   string
	Walk   int // number; 0: none
	People int
}

// Walks is every walk of an event.
type Walks struct {
	Event   store.Event
	Now     time.Time
	Seq     int64
	Walks   []Walk // by number
	With    string
	On      []Placed // where the actor is
	Held    access.Held
	Wishers []Wisher // for the organiser alone
	Teams   []WalkTeam
}

// Wish says what walks the actor would like to join.
func Wish(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Wishes) (Wished, error) {
	cmd.Type, cmd.Body = "walk.wish.v1", in
	return hall.Do(ctx, h, actor, access.NameOwn, scope, cmd, func(w *hall.Write) (Wished, error) {
		rows, err := in.rows(w)
		if err != nil {
			return Wished{}, err
		}
		if err := w.Tx.DropWalkWishes(scope.Society, scope.Event, actor.Person); err != nil {
			return Wished{}, err
		}
		w.Note("", foray.ID{}, "") // what was wished is erasable, and stays out of the audit
		w.Changed("wish", actor.Person)
		return Wished{Wishes: len(rows)}, w.Tx.AddWalkWishes(rows)
	})
}

func (in Wishes) rows(w *hall.Write) ([]store.WalkWish, error) {
	walks, err := w.Tx.Walks(w.Scope.Society, w.Scope.Event)
	if err != nil {
		return nil, err
	}
	with := tidy(in.With)
	switch {
	case len(in.Walks) > mostWishes:
		return nil, fault.Wrong("walks", "walk.wishes", "most", mostWishes)
	case len(with) > mostName:
		return nil, fault.Wrong("with", "text.too-long", "most", mostName)
	}
	open := map[foray.ID]bool{}
	for _, row := range walks {
		open[row.ID] = wishable(row, w.Now)
	}
	rows, once := []store.WalkWish{}, map[foray.ID]bool{}
	for i, id := range in.Walks {
		may, there := open[id]
		switch {
		case !there:
			return nil, fault.Wrong("walks", "walk.unknown")
		case once[id]:
			return nil, fault.Wrong("walks", "walk.twice")
		case !may:
			return nil, fault.Wrong("walks", "walk.gone")
		}
		once[id] = true
		rows = append(rows, store.WalkWish{SocietyID: w.Scope.Society, EventID: w.Scope.Event, PersonID: w.Actor.Person, WalkID: id, Wish: i + 1,
			WithWhom: with, WishedAt: w.Stamp()})
	}
	return rows, nil
}

// wishable: the walk takes place and has not left.
func wishable(w store.Walk, now time.Time) bool {
	return w.CalledOffAt.IsZero() && w.StartsAt.After(now)
}

// SeeWalks shows an event's walks: to everybody what the public may know, to somebody signed in their own wishes and
// team, and to whoever sets up who wished for what.
func SeeWalks(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Walks, error) {
	var out Walks
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) error {
		r := &walker{reader: reader{Look: l}}
		if err := r.read(); err != nil {
			return err
		}
		out = Walks{Event: r.event, Now: l.Now, Seq: r.seq, Held: l.Held}
		for _, row := range r.walks {
			out.Walks = append(out.Walks, r.walk(row))
		}
		if !l.Held.Can(access.NameOwn) {
			return nil
		}
		out.On = r.on(actor.Person)
		for _, wish := range r.wishes {
			if wish.PersonID == actor.Person {
				out.With = wish.WithWhom
			}
		}
		if l.Held.Can(access.SetUp) {
			out.Wishers, out.Teams = r.wishers(), r.teams()
		}
		return nil
	})
	return out, err
}

type walker struct {
	reader
	walks  []store.Walk
	wishes []store.WalkWish
	number map[foray.ID]int // of a walk
	hidden hall.Anywhere
}

func (r *walker) read() (err error) {
	if err = r.reader.read(); err != nil {
		return err
	}
	if r.walks, err = r.Tx.Walks(r.Scope.Society, r.Scope.Event); err != nil {
		return err
	}
	if r.hidden, err = r.KeptBackAnywhere(); err != nil {
		return err
	}
	r.number = map[foray.ID]int{}
	for _, w := range r.walks {
		r.number[w.ID] = w.Number
	}
	r.wishes, err = r.Tx.WalkWishes(r.Scope.Society, r.Scope.Event)
	return err
}

func (r *walker) walk(row store.Walk) Walk {
	site := r.hidden.Strict(r.sites[row.SiteID])
	place := foray.ExactPlace{Name: site.Name, Latitude: site.Latitude, Longitude: site.Longitude, GridM: site.GridM, Sensitive: site.Sensitive}.Public()
	w := Walk{ID: row.ID, Number: row.Number, Title: row.Title, StartsAt: row.StartsAt.Time, DueAt: row.DueAt.Time, Place: place.Name(),
		KeptBack: site.Sensitive, Leader: hall.CreditedName(r.people[row.LeaderID]), Capacity: row.Capacity, CalledOff: !row.CalledOffAt.IsZero(),
		Open: wishable(row, r.Now)}
	if r.Held.Can(access.NameOwn) {
		w.Remarks = row.Remarks
	}
	for _, m := range r.musters {
		if m.Walk.ID == row.ID {
			w.Going += len(m.Plan.Members) - len(m.Standing.NotGoing)
		}
	}
	for _, wish := range r.wishes {
		if wish.WalkID == row.ID && wish.PersonID == r.Actor.Person && r.Actor.SignedIn() {
			w.Wish = wish.Wish
		}
	}
	return w
}

// on lists the teams that somebody is on.
func (r *walker) on(person foray.ID) (all []Placed) {
	for _, m := range r.musters {
		for _, member := range r.members[m.Team.ID] {
			if member.PersonID == person && !person.IsZero() && member.RemovedAt.IsZero() {
				all = append(all, Placed{Team: m.Team.Number, Walk: r.number[m.Walk.ID], Leader: r.people[m.Team.LeaderID].Name, Due: m.Plan.Due})
			}
		}
	}
	return all
}

func (r *walker) wishers() (all []Wisher) {
	at := map[foray.ID]int{}
	for _, wish := range r.wishes {
		i, ok := at[wish.PersonID]
		if !ok {
			i = len(all)
			at[wish.PersonID] = i
			all = append(all, Wisher{Person: wish.PersonID, Name: r.people[wish.PersonID].Name, With: wish.WithWhom, On: r.on(wish.PersonID)})
		}
		all[i].Wishes = append(all[i].Wishes, r.number[wish.WalkID])
	}
	return all
}

func (r *walker) teams() (all []WalkTeam) {
	for _, m := range r.musters {
		all = append(all, WalkTeam{ID: m.Team.ID, Number: m.Team.Number, Name: m.Team.Name, Walk: r.number[m.Walk.ID], People: len(m.Plan.Members)})
	}
	return all
}
