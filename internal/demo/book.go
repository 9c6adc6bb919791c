package demo

import (
	"context"
	"fmt"
	"strconv"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// book is an event while it is played: what stands so far, and the rows to be kept. A command each would take
// seconds; here each moment is asked of the same rules, and the rows are stored together.
type book struct {
	*hall.Look
	p      *player
	event  store.Event
	held   map[string]access.Held // by the key of a person
	teams  map[string]store.Team  // by number
	sites  map[string]foray.ID    // by code
	tables map[string]foray.ID    // by number
	prefer map[string]bool        // keys of the names written so far

	plates    map[foray.Number]*plate
	order     []*plate // as they were logged
	notes     []store.CharacterNote
	slips     []foray.Slip
	places    []store.Placement
	histories []store.NamingHistory
	audits    []store.Audit
	changes   []store.Change
}

// plate is a collection with what was said of it and how often it was moved.
type plate struct {
	hall.Plate
	moved int
}

// play lets an event happen.
func (p *player) play(ctx context.Context, scope access.Scope, e event) error {
	return p.hall.Store.Write(ctx, func(tx *store.Tx) error {
		b, err := p.openBook(tx, scope, e)
		if err != nil {
			return err
		}
		for _, m := range e.moments {
			if err := b.happen(m); err != nil {
				return fmt.Errorf("%s at %s by %s: %w", m.number, m.at.Format(timeForm), m.by, err)
			}
		}
		return b.keep()
	})
}

func (p *player) openBook(tx *store.Tx, scope access.Scope, e event) (*book, error) {
	b := &book{Look: &hall.Look{Tx: tx, Hall: p.hall, Scope: scope}, p: p, held: map[string]access.Held{}, teams: map[string]store.Team{},
		sites: map[string]foray.ID{}, tables: map[string]foray.ID{}, prefer: map[string]bool{}, plates: map[foray.Number]*plate{}}
	for _, one := range p.story.people {
		b.held[one.key] = access.For(p.actor(one.key), scope, one.rights[e.set.Code])
	}
	var err error
	if b.event, err = tx.EventByID(scope.Society, scope.Event); err != nil {
		return nil, err
	}
	return b, b.readGround()
}

func (b *book) readGround() error {
	teams, err := b.Tx.Teams(b.Scope.Society, b.Scope.Event)
	if err != nil {
		return err
	}
	for _, t := range teams {
		b.teams[strconv.Itoa(t.Number)] = t
	}
	sites, err := b.Tx.Sites(b.Scope.Society, b.Scope.Event)
	if err != nil {
		return err
	}
	for _, s := range sites {
		b.sites[s.Code] = s.ID
	}
	tables, err := b.Tx.HallTables(b.Scope.Society, b.Scope.Event)
	for _, t := range tables {
		b.tables[strconv.Itoa(t.Number)] = t.ID
	}
	return err
}

// happen plays one moment.
func (b *book) happen(m moment) error {
	if b.p.person[m.by].IsZero() {
		return fault.Wrong("person", "setup.person-missing")
	}
	b.Now = m.at.UTC()
	number, err := foray.ParseNumber(m.number, b.event.Code)
	if err != nil {
		return err
	}
	if m.logs != nil {
		return b.log(m, number)
	}
	plate, ok := b.plates[number]
	switch {
	case !ok:
		return fault.Missing()
	case m.notes != nil:
		return b.note(m, plate)
	case m.says != nil:
		return b.say(m, plate)
	}
	return b.put(m, plate)
}

// must is an action that the one who acts has to be allowed.
func (b *book) must(by string, actions ...access.Action) error {
	for _, a := range actions {
		if b.held[by].Can(a) {
			return nil
		}
	}
	return hall.NotAllowed(actions[0])
}

// row gives what every row of now needs: a new id and the time.
func (b *book) row() (foray.ID, store.Stamp, error) {
	id, err := b.NewID()
	return id, store.At(b.Now), err
}

// changed writes the audit and the change that the use case would write.
func (b *book) changed(by string, action access.Action, kind string, c foray.ID, detail string) error {
	id, now, err := b.row()
	if err != nil {
		return err
	}
	b.audits = append(b.audits, store.Audit{SocietyID: b.Scope.Society, ID: id, EventID: b.Scope.Event, PersonID: b.p.person[by],
		Action: string(action), Kind: kind, Subject: c, Detail: detail, RecordedAt: now})
	b.changes = append(b.changes, store.Change{SocietyID: b.Scope.Society, EventID: b.Scope.Event, Kind: "collection", Subject: c, RecordedAt: now})
	return nil
}

// keep stores everything, each row after those it refers to.
func (b *book) keep() error {
	collections := make([]store.Collection, 0, len(b.order))
	for _, p := range b.order {
		collections = append(collections, p.Collection)
	}
	for _, store := range []func() error{
		func() error { return b.Tx.AddCollections(collections) },
		func() error { return b.Tx.AddCharacterNotes(b.notes) },
		func() error { return b.Tx.AddSlips(b.Scope.Society, b.Scope.Event, b.slips) },
		func() error { return b.Tx.AddNamingHistories(b.histories) },
		func() error { return b.Tx.AddPlacements(b.places) },
		func() error { return b.Tx.AddAudit(b.audits) },
	} {
		if err := store(); err != nil {
			return err
		}
	}
	_, err := b.Tx.AddChanges(b.Scope.Society, b.Scope.Event, b.changes)
	return err
}

// tidy is a text as a field keeps it.
func tidy(s string) string { return strings.Join(strings.Fields(s), " ") }

// notAfter refuses what would have been picked after it was logged.
func notAfter(picked, now time.Time) error {
	if picked.After(now) {
		return fault.Wrong("picked", "field.picked-later-than-now")
	}
	return nil
}
