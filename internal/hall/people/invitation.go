package people

import (
	"context"
	"slices"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// How long an invitation holds, in days.
const (
	usualDays = 7
	mostDays  = 30
)

// Invitation is a sign-in offered to somebody: to a person who is known, such as a determiner without an account, or
// to somebody new. With rights it is to the event, without to the society only.
type Invitation struct {
	Person foray.ID       `json:"person,omitzero"`
	Name   string         `json:"name,omitempty"` // of somebody new, as the records will have it
	Rights []access.Right `json:"rights,omitempty"`
	Days   int            `json:"days,omitempty"` // until it ends; 0: a week
}

// Invited names an invitation.
type Invited struct {
	Invitation foray.ID `json:"invitation"`
}

// MakeInvitation makes a link by which one person gets a sign-in.
func MakeInvitation(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Invitation) (Link, error) {
	cmd.Type, cmd.Body = "invitation.make.v1", in
	secret, err := newSecret(h.Random)
	if err != nil {
		return Link{}, err
	}
	kept, already, err := hall.DoSeen(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (keptLink, error) {
		i, err := newInvitation(w, in)
		if err != nil {
			return keptLink{}, err
		}
		i.SecretSha256 = hashOf(secret)
		society, err := w.Tx.SocietyByID(scope.Society)
		if err != nil {
			return keptLink{}, err
		}
		w.Note("invitation.make", i.ID, i.Rights)
		w.Changed("invitation", i.ID)
		return keptLink{ID: i.ID, ExpiresAt: i.ExpiresAt.Time, Before: "/" + society.Code + "/invited/"}, w.Tx.AddInvitation(i)
	})
	told(cmd, already, err)
	return kept.link(secret, already), err
}

func newInvitation(w *hall.Write, in Invitation) (store.Invitation, error) {
	days := in.Days
	if days == 0 {
		days = usualDays
	}
	if days < 1 || days > mostDays {
		return store.Invitation{}, fault.Wrong("days", "people.invite-days", "most", mostDays)
	}
	i := store.Invitation{SocietyID: w.Scope.Society, PersonID: in.Person, Name: strings.Join(strings.Fields(in.Name), " "), MadeBy: w.Actor.Person,
		MadeAt: w.Stamp(), ExpiresAt: store.At(w.Now.AddDate(0, 0, days))}
	words, err := rightWords(in.Rights, access.Given)
	if err != nil {
		return i, err
	}
	if i.Rights = words; words != "" {
		i.EventID = w.Scope.Event
	}
	if in.Person.IsZero() {
		if err = mayBeCalled(i.Name); err != nil {
			return i, err
		}
	} else if err = mayBeInvited(w.Tx, i); err != nil {
		return i, err
	}
	i.ID, err = w.NewID()
	return i, err
}

// rightWords is rights as they are stored, in the order of the table; one that is not among those that may be given
// is refused.
func rightWords(rights, may []access.Right) (string, error) {
	var words []string
	for _, r := range may {
		if slices.Contains(rights, r) {
			words = append(words, string(r))
		}
	}
	for _, r := range rights {
		if !slices.Contains(may, r) {
			return "", fault.Wrong("rights", "setup.right-unknown")
		}
	}
	return strings.Join(words, ","), nil
}

// mayBeCalled checks a name as the records will have it.
func mayBeCalled(name string) error {
	if len([]rune(name)) < 2 || len(name) > 200 {
		return fault.Wrong("name", "people.name-needed", "most", 200)
	}
	return nil
}

// TakeBackInvitation makes a link useless that was not used yet. Taking it back twice is the same as once.
func TakeBackInvitation(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Invited) (Invited, error) {
	cmd.Type, cmd.Body = "invitation.take-back.v1", in
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (Invited, error) {
		i, err := w.Tx.LockInvitationByID(scope.Society, in.Invitation)
		if err != nil {
			return in, err
		}
		switch {
		case !i.EventID.IsZero() && i.EventID != scope.Event:
			return in, fault.Missing()
		case !i.UsedAt.IsZero():
			return in, fault.New(fault.Refused, "people.invitation-used-by-then")
		case !i.TakenBackAt.IsZero():
			return in, nil
		}
		i.TakenBackAt = w.Stamp()
		w.Note("invitation.take-back", i.ID, "")
		w.Changed("invitation", i.ID)
		return in, w.Tx.SetInvitation(i)
	})
}

// InvitationState is what became of an invitation.
type InvitationState string

const (
	InvitationOpen      InvitationState = "open"
	InvitationUsed      InvitationState = "used"
	InvitationExpired   InvitationState = "expired"
	InvitationTakenBack InvitationState = "taken-back" // also when whoever made it is no organiser any more
	InvitationElsewhere InvitationState = "elsewhere"  // whoever made it does not organise all that it would open
)

func stateOf(tx *store.Tx, i store.Invitation, now time.Time) (InvitationState, error) {
	switch {
	case !i.UsedAt.IsZero():
		return InvitationUsed, nil
	case !i.TakenBackAt.IsZero():
		return InvitationTakenBack, nil
	case !i.ExpiresAt.After(now):
		return InvitationExpired, nil
	}
	still, err := stillOrganises(tx, i.SocietyID, i.EventID, i.MadeBy)
	if err != nil || !still {
		return InvitationTakenBack, err
	}
	if i.PersonID.IsZero() {
		return InvitationOpen, nil
	}
	return stateOfKnown(tx, i)
}
