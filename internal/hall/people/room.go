package people

import (
	"context"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Room is who may do what at the event and how they came by it, in view of everybody on staff.
type Room struct {
	Holders []Holder      `json:"holders"`
	Passes  []PassSeen    `json:"passes"`
	History []HistoryLine `json:"history"` // the newest first
	// Open is the links that nobody has used, for those who may take them back.
	Open []OpenInvitation `json:"open_invitations,omitempty"`
	// Unsigned is who is known and cannot sign in, for those who may invite them.
	Unsigned []Named `json:"without_sign_in,omitempty"`
}

// Named is somebody.
type Named struct {
	ID   foray.ID `json:"id"`
	Name string   `json:"name"`
}

// Holder is somebody with rights here.
type Holder struct {
	Named
	Rights  []access.Right `json:"rights"`
	SignsIn bool           `json:"signs_in"`
	Pass    string         `json:"pass,omitempty"` // the label of the pass they came in by
}

// PassSeen is a pass with who came in by it.
type PassSeen struct {
	ID       foray.ID     `json:"id"`
	Right    access.Right `json:"right"`
	Label    string       `json:"label,omitempty"`
	MostUses int          `json:"most_uses"`
	MadeBy   string       `json:"made_by"`
	MadeAt   time.Time    `json:"made_at"`
	EndedAt  time.Time    `json:"ended_at,omitzero"`
	Uses     []Stay       `json:"uses"`
}

// Stay is somebody who came in by a pass.
type Stay struct {
	Named
	From time.Time `json:"from"`
	To   time.Time `json:"to,omitzero"`
}

// OpenInvitation is a link that nobody has used.
type OpenInvitation struct {
	ID        foray.ID        `json:"id"`
	Name      string          `json:"name"`
	Rights    []access.Right  `json:"rights,omitempty"` // none: to the society only
	MadeBy    string          `json:"made_by"`
	ExpiresAt time.Time       `json:"expires_at"`
	State     InvitationState `json:"state"` // open or expired
}

// HistoryLine says who gave or took what.
type HistoryLine struct {
	Kind    string    `json:"kind"`
	By      string    `json:"by"`
	Subject string    `json:"subject,omitempty"` // a person's name
	Detail  string    `json:"detail,omitempty"`
	At      time.Time `json:"at"`
}

// historyKinds are the audit's kinds of what changes who may do what.
var historyKinds = []string{"right.give", "right.take", "pass.make", "pass.end", "pass.use", "invitation.make", "invitation.use",
	"invitation.take-back", "personal.delete"}

// historyMost is how far back the page goes.
const historyMost = 100

// See shows who may do what at the event.
func See(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Room, error) {
	var room Room
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) error {
		if !l.Held.Staff() {
			return hall.NotAllowed(access.SetUp)
		}
		names, err := l.PeopleNames()
		if err != nil {
			return err
		}
		accounts, err := l.Tx.Accounts(scope.Society)
		if err != nil {
			return err
		}
		signsIn := map[foray.ID]bool{}
		for _, a := range accounts {
			signsIn[a.PersonID] = a.PasswordHash != store.NoPassword && a.DisabledAt.IsZero()
		}
		room = Room{Holders: []Holder{}, Passes: []PassSeen{}, History: []HistoryLine{}}
		byPass, err := room.passes(l, names)
		if err != nil {
			return err
		}
		if err := room.holders(l, names, signsIn, byPass); err != nil {
			return err
		}
		if err := room.history(l, names); err != nil || !l.Held.Can(access.SetUp) {
			return err
		}
		return room.invitations(l, names, signsIn)
	})
	return room, err
}

func (room *Room) passes(l *hall.Look, names map[foray.ID]store.Person) (byPass map[foray.ID]string, err error) {
	passes, err := l.Tx.HallPasses(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return nil, err
	}
	uses, err := l.Tx.PassUses(l.Scope.Society, l.Scope.Event)
	byPass = map[foray.ID]string{}
	for _, p := range passes {
		seen := PassSeen{ID: p.ID, Right: access.Right(p.Held), Label: p.Label, MostUses: p.MostUses, MadeBy: names[p.MadeBy].Name,
			MadeAt: p.MadeAt.Time, EndedAt: p.ClosedAt.Time, Uses: []Stay{}}
		for _, u := range uses {
			if u.PassID == p.ID {
				seen.Uses = append(seen.Uses, Stay{Named{u.PersonID, names[u.PersonID].Name}, u.UsedAt.Time, u.EndedAt.Time})
				byPass[u.PersonID] = p.Label
			}
		}
		room.Passes = append(room.Passes, seen)
	}
	return byPass, err
}

func (room *Room) holders(l *hall.Look, names map[foray.ID]store.Person, signsIn map[foray.ID]bool, byPass map[foray.ID]string) error {
	rights, err := l.Tx.EventRights(l.Scope.Society, l.Scope.Event)
	held := map[foray.ID][]access.Right{}
	for _, r := range rights {
		held[r.PersonID] = append(held[r.PersonID], r.Held)
	}
	persons, err2 := l.Tx.Persons(l.Scope.Society) // in the order of names
	for _, p := range persons {
		if len(held[p.ID]) > 0 {
			room.Holders = append(room.Holders, Holder{Named{p.ID, p.Name}, inOrder(held[p.ID]), signsIn[p.ID], byPass[p.ID]})
		}
	}
	if err != nil {
		return err
	}
	return err2
}

// inOrder puts rights into the order of the table.
func inOrder(held []access.Right) []access.Right {
	var ordered []access.Right
	for _, r := range access.Given {
		if access.Held(held).Has(r) {
			ordered = append(ordered, r)
		}
	}
	return ordered
}

func (room *Room) history(l *hall.Look, names map[foray.ID]store.Person) error {
	audits, err := l.Tx.AuditsOfKinds(l.Scope.Society, l.Scope.Event, historyKinds, historyMost)
	for _, a := range audits {
		room.History = append(room.History, HistoryLine{Kind: a.Kind, By: names[a.PersonID].Name, Subject: names[a.Subject].Name,
			Detail: a.Detail, At: a.RecordedAt.Time})
	}
	return err
}

func (room *Room) invitations(l *hall.Look, names map[foray.ID]store.Person, signsIn map[foray.ID]bool) error {
	all, err := l.Tx.Invitations(l.Scope.Society)
	if err != nil {
		return err
	}
	for _, i := range all {
		if !i.EventID.IsZero() && i.EventID != l.Scope.Event {
			continue
		}
		state, err := stateOf(l.Tx, i, l.Now)
		if err != nil {
			return err
		}
		if state != InvitationOpen && state != InvitationExpired {
			continue
		}
		name := i.Name
		if !i.PersonID.IsZero() {
			name = names[i.PersonID].Name
		}
		room.Open = append(room.Open, OpenInvitation{i.ID, name, rights(i.Rights), names[i.MadeBy].Name, i.ExpiresAt.Time, state})
	}
	persons, err := l.Tx.Persons(l.Scope.Society)
	for _, p := range persons {
		if p.Kind == "person" && !signsIn[p.ID] {
			room.Unsigned = append(room.Unsigned, Named{p.ID, p.Name})
		}
	}
	return err
}
