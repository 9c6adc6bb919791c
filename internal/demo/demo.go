// Package demo plays the demo's scenario into an empty installation: the invented Hollinbeck Fungus Society with last
// year's foray, published, and this year's in full swing. What is played goes through the same rules as what people
// do, at the scenario's own times and with seeded randomness, so that it is the same every time. It must never touch
// an installation that has anything in it.
package demo

import (
	"context"
	"fmt"
	"math/rand/v2"
	"time"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/people"
	"forayhall/internal/store"
)

// Present is when the demo is: Saturday 24 October 2026, 15:40 in British summer time, which ends that night.
var Present = time.Date(2026, 10, 24, 14, 40, 0, 0, time.UTC)

// SocietyCode is the demo society's.
const SocietyCode = "hollinbeck"

// societyName is invented.
const societyName = "Hollinbeck Fungus Society"

// password is everybody's. It is printed at start: the demo holds nothing that is anybody's.
const password = "hollinbeck-2026"

// founded is when the scenario's society was entered.
var founded = time.Date(2025, 9, 6, 18, 0, 0, 0, time.UTC)

// seedOfIDs makes every id of the scenario.
var seedOfIDs = [32]byte([]byte("Hollinbeck Fungus Society, HB26."))

// NewClock makes a clock that stands at Present when it is made and runs on with the real one.
func NewClock(realNow func() time.Time) func() time.Time {
	began := realNow()
	return func() time.Time { return Present.Add(realNow().Sub(began)) }
}

// Sign is a sign-in of the demo.
type Sign struct {
	Login    string
	Password string
	Role     string // what the person does, in words
	Name     string
}

// Signs is one sign-in a role, and several identifiers.
type Signs []Sign

// SignIns lists the demo's sign-ins, as Fill makes them.
func SignIns() (Signs, error) {
	s, err := readScenario()
	if err != nil {
		return nil, err
	}
	return s.signs(), nil
}

// player is a fill under way.
type player struct {
	hall   *hall.Hall
	desk   *people.Desk
	story  scenario
	now    time.Time
	id     foray.ID            // of the society
	person map[string]foray.ID // by the scenario's key
	walks  map[string]foray.ID // of the event that is played, by number

	licensed bool // the society said on which terms its records go out
}

// Fill plays the scenario into an empty installation; one that holds a society is Refused. Passwords cost what the
// desk says.
func Fill(ctx context.Context, h *hall.Hall, desk *people.Desk) (Signs, error) {
	story, err := readScenario()
	if err != nil {
		return nil, err
	}
	if err := requireEmpty(ctx, h); err != nil {
		return nil, err
	}
	p := &player{story: story, now: founded, person: map[string]foray.ID{}}
	p.hall = &hall.Hall{Store: h.Store, Knowledge: h.Knowledge, Live: h.Live, Log: h.Log,
		Now: func() time.Time { return p.now }, Random: rand.NewChaCha8(seedOfIDs)}
	p.desk = &people.Desk{Hall: p.hall, Keys: desk.Keys, Cost: desk.Cost}
	return story.signs(), h.Store.Together(ctx, p.whole)
}

// whole plays everything in one transaction: a fill that is cut off leaves nothing.
func (p *player) whole(ctx context.Context) error {
	if err := p.people(ctx); err != nil {
		return fmt.Errorf("fill in the demo's people: %w", err)
	}
	for _, e := range p.story.events {
		if err := p.event(ctx, e); err != nil {
			return fmt.Errorf("fill in the demo's %s: %w", e.set.Code, err)
		}
	}
	return nil
}

func requireEmpty(ctx context.Context, h *hall.Hall) error {
	found, err := Inspect(ctx, h)
	if err == nil && found != Empty {
		err = fault.New(fault.Refused, "demo.not-empty")
	}
	return err
}

// Content is what an installation holds, as the demo sees it.
type Content int

const (
	Empty    Content = iota // nothing yet: the demo may be filled in
	Whole                   // the demo, to be served as it stands
	Anything                // anything else, also a demo whose filling was cut off: not to be touched
)

// Inspect says what an installation holds. The demo is known by its society's id, which is the same every time, and
// by the last thing that filling does.
func Inspect(ctx context.Context, h *hall.Hall) (Content, error) {
	content := Anything
	err := h.Store.Read(ctx, func(tx *store.Tx) error {
		societies, err := tx.Societies()
		if err != nil {
			return err
		}
		if len(societies) == 0 {
			content = Empty
			return nil
		}
		id, err := foray.NewID(founded, rand.NewChaCha8(seedOfIDs))
		if err != nil || len(societies) != 1 || societies[0].ID != id {
			return err
		}
		whole, err := filled(tx, id)
		if whole {
			content = Whole
		}
		return err
	})
	if err != nil {
		return Anything, fmt.Errorf("look what is in the installation: %w", err)
	}
	return content, nil
}

// filled looks for the finds of the event that is filled in last.
func filled(tx *store.Tx, society foray.ID) (bool, error) {
	events, err := tx.Events(society)
	if err != nil || len(events) < 2 {
		return false, err
	}
	highest, err := tx.HighestNumber(society, events[0].ID)
	return highest > 0, err
}
