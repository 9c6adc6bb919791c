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

// correctPage is the form in which anybody asks for a correction, filled in by ?about= and ?version=.
func correctPage(r *request) (templ.Component, error) {
	version, _ := strconv.Atoi(r.echo.QueryParam("version"))
	return r.correctPage(r.echo.QueryParam("about"), max(version, 0), typedAct{})
}

func (r *request) correctPage(about string, version int, typed typedAct) (templ.Component, error) {
	f, err := corrections.SeeForm(r.ctx, r.hall(), r.actor, r.scope(), about, version)
	if fault.Is(err, fault.Invalid) { // what is written is on no list: the form says so beside it
		if !r.errors.Any() {
			r.wrong("", err)
		}
		f, err = corrections.SeeForm(r.ctx, r.hall(), r.actor, r.scope(), "", 0)
		if typed.values == nil {
			typed.values = func(name string) string { return map[string]string{"about": about}[name] }
		}
	}
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("correct.title"), true)
	if err != nil {
		return nil, err
	}
	l.Live = view.Live{} // what is being written is not to be written over
	form, err := r.newForm(r.event().Correct(), 0)
	if err != nil {
		return nil, err
	}
	p := view.AskPage{Layout: l, Form: form, Version: f.Subject.Version, Subject: r.correctionSubject(f.Subject), Known: f.Known,
		About: f.Subject.Written(), Kinds: view.Options("correct.kind", view.CorrectionKinds, typed.of("", "kind")), Name: typed.of("", "name"), Words: typed.of("", "words"),
		Proof: typed.of("", "evidence"), From: typed.of("", "from"), Reach: typed.of("", "reach"), Show: typed.of("", "show_name") != "", Months: f.Event.ContactMonths}
	if typed.values != nil {
		p.About = typed.of("", "about")
	}
	if typed.command != "" {
		p.Form.Command, p.Secret = typed.command, typed.of("", "secret")
	}
	if p.Secret == "" {
		if p.Secret, err = corrections.NewSecret(r.hall().Random); err != nil {
			return nil, err
		}
	}
	for _, a := range f.Asked {
		p.Asked = append(p.Asked, view.AskedLine{Seq: a.Seq, Kind: a.Kind, State: a.State, Sent: r.local(a.SentAt), By: a.By, Words: a.Words, Proposed: a.Name,
			Answer: a.Answer, Answered: r.local(a.AnsweredAt)})
	}
	return view.CorrectPage(p), nil
}

// correctionSubject says what a request is about.
func (r *request) correctionSubject(s corrections.Subject) view.CorrectionSubject {
	v := view.CorrectionSubject{About: s.About, Version: s.Version}
	switch s.About {
	case "find":
		v.Number, v.Path = r.numbered(s.Number), r.event().Find(s.Number)
	case "line":
		v.Name, v.Path = r.sciWritten(s.Line), r.writtenPath(s.Line)
	case "record":
		v.Name = r.sciWritten(s.Seen)
	}
	return v
}

func sendCorrection(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	cmd.BaseVersion = nil
	version, _ := strconv.Atoi(r.value("version"))
	in := corrections.Ask{About: r.value("about"), Version: max(version, 0), Kind: r.value("kind"), Name: r.value("name"), Words: r.value("words"), Evidence: r.value("evidence"),
		From: r.value("from"), Reach: r.value("reach"), ShowName: r.ticked("show_name"), Secret: r.value("secret")}
	asked, err := corrections.SendRequest(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
	if err == nil {
		return asked.Path, nil, nil
	}
	if !mendable(err) && !fault.Is(err, fault.TooMany) {
		return "", nil, err
	}
	r.wrong("", err)
	page, pageErr := r.correctPage(in.About, in.Version, typedAct{command: r.keptCommand(err), values: r.value})
	return again(page, err, pageErr)
}

// ownCorrection is the sender's page: its address lets in whoever has it.
func ownCorrection(r *request) (templ.Component, error) { return r.ownCorrection(typedAct{}) }

func (r *request) ownCorrection(typed typedAct) (templ.Component, error) {
	secret := r.echo.Param("secret")
	o, err := corrections.SeeOwn(r.ctx, r.hall(), r.scope(), secret)
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("correct.title"), true)
	if err != nil {
		return nil, err
	}
	path := r.event().Correct() + "/" + secret
	q := o.Request
	p := view.SenderPage{Layout: l, Seq: q.Seq, Subject: r.correctionSubject(o.Subject), Kind: q.Kind, State: q.State, Sent: r.local(q.RecordedAt.Time),
		Words: q.Words, Proposed: q.Verbatim, Proof: q.Evidence, URL: r.address(path)}
	for _, a := range q.Acts {
		line := view.SenderAct{Kind: a.Kind, At: r.local(a.RecordedAt.Time)}
		if a.Kind != hall.CorrectionPassed && a.Kind != hall.CorrectionErased { // between those who answer; a word of the program
			line.Words = a.Words
		}
		p.Acts = append(p.Acts, line)
	}
	if o.Slip != nil {
		p.Slip = &view.CorrectionSlip{At: r.local(o.Slip.Slip.RecordedAt), Path: r.event().Find(o.Slip.Number)}
		for _, n := range o.Slip.Slip.Names {
			p.Slip.Names = append(p.Slip.Names, sciOf(n))
		}
	}
	if c := o.Contact; c != nil {
		p.Contact = &view.SenderContact{Name: c.Name, Reach: c.Reach, Shown: c.ShowName, Until: day(o.Until), Why: string(o.Why)}
		f, err := r.newForm(path, 0)
		if p.Forget = &f; err != nil {
			return nil, err
		}
	}
	if !q.Answered() {
		f, err := r.newForm(path, 0)
		if p.Reply, p.Typed = &f, typed.of("", "words"); err != nil {
			return nil, err
		}
		if typed.command != "" {
			f.Command = typed.command
		}
	}
	return view.OwnCorrectionPage(p), nil
}

func actOnOwnCorrection(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	cmd.BaseVersion = nil
	secret := r.echo.Param("secret")
	if r.value("act") == "forget" {
		_, err = corrections.ForgetSender(r.ctx, r.hall(), r.actor, r.scope(), cmd, corrections.Forget{Secret: secret})
	} else {
		_, err = corrections.ReplyAsSender(r.ctx, r.hall(), r.actor, r.scope(), cmd, corrections.Reply{Secret: secret, Words: r.value("words")})
	}
	if err == nil || !mendable(err) {
		return r.event().Correct() + "/" + secret, nil, err
	}
	r.wrong("", err)
	page, pageErr := r.ownCorrection(typedAct{command: r.keptCommand(err), values: r.value})
	return again(page, err, pageErr)
}

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
			if q.Released() || q.Kind == corrections.Private {
				continue
			}
		case view.FormForget:
			if i.Until == "" {
				continue
			}
		default:
			if q.Answered() {
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
		_, err := corrections.Release(r.ctx, r.hall(), r.actor, r.scope(), cmd, corrections.Named{Request: id})
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

// requestsOpen leads to the requests that wait, for those who may answer.
func (r *request) requestsOpen(n int) view.RequestsOpen {
	o := view.RequestsOpen{N: n}
	if r.held.Can(access.PublishList) {
		o.Path = r.event().Corrections()
	}
	return o
}
