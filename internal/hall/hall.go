// Package hall is the core of every use case: one way to write and one way to read. A write is a command that is
// authorised, seen only once, checked against what it was based on, audited, numbered in the event's change log and
// then told to whoever is looking. Nothing reaches the store but through here, so that a rule cannot differ between
// page, API and the command line.
package hall

import (
	"context"
	"crypto/rand"
	"io"
	"log/slog"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/knowledge"
	"forayhall/internal/live"
	"forayhall/internal/media"
	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// Hall is an open hall. It is safe for use by many at once.
type Hall struct {
	Store     *store.Store
	Knowledge *knowledge.Snapshot
	Live      *live.Hub
	Now       func() time.Time // the demo's clock is fixed
	Random    io.Reader
	Log       *slog.Logger
	Blobs     media.Blobs // where photographs and indexes of names are kept; nil keeps none

	Glances    *Glances     // at the events whose public pages are read
	Plates     *PlateMemory // of the events that were read last; nil: every read is made anew
	Past       *PastMemory  // of earlier lists and events; nil: every read is made anew
	Checklists *Checklists  // the lists of names that were imported; nil: those that ship alone
}

// New makes a hall on an open store, with the machine's clock and randomness.
func New(s *store.Store, k *knowledge.Snapshot) *Hall {
	return &Hall{Store: s, Knowledge: k, Live: live.NewHub(), Now: time.Now, Random: rand.Reader, Log: slog.Default(), Checklists: &Checklists{}, Plates: &PlateMemory{}, Past: &PastMemory{}, Glances: &Glances{}}
}

// NewID makes an id for a row that is made now.
func (h *Hall) NewID() (foray.ID, error) { return foray.NewID(h.Now(), h.Random) }

// Command is what every write is. Its id is made by whoever sends it, so that sending it again is seen.
type Command struct {
	ID          foray.ID
	Type        string // versioned, such as "slip.sign-off.v1"
	Body        any    // what was asked for; marshalled, hashed and compared when the id comes again
	BaseVersion *int   // the version of the collection that a decision was made on
	Device      string
	HappenedAt  time.Time // when it was done; zero: now
	Already     *bool     // where given, set to whether the command had been applied before
}

// Look is what a read sees: one snapshot, with the actor's rights in it.
type Look struct {
	Tx    *store.Tx
	Hall  *Hall
	Actor access.Actor
	Scope access.Scope
	Held  access.Held
	Now   time.Time

	event    *store.Event           // of the scope, once it was read
	anywhere *Anywhere              // what any event of the society keeps back, once it was read
	called   map[nameBy]*taxon.Name // what names are called now, once they were asked for

	passing bool // over several events: what is remembered of the one that a hall works on is not put out by them
	writes  bool // within a transaction whose changes nobody else sees yet
}

// Write is what a command's rule works with.
type Write struct {
	Look
	Command Command
	Happens time.Time
	changes []store.Change
	audits  []store.Audit
}

// View runs fn on one snapshot for an actor who may do action there. What somebody may not see is not found, unless
// they see the event's public side and only lack a right.
func (h *Hall) View(ctx context.Context, actor access.Actor, action access.Action, scope access.Scope, fn func(*Look) error) error {
	return h.Store.Read(ctx, func(tx *store.Tx) error {
		look, err := h.look(tx, actor, scope, h.Now())
		if err != nil {
			return err
		}
		if err := look.authorise(action); err != nil {
			return err
		}
		return fn(look)
	})
}

func (h *Hall) look(tx *store.Tx, actor access.Actor, scope access.Scope, now time.Time) (*Look, error) {
	var given []access.Right
	if actor.SignedIn() && actor.Society == scope.Society && !scope.Event.IsZero() {
		var err error
		if given, err = tx.RightsOf(scope.Society, scope.Event, actor.Person); err != nil {
			return nil, err
		}
	}
	return &Look{Tx: tx, Hall: h, Actor: actor, Scope: scope, Held: access.For(actor, scope, given), Now: now}, nil
}

// Event is the scope's event. What sees one state reads it once.
func (l *Look) Event() (store.Event, error) {
	if l.event != nil && !l.writes && l.event.ID == l.Scope.Event {
		return *l.event, nil
	}
	e, err := l.Tx.EventByID(l.Scope.Society, l.Scope.Event)
	if err == nil {
		l.event = &e
	}
	return e, err
}

// authorise answers an action that the rights do not cover.
func (l *Look) authorise(action access.Action) error {
	switch {
	case l.Held.Can(action):
		return nil
	case !l.Actor.SignedIn():
		return fault.New(fault.NotSignedIn, "fault.not-signed-in")
	case l.Actor.Society != l.Scope.Society:
		return fault.Missing()
	}
	return NotAllowed(action)
}

// NotAllowed is the error for an action that the rights do not cover.
func NotAllowed(action access.Action) error {
	return fault.New(fault.NotAllowed, "fault.not-allowed", "action", message.T("action."+string(action)))
}

// May is authorise for an action that depends on what is acted on.
func (l *Look) May(actions ...access.Action) error {
	for _, a := range actions {
		if l.Held.Can(a) {
			return nil
		}
	}
	return l.authorise(actions[0])
}

// NewID makes an id for a row written now.
func (l *Look) NewID() (foray.ID, error) { return foray.NewID(l.Now, l.Hall.Random) }
