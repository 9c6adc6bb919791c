package live_test

import (
	"sync"
	"testing"
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/live"
)

var autumn, spring = foray.ID{1}, foray.ID{2}

// woken reports whether a listener is woken within a while.
func woken(l *live.Listener, within time.Duration) bool {
	select {
	case <-l.Wake():
		return true
	case <-time.After(within):
		return false
	}
}

func pending(l *live.Listener) bool {
	select {
	case <-l.Wake():
		return true
	default:
		return false
	}
}

func TestAChangeWakesWhoeverListensToItsEvent(t *testing.T) {
	hub := live.NewHub()
	one, two, other := hub.Listen(autumn), hub.Listen(autumn), hub.Listen(spring)
	hub.Publish(autumn)
	if !pending(one) || !pending(two) {
		t.Error("a listener slept through its event")
	}
	if pending(other) {
		t.Error("another event's change wakes")
	}
	hub.PublishAll()
	if !pending(one) || !pending(two) || !pending(other) {
		t.Error("a listener slept through a change that concerns all")
	}
	hub.Publish(foray.ID{3}) // nobody listens
}

func TestManyChangesShareOneWakeUpAndTheNextIsNotLost(t *testing.T) {
	hub := live.NewHub()
	l := hub.Listen(autumn)
	for range 100 {
		hub.Publish(autumn)
	}
	if !pending(l) || pending(l) {
		t.Error("a hundred changes are not one wake-up")
	}
	hub.Publish(autumn)
	if !pending(l) {
		t.Error("the change after the wake-up is lost")
	}
}

func TestWhoClosedIsNotWokenAndMayCloseTwice(t *testing.T) {
	hub := live.NewHub()
	gone, here := hub.Listen(autumn), hub.Listen(autumn)
	gone.Close()
	gone.Close()
	hub.Publish(autumn)
	if pending(gone) || !pending(here) {
		t.Error("the wrong listener was closed")
	}
	here.Close()
	hub.Publish(autumn)
	hub.PublishAll()
}

// A listener that never reads, as a browser on a train, holds up nobody.
func TestPublishingNeverWaits(t *testing.T) {
	hub := live.NewHub()
	for range 50 {
		hub.Listen(autumn)
	}
	done := make(chan struct{})
	go func() {
		defer close(done)
		for range 1000 {
			hub.Publish(autumn)
		}
	}()
	select {
	case <-done:
	case <-time.After(10 * time.Second):
		t.Fatal("publishing waits for listeners")
	}
}

func TestListenersComeAndGoWhileOthersPublish(t *testing.T) {
	hub := live.NewHub()
	stays := hub.Listen(autumn)
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for range 200 {
				l := hub.Listen(autumn)
				hub.Publish(autumn)
				if !woken(l, 10*time.Second) {
					t.Error("a listener slept through its own publishing")
				}
				l.Close()
				hub.PublishAll()
			}
		})
	}
	wg.Wait()
	if !pending(stays) {
		t.Error("whoever stayed was never woken")
	}
}
