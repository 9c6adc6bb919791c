// Package people is who is who: signing in and out, sessions, accounts and the people of a society. Rights are not
// kept in a session or a token; they are read where they are needed.
package people

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"time"

	"github.com/golang-jwt/jwt/v5"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// SessionLength is how long a browser stays signed in: a weekend and the evening before.
const SessionLength = 72 * time.Hour

// Sign-in limits: after so many failures within the window a login is closed for a while. They count per account,
// since a whole hall may share one address.
const (
	failuresMost  = 8
	failureWindow = 15 * time.Minute
	closedFor     = 15 * time.Minute
)

// Desk is where people are known. It signs session tokens; the first key signs, all of them verify.
type Desk struct {
	Hall *hall.Hall
	Keys []Key
	Cost Cost

	mu    sync.Mutex
	dummy string // a hash to compare with where there is no account, so that both take as long
}

// Key is a secret for signing tokens.
type Key struct {
	ID     string
	Secret []byte // at least 32 bytes
}

// claims is what a token carries: which session, never a right.
type claims struct {
	SID string `json:"sid"`
	jwt.RegisteredClaims
}

var errToken = errors.New("not a token of this installation")

// SignIn checks a login and password and begins a browser session. The same answer, after the same work, is given
// for an unknown login and a wrong password.
func (d *Desk) SignIn(ctx context.Context, login, password string) (token string, expires time.Time, err error) {
	return d.SignInOn(ctx, login, password, "")
}

// SignInOn is SignIn that remembers what kind of device it was on, for the list of where somebody is signed in.
func (d *Desk) SignInOn(ctx context.Context, login, password, device string) (token string, expires time.Time, err error) {
	login = strings.ToLower(strings.TrimSpace(login))
	if len(login) > 200 || len(password) > maxPassword {
		return "", time.Time{}, fault.New(fault.Refused, "people.sign-in-failed")
	}
	if err := d.openFor(ctx, login); err != nil {
		return "", time.Time{}, err
	}
	account, known, err := d.account(ctx, login)
	if err != nil {
		return "", time.Time{}, err
	}
	good := checkPassword(password, account.PasswordHash) && known && account.DisabledAt.IsZero()
	if err := d.count(ctx, login, good); err != nil {
		return "", time.Time{}, err
	}
	if !good {
		return "", time.Time{}, fault.New(fault.Refused, "people.sign-in-failed")
	}
	return d.begin(ctx, account, "browser", device, nil, SessionLength)
}

func (d *Desk) account(ctx context.Context, login string) (account store.Account, known bool, err error) {
	err = d.Hall.Store.Read(ctx, func(tx *store.Tx) error {
		account, err = tx.AccountByLogin(login)
		return err
	})
	if fault.Is(err, fault.NotFound) {
		account.PasswordHash, err = d.dummyHash()
		return account, false, err
	}
	return account, err == nil, err
}

func (d *Desk) dummyHash() (string, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.dummy != "" {
		return d.dummy, nil
	}
	var err error
	d.dummy, err = hashPassword("nobody has this one", d.Cost, d.Hall.Random)
	return d.dummy, err
}

// openFor refuses a login that is closed after too many failures.
func (d *Desk) openFor(ctx context.Context, login string) error {
	var limit store.SignInLimit
	err := d.Hall.Store.Read(ctx, func(tx *store.Tx) (err error) {
		limit, err = tx.SignInLimitOf(login)
		return err
	})
	if err != nil {
		return err
	}
	return closed(limit, d.Hall.Now())
}

func closed(limit store.SignInLimit, now time.Time) error {
	if limit.ClosedUntil.After(now) {
		return fault.New(fault.TooMany, "people.sign-in-closed", "minutes", int(limit.ClosedUntil.Sub(now).Minutes())+1)
	}
	return nil
}

// count remembers a failure, or forgets them all after a success.
func (d *Desk) count(ctx context.Context, login string, good bool) error {
	return d.Hall.Store.Write(ctx, func(tx *store.Tx) error {
		now := store.At(d.Hall.Now())
		limit, err := tx.LockLimit(login)
		if err != nil {
			return err
		}
		if err := closed(limit, now.Time); err != nil { // by attempts made at the same time
			return err
		}
		switch {
		case good && limit.Failures == 0:
			return nil
		case good:
			limit.Failures, limit.FirstAt, limit.ClosedUntil = 0, now, store.Stamp{}
		case limit.Failures == 0 || now.Sub(limit.FirstAt.Time) > failureWindow:
			limit.Failures, limit.FirstAt = 1, now
		default:
			limit.Failures++
		}
		if limit.Failures >= failuresMost {
			limit.Failures, limit.ClosedUntil = 0, store.At(now.Add(closedFor))
		}
		return tx.SetLimit(limit)
	})
}

