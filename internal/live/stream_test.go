package live_test

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"net/http"
	"net/http/httptest"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"forayhall/internal/live"
)

// book is an event's change log, with a server that streams it.
type book struct {
	hub     *live.Hub
	mu      sync.Mutex
	last    int64
	data    []byte
	reads   atomic.Int64
	over    atomic.Bool // nobody may read any longer
	fails   atomic.Bool // the log cannot be read
	closing chan struct{}
	lost    chan error
	stream  live.Stream
	server  *httptest.Server
}

func newBook(t *testing.T, pace live.Pace, shared bool) *book {
	t.Helper()
	b := &book{hub: live.NewHub(), data: []byte(`{}`), closing: make(chan struct{}), lost: make(chan error, 1000)}
	b.stream = live.Stream{Hub: b.hub, Event: autumn, From: -1, Read: b.read, Shared: shared, Pace: pace, Closing: b.closing,
		Lost: func(_ int64, err error) { b.lost <- err },
		Alive: func(context.Context) ([]byte, error) {
			if b.over.Load() {
				return nil, live.ErrOver
			}
			return []byte(`{"at":"15:41"}`), nil
		}}
	b.server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s := b.stream
		if n, err := strconv.ParseInt(live.FromRequest(r, "after"), 10, 64); err == nil {
			s.From = n
		}
		if err := s.Serve(r.Context(), w); err != nil {
			http.Error(w, err.Error(), http.StatusServiceUnavailable)
		}
	}))
	t.Cleanup(b.server.Close)
	return b
}

// write adds a change; whoever wakes publishes it too.
func (b *book) write(wakes bool) {
	b.mu.Lock()
	b.last++
	b.mu.Unlock()
	if wakes {
		b.hub.Publish(autumn)
	}
}

func (b *book) read(_ context.Context, after int64, most int) (live.Stretch, error) {
	b.reads.Add(1)
	if b.fails.Load() {
		return live.Stretch{}, errors.New("no log")
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	got := live.Stretch{Last: b.last}
	for seq := after; seq < b.last && len(got.Entries) < most; {
		seq++
		got.Entries = append(got.Entries, live.Entry{Seq: seq, Data: b.data})
	}
	return got, nil
}

// heard is one line of a client.
type heard struct{ event, id string }

// listen reads a stream until enough says so or the stream ends; it answers the status.
func (b *book) listen(t *testing.T, query, lastID string, enough func(heard) bool) int {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, b.server.URL+"/"+query, nil)
	if err != nil {
		t.Fatal(err)
	}
	if lastID != "" {
		req.Header.Set("Last-Event-ID", lastID)
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return 0
	}
	defer res.Body.Close()
	var e heard
	for lines := bufio.NewScanner(res.Body); lines.Scan(); {
		field, value, _ := strings.Cut(lines.Text(), ": ")
		switch field {
		case "id":
			e.id = value
		case "event":
			e.event = value
		case "":
			if e != (heard{}) && enough(e) {
				return res.StatusCode
			}
			e = heard{}
		}
	}
	return res.StatusCode
}

// each runs fn with readers that read alone and readers that read together.
func each(t *testing.T, fn func(t *testing.T, shared bool)) {
	for name, shared := range map[string]bool{"alone": false, "together": true} {
		t.Run(name, func(t *testing.T) { fn(t, shared) })
	}
}

func TestEveryReaderHasEveryChangeOnceThoughItComesAndGoesWhileManyWrite(t *testing.T) {
	each(t, func(t *testing.T, shared bool) {
		b := newBook(t, live.Pace{}, shared)
		const changes = 2000 // more than is kept in memory, so that whoever is behind reads the log itself
		var wg sync.WaitGroup
		for reader := range 20 {
			wg.Go(func() {
				var seen []string
				for last := "0"; last != strconv.Itoa(changes); {
					left := 10 + 40*reader
					b.listen(t, "", last, func(e heard) bool {
						if e.event == "change" {
							seen, last, left = append(seen, e.id), e.id, left-1
						}
						return left == 0 || last == strconv.Itoa(changes)
					})
				}
				for i, id := range seen {
					if id != strconv.Itoa(i+1) {
						t.Errorf("reader %d: change %d has the number %s", reader, i+1, id)
						return
					}
				}
			})
		}
		for range 4 {
			wg.Go(func() {
				for range changes / 4 {
					b.write(true)
				}
			})
		}
		wg.Wait()
	})
}

func TestALostWakeUpDelaysAndNeverLoses(t *testing.T) {
	each(t, func(t *testing.T, shared bool) {
		b := newBook(t, live.Pace{Poll: 20 * time.Millisecond}, shared)
		var ids []string
		b.listen(t, "?after=0", "", func(e heard) bool {
			if e.event == "alive" {
				for range 3 {
					b.write(false)
				}
				return false
			}
			ids = append(ids, e.id)
			return len(ids) == 3
		})
		if !slices.Equal(ids, []string{"1", "2", "3"}) {
			t.Errorf("without wake-ups came %v", ids)
		}
	})
}

