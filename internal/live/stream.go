package live

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"net/http"
	"strconv"
	"time"

	"forayhall/internal/foray"
)

// Pace is how streams are kept; zero fields are the usual.
type Pace struct {
	// Beat is how often a stream says that it is alive; 15 s. It is below the idle limits of usual proxies, a minute
	// (common practice).
	Beat time.Duration
	// Poll is how often the log is read though nobody was woken, so that a lost wake-up delays and never loses; 5 s.
	Poll time.Duration
	// Most is how many streams one process keeps open; 2000.
	Most int
}

const (
	usualBeat = 15 * time.Second
	usualPoll = 5 * time.Second
	usualMost = 2000
	// writeWithin is how long a client may take to accept what is sent; then it is gone, and may come back and go on
	// from where it was.
	writeWithin = 10 * time.Second
	// burst is how many changes are read and sent at once.
	burst = 200
	// comeBack is after how many milliseconds a client whose stream ended comes back; spread, so that a server that
	// starts again does not meet all of them at once.
	comeBack, spread = 1000, 2000
)

// FullFor is after how long a client that found no room may ask again.
const FullFor = 30 * time.Second

var (
	// ErrFull means that as many streams are open as this process keeps.
	ErrFull = errors.New("as many streams are open as there may be")
	// ErrOver is what Alive answers when the reader may read no longer.
	ErrOver = errors.New("the reader's time is over")
)

// Stream tells one client of an event's changes as server-sent events (HTML Living Standard, 9.2): "change" with the
// number as its id, and "restored" where the log is shorter than what the client has seen.
type Stream struct {
	Hub   *Hub
	Event foray.ID
	From  int64 // the client wants what comes after it; negative: from now on
	Read  Read
	// Shared says that Read answers every reader of the event the same, so that one reading serves all of them.
	Shared bool
	// Alive is asked at the beginning and with every beat whether the client may read on. What it answers is sent as
	// an event "alive", which a page's script can see; where that is nothing, a comment is.
	Alive func(ctx context.Context) ([]byte, error)
	// Closing ends the stream when it is closed, so that a server that shuts down need not wait. Nil never does.
	Closing <-chan struct{}
	// Lost is told of what ended a stream, other than the client's going and ErrOver.
	Lost func(after int64, err error)
	Pace Pace
}

// FromRequest is the number after which a client wants changes: by header when it comes back, else by the query,
// where it first comes with a page.
func FromRequest(r *http.Request, query string) string {
	if last := r.Header.Get("Last-Event-ID"); last != "" {
		if n, err := strconv.ParseInt(last, 10, 64); err == nil && n >= 0 {
			return last
		}
	}
	return r.URL.Query().Get(query)
}

// sending is a stream that has begun.
type sending struct {
	Stream
	w       http.ResponseWriter
	control *http.ResponseController
	read    Read
	seq     int64 // the last change sent
}

// Serve sends the change log for as long as client and server last. It listens before it reads, and reads the log
// rather than trust a wake-up, so that nothing is missed and nothing comes twice. An error is from before the stream
// began, when it can still be answered.
func (s Stream) Serve(ctx context.Context, w http.ResponseWriter) error {
	s.usual()
	if s.Hub.open.Add(1) > int64(s.Pace.Most) {
		s.Hub.open.Add(-1)
		return ErrFull
	}
	defer s.Hub.open.Add(-1)
	listener := s.Hub.Listen(s.Event)
	defer listener.Close()
	out := &sending{Stream: s, w: w, control: http.NewResponseController(w), read: s.Read}
	if s.Shared {
		out.read = listener.shared(s.Read, s.Pace.Poll)
	}
	now, alive, err := out.look(ctx)
	if err != nil {
		return err
	}
	if err = out.begin(now, alive); err == nil {
		err = out.follow(ctx, listener)
	}
	if err != nil && ctx.Err() == nil && !errors.Is(err, ErrOver) && s.Lost != nil {
		s.Lost(out.seq, err)
	}
	return nil
}

func (s *Stream) usual() {
	if s.Pace.Beat <= 0 {
		s.Pace.Beat = usualBeat
	}
	if s.Pace.Poll <= 0 {
		s.Pace.Poll = usualPoll
	}
	if s.Pace.Most <= 0 {
		s.Pace.Most = usualMost
	}
}

// look asks what can still be refused. It reads the log itself: what others read may be older than the client's page.
func (s *sending) look(ctx context.Context) (int64, []byte, error) {
	alive, err := s.Alive(ctx)
	if err != nil {
		return 0, nil, err
	}
	now, err := s.Read(ctx, math.MaxInt64, 1)
	return now.Last, alive, err
}

// begin says that the stream is there, and where it goes on from.
func (s *sending) begin(now int64, alive []byte) error {
	head := s.w.Header()
	head.Set("Content-Type", "text/event-stream")
	head.Set("Cache-Control", "no-store")
	head.Set("X-Accel-Buffering", "no") // nginx would keep it back
	if err := s.control.SetReadDeadline(time.Time{}); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return fmt.Errorf("listen for the end of a stream: %w", err)
	}
	s.w.WriteHeader(http.StatusOK)
	var b bytes.Buffer
	fmt.Fprintf(&b, "retry: %d\n\n", comeBack+rand.IntN(spread))
	s.seq = s.From
	switch {
	case s.From < 0:
		s.seq = now
	case s.From > now:
		// The log is shorter than what the client has seen: it was restored, and what the client knows is of no use.
		s.seq = now
		fmt.Fprintf(&b, "id: %d\nevent: restored\ndata: {}\n\n", now)
	}
	b.Write(beat(alive))
	return s.send(b.Bytes())
}

func beat(alive []byte) []byte {
	if len(alive) == 0 {
		return []byte(": alive\n\n")
	}
	return fmt.Appendf(nil, "event: alive\ndata: %s\n\n", alive)
}

func (s *sending) follow(ctx context.Context, listener *Listener) error {
	every, poll := time.NewTicker(s.Pace.Beat), time.NewTicker(s.Pace.Poll)
	defer every.Stop()
	defer poll.Stop()
	for {
		if err := s.catchUp(ctx); err != nil {
			return err
		}
		select {
		case <-listener.Wake():
		case <-poll.C:
		case <-every.C:
			alive, err := s.Alive(ctx)
			if err != nil {
				return err
			}
			if err := s.send(beat(alive)); err != nil {
				return err
			}
		case <-ctx.Done():
			return nil
		case <-s.Closing:
			return nil
		}
	}
}

func (s *sending) catchUp(ctx context.Context) error {
	for {
		got, err := s.read(ctx, s.seq, burst)
		if err != nil || len(got.Entries) == 0 {
			return err
		}
		var b bytes.Buffer
		for _, e := range got.Entries {
			fmt.Fprintf(&b, "id: %d\nevent: change\ndata: %s\n\n", e.Seq, e.Data)
			s.seq = e.Seq
		}
		if err := s.send(b.Bytes()); err != nil {
			return err
		}
	}
}

// send gives up on a client that does not take what it is sent; nobody else waits for it.
func (s *sending) send(data []byte) error {
	if err := s.control.SetWriteDeadline(time.Now().Add(writeWithin)); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return err
	}
	if _, err := s.w.Write(data); err != nil {
		return err
	}
	return s.control.Flush()
}
