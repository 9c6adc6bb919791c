package demo

import (
	"context"
	"fmt"
	"slices"
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
	order     []*plate // those that are to be stored, as they were first touched
	members   map[string]foray.ID
	sheets    map[string][]string // keys of members, by number of the team
	records   map[string]foray.ID // what was seen outside, by the scenario's key
	stale     []string            // numbers of plates that a command wrote to
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
	moved   int
	stored  bool
	version int // as it was stored
}

// play lets an event happen: what happens to plates is stored together, before a command looks at it.
func (p *player) play(ctx context.Context, scope access.Scope, e event) error {
	b := p.newBook(scope, e)
	var plates []moment
	store := func() error {
		if len(plates) == 0 {
			return nil
		}
		err := p.hall.Store.Write(ctx, func(tx *store.Tx) error { return b.write(tx, plates) })
		plates = nil
		return err
	}
	for _, m := range e.moments {
		if m.does == nil {
			plates = append(plates, m)
			continue
		}
		if m.looks {
			if err := store(); err != nil {
				return err
			}
		}
		p.now = m.at.UTC()
		if err := said(m, m.does(ctx, b, m.by)); err != nil {
			return err
		}
	}
	return store()
}

// said names the moment at which something could not be done.
func said(m moment, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("%s at %s by %s: %w", m.number, m.at.Format(timeForm), m.by, err)
}

func (p *player) newBook(scope access.Scope, e event) *book {
	b := &book{Look: &hall.Look{Hall: p.hall, Scope: scope}, p: p, held: map[string]access.Held{}, plates: map[foray.Number]*plate{},
		prefer: map[string]bool{}, members: map[string]foray.ID{}, sheets: map[string][]string{}, records: map[string]foray.ID{}}
	b.event.Code = e.set.Code
	for _, one := range p.story.people {
		b.held[one.key] = access.For(p.actor(one.key), scope, one.rights[e.set.Code])
	}
	return b
}

// write plays moments and stores what came of them.
func (b *book) write(tx *store.Tx, moments []moment) error {
	b.Tx = tx
	if err := b.readGround(); err != nil {
		return err
	}
	if err := b.readStale(); err != nil {
		return err
	}
	for _, m := range moments {
		if err := said(m, b.happen(m)); err != nil {
			return err
		}
	}
	return b.keep()
}

// readStale reads plates anew that a command made or wrote to.
func (b *book) readStale() error {
	for _, written := range b.stale {
		n, err := foray.ParseNumber(written, b.event.Code)
		if err != nil {
			return err
		}
		c, err := b.Tx.CollectionByNumber(b.Scope.Society, b.Scope.Event, n)
		if err != nil {
			return err
		}
		slips, err := b.Tx.Slips(b.Scope.Society, b.Scope.Event, c.ID)
		if err != nil {
			return err
		}
		b.plates[n] = &plate{Plate: hall.Plate{Collection: c, Slips: slips, Standing: foray.Replay(slips)}, stored: true, version: c.Version}
	}
	b.stale = nil
	return nil
}

// readGround reads what plates refer to, once: it was laid before anything happened.
func (b *book) readGround() error {
	if b.teams != nil {
		return nil
	}
	b.teams, b.sites, b.tables = map[string]store.Team{}, map[string]foray.ID{}, map[string]foray.ID{}
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
	b.p.now = b.Now
	number, err := foray.ParseNumber(m.number, b.event.Code)
	if err != nil {
		return err
	}
	if m.logs != nil {
		return b.log(m, number)
	}
	plate, ok := b.plates[number]
	if !ok {
		return fault.Missing()
	}
	if !slices.Contains(b.order, plate) {
		b.order = append(b.order, plate)
	}
	switch {
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

// keep stores what is new, each row after those it refers to.
func (b *book) keep() error {
	fresh := make([]store.Collection, 0, len(b.order))
	for _, p := range b.order {
		if !p.stored {
			fresh = append(fresh, p.Collection)
		}
	}
	for _, store := range []func() error{
		func() error { return b.Tx.AddCollections(fresh) },
		func() error { return b.Tx.AddCharacterNotes(b.notes) },
		func() error { return b.Tx.AddSlips(b.Scope.Society, b.Scope.Event, b.slips) },
		func() error { return b.Tx.AddNamingHistories(b.histories) },
		b.keepPlaces, b.keepStandings,
		func() error { return b.Tx.AddAudit(b.audits) },
	} {
		if err := store(); err != nil {
			return err
		}
	}
	_, err := b.Tx.AddChanges(b.Scope.Society, b.Scope.Event, b.changes)
	for _, p := range b.order {
		p.stored, p.version = true, p.Version
	}
	b.order, b.notes, b.slips, b.places, b.histories, b.audits, b.changes = nil, nil, nil, nil, nil, nil, nil
	return err
}

// keepPlaces stores places; a plate that was stored before is moved.
func (b *book) keepPlaces() error {
	stored := map[foray.ID]bool{}
	for _, p := range b.order {
		stored[p.ID] = p.stored
	}
	var first []store.Placement
	for _, place := range b.places {
		if !stored[place.CollectionID] {
			first = append(first, place)
		} else if err := b.Tx.Place(place); err != nil {
			return err
		}
	}
	return b.Tx.AddPlacements(first)
}

// keepStandings brings plates that were stored before in step with their slips; their history is stored already.
func (b *book) keepStandings() error {
	for _, p := range b.order {
		if !p.stored || p.version == p.Version {
			continue
		}
		was := p.Collection
		was.Version = p.version
		if err := b.Tx.SetStanding(was, p.Naming, p.Disputed, p.Version, store.At(b.Now)); err != nil {
			return err
		}
	}
	return nil
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
