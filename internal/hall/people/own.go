package people

import (
	"context"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Passwords is a change of the actor's password.
type Passwords struct {
	Old string
	New string
}

// ChangePassword sets a new password where the old one is right, and ends every other session of the account. Wrong
// old passwords count like failed sign-ins.
func (d *Desk) ChangePassword(ctx context.Context, actor access.Actor, cmd hall.Command, in Passwords) error {
	account, err := d.ownAccount(ctx, actor)
	if err != nil {
		return err
	}
	if err := d.openFor(ctx, account.Login); err != nil {
		return err
	}
	good := len(in.Old) <= maxPassword && checkPassword(in.Old, account.PasswordHash)
	if !good && checkPassword(in.New, account.PasswordHash) {
		return nil // the same form came twice
	}
	if err := d.count(ctx, account.Login, good); err != nil {
		return err
	}
	if !good {
		return fault.Wrong("old", "people.old-password-wrong")
	}
	hash, err := hashPassword(in.New, d.Cost, d.Hall.Random)
	if err != nil {
		return err
	}
	cmd.Type, cmd.Body = "password.change.v1", Nothing{} // the command log must not hold a password
	_, _, err = doOwn(ctx, d.Hall, actor, cmd, func(w *hall.Write) (Nothing, error) {
		a, err := w.Tx.LockAccount(account.SocietyID, account.ID)
		if err != nil {
			return Nothing{}, err
		}
		if a.PasswordHash != account.PasswordHash { // changed by somebody at the same time
			return Nothing{}, fault.Wrong("old", "people.old-password-wrong")
		}
		w.Note("password.change", w.Actor.Person, "")
		return Nothing{}, w.Tx.ChangePassword(a, hash, actor.Session, w.Now)
	})
	return err
}

// ownAccount is the account of somebody who signs in by a password.
func (d *Desk) ownAccount(ctx context.Context, actor access.Actor) (account store.Account, err error) {
	if actor, err = self(ctx, d.Hall, actor); err != nil {
		return account, err
	}
	err = d.Hall.Store.Read(ctx, func(tx *store.Tx) error {
		if account, err = tx.AccountOf(actor.Society, actor.Person); err != nil {
			return err
		}
		if account.PasswordHash == store.NoPassword {
			return fault.New(fault.Refused, "people.by-pass")
		}
		return nil
	})
	return account, err
}

// mostTokenDays is a year: a script that is forgotten must end some day.
const mostTokenDays = 366

// NewToken is a bearer token to be made for a program of the actor's own.
type NewToken struct {
	Label  string         `json:"label"`
	Rights []access.Right `json:"rights"` // what it may use of the rights that its owner has
	Days   int            `json:"days"`
}

// MakeToken makes a token with some of the actor's rights and an end; it is in the first answer only. Tokens are made
// by a person at a page and not over the API: one that got into wrong hands must not breed others.
func (d *Desk) MakeToken(ctx context.Context, actor access.Actor, cmd hall.Command, in NewToken) (string, time.Time, error) {
	account, err := d.ownAccount(ctx, actor)
	if err != nil {
		return "", time.Time{}, err
	}
	cmd.Type, cmd.Body = "token.make.v1", in
	id, already, err := doOwn(ctx, d.Hall, actor, cmd, func(w *hall.Write) (foray.ID, error) {
		s, err := newToken(w, account, in)
		if err != nil {
			return s.ID, err
		}
		w.Note("token.make", w.Actor.Person, s.Label+": "+s.OnlyRights)
		return s.ID, w.Tx.AddSession(s)
	})
	if err != nil || already {
		return "", time.Time{}, err
	}
	var s store.Session
	err = d.Hall.Store.Read(ctx, func(tx *store.Tx) error {
		s, err = tx.SessionByID(id)
		return err
	})
	if err != nil {
		return "", time.Time{}, err
	}
	token, err := d.sign(s)
	return token, s.ExpiresAt.Time, err
}

// TokenRights are the rights that a token may be limited to.
var TokenRights = access.Rights[1:]

func newToken(w *hall.Write, account store.Account, in NewToken) (store.Session, error) {
	label := strings.Join(strings.Fields(in.Label), " ")
	words, err := rightWords(in.Rights, TokenRights)
	switch {
	case err != nil:
		return store.Session{}, err
	case label == "" || len(label) > 200:
		return store.Session{}, fault.Wrong("label", "people.token-label", "most", 200)
	case words == "":
		return store.Session{}, fault.Wrong("rights", "people.token-rights")
	case in.Days < 1 || in.Days > mostTokenDays:
		return store.Session{}, fault.Wrong("days", "people.token-days", "most", mostTokenDays)
	}
	id, err := w.NewID()
	return store.Session{SocietyID: account.SocietyID, ID: id, AccountID: account.ID, Kind: "token", Label: label, OnlyRights: words,
		CreatedAt: w.Stamp(), ExpiresAt: store.At(w.Now.AddDate(0, 0, in.Days))}, err
}
