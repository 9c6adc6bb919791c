package pages

import (
	"net/url"
	"slices"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/web/view"
)

// typedMany is what somebody wrote who signs several rows at once, when it comes back.
type typedMany struct {
	picked               []string
	name, basis, remarks string
	answers              []bench.Answer
}

func queuePage(r *request) (templ.Component, error) { return r.queue(typedMany{}) }

func (r *request) show() bench.Show {
	if show := bench.Show(r.echo.QueryParam("show")); slices.Contains(bench.Shows, show) {
		return show
	}
	return bench.ForMe
}

func (r *request) queue(typed typedMany) (templ.Component, error) {
	b, err := bench.Queue(r.ctx, r.hall(), r.actor, r.scope(), r.show())
	if err != nil {
		return nil, err
	}
	a, err := r.around()
	if err != nil {
		return nil, err
	}
	p := view.Queue{AsOf: r.local(b.Now), Parts: r.queueParts(b), Rows: r.benchRows(b, a, typed), Answers: r.answers(typed.answers)}
	if r.show() == bench.ForMe {
		p.Fits = b.Groups
	}
	for _, t := range a.room.Tables {
		p.Walks = append(p.Walks, view.Link{Text: view.T("walk.title", "table", tableName(t)), Path: r.event().Walk(t.Number)})
	}
	if p.Groups, err = r.groupsForm(b.Groups); err != nil {
		return nil, err
	}
	if b.Held.Can(access.SignOff) {
		if p.Many, err = r.manyForm(typed); err != nil {
			return nil, err
		}
	}
	if done := r.echo.QueryParam("done"); done != "" {
		r.flash = view.T("many.done", "numbers", strings.ReplaceAll(done, ".", ", "))
	}
	p.Layout, err = r.layout(view.T("queue.title"), false)
	return view.QueuePage(p), err
}

// benchRows are rows of the queue: each says why it is where it is, and leads to a page that leads on.
func (r *request) benchRows(b bench.Bench, a around, typed typedMany) []view.QueueRow {
	rows := r.rows(b.Rows, a)
	for i, w := range b.Rows {
		row := &rows[i]
		row.Path += "?" + r.fromQueue().Encode()
		row.Why = row.WhyHere(w.ToMe, w.New)
		row.Pick = b.Held.Can(access.SignOff) && !w.Plate.Standing.Disputed
		row.Picked = slices.Contains(typed.picked, row.Number.Short())
	}
	return rows
}

// fromQueue is what an address carries so that a plate's page knows the plates beside it in the queue.
func (r *request) fromQueue() url.Values {
	v := url.Values{"from": {"queue"}}
	if show := r.show(); show != bench.ForMe {
		v.Set("show", string(show))
	}
	return v
}

func (r *request) queueParts(b bench.Bench) []view.QueuePart {
	var parts []view.QueuePart
	for _, show := range bench.Shows {
		if show == bench.Disputes && !b.Held.Can(access.Settle) {
			continue
		}
		part := view.QueuePart{Key: string(show), Path: r.event().Queue(), Count: b.Counts[show], Here: show == r.show()}
		if show != bench.ForMe {
			part.Path += "?show=" + string(show)
		}
		parts = append(parts, part)
	}
	return parts
}

func (r *request) groupsForm(mine []string) (view.GroupsForm, error) {
	f, err := r.newForm(r.event().Queue()+"/groups", 0)
	options := make([]view.Option, 0, len(r.hall().Knowledge.Groups))
	for _, g := range r.hall().Knowledge.Groups {
		options = append(options, view.Option{Value: g.Key, Text: view.T("group." + g.Key), Chosen: slices.Contains(mine, g.Key)})
	}
	return view.GroupsForm{Form: f, Groups: options}, err
}

func sayGroups(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	groups, err := r.values("groups")
	if err != nil {
		return "", nil, err
	}
	_, err = bench.SayGroups(r.ctx, r.hall(), r.actor, r.scope(), cmd, bench.Groups{Groups: groups})
	return r.event().Queue(), nil, err
}

// values is every value of a field that a form may send more than once.
func (r *request) values(name string) ([]string, error) {
	form, err := r.echo.FormParams()
	return form[name], err
}

