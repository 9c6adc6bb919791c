package people

import (
	"context"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/store"
)

// Account is a sign-in to be made for somebody of a society.
type Account struct {
	Society  string // its code
	Name     string // the person's, as credited
	Login    string
	Password string
}

// AddAccount makes a person, where there is none of that name without a sign-in, and the sign-in. It is for whoever
// administers the machine.
func (d *Desk) AddAccount(ctx context.Context, in Account) (foray.ID, error) {
	login := strings.ToLower(strings.TrimSpace(in.Login))
	name := strings.Join(strings.Fields(in.Name), " ")
	if login == "" || name == "" || len(login) > 200 || len(name) > 200 {
		return foray.ID{}, fault.Wrong("login", "people.login-and-name-needed")
	}
	hash, err := hashPassword(in.Password, d.Cost, d.Hall.Random)
	if err != nil {
		return foray.ID{}, err
	}
	var person foray.ID
	err = d.Hall.Store.Write(ctx, func(tx *store.Tx) error {
		society, err := tx.SocietyByCode(in.Society)
		if err != nil {
			return err
		}
		if person, err = d.personWithoutAccount(tx, society.ID, name); err != nil {
			return err
		}
		id, err := d.Hall.NewID()
		if err != nil {
			return err
		}
		return tx.AddAccount(store.Account{SocietyID: society.ID, ID: id, PersonID: person, Login: login, PasswordHash: hash,
			CreatedAt: store.At(d.Hall.Now())})
	})
	return person, err
}

func (d *Desk) personWithoutAccount(tx *store.Tx, society foray.ID, name string) (foray.ID, error) {
	persons, err := tx.Persons(society)
	if err != nil {
		return foray.ID{}, err
	}
	for _, p := range persons {
		if p.Name != name {
			continue
		}
		has, err := tx.HasAccount(society, p.ID)
		if err != nil {
			return foray.ID{}, err
		}
		if !has {
			return p.ID, nil
		}
	}
	id, err := d.Hall.NewID()
	if err != nil {
		return foray.ID{}, err
	}
	return id, tx.AddPerson(store.Person{SocietyID: society, ID: id, Name: name, Credit: "full", Kind: "person", CreatedAt: store.At(d.Hall.Now())})
}

// SetPassword changes a login's password and ends all its sessions.
func (d *Desk) SetPassword(ctx context.Context, login, password string) error {
	hash, err := hashPassword(password, d.Cost, d.Hall.Random)
	if err != nil {
		return err
	}
	return d.Hall.Store.Write(ctx, func(tx *store.Tx) error {
		account, err := tx.AccountByLogin(login)
		if fault.Is(err, fault.NotFound) {
			return fault.Wrong("login", "people.no-such-login", "login", login)
		}
		if err != nil {
			return err
		}
		return tx.SetPassword(account, hash, d.Hall.Now())
	})
}

// Installation is the actor behind a command on the machine: whoever can reach the database may do anything to it, and
// the audit says that it was the machine.
func (d *Desk) Installation(ctx context.Context, society foray.ID) (access.Actor, error) {
	actor := access.Actor{Society: society, Installation: true}
	var err error
	actor.Person, err = d.Hall.Machine(ctx, society)
	return actor, err
}
