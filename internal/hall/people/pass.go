package people

import (
	"context"
	"slices"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// PassRights are the rights that a pass may give. A pass hangs on a wall and whoever scans it is known by no more
// than the name they type, so that it gives no right to give rights or to close (organiser), to sign the list (list
// keeper), to speak about poison (safety lead) or to settle what others dispute (chief identifier).
var PassRights = []access.Right{access.TeamLeader, access.Desk, access.Scribe, access.Steward, access.Identifier}

// How many people may come in by one pass. By a pass that lets names be confirmed, and so may narrow a warning, only
// as many as one can keep in view.
const (
	usualUses   = 20
	mostUses    = 100
	mostSigners = 5
)

// MostUses is how many may come in by a pass for a right.
func MostUses(r access.Right) int {
	if access.Allows(r, access.SignOff) || access.Allows(r, access.ScribeSignOff) {
		return mostSigners
	}
	return mostUses
}

// Pass is a pass to be made.
type Pass struct {
	Right access.Right `json:"right"`
	Label string       `json:"label,omitempty"`
	Uses  int          `json:"uses,omitempty"` // how many may come in by it; 0: as usual
}

// PassEnd says what ends: everybody's passes, one pass, or one person's stay by it.
type PassEnd struct {
	Pass   foray.ID `json:"pass,omitzero"`   // zero: all of the event
	Person foray.ID `json:"person,omitzero"` // zero: everybody who came in by it
}

// Ended says how many people were signed out.
type Ended struct {
	People int `json:"people"`
}

// MakePass makes a pass for one right of the event.
func MakePass(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Pass) (Link, error) {
	cmd.Type, cmd.Body = "pass.make.v1", in
	secret, err := newSecret(h.Random)
	if err != nil {
		return Link{}, err
	}
	kept, already, err := hall.DoSeen(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (keptLink, error) {
		before, err := openEventPath(w)
		if err != nil {
			return keptLink{}, err
		}
		p, err := newPass(w, in)
		if err != nil {
			return keptLink{}, err
		}
		p.SecretSha256 = hashOf(secret)
		w.Note("pass.make", p.ID, p.Held+": "+p.Label)
		w.Changed("pass", p.ID)
		return keptLink{ID: p.ID, Before: before + "/pass/"}, w.Tx.AddHallPass(p)
	})
	told(cmd, already, err)
	return kept.link(secret, already), err
}

// openEventPath is the address of the scope's event; nobody comes into a hall that is closed. The event is locked, so
// that no pass is made behind the back of whoever closes the hall.
func openEventPath(w *hall.Write) (string, error) {
	event, err := w.Tx.LockEvent(w.Scope.Society, w.Scope.Event)
	if err != nil {
		return "", err
	}
	society, err := w.Tx.SocietyByID(w.Scope.Society)
	if err == nil && event.State != "open" {
		err = fault.New(fault.Refused, "people.hall-closed")
	}
	return "/" + society.Code + "/" + event.Code, err
}

func newPass(w *hall.Write, in Pass) (store.HallPass, error) {
	p := store.HallPass{SocietyID: w.Scope.Society, EventID: w.Scope.Event, Held: string(in.Right), Label: strings.Join(strings.Fields(in.Label), " "),
		MostUses: in.Uses, MadeBy: w.Actor.Person, MadeAt: w.Stamp()}
	most := MostUses(in.Right)
	if p.MostUses == 0 {
		p.MostUses = min(usualUses, most)
	}
	switch {
	case !slices.Contains(PassRights, in.Right):
		return p, fault.Wrong("right", "people.pass-right")
	case p.MostUses < 1 || p.MostUses > most:
		return p, fault.Wrong("uses", "people.pass-uses", "most", most)
	case len(p.Label) > 200:
		return p, fault.Wrong("label", "text.too-long", "most", 200)
	}
	var err error
	p.ID, err = w.NewID()
	return p, err
}

// EndPass ends a pass, one person's stay by it, or all passes of the event.
func EndPass(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in PassEnd) (Ended, error) {
	cmd.Type, cmd.Body = "pass.end.v1", in
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (Ended, error) {
		if in.Pass.IsZero() {
			n, err := hall.EndPasses(w)
			return Ended{n}, err
		}
		// In the order in which entering locks: the event, then the pass.
		if _, err := w.Tx.LockEvent(scope.Society, scope.Event); err != nil {
			return Ended{}, err
		}
		p, err := w.Tx.LockHallPassByID(scope.Society, scope.Event, in.Pass)
		if err != nil {
			return Ended{}, err
		}
		if in.Person.IsZero() {
			n, err := hall.EndPass(w, p)
			return Ended{n}, err
		}
		return endStay(w, p, in.Person)
	})
}

func endStay(w *hall.Write, p store.HallPass, person foray.ID) (Ended, error) {
	uses, err := w.Tx.UsesOfPass(p)
	if err != nil {
		return Ended{}, err
	}
	for _, u := range uses {
		if u.PersonID != person {
			continue
		}
		if !u.EndedAt.IsZero() {
			return Ended{}, nil
		}
		return Ended{1}, hall.EndPassUse(w, p, u)
	}
	return Ended{}, fault.Missing()
}