func (r *request) manyForm(typed typedMany) (*view.ManyForm, error) {
	f, err := r.newForm(r.event().Queue()+"/sign", 0)
	if err != nil {
		return nil, err
	}
	basis, err := r.usualBasis(r.actor.Person, typed.basis)
	return &view.ManyForm{Form: f, Name: typed.name, Names: r.event().Names(), Bases: basis, Remarks: typed.remarks}, err
}

// usualBasis offers the bases with the one that was typed chosen, or the one that the determiner used last.
func (r *request) usualBasis(determiner foray.ID, typed string) ([]view.Option, error) {
	if typed == "" {
		last, err := bench.LastBasis(r.ctx, r.hall(), r.actor, r.scope(), determiner)
		if err != nil {
			return nil, err
		}
		typed = string(last)
	}
	options := view.Options("basis", view.Bases, typed)
	if !slices.ContainsFunc(options, func(o view.Option) bool { return o.Chosen }) {
		options[0].Chosen = true
	}
	return options, nil
}

// signMany signs every row that was chosen with one name, a slip each.
func signMany(r *request) (string, templ.Component, error) {
	picked, err := r.values("pick")
	if err != nil {
		return "", nil, err
	}
	form, err := r.command()
	if err != nil {
		return "", nil, err
	}
	typed := typedMany{picked: picked, name: r.value("name"), basis: r.value("basis"), remarks: r.value("remarks")}
	in := bench.Many{Form: form.ID, Basis: foray.Basis(typed.basis)}
	for _, number := range picked {
		in.Lines = append(in.Lines, oneLine(number, typed.name, typed.remarks))
	}
	typed.answers, err = bench.SignMany(r.ctx, r.hall(), r.actor, r.scope(), in)
	if done, all := signedNumbers(typed.answers); err == nil && all {
		return r.event().Queue() + "?done=" + done, nil, nil
	}
	if typed.picked, err = notSigned(typed.answers, typed.picked), orSome(err); !mendable(err) {
		return "", nil, err
	}
	r.wrong(view.FormMany, err)
	page, err2 := r.queue(typed)
	if err2 != nil {
		return "", nil, err2
	}
	return "", page, err
}

// orSome is the error of a list of which some lines were not taken.
func orSome(err error) error {
	if err != nil {
		return err
	}
	return fault.New(fault.Refused, "bench.some-not-signed")
}

// oneLine is a line as a scribe would have written it.
func oneLine(number, name, remarks string) foray.Line {
	written := number + " " + name
	if remarks != "" {
		written += "; " + remarks
	}
	return foray.Line{Written: written, Number: number, Name: name, Remarks: remarks}
}

// signedNumbers are the numbers that were signed, for an address, and whether all were.
func signedNumbers(answers []bench.Answer) (numbers string, all bool) {
	var done []string
	for _, a := range answers {
		if a.Outcome == bench.Signed {
			done = append(done, a.Done.Number)
		}
	}
	return strings.Join(done, "."), len(done) == len(answers) && len(answers) > 0
}

// notSigned are the numbers whose boxes stay ticked.
func notSigned(answers []bench.Answer, picked []string) []string {
	if len(answers) == 0 {
		return picked
	}
	var left []string
	for _, a := range answers {
		if a.Outcome != bench.Signed {
			left = append(left, a.Line.Number)
		}
	}
	return left
}

func (r *request) answers(answers []bench.Answer) []view.SignedLine {
	lines := make([]view.SignedLine, len(answers))
	for i, a := range answers {
		line := view.SignedLine{Written: a.Line.Written, Outcome: string(a.Outcome)}
		if n, err := foray.ParseNumber(a.Line.Number, r.at.Event.Code); err == nil {
			line.Number, line.Path = r.number(n), r.event().Collection(n.String())
		}
		if a.Err != nil {
			line.Why = whyNot(a.Err)
		}
		if a.Outcome == bench.Overtaken {
			line.Theirs, line.By = strings.Join(a.First.Names, ", "), a.First.By
		}
		lines[i] = line
	}
	return lines
}

// handOnForm offers the plate to another identifier, to whoever may put a plate on a bench.
func (r *request) handOnForm(s bench.Sight, then string) (*view.HandOnForm, error) {
	if !s.Held.Can(access.LogCollection) && !s.Held.Can(access.PlacePlates) || len(s.Identifiers) == 0 {
		return nil, nil
	}
	f, err := r.newForm(r.act(s, view.FormPlace), int64(s.Plate.Version))
	f.Then = then
	p := &view.HandOnForm{Form: f}
	for _, i := range s.Identifiers {
		if i.Person.ID != r.actor.Person {
			p.To = append(p.To, view.Identifier{Name: i.Person.Name, Groups: i.Groups})
		}
	}
	if len(p.To) == 0 {
		return nil, err
	}
	return p, err
}

