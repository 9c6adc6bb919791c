package corrections

import (
	"context"
	"slices"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Done is the answer to an act: how the request stands now.
type Done struct {
	Request foray.ID `json:"request"`
	State   string   `json:"state"`
}

// AskBack is a question to the sender, who reads it on their page.
type AskBack struct {
	Request foray.ID `json:"request"`
	Words   string   `json:"words"`
}

// Pass is a request given to those who determine: their opinion is a slip, as for any find.
type Pass struct {
	Request foray.ID `json:"request"`
	To      foray.ID `json:"to,omitzero"` // one of them; zero: whoever comes to it
	Words   string   `json:"words,omitempty"`
}

// Answer is how a request ends: something was put right, or it stays, with the reason. Everybody may read the words.
type Answer struct {
	Request foray.ID `json:"request"`
	Changed string   `json:"changed,omitempty"` // slip, field, record, place, other; empty: it stays
	Slip    foray.ID `json:"slip,omitzero"`     // by which it was put right
	Words   string   `json:"words"`
}

// Again is why an answered request is taken up again.
type Again struct {
	Request foray.ID `json:"request"`
	Words   string   `json:"words"`
}

// Changes lists what may have been put right.
var Changes = []string{"slip", "field", "record", "place", "other"}

// act is one act of a keeper on a request, in the states that it is for.
func act(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, request foray.ID,
	rule func(w *hall.Write, r hall.Request) (store.CorrectionAct, error)) (Done, error) {
	return hall.Do(ctx, h, actor, access.PublishList, scope, cmd, func(w *hall.Write) (Done, error) {
		r, err := lock(w, request)
		if err != nil {
			return Done{}, err
		}
		a, err := rule(w, r)
		if err != nil {
			return Done{}, err
		}
		a.PersonID = w.Actor.Person
		return add(w, r, a)
	})
}

// lock takes a request for an act; an event that is lent is read only.
func lock(w *hall.Write, request foray.ID) (hall.Request, error) {
	row, err := w.Tx.LockCorrection(w.Scope.Society, w.Scope.Event, request)
	if err != nil {
		return hall.Request{}, err
	}
	e, err := w.Event()
	if err == nil && e.Home == hall.HomeLent {
		err = fault.New(fault.Refused, "event.is-lent")
	}
	if err != nil {
		return hall.Request{}, err
	}
	return w.RequestOf(row)
}

// add writes an act and says how the request stands then.
func add(w *hall.Write, r hall.Request, a store.CorrectionAct) (Done, error) {
	var err error
	if a.ID, err = w.NewID(); err != nil {
		return Done{}, err
	}
	a.SocietyID, a.EventID, a.CorrectionID, a.Seq, a.RecordedAt = r.SocietyID, r.EventID, r.ID, len(r.Acts)+1, w.Stamp()
	w.Note("correction."+a.Kind, r.ID, a.Changed)
	if err := w.Tx.AddCorrectionAct(a); err != nil {
		return Done{}, err
	}
	now, err := w.RequestOf(r.Correction)
	return Done{Request: r.ID, State: now.State}, err
}

// words takes an act's words, which must be there.
func words(text string) (string, error) {
	text = strings.TrimSpace(text)
	switch {
	case text == "":
		return "", fault.Wrong("words", "correction.say-why")
	case len(text) > mostWords:
		return "", fault.Wrong("words", "text.too-long", "most", mostWords)
	}
	return text, nil
}

// openStill refuses what was answered.
func openStill(r hall.Request) error {
	if r.Answered() {
		return fault.New(fault.Refused, "correction.is-answered", "number", r.Seq)
	}
	return nil
}

// AskSender asks the sender something.
func AskSender(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in AskBack) (Done, error) {
	cmd.Type, cmd.Body = "correction.ask-back.v1", in
	return act(ctx, h, actor, scope, cmd, in.Request, func(w *hall.Write, r hall.Request) (store.CorrectionAct, error) {
		text, err := words(in.Words)
		if err == nil {
			err = openStill(r)
		}
		w.Changed("correction", r.ID)
		return store.CorrectionAct{Kind: store.CorrectionAsked, Words: text}, err
	})
}

// PassOn gives a request to those who determine.
func PassOn(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Pass) (Done, error) {
	cmd.Type, cmd.Body = "correction.pass.v1", in
	return act(ctx, h, actor, scope, cmd, in.Request, func(w *hall.Write, r hall.Request) (store.CorrectionAct, error) {
		if len(in.Words) > mostWords {
			return store.CorrectionAct{}, fault.Wrong("words", "text.too-long", "most", mostWords)
		}
		if err := openStill(r); err != nil {
			return store.CorrectionAct{}, err
		}
		if r.Kind == Private {
			return store.CorrectionAct{}, fault.New(fault.Refused, "correction.stays-with-keepers")
		}
		may, err := identifiers(&w.Look)
		if err == nil && !in.To.IsZero() && !slices.Contains(may, in.To) {
			err = fault.Wrong("to", "correction.no-identifier")
		}
		w.Changed("correction", r.ID)
		return store.CorrectionAct{Kind: store.CorrectionPassed, ToID: in.To, Words: strings.TrimSpace(in.Words)}, err
	})
}

// AnswerRequest ends a request. What is said to have been put right must have been: the slip, or the field data, were
// written after the request came.
func AnswerRequest(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Answer) (Done, error) {
	cmd.Type, cmd.Body = "correction.answer.v1", in
	return act(ctx, h, actor, scope, cmd, in.Request, func(w *hall.Write, r hall.Request) (store.CorrectionAct, error) {
		text, err := words(in.Words)
		if err == nil {
			err = openStill(r)
		}
		if err != nil {
			return store.CorrectionAct{}, err
		}
		w.Changed("correction", r.ID)
		if in.Changed == "" {
			if !in.Slip.IsZero() {
				return store.CorrectionAct{}, fault.Wrong("changed", "correction.changed-missing")
			}
			return store.CorrectionAct{Kind: store.CorrectionUnchanged, Words: text}, nil
		}
		return store.CorrectionAct{Kind: store.CorrectionDone, Words: text, Changed: in.Changed, SlipID: in.Slip}, in.true(w, r)
	})
}

// true holds what is said to have been put right against what was written.
func (in Answer) true(w *hall.Write, r hall.Request) error {
	var was bool
	var err error
	switch in.Changed {
	case "slip":
		return in.slip(w, r)
	case "field":
		if r.CollectionID.IsZero() {
			return fault.Wrong("changed", "correction.no-find")
		}
		was, err = w.Tx.AuditedSince(r.SocietyID, r.EventID, r.CollectionID, fieldActs, r.RecordedAt)
	case "record":
		if r.RecordID.IsZero() {
			return fault.Wrong("changed", "correction.no-find")
		}
		was, err = recordWords(w, r)
	case "place", "other":
		was = true
	default:
		return fault.Wrong("changed", "correction.changed-missing")
	}
	if err == nil && !was {
		err = fault.Wrong("changed", "correction.nothing-changed")
	}
	return err
}

// recordWords reports whether somebody stood behind a field record or struck it since.
func recordWords(w *hall.Write, r hall.Request) (bool, error) {
	all, err := w.Tx.FieldWords(r.SocietyID, r.EventID)
	return slices.ContainsFunc(all, func(f store.FieldWord) bool {
		return f.RecordID == r.RecordID && !f.RecordedAt.Before(r.RecordedAt.Time)
	}), err
}

// slip is one of the find's, or of any find where the request is about a line or the list, and newer than the request.
func (in Answer) slip(w *hall.Write, r hall.Request) error {
	slips, err := w.Tx.Slips(r.SocietyID, r.EventID, r.CollectionID)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(slips, func(s foray.Slip) bool { return s.ID == in.Slip })
	switch {
	case in.Slip.IsZero() || i < 0:
		return fault.Wrong("slip", "correction.no-slip")
	case slips[i].RecordedAt.Before(r.RecordedAt.Time):
		return fault.Wrong("slip", "correction.old-slip")
	}
	return nil
}

// TakeUpAgain opens an answered request.
func TakeUpAgain(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Again) (Done, error) {
	cmd.Type, cmd.Body = "correction.reopen.v1", in
	return act(ctx, h, actor, scope, cmd, in.Request, func(w *hall.Write, r hall.Request) (store.CorrectionAct, error) {
		text, err := words(in.Words)
		if err == nil && !r.Answered() {
			err = fault.New(fault.Refused, "correction.is-open", "number", r.Seq)
		}
		w.Changed("correction", r.ID)
		return store.CorrectionAct{Kind: store.CorrectionReopened, Words: text}, err
	})
}

// Showing is whether everybody may read what the sender of a request wrote.
type Showing struct {
	Request foray.ID `json:"request"`
	Back    bool     `json:"back,omitempty"` // no longer
}

// Release lets everybody read what the sender wrote, or keeps it back again; who they are stays as they said.
func Release(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Showing) (Done, error) {
	cmd.Type, cmd.Body = "correction.release.v1", in
	return act(ctx, h, actor, scope, cmd, in.Request, func(w *hall.Write, r hall.Request) (store.CorrectionAct, error) {
		switch {
		case r.Kind == Private:
			return store.CorrectionAct{}, fault.New(fault.Refused, "correction.stays-private")
		case r.Released() != in.Back:
			return store.CorrectionAct{}, fault.New(fault.Refused, "correction.is-so", "number", r.Seq)
		}
		w.Changed("correction", r.ID)
		if in.Back {
			return store.CorrectionAct{Kind: store.CorrectionKeptBack}, nil
		}
		return store.CorrectionAct{Kind: store.CorrectionReleased}, nil
	})
}

// Reply is what the sender says when asked back.
type Reply struct {
	Secret string `json:"secret"`
	Words  string `json:"words"`
}

// ReplyAsSender adds the sender's answer to a request, by the secret of their page.
func ReplyAsSender(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Reply) (Done, error) {
	cmd.Type, cmd.Body = "correction.reply.v1", in
	return asSender(ctx, h, scope, cmd, in.Secret, func(w *hall.Write, r hall.Request) (Done, error) {
		text, err := words(in.Words)
		if err == nil {
			err = openStill(r)
		}
		said := 0
		for _, a := range r.Acts {
			if a.Kind == store.CorrectionSaid {
				said++
			}
		}
		if err == nil && said >= mostReplies {
			err = fault.New(fault.Refused, "correction.said-enough", "most", mostReplies)
		}
		if err != nil {
			return Done{}, err
		}
		return add(w, r, store.CorrectionAct{Kind: store.CorrectionSaid, Words: text})
	})
}

// Forget is a sender who does not want to be known any more: by the secret of their page, or by word to a keeper.
type Forget struct {
	Secret  string   `json:"secret,omitempty"`
	Request foray.ID `json:"request,omitzero"`
}

// ForgetSender erases who asked. The request stays, and that they were forgotten is added to it.
func ForgetSender(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Forget) (Done, error) {
	cmd.Type, cmd.Body = "correction.forget.v1", in
	forget := func(w *hall.Write, r hall.Request, by foray.ID) (Done, error) {
		was, err := w.Tx.EraseContact(r.SocietyID, r.EventID, r.ID)
		if err != nil || !was {
			return Done{Request: r.ID, State: r.State}, err
		}
		if !by.IsZero() { // as of a request: nobody outside makes a keeper's list look changed
			w.Changed("correction", r.ID)
		}
		return add(w, r, store.CorrectionAct{Kind: store.CorrectionErased, Words: string(hall.ContactAsked), PersonID: by})
	}
	if in.Secret != "" {
		return asSender(ctx, h, scope, cmd, in.Secret, func(w *hall.Write, r hall.Request) (Done, error) { return forget(w, r, foray.ID{}) })
	}
	return hall.Do(ctx, h, actor, access.PublishList, scope, cmd, func(w *hall.Write) (Done, error) {
		r, err := lock(w, in.Request)
		if err != nil {
			return Done{}, err
		}
		return forget(w, r, w.Actor.Person)
	})
}

// asSender is an act by whoever has the secret of a request's page. They are nobody else by it, whoever is signed in.
func asSender(ctx context.Context, h *hall.Hall, scope access.Scope, cmd hall.Command, secret string,
	rule func(w *hall.Write, r hall.Request) (Done, error)) (Done, error) {
	sender, err := h.Unsigned(ctx, access.Nobody, scope.Society)
	if err != nil {
		return Done{}, err
	}
	return hall.Do(ctx, h, sender, access.ReadPublic, scope, cmd, func(w *hall.Write) (Done, error) {
		row, err := w.Tx.CorrectionByHash(scope.Society, scope.Event, hashOf(secret))
		if err != nil {
			return Done{}, err
		}
		r, err := lock(w, row.ID)
		if err != nil {
			return Done{}, err
		}
		return rule(w, r)
	})
}