func (d *Desk) begin(ctx context.Context, account store.Account, kind, label string, only []access.Right, length time.Duration) (string, time.Time, error) {
	return d.beginWhile(ctx, account, kind, label, only, length, func(*store.Tx) error { return nil })
}

// beginWhile begins a session unless may refuses it, in one transaction.
func (d *Desk) beginWhile(ctx context.Context, account store.Account, kind, label string, only []access.Right, length time.Duration,
	may func(*store.Tx) error) (string, time.Time, error) {
	now := store.At(d.Hall.Now())
	id, err := d.Hall.NewID()
	if err != nil {
		return "", time.Time{}, err
	}
	words := make([]string, len(only))
	for i, r := range only {
		words[i] = string(r)
	}
	s := store.Session{SocietyID: account.SocietyID, ID: id, AccountID: account.ID, Kind: kind, Label: label,
		OnlyRights: strings.Join(words, ","), CreatedAt: now, ExpiresAt: store.At(now.Add(length))}
	if err := d.Hall.Store.Write(ctx, func(tx *store.Tx) error {
		if err := may(tx); err != nil {
			return err
		}
		return tx.AddSession(s)
	}); err != nil {
		return "", time.Time{}, err
	}
	token, err := d.sign(s)
	return token, s.ExpiresAt.Time, err
}

func (d *Desk) sign(s store.Session) (string, error) {
	t := jwt.NewWithClaims(jwt.SigningMethodHS256, claims{SID: s.ID.String(), RegisteredClaims: jwt.RegisteredClaims{
		IssuedAt: jwt.NewNumericDate(s.CreatedAt.Time), ExpiresAt: jwt.NewNumericDate(s.ExpiresAt.Time)}})
	t.Header["kid"] = d.Keys[0].ID
	signed, err := t.SignedString(d.Keys[0].Secret)
	if err != nil {
		return "", fmt.Errorf("sign a token: %w", err)
	}
	return signed, nil
}

// Who reads a token and its session. A token that is not good makes nobody, not an error: public pages stay open to
// whoever was signed out. kind is the session's: a bearer token is not a browser's and the other way round.
func (d *Desk) Who(ctx context.Context, token, kind string) (access.Actor, store.Person, error) {
	sid, err := d.verify(token)
	if err != nil {
		return access.Nobody, store.Person{}, nil
	}
	var actor access.Actor
	var person store.Person
	err = d.Hall.Store.Read(ctx, func(tx *store.Tx) error {
		s, err := tx.SessionByID(sid)
		if err != nil {
			return err
		}
		if s.Kind != kind || !s.RevokedAt.IsZero() || !s.ExpiresAt.After(d.Hall.Now()) {
			return fault.Missing()
		}
		account, err := tx.AccountByID(s.SocietyID, s.AccountID)
		if err != nil {
			return err
		}
		if !account.DisabledAt.IsZero() {
			return fault.Missing()
		}
		actor = access.Actor{Society: s.SocietyID, Person: account.PersonID, Account: account.ID, Session: s.ID, Only: rights(s.OnlyRights)}
		person, err = tx.PersonByID(s.SocietyID, account.PersonID)
		return err
	})
	if fault.Is(err, fault.NotFound) {
		return access.Nobody, store.Person{}, nil
	}
	return actor, person, err
}

func rights(words string) []access.Right {
	if words == "" {
		return nil
	}
	var only []access.Right
	for _, w := range strings.Split(words, ",") {
		only = append(only, access.Right(w))
	}
	return only
}

func (d *Desk) verify(token string) (foray.ID, error) {
	if token == "" {
		return foray.ID{}, errToken
	}
	var c claims
	_, err := jwt.ParseWithClaims(token, &c, func(t *jwt.Token) (any, error) {
		for _, k := range d.Keys {
			if t.Header["kid"] == k.ID {
				return k.Secret, nil
			}
		}
		return nil, errToken
	}, jwt.WithValidMethods([]string{"HS256"}), jwt.WithTimeFunc(d.Hall.Now), jwt.WithExpirationRequired())
	if err != nil {
		return foray.ID{}, err
	}
	return foray.ParseID(c.SID)
}

// SignOut ends the actor's session at once, here and in every other instance.
func (d *Desk) SignOut(ctx context.Context, actor access.Actor) error {
	if !actor.SignedIn() {
		return nil
	}
	return d.Hall.Store.Write(ctx, func(tx *store.Tx) error {
		return tx.EndSession(actor.Society, actor.Session, d.Hall.Now())
	})
}

// Token begins a bearer token for a login, for so long, limited to some rights where only is not empty.
func (d *Desk) Token(ctx context.Context, login, label string, only []access.Right, length time.Duration) (string, error) {
	account, known, err := d.account(ctx, strings.ToLower(login))
	if err != nil {
		return "", err
	}
	if !known {
		return "", fault.Wrong("login", "people.no-such-login", "login", login)
	}
	token, _, err := d.begin(ctx, account, "token", label, only, length)
	return token, err
}
