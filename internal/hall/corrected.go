package hall

import (
	"slices"
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/store"
)

// How a request for a correction stands.
const (
	CorrectionOpen      = "open"
	CorrectionAskedBack = store.CorrectionAsked
	CorrectionPassed    = store.CorrectionPassed
	CorrectionDone      = store.CorrectionDone
	CorrectionUnchanged = store.CorrectionUnchanged
	CorrectionErased    = store.CorrectionErased // an act that changes nothing of how it stands
)

// Request is a request for a correction with what was done about it, oldest first.
type Request struct {
	store.Correction
	Acts  []store.CorrectionAct
	State string // CorrectionOpen and the like
}

// stand works out from the acts how a request stands.
func (r *Request) stand() {
	r.State = CorrectionOpen
	for _, a := range r.Acts {
		switch a.Kind {
		case store.CorrectionAsked, store.CorrectionPassed, store.CorrectionDone, store.CorrectionUnchanged:
			r.State = a.Kind
		case store.CorrectionReopened:
			r.State = CorrectionOpen
		case store.CorrectionSaid:
			if r.State == CorrectionAskedBack {
				r.State = CorrectionOpen
			}
		}
	}
}

// Answered reports whether the request is done with, one way or the other.
func (r Request) Answered() bool { return r.State == CorrectionDone || r.State == CorrectionUnchanged }

// Answer is the act that answered it; nil while it is open.
func (r Request) Answer() *store.CorrectionAct {
	if !r.Answered() {
		return nil
	}
	for i := len(r.Acts) - 1; i >= 0; i-- {
		if r.Acts[i].Kind == r.State {
			return &r.Acts[i]
		}
	}
	return nil
}

// AnsweredAt is when it was answered; the zero time while it is open.
func (r Request) AnsweredAt() time.Time {
	if a := r.Answer(); a != nil {
		return a.RecordedAt.Time
	}
	return time.Time{}
}

// Released reports whether a keeper lets everybody read the sender's words.
func (r Request) Released() bool {
	for _, a := range slices.Backward(r.Acts) {
		if a.Kind == store.CorrectionReleased || a.Kind == store.CorrectionKeptBack {
			return a.Kind == store.CorrectionReleased
		}
	}
	return false
}

// PassedTo reports whether a request is with somebody who determines: with whoever does, or with them.
func (r Request) PassedTo(person foray.ID) bool {
	if r.State != CorrectionPassed {
		return false
	}
	for _, a := range slices.Backward(r.Acts) {
		if a.Kind == CorrectionPassed {
			return a.ToID.IsZero() || a.ToID == person
		}
	}
	return false
}

// Requests lists an event's requests in the order in which they came. Who asked is not among what is read here.
func (l *Look) Requests() ([]Request, error) {
	rows, err := l.Tx.Corrections(l.Scope.Society, l.Scope.Event)
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	acts, err := l.Tx.CorrectionActs(l.Scope.Society, l.Scope.Event, foray.ID{})
	if err != nil {
		return nil, err
	}
	of := map[foray.ID][]store.CorrectionAct{}
	for _, a := range acts {
		of[a.CorrectionID] = append(of[a.CorrectionID], a)
	}
	all := make([]Request, len(rows))
	for i, row := range rows {
		all[i] = Request{Correction: row, Acts: of[row.ID]}
		all[i].stand()
	}
	return all, nil
}

// RequestOf is one request with what was done about it.
func (l *Look) RequestOf(c store.Correction) (Request, error) {
	r := Request{Correction: c}
	var err error
	r.Acts, err = l.Tx.CorrectionActs(c.SocietyID, c.EventID, c.ID)
	r.stand()
	return r, err
}

// OpenRequests is how many requests wait for an answer.
func (l *Look) OpenRequests() (n int, err error) {
	all, err := l.Requests()
	for _, r := range all {
		if !r.Answered() {
			n++
		}
	}
	return n, err
}

// AnsweredRequest is a request that was answered between two versions of a list, with what everybody may read of it.
type AnsweredRequest struct {
	Seq     int       `json:"request"`
	About   string    `json:"about"`
	Number  string    `json:"number,omitempty"` // of the find
	Record  string    `json:"field_record,omitempty"`
	Line    string    `json:"line,omitempty"`
	Kind    string    `json:"kind"`
	State   string    `json:"state"` // done or unchanged
	Changed string    `json:"changed,omitempty"`
	Words   string    `json:"words,omitempty"` // the keeper's, to whoever asked and to everybody
	At      time.Time `json:"answered_at"`
}

// Answered lists the requests that were answered after one moment and by the other, in the order in which they came, but
// for those that something should not be public. A zero to is now.
func Answered(l *Look, from, to time.Time) ([]AnsweredRequest, error) {
	all, err := l.Requests()
	if err != nil {
		return nil, err
	}
	var out []AnsweredRequest
	for _, r := range all {
		answer := r.Answer()
		if answer == nil || r.Kind == store.CorrectionPrivate || !answer.RecordedAt.After(from) || !to.IsZero() && answer.RecordedAt.After(to) {
			continue
		}
		one := AnsweredRequest{Seq: r.Seq, About: r.About, Line: r.Line, Kind: r.Kind, State: r.State, Changed: answer.Changed, Words: answer.Words, At: answer.RecordedAt.Time}
		if one.Number, err = l.numberOf(r.CollectionID); err != nil {
			return nil, err
		}
		if !r.RecordID.IsZero() {
			seen, err := l.Tx.FieldRecordByID(l.Scope.Society, l.Scope.Event, r.RecordID)
			if err != nil {
				return nil, err
			}
			one.Record, one.Line = r.RecordID.URN(), Written(SeenThere{FieldRecord: seen}.SlipName())
		}
		out = append(out, one)
	}
	return out, nil
}

func (l *Look) numberOf(collection foray.ID) (string, error) {
	if collection.IsZero() {
		return "", nil
	}
	c, err := l.Tx.CollectionByID(l.Scope.Society, l.Scope.Event, collection)
	return c.Number().String(), err
}
