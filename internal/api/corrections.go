package api

import (
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/corrections"
)

// Requests is the requests for corrections of an event, for those who answer.
type Requests struct {
	Open     []Request `json:"open"`     // oldest first
	Answered []Request `json:"answered"` // newest first
}

// Request is one of them.
type Request struct {
	ID        foray.ID     `json:"id"`
	Seq       int          `json:"number"`
	About     string       `json:"about"`
	Subject   string       `json:"subject,omitempty"` // number, id of a field record, or name on the list
	Version   int          `json:"version,omitempty"`
	Kind      string       `json:"kind"`
	State     string       `json:"state"`
	SentAt    time.Time    `json:"sent_at"`
	Member    bool         `json:"sent_by_member"`
	Name      string       `json:"proposed_name,omitempty"`
	Words     string       `json:"words"`
	Evidence  string       `json:"evidence,omitempty"`
	Acts      []RequestAct `json:"acts"`
	Slips     []foray.ID   `json:"slips_since"`
	Corrected bool         `json:"field_data_corrected_since"`
	Forgotten string       `json:"sender_forgotten_on,omitempty"` // ISO date; empty: they are
}

// RequestAct is one thing that was done about a request.
type RequestAct struct {
	Kind    string    `json:"kind"`
	Words   string    `json:"words,omitempty"`
	Changed string    `json:"changed,omitempty"`
	Slip    foray.ID  `json:"slip,omitzero"`
	By      string    `json:"by,omitempty"` // empty: the sender
	To      string    `json:"to,omitempty"`
	At      time.Time `json:"at"`
}

func seeCorrections(r *request) (Requests, error) {
	room, err := corrections.See(r.ctx, r.hall(), r.actor, r.scope())
	out := Requests{Open: []Request{}, Answered: []Request{}}
	for _, i := range room.Open {
		out.Open = append(out.Open, requestOf(i, room.People))
	}
	for _, i := range room.Answered {
		out.Answered = append(out.Answered, requestOf(i, room.People))
	}
	return out, err
}

func requestOf(i corrections.Item, people map[foray.ID]hall.Person) Request {
	q := i.Request
	v := Request{ID: q.ID, Seq: q.Seq, About: q.About, Subject: i.Subject.Written(), Version: i.Subject.Version, Kind: q.Kind, State: q.State, SentAt: q.RecordedAt.Time,
		Member: !q.PersonID.IsZero(), Name: q.Verbatim, Words: q.Words, Evidence: q.Evidence, Corrected: i.Corrected, Forgotten: i.Until, Acts: []RequestAct{}, Slips: []foray.ID{}}
	for _, a := range q.Acts {
		v.Acts = append(v.Acts, RequestAct{Kind: a.Kind, Words: a.Words, Changed: a.Changed, Slip: a.SlipID, By: people[a.PersonID].Name, To: people[a.ToID].Name, At: a.RecordedAt.Time})
	}
	for _, s := range i.Slips {
		v.Slips = append(v.Slips, s.Slip.ID)
	}
	return v
}

// AskedAll is what was asked, newest first.
type AskedAll struct {
	Requests []corrections.Public `json:"requests"`
}

func seeAsked(r *request) (AskedAll, error) {
	all, err := corrections.SeeAsked(r.ctx, r.hall(), r.actor, r.scope())
	if all == nil {
		all = []corrections.Public{}
	}
	return AskedAll{Requests: all}, err
}
