package setup

import (
	"context"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Room is an event's set-up as its staff see it.
type Room struct {
	Event    store.Event
	Sites    []store.Site
	Walks    []store.Walk
	Teams    []store.Team
	Plans    map[foray.ID]store.TeamPlan // by team
	Tables   []store.HallTable
	Groups   []string // form groups in the event's order
	Blocks   []store.NumberBlock
	NextFrom int // the pad that is most likely issued next
	NextTo   int
	Stocks   []Stock // what cards may be printed on
	Flags    []store.TaxonFlag
	Borrowed []hall.Common // common names of what was named here that borrow
	Rights   []store.EventRight
	People   []store.Person
	Accounts map[foray.ID]bool // who can sign in
	Contacts []store.PoisonContact
	Earlier  int              // lists of what was found before that are in force
	Plates   map[foray.ID]int // by table
	Personal hall.Personal    // personal data that is there still, and when it goes
	Today    string           // ISO date at the event's place
	Held     access.Held
}

// See shows the set-up to the event's staff.
func See(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Room, error) {
	var room Room
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) (err error) {
		if !l.Held.Staff() {
			return hall.NotAllowed(access.SetUp)
		}
		room, err = read(l)
		return err
	})
	return room, err
}

func read(l *hall.Look) (Room, error) {
	room := Room{Plans: map[foray.ID]store.TeamPlan{}, Accounts: map[foray.ID]bool{}, Plates: map[foray.ID]int{}, Held: l.Held}
	for _, part := range []func(*hall.Look) error{room.readEvent, room.readField, room.readHall, room.readNumbers, room.readPeople} {
		if err := part(l); err != nil {
			return room, err
		}
	}
	return room, nil
}

func (room *Room) readEvent(l *hall.Look) (err error) {
	if room.Event, err = l.Event(); err != nil {
		return err
	}
	if room.Personal, err = l.Personal(room.Event); err != nil {
		return err
	}
	room.Groups = l.Hall.GroupOrder(room.Event)
	room.Today = l.Now.In(hall.Zone(room.Event)).Format("2006-01-02")
	if room.Flags, err = l.Tx.TaxonFlags(l.Scope.Society, l.Scope.Event); err != nil {
		return err
	}
	if room.Borrowed, err = l.BorrowedHere(); err != nil {
		return err
	}
	lists, err := l.Tx.EarlierLists(l.Scope.Society)
	for _, list := range lists {
		if list.InForce() {
			room.Earlier++
		}
	}
	if err != nil {
		return err
	}
	room.Contacts, err = l.Tx.PoisonContacts(l.Scope.Society, l.Scope.Event)
	return err
}

func (room *Room) readField(l *hall.Look) (err error) {
	society, event := l.Scope.Society, l.Scope.Event
	if room.Sites, err = l.Tx.Sites(society, event); err != nil {
		return err
	}
	if room.Walks, err = l.Tx.Walks(society, event); err != nil {
		return err
	}
	if room.Teams, err = l.Tx.Teams(society, event); err != nil {
		return err
	}
	plans, err := l.Tx.TeamPlans(society, event)
	for _, p := range plans {
		room.Plans[p.TeamID] = p
	}
	return err
}

func (room *Room) readHall(l *hall.Look) (err error) {
	if room.Tables, err = l.Tx.HallTables(l.Scope.Society, l.Scope.Event); err != nil {
		return err
	}
	if room.Stocks, err = stocksOf(l); err != nil {
		return err
	}
	collections, err := l.Tx.Collections(l.Scope.Society, l.Scope.Event)
	for _, c := range collections {
		if c.Whereabouts == foray.OnTable && c.Fate == store.Live {
			room.Plates[c.TableID]++
		}
	}
	return err
}

func (room *Room) readNumbers(l *hall.Look) (err error) {
	if room.Blocks, err = l.Tx.NumberBlocks(l.Scope.Society, l.Scope.Event); err != nil {
		return err
	}
	highest, err := l.Tx.HighestNumber(l.Scope.Society, l.Scope.Event)
	room.NextFrom, room.NextTo = nextBlock(room.Blocks, highest)
	return err
}

func (room *Room) readPeople(l *hall.Look) (err error) {
	if room.Rights, err = l.Tx.EventRights(l.Scope.Society, l.Scope.Event); err != nil {
		return err
	}
	if room.People, err = l.Tx.Persons(l.Scope.Society); err != nil {
		return err
	}
	accounts, err := l.Tx.Accounts(l.Scope.Society)
	for _, a := range accounts {
		room.Accounts[a.PersonID] = true
	}
	return err
}

// RightChange is one line of the history of rights.
type RightChange struct {
	At    store.Stamp
	By    foray.ID
	To    foray.ID
	Right access.Right
	Given bool // else taken
}

// mostHistory is how far back the history of rights is shown.
const mostHistory = 500

// RightHistory is who gave what to whom and who took it, newest first, for everybody on staff.
func RightHistory(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) ([]RightChange, error) {
	var changes []RightChange
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) error {
		if !l.Held.Staff() {
			return hall.NotAllowed(access.SetUp)
		}
		audits, err := l.Tx.AuditsOfKinds(scope.Society, scope.Event, []string{"right.give", "right.take"}, mostHistory)
		changes = make([]RightChange, 0, len(audits))
		for _, a := range audits {
			changes = append(changes, RightChange{At: a.RecordedAt, By: a.PersonID, To: a.Subject, Right: access.Right(a.Detail), Given: a.Kind == "right.give"})
		}
		return err
	})
	return changes, err
}
