package api_test

import (
	"bufio"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall/desk"
)

// sent is one event of a stream.
type sent struct{ id, event, data string }

// follow opens a stream and reads events from it until fn says it has enough or the stream ends.
func (s *served) follow(t *testing.T, as, query, lastID string, fn func(sent) bool) {
	t.Helper()
	headers := []string{}
	if lastID != "" {
		headers = append(headers, "Last-Event-ID", lastID)
	}
	resp := s.call(t, as, http.MethodGet, "/hollinbeck/HB26/changes/stream"+query, nil, headers...)
	defer resp.Body.Close()
	if resp.StatusCode != 200 || resp.Header.Get("Content-Type") != "text/event-stream" {
		t.Errorf("stream: %d %s", resp.StatusCode, resp.Header.Get("Content-Type"))
		return
	}
	var e sent
	for lines := bufio.NewScanner(resp.Body); lines.Scan(); {
		field, value, _ := strings.Cut(lines.Text(), ": ")
		switch field {
		case "id":
			e.id = value
		case "event":
			e.event = value
		case "data":
			e.data = value
		case "":
			if e != (sent{}) && !fn(e) {
				return
			}
			e = sent{}
		}
	}
}

func TestAStreamReplaysWithoutGapOrDoubleWhileManyWrite(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		before, err := s.ChangeSeq(ctx, s.Scope)
		if err != nil {
			t.Fatal(err)
		}
		const writers, each = 6, 12
		last := before + writers*each
		var wg sync.WaitGroup
		for reader := range 3 {
			wg.Go(func() {
				seen, at := []string{}, strconv.FormatInt(before, 10)
				for len(seen) < writers*each && !t.Failed() {
					cut := 5 + 3*reader // goes away after so many, and comes back
					s.follow(t, "desk", "", at, func(e sent) bool {
						if e.event != "change" {
							return true
						}
						seen, at, cut = append(seen, e.id), e.id, cut-1
						return cut > 0 && e.id != strconv.FormatInt(last, 10)
					})
				}
				for i, id := range seen {
					if id != strconv.FormatInt(before+int64(i)+1, 10) {
						t.Errorf("reader %d: event %d has id %s", reader, i, id)
						return
					}
				}
			})
		}
		for w := range writers {
			wg.Go(func() {
				for i := range each {
					n := foray.Number{Base: 1 + w*each + i}
					if _, err := desk.LogCollection(ctx, s.Hall, s.As[access.Desk], s.Scope, s.Command(t),
						desk.Log{Number: n.String(), Field: desk.Field{Group: "bolete"}}); err != nil {
						t.Error(err)
					}
				}
			})
		}
		wg.Wait()
	})
}

func TestAStreamBeginsWhereThePageWasMade(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		s.logged(t)
		now, err := s.ChangeSeq(ctx, s.Scope)
		if err != nil {
			t.Fatal(err)
		}
		first := func(query, lastID string) (got sent) {
			var writing sync.WaitGroup
			writing.Go(func() { s.logged(t) })
			s.follow(t, "visitor", query, lastID, func(e sent) bool { got = e; return false })
			writing.Wait()
			return got
		}
		if got := first("?since=0", ""); got.id != "1" || got.event != "change" || strings.Contains(got.data, "subject") {
			t.Errorf("from the beginning: %+v", got)
		}
		if got := first("?since=0", strconv.FormatInt(now, 10)); got.id != strconv.FormatInt(now+1, 10) {
			t.Errorf("the header comes before the query: %+v, want %d", got, now+1)
		}
		if got := first("", "999999"); got.event != "restored" {
			t.Errorf("a log shorter than what was seen: %+v", got)
		}
		if code, _ := s.get(t, "visitor", "/hollinbeck/HB26/changes/stream?since=x"); code != 422 {
			t.Errorf("since=x: %d", code)
		}
	})
}

func TestAStreamEndsWithItsSession(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		ended := make(chan struct{})
		go func() {
			defer close(ended)
			s.follow(t, "desk", "", "", func(sent) bool { return true })
		}()
		time.Sleep(100 * time.Millisecond)
		select {
		case <-ended:
			t.Fatal("it ended by itself")
		default:
		}
		actor, _, err := s.Desk.Who(ctx, s.tokens["desk"], "token")
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Desk.SignOut(ctx, actor); err != nil {
			t.Fatal(err)
		}
		within(t, ended, "after sign-out")
	})
}

func TestStreamsEndWhenTheServerShutsDown(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		closing := make(chan struct{})
		s.api.Closing = closing
		ended := make(chan struct{})
		go func() {
			defer close(ended)
			s.follow(t, "visitor", "", "", func(sent) bool { return true })
		}()
		time.Sleep(100 * time.Millisecond)
		close(closing)
		within(t, ended, "after the server closed")
	})
}

func within(t *testing.T, done <-chan struct{}, what string) {
	t.Helper()
	select {
	case <-done:
	case <-time.After(5 * time.Second):
		t.Fatalf("the stream goes on %s", what)
	}
}
