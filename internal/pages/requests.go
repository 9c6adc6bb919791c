package pages

import (
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/corrections"
	"forayhall/web/view"
)

func requestsPage(r *request) (templ.Component, error) { return r.requestsPage(typedAct{}) }

func (r *request) requestsPage(typed typedAct) (templ.Component, error) {
	room, err := corrections.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("corrections.title"), true)
	if err != nil {
		return nil, err
	}
	l.Live = view.Live{} // what is being written is not to be written over, and each look at a sender is written down
	p := view.CorrectionsPage{Layout: l, Keeper: room.Keeper}
	for _, list := range []struct {
		items []corrections.Item
		into  *[]view.CorrectionItem
	}{{room.Open, &p.Open}, {room.Answered, &p.Answered}} {
		for _, i := range list.items {
			v, err := r.requestItem(room, i, typed)
			if err != nil {
				return nil, err
			}
			*list.into = append(*list.into, v.With(r.errors))
		}
	}
	return view.RequestsPage(p), nil
}

func (r *request) requestItem(room corrections.Room, i corrections.Item, typed typedAct) (view.CorrectionItem, error) {
	q := i.Request
	v := view.CorrectionItem{Seq: q.Seq, ID: q.ID.String(), Subject: r.correctionSubject(i.Subject), State: q.State, Kind: q.Kind, Sent: r.local(q.RecordedAt.Time),
		Member: !q.PersonID.IsZero(), Words: q.Words, Proof: q.Evidence, Corrected: i.Corrected, Released: q.Released(), Until: day(i.Until), Why: string(i.Why),
		Typed: typed.of}
	if q.Verbatim != "" {
		v.Proposed = r.sciWritten(q.Verbatim)
	}
	for _, a := range q.Acts {
		line := view.CorrectionActLine{Kind: a.Kind, Words: a.Words, Changed: a.Changed, By: room.People[a.PersonID].Name, To: room.People[a.ToID].Name, At: r.local(a.RecordedAt.Time)}
		if a.Kind == hall.CorrectionErased {
			line.Words = ""
		}
		v.Acts = append(v.Acts, line)
	}
	for _, s := range i.Slips {
		one := view.CorrectionSlip{By: room.People[s.Slip.Determiner].Name, At: r.local(s.Slip.RecordedAt)}
		for _, n := range s.Slip.Names {
			one.Names = append(one.Names, sciOf(n))
		}
		v.Slips = append(v.Slips, one)
	}
	r.requestFind(&v, i)
	if !room.Keeper {
		return v, nil
	}
	if err := r.requestContact(&v, i); err != nil {
		return v, err
	}
	return v, r.requestForms(&v, room, i, typed)
}

func (r *request) requestFind(v *view.CorrectionItem, i corrections.Item) {
	if i.Plate == nil {
		return
	}
	number := i.Plate.Number().String()
	v.Find, v.Naming = r.event().Collection(number), stateOf(*i.Plate)
	if r.held.Can(access.LogCollection) {
		v.Field = v.Find + "/field"
	}
	for _, a := range i.Plate.Standing.Question {
		v.Names = append(v.Names, sciOf(a.SlipName))
	}
}

// requestContact leads to who asked; with ?contact= it shows them, which is written down.
func (r *request) requestContact(v *view.CorrectionItem, i corrections.Item) error {
	if i.Until == "" {
		return nil
	}
	v.Contact = r.event().Corrections() + "?contact=" + v.ID + "#request-" + strconv.Itoa(v.Seq)
	if r.echo.QueryParam("contact") != v.ID {
		return nil
	}
	c, err := corrections.SeeContact(r.ctx, r.hall(), r.actor, r.scope(), i.Request.ID)
	v.Shown = &view.SenderContact{Name: c.Name, Reach: c.Reach, Shown: c.ShowName, Until: v.Until, Why: v.Why}
	return err
}

func (r *request) requestForms(v *view.CorrectionItem, room corrections.Room, i corrections.Item, typed typedAct) error {
	q := i.Request
	for key, into := range map[string]**view.Form{view.FormAnswer: &v.Answer, view.FormAskBack: &v.Ask, view.FormPass: &v.Pass, view.FormAgain: &v.Again,
		view.FormRelease: &v.Release, view.FormForget: &v.Forget} {
		switch key {
		case view.FormAgain:
			if !q.Answered() {
				continue
			}
		case view.FormRelease:
			if v.Released = q.Released(); q.Kind == corrections.Private {
				continue
			}
		case view.FormForget:
			if i.Until == "" {
				continue
			}
		default:
			if q.Answered() || key == view.FormPass && q.Kind == corrections.Private {
				continue
			}
		}
		f, err := r.newForm(r.event().Corrections()+"/"+key, 0)
		if err != nil {
			return err
		}
		if typed.form == view.CorrectionForm(key, q.Seq) && typed.command != "" {
			f.Command = typed.command
		}
		*into = &f
	}
	answer := view.CorrectionForm(view.FormAnswer, q.Seq)
	v.Changes = view.Options("corrections.changed", corrections.Changes, typed.of(answer, "changed"))
	for _, s := range i.Slips {
		v.SlipChoices = append(v.SlipChoices, view.Option{Value: s.Slip.ID.String(), Chosen: s.Slip.ID.String() == typed.of(answer, "slip"),
			Text: view.T("corrections.slip-option", "name", slipWords(s.Slip), "by", room.People[s.Slip.Determiner].Name, "at", r.when(s.Slip.RecordedAt))})
	}
	for _, id := range room.Identifiers {
		v.To = append(v.To, view.Option{Value: id.String(), Label: room.People[id].Name, Chosen: id.String() == typed.of(view.CorrectionForm(view.FormPass, q.Seq), "to")})
	}
	return nil
}

