package api

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"net/http"
	"strconv"
	"time"

	"github.com/go-json-experiment/json"
)

const (
	// defaultHeartbeat is below the idle limits of usual proxies, a minute (common practice).
	defaultHeartbeat = 20 * time.Second
	// writeWithin is how long a client may take to accept what is sent; then it is gone, and may come back and go on
	// from where it was.
	writeWithin = 10 * time.Second
	// burst is how many changes are read and sent at once.
	burst = 200
)

// News is the data of an event of the stream; its id is the change's number.
type News struct {
	Kind    string `json:"kind"`
	Subject string `json:"subject,omitempty"`
}

// stream is one client that listens.
type stream struct {
	*request
	control *http.ResponseController
	seq     int64 // the last change sent
}

// streamChanges sends the change log for as long as the client, the server and the session last. It listens before it
// reads, and reads the log rather than trust a wake-up, so that nothing is missed and nothing comes twice.
func streamChanges(r *request) error {
	listener := r.hall().Live.Listen(r.scope().Event)
	defer listener.Close()
	s := &stream{request: r, control: http.NewResponseController(r.echo.Response())}
	if err := s.begin(); err != nil {
		return err
	}
	every := r.api.Heartbeat
	if every <= 0 {
		every = defaultHeartbeat
	}
	beat := time.NewTicker(every)
	defer beat.Stop()
	for {
		if err := s.catchUp(); err != nil {
			return s.end(err)
		}
		select {
		case <-listener.Wake():
		case <-beat.C:
			if err := s.beat(); err != nil {
				return s.end(err)
			}
		case <-r.ctx.Done():
			return nil
		case <-r.api.Closing:
			return nil
		}
	}
}

// begin finds where to go on from and says that the stream is there.
func (s *stream) begin() error {
	from, err := s.from()
	if err != nil {
		return err
	}
	now, err := s.changes(math.MaxInt64, 1)
	if err != nil {
		return err
	}
	s.header("Content-Type", "text/event-stream")
	s.header("Cache-Control", "no-store")
	s.header("X-Accel-Buffering", "no") // nginx would keep it back
	if err := s.control.SetReadDeadline(time.Time{}); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return fmt.Errorf("listen for the end of a stream: %w", err)
	}
	s.echo.Response().WriteHeader(http.StatusOK)
	s.seq = from
	if from < 0 {
		s.seq = now.Last
	}
	if from > now.Last {
		// The log is shorter than what the client has seen: it was restored, and what the client knows is of no use.
		s.seq = now.Last
		return s.send(fmt.Appendf(nil, "id: %d\nevent: restored\ndata: {}\n\n", now.Last))
	}
	return s.send([]byte(": listening\n\n"))
}

// from is the number after which the client wants changes: by header when it comes back, by since when it first
// comes with a page; -1: from now on.
func (s *stream) from() (int64, error) {
	if n, err := strconv.ParseInt(s.echo.Request().Header.Get("Last-Event-ID"), 10, 64); err == nil && n >= 0 {
		return n, nil
	}
	return s.number("since", -1, 0, math.MaxInt64)
}

func (s *stream) catchUp() error {
	for {
		got, err := s.changes(s.seq, burst)
		if err != nil {
			return err
		}
		if len(got.Changes) == 0 {
			return nil
		}
		var b bytes.Buffer
		for _, c := range got.Changes {
			data, err := json.Marshal(News{Kind: c.Kind, Subject: c.Subject.String()})
			if err != nil {
				return err
			}
			fmt.Fprintf(&b, "id: %d\nevent: change\ndata: %s\n\n", c.Seq, data)
			s.seq = c.Seq
		}
		if err := s.send(b.Bytes()); err != nil {
			return err
		}
	}
}

var errSignedOut = errors.New("the session ended")

// beat shows that the stream lives and ends it when the session that began it is over.
func (s *stream) beat() error {
	actor, err := s.api.who(s.ctx, s.echo.Request())
	if err != nil || actor.Session != s.actor.Session {
		return errSignedOut
	}
	return s.send([]byte(": alive\n\n"))
}

func (s *stream) send(data []byte) error {
	if err := s.control.SetWriteDeadline(time.Now().Add(writeWithin)); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return err
	}
	if _, err := s.echo.Response().Write(data); err != nil {
		return err
	}
	return s.control.Flush()
}

// end closes a stream that has begun: the client comes back by itself and goes on from its last id, so that there is
// nobody to tell. What was not the client's going is logged.
func (s *stream) end(err error) error {
	if s.ctx.Err() == nil && !errors.Is(err, errSignedOut) {
		s.hall().Log.WarnContext(s.ctx, "api: a stream ended", "event", s.at.Event.Code, "after", s.seq, "error", err)
	}
	return nil
}
