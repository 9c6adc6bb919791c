package hall

import (
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/message"
)

// How an event stands. Slips are written in every state: a determination may come years later. Nothing more is taken in
// once the event is closed, and what was written down of a find changes only by a keeper of the list, who says why.
const (
	EventOpen   = "open"
	HallClosed  = "hall_closed" // the tables are cleared; records still come in
	EventClosed = "closed"
)

// mostReason is how long a reason may be.
const mostReason = 500

// AfterClosing refuses, once the event is closed, to change what was written down of its finds: to all but those who keep
// the list, and to them without a reason.
func (l *Look) AfterClosing(reason string) error {
	e, err := l.Event()
	switch {
	case err != nil:
		return err
	case len(reason) > mostReason:
		return fault.Wrong("reason", "text.too-long", "most", mostReason)
	case e.State != EventClosed:
		return nil
	case !l.Held.Can(access.PublishList):
		return &fault.Error{Kind: fault.NotAllowed, Text: message.T("event.closed-to-others")}
	case strings.TrimSpace(reason) == "":
		return fault.Wrong("reason", "event.closed-why")
	}
	return nil
}

// TakesIn refuses what is new once the event is closed.
func (l *Look) TakesIn() error {
	e, err := l.Event()
	if err == nil && e.State == EventClosed {
		err = fault.New(fault.Refused, "event.is-closed")
	}
	return err
}
