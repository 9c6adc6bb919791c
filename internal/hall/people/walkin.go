package people

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// entriesMost is how often the form of one pass is taken within the window of the sign-in limits: a whole shift may
// scan it at once, a script may not fill the society with people.
const entriesMost = 30

// PassOpened is a pass as whoever scans it sees it.
type PassOpened struct {
	Right  access.Right
	Label  string
	Closed message.Text // why nobody comes in by it any more; zero: they do

	row store.HallPass
}

// OpenPass reads a pass by its event and its secret.
func (d *Desk) OpenPass(ctx context.Context, scope access.Scope, secret string) (PassOpened, error) {
	var o PassOpened
	err := d.Hall.Store.Read(ctx, func(tx *store.Tx) (err error) {
		if o.row, err = tx.HallPassByHash(hashOf(secret)); err != nil {
			return err
		}
		if o.row.SocietyID != scope.Society || o.row.EventID != scope.Event {
			return fault.Missing()
		}
		o.Right, o.Label = access.Right(o.row.Held), o.row.Label
		o.Closed, err = closedPass(tx, o.row)
		return err
	})
	return o, err
}

// closedPass says why nobody comes in by a pass any more.
func closedPass(tx *store.Tx, p store.HallPass) (message.Text, error) {
	event, err := tx.EventByID(p.SocietyID, p.EventID)
	if err != nil {
		return message.Text{}, err
	}
	still, err := stillOrganises(tx, p.SocietyID, p.EventID, p.MadeBy)
	if err != nil {
		return message.Text{}, err
	}
	uses, err := tx.UsesOfPass(p)
	switch {
	case err != nil:
		return message.Text{}, err
	case event.State != "open":
		return message.T("people.hall-closed"), nil
	case !p.ClosedAt.IsZero(), !still:
		return message.T("people.pass-ended"), nil
	case len(uses) >= p.MostUses:
		return message.T("people.pass-full"), nil
	}
	return message.Text{}, nil
}

// errEntered means that the same form came a second time.
var errEntered = errors.New("came in by this form before")

// EnterByPass brings somebody in under the name they type: a person and an account that nobody can sign in to
// otherwise, with the pass's one right, until the hall closes or the pass is ended. The same form sent again brings
// the same person in.
func (d *Desk) EnterByPass(ctx context.Context, scope access.Scope, secret string, cmd hall.Command, name string) (string, time.Time, error) {
	o, err := d.OpenPass(ctx, scope, secret)
	if err != nil {
		return "", time.Time{}, err
	}
	if err := d.countEntry(ctx, o.row); err != nil {
		return "", time.Time{}, err
	}
	login := passLogin(o.row.ID, cmd.ID)
	account, err := d.enter(ctx, o.row, cmd, login, strings.Join(strings.Fields(name), " "))
	if errors.Is(err, errEntered) {
		account, err = d.enteredBefore(ctx, login)
	}
	if err != nil {
		return "", time.Time{}, err
	}
	stays := func(tx *store.Tx) error { return stillIn(tx, o.row, account) }
	return d.beginWhile(ctx, account, "browser", o.Label, []access.Right{o.Right}, SessionLength, stays)
}

// passLogin names an account by the form it was made with: only whoever sent that form has the command's id.
func passLogin(pass, command foray.ID) string {
	sum := sha256.Sum256([]byte(pass.String() + command.String()))
	return "pass:" + hex.EncodeToString(sum[:16])
}

// countEntry is the sign-in limit of a pass, for it has no sign-in name.
func (d *Desk) countEntry(ctx context.Context, p store.HallPass) error {
	return d.Hall.Store.Write(ctx, func(tx *store.Tx) error {
		now := store.At(d.Hall.Now())
		limit, err := tx.LockLimit("pass:" + p.ID.String())
		if err != nil {
			return err
		}
		if limit.ClosedUntil.After(now.Time) {
			return fault.New(fault.TooMany, "people.pass-busy", "minutes", int(limit.ClosedUntil.Sub(now.Time).Minutes())+1)
		}
		if limit.Failures == 0 || now.Sub(limit.FirstAt.Time) > failureWindow {
			limit.Failures, limit.FirstAt = 0, now
		}
		if limit.Failures++; limit.Failures >= entriesMost {
			limit.Failures, limit.ClosedUntil = 0, store.At(now.Add(closedFor))
		}
		return tx.SetLimit(limit)
	})
}