func TestAStreamGoesOnFromTheHeaderElseFromTheQueryElseFromNow(t *testing.T) {
	for name, c := range map[string]struct {
		query, header, want, event string
	}{
		"the header comes before the query":                {"?after=1", "3", "4", "change"},
		"a header that is no number is none":               {"?after=1", "x", "2", "change"},
		"what is new":                                      {"", "", "6", "change"},
		"a log that is shorter than what was seen is told": {"", "77", "5", "restored"},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBook(t, live.Pace{}, true)
			for range 5 {
				b.write(true)
			}
			var got heard
			b.listen(t, c.query, c.header, func(e heard) bool {
				if e.event == "alive" && c.want == "6" {
					b.write(true)
				}
				got = e
				return e.id != ""
			})
			if got != (heard{c.event, c.want}) {
				t.Errorf("first came %+v, want %s %s", got, c.event, c.want)
			}
		})
	}
}

func TestThereIsRoomForSoManyAndAgainWhenOneGoes(t *testing.T) {
	b := newBook(t, live.Pace{Most: 3}, true)
	closed := make(chan struct{})
	var there, gone sync.WaitGroup
	for range 3 {
		there.Add(1)
		gone.Go(func() {
			b.listen(t, "", "", func(heard) bool { there.Done(); <-closed; return true })
		})
	}
	there.Wait()
	if got := b.listen(t, "", "", func(heard) bool { return true }); got != http.StatusServiceUnavailable {
		t.Errorf("the fourth is answered %d", got)
	}
	close(closed)
	gone.Wait()
	for begun := time.Now(); b.listen(t, "", "", func(heard) bool { return true }) != http.StatusOK; {
		if time.Since(begun) > soon {
			t.Fatal("a place that was left stays taken")
		}
	}
}

// A change that wakes many is one question to the database.
func TestOneReadingServesAllWhoLookTogether(t *testing.T) {
	b := newBook(t, live.Pace{Poll: time.Hour, Beat: time.Hour}, true)
	const readers, changes = 100, 5
	var there, heardAll sync.WaitGroup
	for range readers {
		there.Add(1)
		heardAll.Go(func() {
			b.listen(t, "?after=0", "", func(e heard) bool {
				if e.event == "alive" {
					there.Done()
				}
				return e.id == strconv.Itoa(changes)
			})
		})
	}
	there.Wait()
	time.Sleep(50 * time.Millisecond) // each has looked for the first time
	before := b.reads.Load()
	for range changes {
		b.write(true)
	}
	heardAll.Wait()
	if n := b.reads.Load() - before; n > 4*changes {
		t.Errorf("%d readers asked %d times for %d changes", readers, n, changes)
	}
}

// A telephone in a pocket takes nothing; whoever else looks does not wait for it.
func TestASlowReaderHoldsUpNobody(t *testing.T) {
	b := newBook(t, live.Pace{}, true)
	b.data = bytes.Repeat([]byte("x"), 500) // ten megabytes in all, which no buffer on the way holds
	slow, err := http.Get(b.server.URL + "/?after=0")
	if err != nil {
		t.Fatal(err)
	}
	defer slow.Body.Close()
	const changes = 20_000
	var wg sync.WaitGroup
	wg.Go(func() {
		n := 0
		b.listen(t, "?after=0", "", func(e heard) bool {
			if e.event == "change" {
				n++
			}
			return n == changes
		})
	})
	for range changes {
		b.write(true)
	}
	wg.Wait()
}

func TestAStreamEnds(t *testing.T) {
	quick := live.Pace{Beat: 20 * time.Millisecond, Poll: 20 * time.Millisecond}
	for name, c := range map[string]struct {
		end  func(*book)
		lost bool // somebody is told
	}{
		"when the server closes":           {func(b *book) { close(b.closing) }, false},
		"when its reader may read no more": {func(b *book) { b.over.Store(true) }, false},
		"when the log cannot be read":      {func(b *book) { b.fails.Store(true) }, true},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBook(t, quick, true)
			ended := make(chan struct{})
			var once sync.Once
			go func() {
				defer close(ended)
				b.listen(t, "", "", func(heard) bool { once.Do(func() { c.end(b) }); return false })
			}()
			select {
			case <-ended:
			case <-time.After(soon):
				t.Fatal("it goes on")
			}
			select {
			case err := <-b.lost:
				if !c.lost {
					t.Errorf("somebody is told of %v", err)
				}
			case <-time.After(200 * time.Millisecond):
				if c.lost {
					t.Error("nobody is told")
				}
			}
		})
	}
}

func TestWhatCannotBeReadIsAnsweredBeforeTheStreamBegins(t *testing.T) {
	b := newBook(t, live.Pace{}, true)
	b.fails.Store(true)
	if got := b.listen(t, "", "", func(heard) bool { return true }); got != http.StatusServiceUnavailable {
		t.Errorf("answered %d", got)
	}
}
