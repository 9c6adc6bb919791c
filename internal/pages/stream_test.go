package pages_test

import (
	"bufio"
	"context"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/net/html"

	"forayhall/internal/access"
	"forayhall/internal/hall"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/live"
	"forayhall/internal/message"
	"forayhall/internal/pages"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

const stream = event + "/live/stream"

var quiet = slog.New(slog.DiscardHandler)

// patience ends a wait for what never comes; it is no measure of speed.
const patience = time.Minute

// instance is one process of a hall, as far as this one can be several: a hub, a hall and a server of its own.
type instance struct {
	t       *testing.T
	hall    *hall.Hall
	server  *http.Server
	closing chan struct{}
	served  chan struct{}
	unbound context.CancelFunc
}

// instanceOn starts an instance on a store at an address. It follows the database where others write to it too.
func instanceOn(t *testing.T, g *halltest.Ground, s *store.Store, at net.Listener, pace live.Pace) *instance {
	t.Helper()
	ctx, unbound := context.WithCancel(context.Background())
	i := &instance{t: t, hall: hall.New(s, halltest.Knowledge(t)), closing: make(chan struct{}), served: make(chan struct{}), unbound: unbound}
	i.hall.Log, i.hall.Now = quiet, g.Hall.Now
	i.server = &http.Server{Handler: pages.New(pages.Config{Hall: i.hall, Desk: g.Desk, Log: quiet, Closing: i.closing, Pace: pace})}
	go live.Follow(ctx, i.hall.Live, s.URL(), quiet)
	go func() { defer close(i.served); _ = i.server.Serve(at) }()
	t.Cleanup(i.stop)
	return i
}

// stop is what a server does when it is told to end: streams first, then what is under way.
func (i *instance) stop() {
	i.t.Helper()
	select {
	case <-i.closing:
		return
	default:
	}
	close(i.closing)
	begun := time.Now()
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	if err := i.server.Shutdown(ctx); err != nil {
		i.t.Errorf("shut down: %v after %s", err, time.Since(begun))
	}
	<-i.served
	i.unbound()
}

func bind(t *testing.T, address string) net.Listener {
	t.Helper()
	for begun := time.Now(); ; time.Sleep(10 * time.Millisecond) {
		l, err := net.Listen("tcp", address)
		if err == nil {
			return l
		}
		if time.Since(begun) > patience {
			t.Fatal(err)
		}
	}
}

// news is one event of a stream.
type news struct{ event, id, data string }

// listen reads a stream as a browser's EventSource does until enough says so or the stream ends; it answers the status.
func listen(ctx context.Context, client *http.Client, url, lastID string, enough func(news) bool) (int, http.Header, error) {
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, url, nil)
	if err != nil {
		return 0, nil, err
	}
	if lastID != "" {
		req.Header.Set("Last-Event-ID", lastID)
	}
	res, err := client.Do(req)
	if err != nil {
		return 0, nil, err
	}
	defer res.Body.Close()
	var e news
	for lines := bufio.NewScanner(res.Body); res.StatusCode == http.StatusOK && lines.Scan(); {
		field, value, _ := strings.Cut(lines.Text(), ": ")
		switch field {
		case "id":
			e.id = value
		case "event":
			e.event = value
		case "data":
			e.data = value
		case "":
			if e != (news{}) && enough(e) {
				return res.StatusCode, res.Header, nil
			}
			e = news{}
		}
	}
	return res.StatusCode, res.Header, nil
}

// logged logs one collection through a hall and answers the number of the latest change.
func logged(t *testing.T, h *hall.Hall, g *halltest.Ground, n int) int64 {
	t.Helper()
	if _, err := desk.LogCollection(t.Context(), h, g.As[access.Desk], g.Scope, g.Command(t),
		desk.Log{Number: strconv.Itoa(n), Field: desk.Field{Group: "bolete"}}); err != nil {
		t.Fatal(err)
	}
	seq, err := h.ChangeSeq(t.Context(), g.Scope)
	if err != nil {
		t.Fatal(err)
	}
	return seq
}

