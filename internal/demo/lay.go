package demo

import (
	"context"
	"slices"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/people"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hall/setup"
	"forayhall/internal/store"
)

// organiser is who sets the scenario's events up.
const organiser = "halloway"

// people makes the society, everybody in it and their sign-ins.
func (p *player) people(ctx context.Context) error {
	var err error
	if p.id, err = setup.AddSociety(ctx, p.hall, SocietyCode, societyName); err != nil {
		return err
	}
	if err := p.hall.Store.Write(ctx, p.persons); err != nil {
		return err
	}
	for _, one := range p.story.people {
		if one.login == "" {
			continue
		}
		_, err := p.desk.AddAccount(ctx, people.Account{Society: SocietyCode, Name: one.name, Login: one.login, Password: password})
		if err != nil {
			return err
		}
	}
	return nil
}

// persons makes everybody in one transaction.
func (p *player) persons(tx *store.Tx) error {
	for _, one := range p.story.people {
		id, known := p.person[one.key]
		if !known {
			var err error
			if id, err = p.hall.NewID(); err != nil {
				return err
			}
			p.person[one.key] = id
		}
		if err := tx.AddPerson(store.Person{SocietyID: p.id, ID: id, Name: one.name, Credit: one.credit, Kind: "person", CreatedAt: store.At(p.now)}); err != nil {
			return err
		}
	}
	return nil
}

// actor is a person as who is asking.
func (p *player) actor(key string) access.Actor {
	return access.Actor{Society: p.id, Person: p.person[key]}
}

func (p *player) command() (hall.Command, error) {
	id, err := p.hall.NewID()
	return hall.Command{ID: id}, err
}

// event sets an event up, plays it, and signs its list where it was signed.
func (p *player) event(ctx context.Context, e event) error {
	from, err := time.ParseInLocation(time.DateOnly, e.set.StartsOn, e.zone)
	if err != nil {
		return err
	}
	p.now = from.AddDate(0, 0, -21).Add(19 * time.Hour) // three weeks before, in the evening
	cmd, err := p.command()
	if err != nil {
		return err
	}
	made, err := setup.AddEvent(ctx, p.hall, p.actor(organiser), access.Scope{Society: p.id}, cmd, e.set)
	if err != nil {
		return err
	}
	scope := access.Scope{Society: p.id, Event: made.ID}
	if err := p.ground(ctx, scope, e); err != nil {
		return err
	}
	if err := p.earlierLists(ctx, scope, e.earlier); err != nil {
		return err
	}
	if err := p.poisonContact(ctx, scope, e.contact); err != nil {
		return err
	}
	if err := p.publisher(ctx, scope); err != nil {
		return err
	}
	before, after := e.parted()
	if err := p.play(ctx, scope, before); err != nil {
		return err
	}
	if e.signed.at.IsZero() {
		return nil
	}
	if err := p.publish(ctx, scope, e.signed); err != nil {
		return err
	}
	if err := p.play(ctx, scope, after); err != nil {
		return err
	}
	return p.requestsAfter(ctx, scope, e.requests)
}

// parted is the event until its list was signed, and what came back in the months after.
func (e event) parted() (before, after event) {
	before, after = e, e
	n := len(e.moments)
	if !e.signed.at.IsZero() {
		n = slices.IndexFunc(append(slices.Clone(e.moments), moment{at: e.signed.at.Add(1)}), func(m moment) bool { return m.at.After(e.signed.at) })
	}
	before.moments, after.moments = e.moments[:n], e.moments[n:]
	return before, after
}

// ground lays out what an event needs before anybody comes.
func (p *player) ground(ctx context.Context, scope access.Scope, e event) error {
	if err := lay(ctx, p, scope, e.sites, setup.AddSite); err != nil {
		return err
	}
	p.walks = map[string]foray.ID{}
	for _, w := range e.walks {
		if err := w.laid(ctx, p, scope); err != nil {
			return err
		}
	}
	if err := lay(ctx, p, scope, e.teams, setup.AddTeam); err != nil {
		return err
	}
	if err := lay(ctx, p, scope, e.tables, setup.AddTable); err != nil {
		return err
	}
	var rights []setup.Right
	for _, one := range p.story.people {
		for _, right := range one.rights[e.set.Code] {
			rights = append(rights, setup.Right{Person: p.person[one.key], Right: right})
		}
	}
	return lay(ctx, p, scope, rights, setup.GiveRight)
}

// lay is commands of the organiser's.
func lay[In any](ctx context.Context, p *player, scope access.Scope, all []In,
	use func(context.Context, *hall.Hall, access.Actor, access.Scope, hall.Command, In) (setup.Made, error)) error {
	for _, in := range all {
		if _, err := do(ctx, p, organiser, scope, in, use); err != nil {
			return err
		}
	}
	return nil
}

func (p *player) poisonContact(ctx context.Context, scope access.Scope, c contact) error {
	p.now = c.typed
	cmd, err := p.command()
	if err != nil {
		return err
	}
	typed, err := safety.TypeContact(ctx, p.hall, p.actor(c.by), scope, cmd, safety.Contact{Name: c.name, Phone: c.phone})
	if err != nil {
		return err
	}
	p.now = c.tested
	if cmd, err = p.command(); err != nil {
		return err
	}
	_, err = safety.TestContact(ctx, p.hall, p.actor(c.by), scope, cmd, typed)
	return err
}

// publish signs version 1 and closes the event.
func (p *player) publish(ctx context.Context, scope access.Scope, s signing) error {
	p.now = s.at
	cmd, err := p.command()
	if err != nil {
		return err
	}
	running, err := list.See(ctx, p.hall, p.actor(s.by), scope)
	if err != nil {
		return err
	}
	if _, err := list.Publish(ctx, p.hall, p.actor(s.by), scope, cmd, list.Sign{Remarks: s.remarks, Seq: running.Seq}); err != nil {
		return err
	}
	return p.hall.Store.Write(ctx, func(tx *store.Tx) error { return tx.SetEventState(running.Event, "closed") })
}
