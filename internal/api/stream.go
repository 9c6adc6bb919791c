package api

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strconv"

	"github.com/go-json-experiment/json"

	"forayhall/internal/fault"
	"forayhall/internal/live"
)

// News is the data of an event of the stream; its id is the change's number.
type News struct {
	Kind    string `json:"kind"`
	Subject string `json:"subject,omitempty"`
}

// streamChanges sends the change log for as long as the client, the server and the session last.
func streamChanges(r *request) error {
	from, err := r.since()
	if err != nil {
		return err
	}
	err = live.Stream{Hub: r.hall().Live, Event: r.scope().Event, From: from, Read: r.news, Alive: r.stillSignedIn,
		Closing: r.api.Closing, Lost: r.lost, Pace: r.api.Pace}.Serve(r.ctx, r.echo.Response())
	if errors.Is(err, live.ErrFull) {
		return fault.New(fault.Unavailable, "fault.unavailable")
	}
	return err
}

// since is the number after which the client wants changes; -1: from now on.
func (r *request) since() (int64, error) {
	text := live.FromRequest(r.echo.Request(), "since")
	if text == "" {
		return -1, nil
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < 0 {
		return 0, fault.Wrong("since", "api.not-a-number", "least", 0, "most", int64(math.MaxInt64))
	}
	return n, nil
}

// news reads the log with this reader's rights as they are now.
func (r *request) news(_ context.Context, after int64, most int) (live.Stretch, error) {
	got, err := r.changes(after, most)
	if err != nil {
		return live.Stretch{}, err
	}
	out := live.Stretch{Last: got.Last}
	for _, c := range got.Changes {
		data, err := json.Marshal(News{Kind: c.Kind, Subject: c.Subject.String()})
		if err != nil {
			return live.Stretch{}, fmt.Errorf("write change %d: %w", c.Seq, err)
		}
		out.Entries = append(out.Entries, live.Entry{Seq: c.Seq, Data: data})
	}
	return out, nil
}

// stillSignedIn ends the stream when the session that began it is over.
func (r *request) stillSignedIn(ctx context.Context) ([]byte, error) {
	actor, err := r.api.who(ctx, r.echo.Request())
	if err != nil || actor.Session != r.actor.Session {
		return nil, live.ErrOver
	}
	return nil, nil
}

// lost logs what ended a stream: the client comes back by itself and goes on from its last id, so that there is
// nobody to tell.
func (r *request) lost(after int64, err error) {
	r.hall().Log.WarnContext(r.ctx, "api: a stream ended", "event", r.at.Event.Code, "after", after, "error", err)
}