// TestWhoeverLooksHearsThatSomethingChangedAndNotWhat: what a stream says is the same for a visitor and for staff.
func TestWhoeverLooksHearsThatSomethingChangedAndNotWhat(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		s := newSite(t, g)
		before, err := g.ChangeSeq(t.Context(), g.Scope)
		if err != nil {
			t.Fatal(err)
		}
		last := logged(t, g.Hall, g, 1)
		for _, who := range []access.Right{access.Visitor, access.Desk, access.Organiser} {
			var got []news
			from := fmt.Sprintf("%s%s?after=%d", s.server.URL, stream, before)
			code, head, err := listen(t.Context(), s.as(t, who).client, from, "", func(e news) bool {
				got = append(got, e)
				return e.id == strconv.FormatInt(last, 10)
			})
			if code != http.StatusOK || err != nil || head.Get("Content-Type") != "text/event-stream" {
				t.Fatalf("%s: %d %v %v", who, code, head, err)
			}
			if got[0].event != "alive" || got[0].data != `{"at":"14:40"}` {
				t.Errorf("%s: first came %+v, want the hall's clock", who, got[0])
			}
			for _, e := range got[1:] {
				if e.event != "change" || strings.Count(e.data, ":") != 1 || !strings.HasPrefix(e.data, `{"kind":"`) {
					t.Errorf("%s: is told %+v", who, e)
				}
			}
		}
		if code, _, _ := listen(t.Context(), http.DefaultClient, s.server.URL+stream+"?after=x", "", func(news) bool { return true }); code != http.StatusNotFound {
			t.Errorf("after=x is answered %d", code)
		}
		if code, _, _ := listen(t.Context(), http.DefaultClient, s.server.URL+"/hollinbeck/HB99/live/stream", "", func(news) bool { return true }); code != http.StatusNotFound {
			t.Errorf("an event that is not there is answered %d", code)
		}
	})
}

func TestAPageSaysWhereItHearsOfChangesAndWhatItHasSeen(t *testing.T) {
	s := newSite(t, halltest.New(t, storetest.New(t, store.SQLite)))
	last := logged(t, s.Hall, s.Ground, 1)
	b := s.as(t, access.Identifier)
	body := func() *node { return find(b.page, func(n *node) bool { return n.Data == "body" }) }
	for _, path := range []string{"", "/hall", "/queue", "/collections", "/c/0001", "/tables", "/list", "/warnings"} {
		b.get(event + path).want(http.StatusOK)
		if attr(body(), "data-live-url") != stream || attr(body(), "data-seq") != strconv.FormatInt(last, 10) {
			t.Errorf("%s hears at %q of what came after %q, want %s %d", path, attr(body(), "data-live-url"), attr(body(), "data-seq"), stream, last)
		}
		parts := 0
		each(b.page, func(n *node) {
			if !slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == "data-live" }) {
				return
			}
			parts++
			if attr(n, "id") == "" {
				t.Errorf("%s: a part that lives has no id: %s", path, textOf(n))
			}
			for up := n.Parent; up != nil; up = up.Parent {
				if slices.ContainsFunc(up.Attr, func(a html.Attribute) bool { return a.Key == "data-live" }) {
					t.Errorf("%s: %s lies in another part that lives", path, attr(n, "id"))
				}
			}
		})
		if parts == 0 {
			t.Errorf("%s has no part that lives", path)
		}
	}
	b.get(event+"/c/0001").send(event+"/c/0001/sign", "choice", "other", "name", "Galerina marginata")
	if b.status == http.StatusOK || attr(body(), "data-live-url") != "" {
		t.Errorf("the answer to a form (%d) cannot be asked for again, and listens all the same", b.status)
	}
}

func TestAFullInstanceSaysWhenToComeBack(t *testing.T) {
	g := halltest.New(t, storetest.New(t, store.SQLite))
	l := bind(t, "127.0.0.1:0")
	instanceOn(t, g, g.Store, l, live.Pace{Most: 1})
	url := "http://" + l.Addr().String() + stream
	_, _, err := listen(t.Context(), http.DefaultClient, url, "", func(news) bool {
		code, head, err := listen(t.Context(), http.DefaultClient, url, "", func(news) bool { return true })
		if code != http.StatusServiceUnavailable || head.Get("Retry-After") != "30" || err != nil {
			t.Errorf("the second is answered %d, come back after %q: %v", code, head.Get("Retry-After"), err)
		}
		return true
	})
	if err != nil {
		t.Fatal(err)
	}
}

// follower is somebody's open page: it comes back with the last number it heard of, as a browser does by itself.
type follower struct {
	seen []int64
	at   []time.Time
}

// follow says once that it is there.
func (f *follower) follow(ctx context.Context, url string, first, last int64, there func()) {
	once := sync.OnceFunc(there)
	client := &http.Client{Transport: &http.Transport{DisableKeepAlives: true}}
	lastID := ""
	for ctx.Err() == nil && (len(f.seen) == 0 || f.seen[len(f.seen)-1] < last) {
		_, _, err := listen(ctx, client, fmt.Sprintf("%s?after=%d", url, first), lastID, func(e news) bool {
			if once(); e.event != "change" {
				return false
			}
			n, _ := strconv.ParseInt(e.id, 10, 64)
			f.seen, f.at, lastID = append(f.seen, n), append(f.at, time.Now()), e.id
			return n >= last
		})
		if err != nil {
			time.Sleep(20 * time.Millisecond)
		}
	}
}

// complete wants every change after first up to last, each once and in order.
func (f *follower) complete(t *testing.T, who string, first, last int64) {
	t.Helper()
	for i, n := range f.seen {
		if n != first+int64(i)+1 {
			t.Errorf("%s: after %d comes %d", who, first+int64(i), n)
			return
		}
	}
	if got := first + int64(len(f.seen)); got != last {
		t.Errorf("%s: heard of changes to %d, want %d", who, got, last)
	}
}

