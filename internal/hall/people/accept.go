package people

import (
	"context"
	"regexp"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// Opened is an invitation as whoever opens its link sees it.
type Opened struct {
	State     InvitationState
	Society   store.Society
	Event     store.Event // zero: to the society
	By        string
	Name      string // of whom it is for
	Rights    []access.Right
	ExpiresAt time.Time

	row store.Invitation
}

// Chosen is how somebody who was invited will sign in.
type Chosen struct {
	Login    string
	Password string
}

// OpenInvitation reads an invitation by the society of its address and its secret.
func (d *Desk) OpenInvitation(ctx context.Context, society, secret string) (Opened, error) {
	var o Opened
	err := d.Hall.Store.Read(ctx, func(tx *store.Tx) (err error) {
		if o.row, err = tx.InvitationByHash(hashOf(secret)); err != nil {
			return err
		}
		if o.Society, err = tx.SocietyByID(o.row.SocietyID); err != nil {
			return err
		}
		if o.Society.Code != strings.ToLower(society) {
			return fault.Missing()
		}
		if !o.row.EventID.IsZero() {
			if o.Event, err = tx.EventByID(o.row.SocietyID, o.row.EventID); err != nil {
				return err
			}
		}
		o.Name, o.Rights, o.ExpiresAt = o.row.Name, rights(o.row.Rights), o.row.ExpiresAt.Time
		if err := o.people(tx); err != nil {
			return err
		}
		o.State, err = stateOf(tx, o.row, d.Hall.Now())
		return err
	})
	return o, err
}

func (o *Opened) people(tx *store.Tx) error {
	by, err := tx.PersonByID(o.row.SocietyID, o.row.MadeBy)
	if err != nil {
		return err
	}
	o.By = by.Name
	if o.row.PersonID.IsZero() {
		return nil
	}
	person, err := tx.PersonByID(o.row.SocietyID, o.row.PersonID)
	o.Name = person.Name
	return err
}

// Refusal is why a link opens nothing any more.
func (o Opened) Refusal() message.Text { return message.T("people.invitation-" + string(o.State)) }

// loginForm is what a chosen sign-in name may be; the colon is kept for accounts that a pass makes.
var loginForm = regexp.MustCompile(`^[\pL\pN][\pL\pN._@+-]{1,99}$`)

// Accept makes the sign-in that an invitation offers, gives its rights and signs in. Sent again with the same name
// and password it signs in again; two people at once get one account.
func (d *Desk) Accept(ctx context.Context, society, secret string, cmd hall.Command, in Chosen) (string, time.Time, error) {
	o, err := d.OpenInvitation(ctx, society, secret)
	if err != nil {
		return "", time.Time{}, err
	}
	if o.State == InvitationOpen {
		account, err := d.accept(ctx, o, cmd, in)
		if !fault.Is(err, fault.Refused) {
			if err != nil {
				return "", time.Time{}, err
			}
			return d.begin(ctx, account, "browser", "", nil, SessionLength)
		}
		if o, err = d.OpenInvitation(ctx, society, secret); err != nil { // somebody was faster
			return "", time.Time{}, err
		}
	}
	if o.State == InvitationUsed {
		if account, known, err := d.account(ctx, strings.TrimSpace(in.Login)); err == nil && known && account.PersonID == o.row.UsedBy {
			return d.SignIn(ctx, in.Login, in.Password)
		}
	}
	return "", time.Time{}, &fault.Error{Kind: fault.Refused, Text: o.Refusal()}
}

// acceptance is what the command log keeps of an accepted invitation: never the password.
type acceptance struct {
	Invitation foray.ID `json:"invitation"`
	Login      string   `json:"login"`
}

func (d *Desk) accept(ctx context.Context, o Opened, cmd hall.Command, in Chosen) (store.Account, error) {
	login := strings.ToLower(strings.TrimSpace(in.Login))
	if !loginForm.MatchString(login) {
		return store.Account{}, fault.Wrong("login", "people.login-form")
	}
	hash, err := hashPassword(in.Password, d.Cost, d.Hall.Random)
	if err != nil {
		return store.Account{}, err
	}
	cmd.Type, cmd.Body = "invitation.use.v1", acceptance{o.row.ID, login}
	scope := access.Scope{Society: o.row.SocietyID, Event: o.row.EventID}
	// Nobody acts: the secret is what allows it. From then on it is the person who was invited.
	return hall.Do(ctx, d.Hall, access.Nobody, access.ReadPublic, scope, cmd, func(w *hall.Write) (store.Account, error) {
		i, err := w.Tx.LockInvitation(o.row.SecretSha256)
		if err != nil {
			return store.Account{}, err
		}
		state, err := stateOf(w.Tx, i, w.Now)
		if err != nil {
			return store.Account{}, err
		}
		if state != InvitationOpen {
			return store.Account{}, fault.New(fault.Refused, "people.invitation-"+string(state))
		}
		account, err := signInFor(w, i, login, hash)
		if err != nil {
			return store.Account{}, err
		}
		w.Actor = access.Actor{Society: i.SocietyID, Person: account.PersonID, Account: account.ID}
		w.Note("invitation.use", i.ID, i.Rights)
		if err := giveInvited(w, i, account.PersonID); err != nil {
			return store.Account{}, err
		}
		i.UsedAt, i.UsedBy = w.Stamp(), account.PersonID
		// The command log keeps the answer, and the hash has no place there.
		return store.Account{SocietyID: account.SocietyID, ID: account.ID, PersonID: account.PersonID}, w.Tx.SetInvitation(i)
	})
}

// signInFor makes the account, and the person where they are new; one that came in by a pass gets a password.
func signInFor(w *hall.Write, i store.Invitation, login, hash string) (store.Account, error) {
	a := store.Account{SocietyID: i.SocietyID, PersonID: i.PersonID, Login: login, PasswordHash: hash, CreatedAt: w.Stamp()}
	var err error
	if a.PersonID.IsZero() {
		if a.PersonID, err = addPerson(w, i.Name); err != nil {
			return a, err
		}
	} else if old, err := w.Tx.AccountOf(i.SocietyID, i.PersonID); err == nil {
		if _, err := w.Tx.AccountByLogin(login); err == nil {
			return a, fault.Wrong("login", "people.login-taken", "login", login)
		} else if !fault.Is(err, fault.NotFound) {
			return a, err
		}
		return old, w.Tx.SetSignIn(old, login, hash)
	} else if !fault.Is(err, fault.NotFound) {
		return a, err
	}
	if a.ID, err = w.NewID(); err != nil {
		return a, err
	}
	return a, w.Tx.AddAccount(a)
}

func addPerson(w *hall.Write, name string) (foray.ID, error) {
	id, err := w.NewID()
	if err != nil {
		return id, err
	}
	return id, w.Tx.AddPerson(store.Person{SocietyID: w.Scope.Society, ID: id, Name: name, Credit: "full", Kind: "person", CreatedAt: w.Stamp()})
}

func giveInvited(w *hall.Write, i store.Invitation, person foray.ID) error {
	for _, r := range rights(i.Rights) {
		w.Note("right.give", person, string(r))
		w.Changed("right", person)
		if err := w.Tx.GiveRight(store.EventRight{SocietyID: i.SocietyID, EventID: i.EventID, PersonID: person, Held: r, GivenBy: i.MadeBy,
			GivenAt: w.Stamp()}); err != nil {
			return err
		}
	}
	return nil
}
