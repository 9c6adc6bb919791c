package hall

import (
	"context"
	"sync"
	"sync/atomic"
	"time"

	"forayhall/internal/knowledge"
	"forayhall/internal/store"
)

// Glance is what an event's public pages are made from, short of its rows: whether it is still so can be told without
// asking the database, for a moment.
type Glance struct {
	At    Address
	Known *Hall // as the society knows it
	Seq   int64 // of the event's latest change
	Sum   int64 // of all the society's changes

	ships  *knowledge.Snapshot // what it was known by before the society's own entries
	writes uint64
	until  time.Time
	place  *atomic.Pointer[Glance]
}

// glanceFor is how long another process's changes may stay unseen by those who did not ask for the newest state. What
// this process wrote is seen at once.
const glanceFor = 250 * time.Millisecond

// mostGlances bounds the events that are remembered.
const mostGlances = 512

// Glances remembers the last glance at each event. The zero value is ready.
type Glances struct {
	mu     sync.Mutex
	events map[[2]string]*atomic.Pointer[Glance] // by the codes of the address
}

// Holds reports whether nothing can have changed since.
func (g *Glance) Holds(h *Hall) bool {
	return g != nil && g.ships == h.Knowledge && g.writes == h.Store.Writes() && time.Now().Before(g.until)
}

// last gives the place where an event's last glance is kept.
func (g *Glances) last(society, event string) *atomic.Pointer[Glance] {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.events[[2]string{society, event}]
}

// keep remembers a glance; whoever holds its place sees each newer one.
func (g *Glances) keep(glance *Glance) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.events == nil || len(g.events) >= mostGlances {
		g.events = map[[2]string]*atomic.Pointer[Glance]{}
	}
	codes := [2]string{glance.At.Society.Code, glance.At.Event.Code}
	if g.events[codes] == nil {
		g.events[codes] = &atomic.Pointer[Glance]{}
	}
	glance.place = g.events[codes]
	g.events[codes].Store(glance)
}

// Newest is the last glance at the same event that anybody took.
func (g *Glance) Newest() *Glance { return g.place.Load() }

// Glance finds an event by its address with its latest change: from memory, unless somebody asks for the newest state or
// something may have changed. What is not there is fault.NotFound.
func (h *Hall) Glance(ctx context.Context, society, event string, newest bool) (*Glance, error) {
	if last := h.Glances.last(society, event); last != nil && !newest {
		if glance := last.Load(); glance.Holds(h) {
			return glance, nil
		}
	}
	glance := &Glance{ships: h.Knowledge, writes: h.Store.Writes(), until: time.Now().Add(glanceFor)}
	err := h.Store.Read(ctx, func(tx *store.Tx) (err error) {
		if glance.At, err = addressOf(tx, society, event); err != nil {
			return err
		}
		if glance.Seq, err = tx.ChangeSeq(glance.At.Society.ID, glance.At.Event.ID); err != nil {
			return err
		}
		glance.Sum, err = tx.ChangeSeqs(glance.At.Society.ID)
		return err
	})
	if err != nil {
		return nil, err
	}
	if glance.Known, err = h.For(ctx, glance.At.Society.ID); err != nil {
		return nil, err
	}
	h.Glances.keep(glance)
	return glance, nil
}