// TestThreeHundredPagesOutliveARestart: an instance with 300 open pages ends and another takes its place while the
// desk goes on. It would catch a change that is lost or told twice on the way, and a server that waits for its pages.
func TestThreeHundredPagesOutliveARestart(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		const clients, before, meanwhile, after = 300, 20, 10, 20
		l := bind(t, "127.0.0.1:0")
		address := l.Addr().String()
		one := instanceOn(t, g, g.Store, l, live.Pace{})
		first, err := g.ChangeSeq(t.Context(), g.Scope)
		if err != nil {
			t.Fatal(err)
		}
		last := first + before + meanwhile + after
		ctx, cancel := context.WithTimeout(t.Context(), 3*patience)
		defer cancel()
		followers := make([]follower, clients)
		var wg, there sync.WaitGroup
		there.Add(clients)
		for i := range followers {
			wg.Go(func() { followers[i].follow(ctx, "http://"+address+stream, first, last, there.Done) })
		}
		there.Wait()
		n := 0
		write := func(h *hall.Hall, times int) {
			for range times {
				n++
				if got := logged(t, h, g, n); got != first+int64(n) {
					t.Fatalf("collection %d made change %d, want one each", n, got-first)
				}
			}
		}
		write(one.hall, before)
		begun := time.Now()
		one.stop()
		t.Logf("the first instance ended within %s", time.Since(begun).Round(time.Millisecond))
		write(one.hall, meanwhile)
		begun = time.Now()
		two := instanceOn(t, g, g.Store, bind(t, address), live.Pace{})
		write(two.hall, after)
		wg.Wait()
		t.Logf("%d pages had all of %d changes %s after the second instance began", clients, n, time.Since(begun).Round(time.Millisecond))
		for i := range followers {
			followers[i].complete(t, fmt.Sprintf("page %d", i), first, last)
		}
	})
}

// TestAChangeOnOneInstanceReachesThePagesOfAnother measures how long it takes; what it holds is that all arrive, in
// order and each once.
func TestAChangeOnOneInstanceReachesThePagesOfAnother(t *testing.T) {
	s := storetest.New(t, store.Postgres)
	g := halltest.New(t, s)
	elsewhere, err := store.Open(t.Context(), store.Config{URL: s.URL()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := elsewhere.Close(); err != nil {
			t.Error(err)
		}
	})
	const clients, changes = 100, 60
	l := bind(t, "127.0.0.1:0")
	// Nothing but wake-ups carries it within the time that is waited for.
	instanceOn(t, g, elsewhere, l, live.Pace{Poll: time.Hour})
	first, err := g.ChangeSeq(t.Context(), g.Scope)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), patience)
	defer cancel()
	followers := make([]follower, clients)
	var wg, there sync.WaitGroup
	there.Add(clients)
	for i := range followers {
		wg.Go(func() { followers[i].follow(ctx, "http://"+l.Addr().String()+stream, first, first+changes, there.Done) })
	}
	there.Wait()
	committed := make([]time.Time, changes)
	for n := range changes {
		logged(t, g.Hall, g, n+1)
		committed[n] = time.Now()
		time.Sleep(20 * time.Millisecond)
	}
	wg.Wait()
	var delays []time.Duration
	for i := range followers {
		followers[i].complete(t, fmt.Sprintf("page %d", i), first, first+changes)
		for n, at := range followers[i].at {
			delays = append(delays, max(at.Sub(committed[n]), 0))
		}
	}
	if len(delays) == 0 {
		t.Fatal("nothing arrived")
	}
	slices.Sort(delays)
	at := func(share float64) time.Duration {
		return delays[int(share*float64(len(delays)-1))].Round(100 * time.Microsecond)
	}
	t.Logf("from commit on one instance to %d pages of another: p50 %s, p99 %s, longest %s", clients, at(.5), at(.99), at(1))
	if at(1) > patience/2 {
		t.Errorf("the slowest took %s", at(1))
	}
}

// TestWhatALivingPageSaysIsInTheReadersLanguage keeps what a script says in the catalogue.
func TestWhatALivingPageSaysIsInTheReadersLanguage(t *testing.T) {
	s := newSite(t, halltest.New(t, storetest.New(t, store.SQLite)))
	b := s.as(t, access.Identifier)
	b.client.Transport = inPseudo{http.DefaultTransport}
	b.get(event + "/queue")
	body := find(b.page, func(n *node) bool { return n.Data == "body" })
	for key, text := range map[string]string{"data-live-changed": "pages.live.changed", "data-live-here": "pages.live.here", "data-live-show": "pages.live.show",
		"data-live-lost": "pages.live.lost", "data-live-back": "pages.live.back"} {
		if got := attr(body, key); got != message.For(message.Pseudo).Say(text) {
			t.Errorf("%s is %q", key, got)
		}
	}
}
