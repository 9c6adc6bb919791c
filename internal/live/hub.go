// Package live says who must hear about a change: whoever is looking at an event, in this process and, through the
// database's wake-ups, in the others. A wake-up carries no content: a listener reads the change log from where it
// was, so that one that is missed loses nothing. It must never hold up whoever made the change.
package live

import (
	"sync"
	"sync/atomic"

	"forayhall/internal/foray"
)

// Hub wakes listeners in this process.
type Hub struct {
	mu    sync.Mutex
	rooms map[foray.ID]*room
	open  atomic.Int64 // streams
}

// room is everybody in this process who looks at one event, with what they read together.
type room struct {
	listeners map[*Listener]struct{}
	wakes     atomic.Uint64 // how often they were woken
	tail      tail
}

// Listener is woken when its event changes.
type Listener struct {
	hub   *Hub
	event foray.ID
	room  *room
	wake  chan struct{}
}

// NewHub makes a hub without listeners.
func NewHub() *Hub { return &Hub{rooms: map[foray.ID]*room{}} }

// Listen begins to listen to an event; the caller closes the listener.
func (h *Hub) Listen(event foray.ID) *Listener {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.rooms[event] == nil {
		h.rooms[event] = &room{listeners: map[*Listener]struct{}{}}
	}
	l := &Listener{hub: h, event: event, room: h.rooms[event], wake: make(chan struct{}, 1)}
	l.room.listeners[l] = struct{}{}
	return l
}

// Wake is filled when there may be something new; several changes may share one.
func (l *Listener) Wake() <-chan struct{} { return l.wake }

// Close ends listening.
func (l *Listener) Close() {
	l.hub.mu.Lock()
	defer l.hub.mu.Unlock()
	delete(l.room.listeners, l)
	if len(l.room.listeners) == 0 && l.hub.rooms[l.event] == l.room {
		delete(l.hub.rooms, l.event)
	}
}

// Publish wakes everybody who listens to the event. It never waits for one of them.
func (h *Hub) Publish(event foray.ID) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if r := h.rooms[event]; r != nil {
		r.publish()
	}
}

// PublishAll wakes everybody.
func (h *Hub) PublishAll() {
	h.mu.Lock()
	defer h.mu.Unlock()
	for _, r := range h.rooms {
		r.publish()
	}
}

func (r *room) publish() {
	r.wakes.Add(1)
	for l := range r.listeners {
		select {
		case l.wake <- struct{}{}:
		default:
		}
	}
}