// agreeForm signs the first name in question in one key, where that is an act without a reason to give.
func (r *request) agreeForm(s bench.Sight, names []view.InQuestion, by determiner, then string) (*view.AgreeForm, error) {
	standing := s.Plate.Standing
	if len(names) == 0 || by.id.IsZero() || standing.InPerson() && by.id != r.actor.Person {
		return nil, nil
	}
	switch act := standing.Act(standing.Question[0].SlipName, by.id); {
	case act == foray.Dissents, act == foray.Redetermines:
		return nil, nil
	case act == foray.Agrees && standing.IsParty(by.id): // said already
		return nil, nil
	}
	f, err := r.newForm(r.act(s, view.FormSign), int64(s.Plate.Version))
	if err != nil {
		return nil, err
	}
	f.Then = then
	bases, err := r.usualBasis(by.id, "")
	first := hall.Written(standing.Question[0].SlipName)
	p := &view.AgreeForm{Form: f, Name: names[0], Bases: bases, LookFor: r.lookFor(r.suspects(s, first), func(string) string { return "" }, nil)}
	if by.id != r.actor.Person {
		p.Determiner, p.For = by.id.String(), by.name
	}
	return p, err
}

// determiner is in whose name the page signs: the person's own, or for a scribe whoever the address names.
type determiner struct {
	id   foray.ID
	name string
}

// of is the chosen option of a list of determiners; nothing where a person signs for themselves.
func (d determiner) of(a access.Actor) string {
	if d.id == a.Person {
		return ""
	}
	return d.id.String()
}

func (r *request) signsFor(s bench.Sight) determiner {
	if chosen, err := optionalID(r.value("for")); err == nil && s.Held.Can(access.ScribeSignOff) {
		for _, p := range s.Determiners {
			if p.ID == chosen {
				return determiner{p.ID, p.Name}
			}
		}
	}
	if s.Held.Can(access.SignOff) {
		return determiner{r.actor.Person, r.person.Name}
	}
	return determiner{}
}

// sayActs puts to each name what signing it would be.
func (r *request) sayActs(s bench.Sight, names []view.InQuestion, by foray.ID) {
	if !r.maySign(s) {
		return
	}
	for i := range names {
		names[i].Act = r.actOf(s, s.Plate.Standing.Question[i].SlipName, by)
	}
}

// anotherName stands for whatever name is in no question yet.
var anotherName = foray.SlipName{Key: "another name"}

func (r *request) actOf(s bench.Sight, name foray.SlipName, by foray.ID) view.Act {
	var others []string
	for _, side := range s.Plate.Standing.Sides {
		if side.Determiner != by {
			others = append(others, s.People[side.Determiner].Name)
		}
	}
	return view.Act{Kind: string(s.Plate.Standing.Act(name, by)), Who: strings.Join(others, ", ")}
}

// mostMixed is how many names that one is mistaken for are shown; a genus takes part in dozens.
const mostMixed = 6

// sayMixed puts to each name what it is mistaken for, the most dangerous first.
func (r *request) sayMixed(p hall.Plate, names []view.InQuestion) {
	for i := range names {
		for _, d := range r.hall().Knowledge.Hazards.DoublesIn(hall.Written(p.Standing.Question[i].SlipName), r.at.Event.Region) {
			if len(names[i].Mixed) == mostMixed {
				break
			}
			names[i].Mixed = append(names[i].Mixed, view.Mixed{Name: r.sciWritten(d.Other), Hazard: r.hazardOfName(d.Other), Differences: d.Differences})
		}
	}
}

// undoForm takes back what this person wrote a moment ago.
func (r *request) undoForm(s bench.Sight, then string) (*view.UndoForm, error) {
	slip, ok := s.Undo(r.actor)
	if !ok {
		return nil, nil
	}
	f, err := r.newForm(r.act(s, view.FormStrike), int64(s.Plate.Version))
	f.Then = then
	return &view.UndoForm{Form: f, Slip: slip.ID.String(), Number: r.number(s.Plate.Number())}, err
}
