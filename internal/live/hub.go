// Package live says who must hear about a change: whoever is looking at an event, in this process and, through the
// database's wake-ups, in the others. A wake-up carries no content: a listener reads the change log from where it
// was, so that one that is missed loses nothing.
package live

import (
	"sync"

	"forayhall/internal/foray"
)

// Hub wakes listeners in this process.
type Hub struct {
	mu        sync.Mutex
	listeners map[foray.ID]map[*Listener]struct{}
}

// Listener is woken when its event changes.
type Listener struct {
	hub   *Hub
	event foray.ID
	wake  chan struct{}
}

// NewHub makes a hub without listeners.
func NewHub() *Hub { return &Hub{listeners: map[foray.ID]map[*Listener]struct{}{}} }

// Listen begins to listen to an event; the caller closes the listener.
func (h *Hub) Listen(event foray.ID) *Listener {
	l := &Listener{hub: h, event: event, wake: make(chan struct{}, 1)}
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.listeners[event] == nil {
		h.listeners[event] = map[*Listener]struct{}{}
	}
	h.listeners[event][l] = struct{}{}
	return l
}

// Wake is filled when there may be something new; several changes may share one.
func (l *Listener) Wake() <-chan struct{} { return l.wake }

// Close ends listening.
func (l *Listener) Close() {
	l.hub.mu.Lock()
	defer l.hub.mu.Unlock()
	delete(l.hub.listeners[l.event], l)
	if len(l.hub.listeners[l.event]) == 0 {
		delete(l.hub.listeners, l.event)
	}
}

// Publish wakes everybody who listens to the event. It never waits for one of them.
func (h *Hub) Publish(event foray.ID) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for l := range h.listeners[event] {
		select {
		case l.wake <- struct{}{}:
		default:
		}
	}
}

// PublishAll wakes everybody.
func (h *Hub) PublishAll() {
	h.mu.Lock()
	events := make([]foray.ID, 0, len(h.listeners))
	for event := range h.listeners {
		events = append(events, event)
	}
	h.mu.Unlock()
	for _, event := range events {
		h.Publish(event)
	}
}
