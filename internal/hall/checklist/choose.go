package checklist

import (
	"context"
	"slices"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Choice is the list that a society follows; the zero id is the names that ship.
type Choice struct {
	Checklist foray.ID `json:"checklist,omitzero"` // left out: the names that ship
}

// Choose says for the whole society which list it follows. The organiser of any of its events may, since a society has no
// rights of its own. Names as determined, and versions that were signed, stay as they are.
func Choose(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Choice) (Choice, error) {
	cmd.Type, cmd.Body = "society.checklist.v1", in
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (Choice, error) {
		detail := "the names that ship"
		if !in.Checklist.IsZero() {
			c, err := w.Tx.ChecklistByID(in.Checklist)
			if fault.Is(err, fault.NotFound) {
				return Choice{}, fault.Wrong("checklist", "checklist.unknown")
			}
			if err != nil {
				return Choice{}, err
			}
			detail = c.Title + " " + c.Edition
		}
		w.Note("society.checklist", scope.Society, detail)
		w.Changed("society", scope.Society)
		return in, w.Tx.Follow(store.SocietyChecklist{SocietyID: scope.Society, ChecklistID: in.Checklist, ChosenBy: actor.Person, ChosenAt: w.Stamp()})
	})
}

// Shelf is the lists of the installation, the newest first, and which of them a society follows.
type Shelf struct {
	Lists    []store.Checklist
	Followed foray.ID // zero: the names that ship
}

// See shows the lists to whoever sets up an event.
func See(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Shelf, error) {
	var s Shelf
	err := h.View(ctx, actor, access.SetUp, scope, func(l *hall.Look) (err error) {
		if s.Followed, err = l.Tx.FollowedBy(scope.Society); err != nil {
			return err
		}
		s.Lists, err = l.Tx.Checklists()
		return err
	})
	if i := slices.IndexFunc(s.Lists, func(c store.Checklist) bool { return c.ID == s.Followed }); err == nil && i < 0 {
		s.Followed = foray.ID{}
	}
	return s, err
}