// slipWords is a slip's names in a line.
func slipWords(s foray.Slip) string {
	var names []string
	for _, n := range s.Names {
		names = append(names, hall.Written(n))
	}
	return strings.Join(names, ", ")
}

// onRequest runs one of a request's forms.
func onRequest(key string, do func(r *request, cmd hall.Command, request foray.ID) error) func(*request) (string, templ.Component, error) {
	return func(r *request) (string, templ.Component, error) {
		if !r.held.Can(access.PublishList) {
			return "", nil, r.refuse(access.PublishList)
		}
		cmd, err := r.command()
		if err != nil {
			return "", nil, err
		}
		cmd.BaseVersion = nil
		id, err := foray.ParseID(r.value("request"))
		if err != nil {
			return "", nil, fault.Missing()
		}
		err = do(r, cmd, id)
		if err == nil || !mendable(err) {
			return r.event().Corrections(), nil, err
		}
		form := key
		if room, seeErr := corrections.See(r.ctx, r.hall(), r.actor, r.scope()); seeErr == nil {
			for _, i := range append(room.Open, room.Answered...) {
				if i.Request.ID == id {
					form = view.CorrectionForm(key, i.Request.Seq)
				}
			}
		}
		r.wrong(form, err)
		page, pageErr := r.requestsPage(typedAct{form: form, command: r.keptCommand(err), values: r.value})
		return again(page, err, pageErr)
	}
}

var (
	askSender = onRequest(view.FormAskBack, func(r *request, cmd hall.Command, id foray.ID) error {
		_, err := corrections.AskSender(r.ctx, r.hall(), r.actor, r.scope(), cmd, corrections.AskBack{Request: id, Words: r.value("words")})
		return err
	})
	passRequest = onRequest(view.FormPass, func(r *request, cmd hall.Command, id foray.ID) error {
		to, err := optionalID(r.value("to"))
		if err != nil {
			return fault.Wrong("to", "correction.no-identifier")
		}
		_, err = corrections.PassOn(r.ctx, r.hall(), r.actor, r.scope(), cmd, corrections.Pass{Request: id, To: to, Words: r.value("words")})
		return err
	})
	answerRequest = onRequest(view.FormAnswer, func(r *request, cmd hall.Command, id foray.ID) error {
		slip, err := optionalID(r.value("slip"))
		if err != nil {
			return fault.Wrong("slip", "correction.no-slip")
		}
		_, err = corrections.AnswerRequest(r.ctx, r.hall(), r.actor, r.scope(), cmd, corrections.Answer{Request: id, Changed: r.value("changed"), Slip: slip, Words: r.value("words")})
		return err
	})
	takeUpRequest = onRequest(view.FormAgain, func(r *request, cmd hall.Command, id foray.ID) error {
		_, err := corrections.TakeUpAgain(r.ctx, r.hall(), r.actor, r.scope(), cmd, corrections.Again{Request: id, Words: r.value("words")})
		return err
	})
	releaseRequest = onRequest(view.FormRelease, func(r *request, cmd hall.Command, id foray.ID) error {
		_, err := corrections.Release(r.ctx, r.hall(), r.actor, r.scope(), cmd, corrections.Showing{Request: id, Back: r.value("back") != ""})
		return err
	})
	forgetSender = onRequest(view.FormForget, func(r *request, cmd hall.Command, id foray.ID) error {
		_, err := corrections.ForgetSender(r.ctx, r.hall(), r.actor, r.scope(), cmd, corrections.Forget{Request: id})
		return err
	})
)

// personal is what of an event's personal data is there still; by says who somebody is.
func (r *request) personal(p hall.Personal, by map[foray.ID]hall.Person) view.PersonalBlock {
	v := view.PersonalBlock{On: day(p.On), Latest: day(p.Latest), Months: p.Months, Contact: p.Contact, Soon: p.Soon, Borrowed: p.Home == hall.HomeBorrowed}
	for _, kind := range hall.PersonalKinds {
		if n := p.Held[kind]; n > 0 {
			v.Held = append(v.Held, view.PersonalHeld{Kind: kind, N: n})
		}
	}
	for _, g := range p.Gone {
		rows, _ := strconv.Atoi(g.Rows)
		v.Gone = append(v.Gone, view.PersonalGone{At: r.local(g.At), By: by[g.By].Name, Rows: rows})
	}
	if r.held.Can(access.SetUp) {
		v.Move = r.event().SetupPart("event") + "#event-delete_personal_on"
	}
	return v
}
