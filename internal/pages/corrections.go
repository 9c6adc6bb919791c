package pages

import (
	"strconv"

	"github.com/a-h/templ"

	"forayhall/internal/fault"
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
