package pages

import (
	"cmp"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/bench"
	"forayhall/internal/message"
	"forayhall/web/view"
)

// typedSlips is what a scribe wrote, when it comes back.
type typedSlips struct {
	several                      bool
	number, name, remarks, lines string
	basis                        string
	answers                      []bench.Answer
}

func scribePage(r *request) (templ.Component, error) {
	id, err := optionalID(r.value("for"))
	if err != nil {
		return nil, fault.Missing()
	}
	return r.scribe(id, typedSlips{})
}

func (r *request) scribe(determiner foray.ID, typed typedSlips) (templ.Component, error) {
	s, err := bench.Scribe(r.ctx, r.hall(), r.actor, r.scope(), determiner)
	if err != nil {
		return nil, err
	}
	p := view.Scribe{Change: r.event().Scribe(), Answers: r.answers(typed.answers)}
	for _, i := range s.All {
		p.Choose = append(p.Choose, view.Identifier{Name: i.Person.Name, Groups: i.Groups, Path: r.event().Scribe() + "?for=" + i.Person.ID.String()})
	}
	if s.For != nil {
		if err := r.scribeForms(&p, s, typed); err != nil {
			return nil, err
		}
	}
	p.Layout, err = r.layout(view.T("scribe.title"), false)
	return view.ScribePage(p), err
}

func (r *request) scribeForms(p *view.Scribe, s bench.Scribing, typed typedSlips) (err error) {
	p.For, p.ForID = s.For.Person.Name, s.For.Person.ID.String()
	bases, err := r.usualBasis(s.For.Person.ID, cmp.Or(typed.basis, string(s.Basis)))
	if err != nil {
		return err
	}
	p.One = view.ScribeForm{Number: typed.number, Name: typed.name, Names: r.event().Names(), Bases: bases, Remarks: typed.remarks}
	if p.One.Form, err = r.newForm(r.event().Scribe(), 0); err != nil {
		return err
	}
	p.Several = view.ScribeForm{Lines: typed.lines, Bases: bases}
	if p.Several.Form, err = r.newForm(r.event().Scribe()+"/several", 0); err != nil {
		return err
	}
	return r.justWritten(p)
}

// justWritten says what was signed, and lets a single slip be taken back.
func (r *request) justWritten(p *view.Scribe) error {
	done := r.numbersIn("done")
	if len(done) == 0 {
		return nil
	}
	r.flash = view.T("scribe.done", "n", len(done), "who", p.For, "numbers", strings.ReplaceAll(joinNumbers(done), ".", ", "))
	if len(done) > 1 {
		return nil
	}
	s, err := benchSight(r, done[0])
	if err != nil {
		return err
	}
	p.Undo, err = r.undoForm(s, r.event().Scribe()+"?for="+p.ForID)
	return err
}

func scribeOne(r *request) (string, templ.Component, error) {
	typed := typedSlips{number: r.value("number"), name: r.value("name"), remarks: r.value("remarks"), basis: r.value("basis")}
	wrong := map[string]message.Text{}
	if typed.number == "" {
		wrong["number"] = message.T("bench.number-missing")
	}
	if typed.name == "" {
		wrong["name"] = message.T("slip.name-missing")
	}
	lines := []foray.Line{oneLine(typed.number, typed.name, typed.remarks)}
	if len(wrong) > 0 {
		return r.writeSlips(typed, lines, fault.Many(wrong))
	}
	return r.writeSlips(typed, lines, nil)
}

func scribeSeveral(r *request) (string, templ.Component, error) {
	typed := typedSlips{several: true, lines: r.value("lines"), basis: r.value("basis")}
	return r.writeSlips(typed, foray.ReadLines(typed.lines, r.at.Event.Code), nil)
}

// writeSlips signs at a determiner's word, each line a slip of its own; what was not taken stays written.
func (r *request) writeSlips(typed typedSlips, lines []foray.Line, err error) (string, templ.Component, error) {
	by, idErr := r.determiner()
	if idErr != nil || by.IsZero() {
		return "", nil, fault.Wrong("determiner", "slip.determiner-missing")
	}
	form, cmdErr := r.command()
	if cmdErr != nil {
		return "", nil, cmdErr
	}
	if err == nil {
		typed.answers, err = bench.SignMany(r.ctx, r.hall(), r.actor, r.scope(), bench.Many{Form: form.ID, Determiner: by, Basis: foray.Basis(typed.basis), Lines: lines})
	}
	if done, all := signedNumbers(typed.answers); err == nil && all {
		return r.event().Scribe() + "?for=" + by.String() + "&done=" + done, nil, nil
	}
	if err = typed.problem(err); !mendable(err) {
		return "", nil, err
	}
	r.wrong(typed.form(), err)
	page, err2 := r.scribe(by, typed.left())
	if err2 != nil {
		return "", nil, err2
	}
	return "", page, err
}

func (t typedSlips) form() string {
	if t.several {
		return view.FormSeveral
	}
	return view.FormOne
}

// problem is what the form says went wrong: of one plate its own error, of several that some were not signed.
func (t typedSlips) problem(err error) error {
	if err == nil && !t.several && len(t.answers) == 1 {
		return t.answers[0].Err
	}
	return orSome(err)
}

// left keeps the lines that were not signed.
func (t typedSlips) left() typedSlips {
	if !t.several || len(t.answers) == 0 {
		return t
	}
	var lines []string
	for _, a := range t.answers {
		if a.Outcome != bench.Signed {
			lines = append(lines, a.Line.Written)
		}
	}
	t.lines = strings.Join(lines, "\n")
	return t
}

// whyNot is why a line was not taken, in one text.
func whyNot(err error) message.Text {
	f := fault.From(err)
	for _, field := range []string{"number", "name", "qualifier", "basis", "remarks", "determiner"} {
		if text, ok := f.Fields[field]; ok {
			return text
		}
	}
	return f.Text
}
