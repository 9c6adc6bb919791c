package setup

import (
	"context"
	"strconv"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Walk is a walk to be made; the leader is named, and added to the society where needed.
type Walk struct {
	Number   int       `json:"number"`
	Title    string    `json:"title,omitempty"`
	Site     string    `json:"site,omitempty"` // its id or code
	Leader   string    `json:"leader,omitempty"`
	StartsAt time.Time `json:"starts_at"`
	DueAt    time.Time `json:"due_at"`
	Capacity int       `json:"capacity,omitempty"` // 0: not bounded
	Remarks  string    `json:"remarks,omitempty"`
}

// WalkChange is a walk as it is to be planned; its number stays.
type WalkChange struct {
	ID   foray.ID `json:"id"`
	Walk Walk     `json:"walk"`
}

// CallOff is a walk that does not take place; or, with On, does after all.
type CallOff struct {
	ID foray.ID `json:"id"`
	On bool     `json:"on,omitempty"`
}

// longestWalk is how long a walk may last from start to due: a mistyped day is a search party.
const longestWalk = 48 * time.Hour

// AddWalk makes a walk.
func AddWalk(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Walk) (Made, error) {
	cmd.Type, cmd.Body = "walk.add.v1", in
	return addTo(ctx, h, actor, scope, cmd, "walk", func(w *hall.Write, id foray.ID) error {
		if in.Number < 1 || in.Number > mostNumber {
			return fault.Wrong("number", "setup.walk-number")
		}
		walks, err := w.Tx.Walks(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		for _, other := range walks {
			if other.Number == in.Number {
				return fault.Wrong("number", "setup.walk-taken", "number", in.Number)
			}
		}
		row := store.Walk{SocietyID: scope.Society, EventID: scope.Event, ID: id, Number: in.Number, CreatedAt: w.Stamp()}
		if err := in.fill(w, &row); err != nil {
			return err
		}
		return w.Tx.AddWalk(row)
	})
}

// ChangeWalk plans a walk anew.
func ChangeWalk(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in WalkChange) (Made, error) {
	cmd.Type, cmd.Body = "walk.change.v1", in
	return changeWalk(ctx, h, actor, scope, cmd, in.ID, func(w *hall.Write, row *store.Walk) error { return in.Walk.fill(w, row) })
}

// CallWalkOff says that a walk does not take place. Its teams and their sheets stay: somebody may have gone all the same.
func CallWalkOff(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in CallOff) (Made, error) {
	cmd.Type, cmd.Body = "walk.call-off.v1", in
	return changeWalk(ctx, h, actor, scope, cmd, in.ID, func(w *hall.Write, row *store.Walk) error {
		row.CalledOffAt = w.Stamp()
		if in.On {
			row.CalledOffAt = store.Stamp{}
		}
		return nil
	})
}

func changeWalk(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, id foray.ID,
	change func(*hall.Write, *store.Walk) error) (Made, error) {
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (Made, error) {
		walks, err := w.Tx.Walks(scope.Society, scope.Event)
		for _, row := range walks {
			if row.ID != id {
				continue
			}
			was := row
			if err := change(w, &row); err != nil {
				return Made{}, err
			}
			return changed(w, "walk", id, walkWas(was), w.Tx.SetWalk(row))
		}
		return Made{}, missing(err)
	})
}

// walkWas is a walk as the audit keeps it.
func walkWas(r store.Walk) any {
	return struct {
		Title     string
		Site      foray.ID
		Leader    foray.ID
		StartsAt  time.Time
		DueAt     time.Time
		Capacity  int
		Remarks   string
		CalledOff bool
	}{r.Title, r.SiteID, r.LeaderID, r.StartsAt.Time, r.DueAt.Time, r.Capacity, r.Remarks, !r.CalledOffAt.IsZero()}
}

func (in Walk) fill(w *hall.Write, row *store.Walk) (err error) {
	row.Title, row.Remarks, row.Capacity = tidy(in.Title), strings.TrimSpace(in.Remarks), in.Capacity
	row.StartsAt, row.DueAt = store.At(in.StartsAt), store.At(in.DueAt)
	switch {
	case len(row.Title) > mostName:
		return fault.Wrong("title", "setup.name-missing")
	case len(row.Remarks) > mostWords:
		return fault.Wrong("remarks", "text.too-long", "most", mostWords)
	case in.StartsAt.IsZero():
		return fault.Wrong("starts_at", "setup.walk-times")
	case in.DueAt.IsZero() || !in.DueAt.After(in.StartsAt) || in.DueAt.Sub(in.StartsAt) > longestWalk:
		return fault.Wrong("due_at", "setup.walk-times")
	case in.Capacity < 0 || in.Capacity > mostNumber:
		return fault.Wrong("capacity", "setup.capacity", "most", mostNumber)
	}
	if row.SiteID, err = siteID(w, in.Site); err != nil {
		return err
	}
	row.LeaderID, err = w.PersonNamed(in.Leader)
	return err
}

// mostNumber is the highest number of a walk, team or table, and the most people on a walk.
const mostNumber = 999

// walkWritten finds a walk by its id or number; nothing written is no walk.
func walkWritten(w *hall.Write, written string) (store.Walk, error) {
	if written == "" {
		return store.Walk{}, nil
	}
	walks, err := w.Tx.Walks(w.Scope.Society, w.Scope.Event)
	if err != nil {
		return store.Walk{}, err
	}
	for _, row := range walks {
		if row.ID.String() == written || strconv.Itoa(row.Number) == written {
			return row, nil
		}
	}
	return store.Walk{}, fault.Wrong("walk", "setup.walk-unknown", "walk", written)
}
