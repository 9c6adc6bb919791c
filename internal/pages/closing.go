package pages

import (
	"strconv"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/closing"
	"forayhall/internal/hall/setup"
	"forayhall/internal/message"
	"forayhall/web/view"
)

// The forms of the closing page, each with fields of its own prefix.
const (
	formEndDay    = view.FormCloseHall
	formEndEvent  = view.FormCloseEvent
	formOpenAgain = view.FormOpenAgain
)

func closingPage(r *request) (templ.Component, error) { return r.closing(typedAct{}) }

func (r *request) closing(typed typedAct) (templ.Component, error) {
	s, err := closing.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("closing.title"), false)
	if err != nil {
		return nil, err
	}
	p := view.Closing{Layout: l, State: s.Event.State, Vouchers: r.event().Vouchers(), Hall: r.needs(s.Hall), Event: r.needs(s.Finish), Records: s.Hazards.Bagged,
		Facts: []message.Text{view.T("closing.fact.bagged", "n", s.Hazards.Bagged), view.T("closing.fact.dried", "n", s.Hazards.Dried), view.T("closing.fact.sent", "n", s.Hazards.Sent)}}
	for _, n := range s.Hazards.Lost {
		p.Lost = append(p.Lost, r.numberTo(n))
	}
	for _, c := range s.History {
		p.History = append(p.History, view.ClosingLine{Kind: c.Kind, At: r.when(c.RecordedAt.Time), By: s.People[c.ClosedBy].Name, Count: c.HazardsCounted, Words: c.Words})
	}
	p.Personal, p.Requests = r.personal(s.Personal, s.People), view.RequestsOpen{N: s.Requests}
	if r.held.Can(access.PublishList) {
		p.Requests.Path = r.event().Corrections()
	}
	err = r.closingForms(&p, s, typed)
	return view.ClosingPage(p), err
}

func (r *request) closingForms(p *view.Closing, s closing.Sight, typed typedAct) (err error) {
	made := func(key string) (view.Form, error) {
		f, err := r.newForm(r.event().Close()+"/"+key, 0)
		if typed.form == key && typed.command != "" {
			f.Command = typed.command
		}
		return f, err
	}
	if s.Event.State == hall.EventOpen && len(s.Hall) == 0 {
		p.Day = &view.CloseHallForm{Bagged: typed.of(formEndDay, "bagged"), Words: typed.of(formEndDay, "words")}
		if p.Day.Form, err = made(formEndDay); err != nil {
			return err
		}
	}
	if s.Event.State == hall.HallClosed && len(s.Finish) == 0 {
		p.Final = &view.CloseEventForm{Words: typed.of(formEndEvent, "words")}
		if p.Final.Form, err = made(formEndEvent); err != nil {
			return err
		}
	}
	if s.Event.State != hall.EventOpen {
		p.Again = &view.OpenAgainForm{Reason: typed.of(formOpenAgain, "reason")}
		p.Again.Form, err = made(formOpenAgain)
	}
	return err
}

func (r *request) numberTo(n foray.Number) view.NumberTo {
	number := r.number(n)
	number.Code = "" // there may be a hundred, all of this event
	return view.NumberTo{Number: number, Path: r.event().Collection(n.String())}
}

func (r *request) needs(all []closing.Need) []view.ClosingNeed {
	needs := make([]view.ClosingNeed, len(all))
	for i, n := range all {
		needs[i] = view.ClosingNeed{Text: n.Text, Path: r.mendedAt(n.Where)}
		for _, written := range n.Numbers {
			if number, err := foray.ParseNumber(written, r.at.Event.Code); err == nil {
				needs[i].Numbers = append(needs[i].Numbers, r.numberTo(number))
			}
		}
	}
	return needs
}

func (r *request) mendedAt(w closing.Where) string {
	e := r.event()
	switch w {
	case closing.AtTeams:
		return e.Path + "/teams"
	case closing.AtRights:
		return e.SetupPart(string(setup.PartRights))
	case closing.AtNumbers:
		return e.Path + "/numbers"
	case closing.AtList:
		return e.Publish()
	case closing.AtVouchers:
		return e.Vouchers()
	case closing.AtHall:
		return e.Close() + "#close-hall"
	}
	return e.Collections()
}

// doClose runs one form of the closing page.
func (r *request) doClose(form string, do func(cmd hall.Command) error) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	err = do(cmd)
	if err == nil || !mendable(err) || !r.held.Can(access.SetUp) {
		return r.event().Close(), nil, err
	}
	r.wrong(form, err)
	page, pageErr := r.closing(typedAct{form: form, command: r.keptCommand(err), values: r.value})
	if pageErr != nil {
		return "", nil, pageErr
	}
	return "", page, err
}

func endDay(r *request) (string, templ.Component, error) {
	return r.doClose(formEndDay, func(cmd hall.Command) error {
		w := r.reading()
		in := closing.CloseHall{Bagged: w.number("bagged"), Words: r.value("words")}
		if _, err := strconv.Atoi(r.value("bagged")); err != nil { // nothing written is no count
			w.wrong["bagged"] = message.T("closing.count")
		}
		if err := w.err(); err != nil {
			return err
		}
		_, err := closing.EndDay(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		return err
	})
}

func endEvent(r *request) (string, templ.Component, error) {
	return r.doClose(formEndEvent, func(cmd hall.Command) error {
		_, err := closing.EndEvent(r.ctx, r.hall(), r.actor, r.scope(), cmd, closing.CloseEvent{Words: r.value("words")})
		return err
	})
}

func openAgain(r *request) (string, templ.Component, error) {
	return r.doClose(formOpenAgain, func(cmd hall.Command) error {
		_, err := closing.OpenAgain(r.ctx, r.hall(), r.actor, r.scope(), cmd, closing.Reopen{Reason: r.value("reason")})
		return err
	})
}
