package pages

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strconv"

	"forayhall/internal/fault"
	"forayhall/internal/live"
	"forayhall/internal/message"
	"forayhall/web/view"
)

// liveStream is what an open page listens to: that something changed, never what. Then the page asks for itself again
// and is answered by the rights of whoever looks.
func liveStream(r *request) error {
	from, err := r.after()
	if err != nil {
		return err
	}
	err = live.Stream{Hub: r.hall().Live, Event: r.scope().Event, From: from, Read: r.news, Shared: true, Alive: r.alive,
		Closing: r.site.Closing, Lost: r.lost, Pace: r.site.Pace}.Serve(r.ctx, r.echo.Response())
	if errors.Is(err, live.ErrFull) {
		r.site.Log.Warn("no room for another stream", "event", r.at.Event.Code)
		r.echo.Response().Header().Set("Retry-After", strconv.Itoa(int(live.FullFor.Seconds())))
		return r.echo.String(status(fault.Unavailable), message.From(r.ctx).Say("fault.unavailable")+"\n")
	}
	return err
}

// after is the number of the change that the page was made at, or that was heard of last; -1: from now on.
func (r *request) after() (int64, error) {
	text := live.FromRequest(r.echo.Request(), "after")
	if text == "" {
		return -1, nil
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < 0 {
		return 0, fault.Missing()
	}
	return n, nil
}

// news is the same for everybody who looks at the event.
func (r *request) news(ctx context.Context, after int64, most int) (live.Stretch, error) {
	got, err := r.hall().ChangeKinds(ctx, r.scope(), after, most)
	if err != nil {
		return live.Stretch{}, err
	}
	out := live.Stretch{Last: got.Last, Entries: make([]live.Entry, len(got.Rows))}
	for i, c := range got.Rows {
		data, err := json.Marshal(struct {
			Kind string `json:"kind"`
		}{c.Kind})
		if err != nil {
			return live.Stretch{}, fmt.Errorf("write change %d: %w", c.Seq, err)
		}
		out.Entries[i] = live.Entry{Seq: c.Seq, Data: data}
	}
	return out, nil
}

// alive tells the page until when it is up to date, by the hall's clock, while its reader may see the event.
func (r *request) alive(ctx context.Context) ([]byte, error) {
	if _, err := r.hall().ChangesSince(ctx, r.actor, r.scope(), 0, 1); err != nil {
		return nil, err
	}
	return json.Marshal(struct {
		At string `json:"at"`
	}{r.clock()})
}

func (r *request) clock() string { return r.local(r.hall().Now()).Format("15:04") }

func (r *request) lost(after int64, err error) {
	r.site.Log.Warn("a page's stream ended", "event", r.at.Event.Code, "after", after, "error", err)
}

// visitorsSpread is over how many milliseconds visitors' pages renew themselves: there may be hundreds, and a change
// every few seconds.
const visitorsSpread = 3000

// live is what a page needs to follow its event. A page that answers a form has no address to be asked for again.
func (r *request) live() view.Live {
	if r.at.Event.ID.IsZero() || r.echo.Request().Method != http.MethodGet {
		return view.Live{}
	}
	l := view.Live{Stream: r.event().Path + "/live/stream", Seq: r.seq, At: r.clock()}
	if !r.held.Staff() {
		l.Spread = visitorsSpread
	}
	return l
}
