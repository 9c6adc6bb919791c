package people_test

import (
	"crypto/rand"
	"io"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/people"
	"forayhall/internal/hall/setup"
	"forayhall/internal/store"
)

// gate is randomness that keeps whoever asks at its turn, counted from one, waiting until it is opened.
type gate struct {
	io.Reader
	turn  int32
	asked atomic.Int32
	there chan struct{}
	open  chan struct{}
}

func (g *gate) Read(b []byte) (int, error) {
	if g.asked.Add(1) == g.turn {
		close(g.there)
		<-g.open
	}
	return g.Reader.Read(b)
}

// closeHall is a closing of the hall as far as passes are concerned.
func closeHall(w *hall.Write) (int, error) {
	e, err := w.Tx.LockEvent(w.Scope.Society, w.Scope.Event)
	if err != nil {
		return 0, err
	}
	n, err := hall.EndPasses(w)
	if err != nil {
		return 0, err
	}
	return n, w.Tx.SetEventState(e, "hall_closed")
}

// TestNobodyIsInBehindTheBackOfTheClosing holds somebody up who is coming in, and closes the hall meanwhile. The turns
// are in the midst of the command, between it and the session, and after both.
func TestNobodyIsInBehindTheBackOfTheClosing(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		for turn := int32(1); turn <= 6; turn++ {
			for name, end := range map[string]func(*hall.Write) (int, error){"closing": closeHall, "ending all passes": hall.EndPasses} {
				link := pass(t, g, people.Pass{Right: access.Desk, Label: "Saturday"})
				token := enterWhile(t, g, link, turn, end)
				if who(t, g, token).SignedIn() {
					t.Errorf("%s, held up at turn %d: somebody is in", name, turn)
				}
				for _, h := range room(t, g, access.Desk).Holders {
					if h.Pass != "" {
						t.Errorf("%s, held up at turn %d: %s holds %v", name, turn, h.Name, h.Rights)
					}
				}
				stand(t, g, "open")
			}
		}
	})
}

// enterWhile brings somebody in by a pass who is held up at a turn while end runs.
func enterWhile(t testing.TB, g *halltest.Ground, l people.Link, turn int32, end func(*hall.Write) (int, error)) string {
	t.Helper()
	held := &gate{Reader: rand.Reader, turn: turn, there: make(chan struct{}), open: make(chan struct{})}
	entry, ending := g.Command(t), hall.Command{ID: g.Command(t).ID, Type: "test.end.v1"}
	came, ended := make(chan string, 1), make(chan error, 1)
	g.Hall.Random = held
	defer func() { g.Hall.Random = rand.Reader }()
	go func() {
		token, _, err := g.Desk.EnterByPass(ctx, g.Scope, secretOf(l), entry, "Helper "+entry.ID.String())
		if err != nil && !fault.Is(err, fault.Refused) {
			t.Error(err)
		}
		came <- token
	}()
	token, in := "", false
	select {
	case <-held.there:
	case token = <-came: // there are fewer turns than that
		in = true
	}
	go func() {
		_, err := hall.Do(ctx, g.Hall, g.As[access.Organiser], access.SetUp, g.Scope, ending, end)
		ended <- err
	}()
	time.Sleep(100 * time.Millisecond) // for the ending to get as far as it can
	close(held.open)
	if err := <-ended; err != nil {
		t.Fatal(err)
	}
	if !in {
		token = <-came
	}
	return token
}

func stand(t testing.TB, g *halltest.Ground, state string) {
	t.Helper()
	if err := g.Store.Write(ctx, func(tx *store.Tx) error {
		e, err := tx.EventByID(g.Scope.Society, g.Scope.Event)
		if err != nil {
			return err
		}
		return tx.SetEventState(e, state)
	}); err != nil {
		t.Fatal(err)
	}
}

