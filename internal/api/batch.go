package api

import (
	"net/http"
	"time"

	"github.com/go-json-experiment/json/jsontext"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
)

// mostCommands is the longest batch.
const mostCommands = 100

// Batch is an ordered queue of commands of one person for one event.
type Batch struct {
	Society  string           `json:"society"`
	Event    string           `json:"event,omitempty"` // may be missing where every command concerns the society
	Commands []jsontext.Value `json:"commands"`
}

// Envelope is what every command has around its body.
type Envelope struct {
	ID          foray.ID       `json:"id"` // made by the sender; sent again it is answered as before
	Type        string         `json:"type"`
	BaseVersion *int           `json:"base_version,omitempty"` // the collection's version that a decision was made on
	Device      string         `json:"device,omitempty"`
	HappenedAt  time.Time      `json:"happened_at,omitzero"`
	Body        jsontext.Value `json:"body"`
}

// Status is what became of a command.
type Status string

const (
	Applied  Status = "applied"
	Already  Status = "already"  // was applied before: the result given then
	Conflict Status = "conflict" // somebody else was first: other is what they did
	Refused  Status = "refused"  // problem says why; a status from 500 on: keep it and send it again later
)

// Answer is what became of one command.
type Answer struct {
	ID      string   `json:"id"` // as sent
	Status  Status   `json:"status"`
	Result  any      `json:"result,omitzero"`
	Problem *Problem `json:"problem,omitzero"`
	Other   any      `json:"other,omitzero"`
}

// Answers has one answer for each command sent, in their order.
type Answers struct {
	Answers []Answer `json:"answers"`
}

// sendCommands tries every command, also after one that was refused. When the hall cannot be reached the whole batch
// fails instead: sent again, what was applied is answered "already".
func sendCommands(r *request, in Batch) (Answers, error) {
	if len(in.Commands) < 1 || len(in.Commands) > mostCommands {
		return Answers{}, fault.Wrong("commands", "api.batch-length", "most", mostCommands)
	}
	if !storable(in.Society) || !storable(in.Event) {
		return Answers{}, fault.Missing()
	}
	at, err := r.hall().FindOwn(r.ctx, r.actor, in.Society, in.Event)
	if err != nil {
		return Answers{}, err
	}
	out := Answers{Answers: make([]Answer, len(in.Commands))}
	for i, one := range in.Commands {
		if out.Answers[i], err = r.answer(at, one); err != nil {
			return Answers{}, err
		}
	}
	return out, nil
}

// answer tries one command. The returned error fails the batch.
func (r *request) answer(at access.Scope, one jsontext.Value) (Answer, error) {
	var e Envelope
	if err := decode(one, &e, ""); err != nil {
		return r.refuse(e, err)
	}
	already := false
	result, err := r.run(at, e, &already)
	switch {
	case err != nil:
		return r.refuse(e, err)
	case already:
		return Answer{ID: e.ID.String(), Status: Already, Result: result}, nil
	}
	return Answer{ID: e.ID.String(), Status: Applied, Result: result}, nil
}

func (r *request) run(at access.Scope, e Envelope, already *bool) (any, error) {
	t, ok := commandByName[e.Type]
	switch {
	case e.ID.IsZero():
		return nil, fault.Wrong("id", "api.command-id")
	case !ok:
		return nil, fault.Wrong("type", "api.command-type")
	case !t.society && at.Event.IsZero():
		return nil, fault.Wrong("event", "api.event-missing")
	case len(e.Body) == 0:
		return nil, fault.Wrong("body", "api.command-body")
	case len(e.Device) > longestDevice || !storable(e.Device):
		return nil, fault.Wrong("device", "text.too-long", "most", longestDevice)
	case !e.HappenedAt.IsZero() && e.HappenedAt.Before(earliest):
		return nil, fault.Wrong("happened_at", "api.happened-at")
	}
	return t.run(r.ctx, r.hall(), r.actor, at, hall.Command{ID: e.ID, BaseVersion: e.BaseVersion, Device: e.Device,
		HappenedAt: e.HappenedAt, Already: already}, e.Body)
}

const longestDevice = 100

// earliest is before any record somebody can be bringing in; earlier is a clock that was never set.
var earliest = time.Date(1800, 1, 1, 0, 0, 0, 0, time.UTC)

func (r *request) refuse(e Envelope, err error) (Answer, error) {
	p, kind := problem(r.ctx, err)
	switch {
	case p.Status == http.StatusServiceUnavailable:
		return Answer{}, err
	case kind == fault.Internal:
		r.hall().Log.ErrorContext(r.ctx, "api", "command", e.Type, "id", e.ID.String(), "error", err)
	}
	a := Answer{ID: e.ID.String(), Status: Refused, Problem: &p, Other: p.Other}
	if kind == fault.Conflict {
		a.Status = Conflict
	}
	if p.Other = nil; !e.ID.IsZero() {
		p.Instance = e.ID.URN()
	}
	return a, nil
}