// entry is what the command log keeps.
type entry struct {
	Pass foray.ID `json:"pass"`
	Name string   `json:"name"`
}

func (d *Desk) enter(ctx context.Context, p store.HallPass, cmd hall.Command, login, name string) (store.Account, error) {
	cmd.Type, cmd.Body = "pass.use.v1", entry{p.ID, name}
	// Nobody acts: the secret is what allows it. From then on it is the person who came in.
	return hall.Do(ctx, d.Hall, access.Nobody, access.ReadPublic, access.Scope{Society: p.SocietyID, Event: p.EventID}, cmd,
		func(w *hall.Write) (store.Account, error) {
			// Before anything is read: whoever closes the hall meets everybody who is in, or nobody comes in after.
			if _, err := w.Tx.LockEvent(p.SocietyID, p.EventID); err != nil {
				return store.Account{}, err
			}
			if _, err := w.Tx.LockHallPass(p.SecretSha256); err != nil {
				return store.Account{}, err
			}
			if _, err := w.Tx.AccountByLogin(login); err == nil {
				return store.Account{}, errEntered
			} else if !fault.Is(err, fault.NotFound) {
				return store.Account{}, err
			}
			if err := mayEnter(w, p, name); err != nil {
				return store.Account{}, err
			}
			return bringIn(w, p, login, name)
		})
}

// mayEnter refuses a name that the society knows: nobody becomes somebody by typing their name.
func mayEnter(w *hall.Write, p store.HallPass, name string) error {
	p, err := w.Tx.LockHallPass(p.SecretSha256)
	if err != nil {
		return err
	}
	if closed, err := closedPass(w.Tx, p); err != nil || !closed.IsZero() {
		return errors.Join(err, refusal(closed))
	}
	if err := mayBeCalled(name); err != nil {
		return err
	}
	persons, err := w.Tx.Persons(w.Scope.Society)
	for _, other := range persons {
		if taxon.Fold(other.Name) == taxon.Fold(name) {
			return fault.Wrong("name", "people.name-known", "name", name)
		}
	}
	return err
}

func refusal(t message.Text) error {
	if t.IsZero() {
		return nil
	}
	return &fault.Error{Kind: fault.Refused, Text: t}
}

func bringIn(w *hall.Write, p store.HallPass, login, name string) (store.Account, error) {
	person, err := addPerson(w, name)
	if err != nil {
		return store.Account{}, err
	}
	a := store.Account{SocietyID: p.SocietyID, PersonID: person, Login: login, PasswordHash: store.NoPassword, CreatedAt: w.Stamp()}
	if a.ID, err = w.NewID(); err != nil {
		return a, err
	}
	w.Actor = access.Actor{Society: p.SocietyID, Person: person, Account: a.ID}
	w.Note("pass.use", p.ID, p.Held+": "+p.Label)
	w.Note("right.give", person, p.Held)
	w.Changed("right", person)
	return store.Account{SocietyID: a.SocietyID, ID: a.ID, PersonID: person}, errors.Join(w.Tx.AddAccount(a),
		w.Tx.GiveRight(store.EventRight{SocietyID: p.SocietyID, EventID: p.EventID, PersonID: person, Held: access.Right(p.Held), GivenBy: p.MadeBy, GivenAt: w.Stamp()}),
		w.Tx.AddPassUse(store.PassUse{SocietyID: p.SocietyID, EventID: p.EventID, PassID: p.ID, PersonID: person, AccountID: a.ID, UsedAt: w.Stamp()}))
}

// enteredBefore finds whom a form brought in.
func (d *Desk) enteredBefore(ctx context.Context, login string) (account store.Account, err error) {
	err = d.Hall.Store.Read(ctx, func(tx *store.Tx) error {
		account, err = tx.AccountByLogin(login)
		return err
	})
	return account, err
}

// stillIn refuses whose stay by a pass has ended, if only a moment ago: the event is locked, so that no session begins
// behind the back of whoever closes the hall.
func stillIn(tx *store.Tx, p store.HallPass, account store.Account) error {
	if _, err := tx.LockEvent(p.SocietyID, p.EventID); err != nil {
		return err
	}
	uses, err := tx.UsesOfPass(p)
	for _, u := range uses {
		if u.AccountID == account.ID && !u.EndedAt.IsZero() {
			return fault.New(fault.Refused, "people.pass-ended")
		}
	}
	return err
}