func TestNoPassIsMadeBehindTheBackOfTheClosing(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		cmd, closing := g.Command(t), hall.Command{ID: g.Command(t).ID, Type: "test.end.v1"}
		// The first turn is the secret's, before anything is locked; the second is in the command.
		held := &gate{Reader: rand.Reader, turn: 2, there: make(chan struct{}), open: make(chan struct{})}
		g.Hall.Random = held
		made, closed := make(chan error, 1), make(chan error, 1)
		go func() {
			_, err := people.MakePass(ctx, g.Hall, g.As[access.Organiser], g.Scope, cmd, people.Pass{Right: access.Desk})
			made <- err
		}()
		<-held.there
		go func() {
			_, err := hall.Do(ctx, g.Hall, g.As[access.Organiser], access.SetUp, g.Scope, closing, closeHall)
			closed <- err
		}()
		time.Sleep(100 * time.Millisecond)
		close(held.open)
		if err := <-closed; err != nil {
			t.Fatal(err)
		}
		if err := <-made; err != nil && !fault.Is(err, fault.Refused) {
			t.Fatal(err)
		}
		for _, p := range room(t, g, access.Desk).Passes {
			if p.EndedAt.IsZero() {
				t.Error("the hall is closed and a pass is open")
			}
		}
	})
}

// What an organiser gives to somebody who came in by a pass is theirs: the end of the pass takes what it gave.
func TestTheEndOfAPassTakesWhatThePassGaveAndNothingElse(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		organiser := g.As[access.Organiser]
		link := pass(t, g, people.Pass{Right: access.Desk})
		ana, _ := enter(t, g, link, "Ana Ferreira")
		ben, _ := enter(t, g, link, "Ben Osei")
		cleo, _ := enter(t, g, link, "Cleo Brandt")
		g.Pass(time.Minute)
		give := func(to access.Actor) {
			t.Helper()
			if _, err := setup.GiveRight(ctx, g.Hall, organiser, g.Scope, g.Command(t), setup.Right{Person: to.Person, Right: access.Desk}); err != nil {
				t.Fatal(err)
			}
		}
		give(ana)
		// Taken and given anew is the organiser's too, though it is the same right.
		if _, err := setup.TakeRight(ctx, g.Hall, organiser, g.Scope, g.Command(t), setup.Right{Person: cleo.Person, Right: access.Desk}); err != nil {
			t.Fatal(err)
		}
		give(cleo)
		g.Pass(time.Minute)
		give(cleo) // a second time is as once
		if _, err := people.EndPass(ctx, g.Hall, organiser, g.Scope, g.Command(t), people.PassEnd{Pass: link.ID}); err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct {
			who  access.Actor
			want []access.Right
		}{{ana, []access.Right{access.Desk}}, {ben, nil}, {cleo, []access.Right{access.Desk}}} {
			if got := rightsOf(t, g, c.who); !slices.Equal(got, c.want) {
				t.Errorf("holds %v, want %v", got, c.want)
			}
		}
		if r := givenTo(t, g, ana); r.GivenBy != organiser.Person || !r.GivenAt.Equal(halltest.Saturday.Add(time.Minute)) {
			t.Errorf("given by %v at %v", r.GivenBy, r.GivenAt)
		}
		if r := givenTo(t, g, cleo); !r.GivenAt.Equal(halltest.Saturday.Add(time.Minute)) {
			t.Errorf("a right of somebody's own was given at %v, after it was given again", r.GivenAt)
		}
	})
}

func rightsOf(t testing.TB, g *halltest.Ground, who access.Actor) (held []access.Right) {
	t.Helper()
	if err := g.Store.Read(ctx, func(tx *store.Tx) (err error) {
		held, err = tx.RightsOf(g.Scope.Society, g.Scope.Event, who.Person)
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return held
}

func givenTo(t testing.TB, g *halltest.Ground, who access.Actor) (given store.EventRight) {
	t.Helper()
	if err := g.Store.Read(ctx, func(tx *store.Tx) error {
		all, err := tx.RightsHeld(g.Scope.Society, who.Person)
		if len(all) > 0 {
			given = all[0]
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return given
}
