package pages

import (
	"cmp"
	"slices"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/message"
	"forayhall/internal/taxon"
	"forayhall/web/view"
)

func benchSight(r *request, n foray.Number) (bench.Sight, error) {
	return bench.SeeCollection(r.ctx, r.hall(), r.actor, r.scope(), n)
}

// sight reads the collection that the address names.
func (r *request) sight() (bench.Sight, error) {
	n, err := foray.ParseNumber(r.echo.Param("number"), r.at.Event.Code)
	if err != nil {
		return bench.Sight{}, fault.Missing()
	}
	return benchSight(r, n)
}

func collectionPage(r *request) (templ.Component, error) {
	s, err := r.sight()
	if err != nil {
		return nil, err
	}
	if page, err := r.whichPart(s.Plate.Number()); page != nil || err != nil {
		return page, err
	}
	return r.collection(s, typedAct{}, nil)
}

// keepStrike puts what was typed back onto the slip that was to be struck.
func keepStrike(slips []view.Slip, typed typedAct) {
	for _, slip := range slips {
		if slip.Strike == nil || typed.form != view.StrikeKey(slip.ID) {
			continue
		}
		slip.Strike.Remarks = typed.of(typed.form, "remarks")
		if typed.command != "" {
			slip.Strike.Form.Command = typed.command
		}
	}
}

// typedAct is what somebody typed into one of the page's forms, when it comes back.
type typedAct struct {
	form    string
	command string
	then    string // where a good one leads
	values  func(string) string
}

func (t typedAct) of(form, name string) string {
	if t.form != form || t.values == nil {
		return ""
	}
	return t.values(name)
}

func (r *request) collection(s bench.Sight, typed typedAct, conflict *view.Conflict) (templ.Component, error) {
	w, err := r.wayTo(s)
	if err != nil {
		return nil, err
	}
	undo, err := r.undoForm(s, w.then)
	if err != nil {
		return nil, err
	}
	return r.collectionOn(s, typed, conflict, w, undo)
}

// collectionOn is the page on the way that somebody came.
func (r *request) collectionOn(s bench.Sight, typed typedAct, conflict *view.Conflict, w way, undo *view.UndoForm) (templ.Component, error) {
	l, err := r.layout(view.T("collection.title", "number", s.Plate.Number().String()), true)
	if err != nil {
		return nil, err
	}
	c := s.Plate.Collection
	p := view.Collection{Layout: l, Number: r.number(c.Number()), Group: c.FormGroup, State: stateOf(s.Plate), Version: int64(c.Version),
		Where: r.where(c, byID(s.Tables)), Hazard: hazardOf(s.Assessment), Names: r.inQuestion(s.Plate, s.People), Marks: marksOf(c),
		Facts: r.facts(s), Noted: r.noted(s), Slips: r.slips(s, w.then), Conflict: conflict, Bar: w.bar, Undo: undo, Ways: r.ways(c.Number())}
	by := r.signsFor(s)
	r.sayActs(s, p.Names, by.id)
	r.sayMixed(s.Plate, p.Names)
	for _, f := range s.Flags {
		p.Flags = append(p.Flags, f.Text())
	}
	keepStrike(p.Slips, typed)
	if n := len(s.Placements); n > 0 {
		p.Where.Since, p.Where.By = r.local(s.Placements[n-1].RecordedAt.Time), s.People[s.Placements[n-1].PlacedBy].Name
	}
	if !s.SpoilsAt.IsZero() {
		left := s.SpoilsAt.Sub(s.Now)
		p.SpoilsIn = &left
	}
	if err := r.picturesOf(&p, s); err != nil {
		return nil, err
	}
	err = r.acts(&p, s, typed, w.then)
	return view.CollectionPage(p), err
}

// acts puts onto the page the forms that this person may send now.
func (r *request) acts(p *view.Collection, s bench.Sight, typed typedAct, then string) (err error) {
	typed.then = then
	own := s.Plate.CollectorID == r.actor.Person
	if s.Held.Can(access.NameAny) || own {
		if p.FieldName, err = r.fieldNameForm(s, typed); err != nil {
			return err
		}
		if p.Note, err = r.noteForm(s, typed); err != nil {
			return err
		}
	}
	if r.maySign(s) {
		if p.Agree, err = r.agreeForm(s, p.Names, r.signsFor(s), then); err != nil {
			return err
		}
		if p.Sign, err = r.signForm(s, p.Names, typed); err != nil {
			return err
		}
		p.Sign.LookKeys = p.Agree == nil || len(p.Agree.LookFor) == 0
		if p.Nameless, err = r.namelessForm(s, typed); err != nil {
			return err
		}
	}
	if p.HandOn, err = r.handOnForm(s, then); err != nil {
		return err
	}
	p.Place, err = r.placeForm(s)
	if p.Place != nil {
		p.Place.Form.Then = then
	}
	return err
}

func (r *request) maySign(s bench.Sight) bool {
	if s.Plate.Standing.Disputed {
		return s.Held.Can(access.Settle)
	}
	return s.Held.Can(access.SignOff) || s.Held.Can(access.ScribeSignOff)
}

// formFor is a form of this page; one that came back keeps its command id, so that sending it again is seen.
func (r *request) formFor(s bench.Sight, key string, typed typedAct) (view.Form, error) {
	f, err := r.newForm(r.act(s, key), int64(s.Plate.Version))
	f.Then = typed.then
	if typed.form == key && typed.command != "" {
		f.Command = typed.command
	}
	return f, err
}

func (r *request) fieldNameForm(s bench.Sight, typed typedAct) (*view.FieldNameForm, error) {
	f, err := r.formFor(s, view.FormFieldName, typed)
	v := &view.FieldNameForm{Form: f, Names: r.event().Names(), Remarks: typed.of(view.FormFieldName, "remarks")}
	for i := range v.Lines {
		v.Lines[i] = view.FieldNameLine{Name: typed.of(view.FormFieldName, nth("name_", i)), Reason: typed.of(view.FormFieldName, nth("reason_", i))}
	}
	return v, err
}

func nth(name string, i int) string { return name + string(rune('1'+i)) }

func (r *request) signForm(s bench.Sight, names []view.InQuestion, typed typedAct) (*view.SignForm, error) {
	f, err := r.formFor(s, view.FormSign, typed)
	of := func(name string) string { return typed.of(view.FormSign, name) }
	v := &view.SignForm{Form: f, Kind: view.SlipSignOff, Choices: names, Choice: of("choice"), Name: of("name"), Names: r.event().Names(),
		Qualifiers: view.QualifierOptions(taxon.Qualifier(of("qualifier"))), Bases: view.Options("basis", view.Bases, of("basis")), Self: r.person.Name, Remarks: of("remarks")}
	if offered := func(n view.InQuestion) bool { return n.Key == v.Choice }; v.Choice != "" && !slices.ContainsFunc(names, offered) {
		// A name that is in question no more is still what this person chose.
		v.Name, v.Choice = cmp.Or(v.Name, strings.TrimPrefix(v.Choice, otherName)), otherName
	}
	if of("basis") == "" {
		v.Bases[0].Chosen = true
	}
	current, confirmed := s.Plate.Standing.Current()
	switch {
	case s.Plate.Standing.Disputed:
		v.Kind = view.SlipSettles
	case confirmed && current.Determiner != r.actor.Person:
		v.Kind, v.Against = view.SlipDissent, s.People[current.Determiner].Name
	}
	if !s.Held.Can(access.SignOff) {
		v.Self = ""
	}
	var answered []string
	if typed.form == view.FormSign {
		if answered, err = r.values(view.LookAt); err != nil {
			return nil, err
		}
	}
	v.LookFor = r.lookFor(r.suspects(s, append(bench.InQuestion(s.Plate), of("name"))...), of, answered)
	by := r.signsFor(s)
	v.Determiners = r.determiners(s, cmp.Or(of("determiner"), by.of(r.actor)))
	v.Other = r.actOf(s, anotherName, by.id)
	if r.errors.Form == view.FormSign && r.errors.Fields["qualifier"].Key == "slip.two-qualifiers" {
		v.Clash = clashOf(r.errors.Fields["qualifier"])
	}
	return v, err
}

// clashOf offers both qualifiers, the one in the text and the one that was chosen.
func clashOf(asked message.Text) []view.Option {
	args := []any{"name", asked.Args["name"], "qualifier", asked.Args["chosen"]}
	return []view.Option{{Value: meantWritten, Text: view.T("sign.meant.written", args...)}, {Value: meantChosen, Text: view.T("sign.meant.chosen", args...)}}
}

// determiners are whom a scribe may write for; an identifier who is a scribe too may choose themselves.
func (r *request) determiners(s bench.Sight, chosen string) []view.Option {
	if !s.Held.Can(access.ScribeSignOff) || s.Plate.Standing.Disputed {
		return nil
	}
	var options []view.Option
	for _, d := range s.Determiners {
		options = append(options, view.Option{Value: d.ID.String(), Label: d.Name, Chosen: d.ID.String() == chosen})
	}
	return options
}

func (r *request) namelessForm(s bench.Sight, typed typedAct) (*view.NamelessForm, error) {
	f, err := r.formFor(s, view.FormNameless, typed)
	return &view.NamelessForm{Form: f, Kind: typed.of(view.FormNameless, "kind"), Remarks: typed.of(view.FormNameless, "remarks"),
		Determiners: r.determiners(s, cmp.Or(typed.of(view.FormNameless, "determiner"), r.signsFor(s).of(r.actor)))}, err
}

func (r *request) noteForm(s bench.Sight, typed typedAct) (*view.NoteForm, error) {
	f, err := r.formFor(s, view.FormNote, typed)
	of := func(name string) string { return typed.of(view.FormNote, name) }
	return &view.NoteForm{Form: f, Odour: of("odour"), Latex: of("latex"), LatexChange: of("latex_change"), LatexSeconds: of("latex_seconds"),
		CutChange: of("cut_change"), CutSeconds: of("cut_seconds"), Stickiness: view.Options("stickiness", view.Stickiness, of("stickiness")),
		Textures: view.Options("texture", view.Textures, of("texture")), Character: of("character"), Value: of("value")}, err
}

func (r *request) facts(s bench.Sight) []view.Fact {
	c := s.Plate.Collection
	var facts []view.Fact
	add := func(key, value string) {
		if value != "" {
			facts = append(facts, view.Fact{Key: key, Value: value})
		}
	}
	add("collector", s.People[c.CollectorID].Name)
	for _, t := range s.Teams {
		if t.ID == c.TeamID {
			facts = append(facts, view.Fact{Key: "team", Text: view.T("intake.team-option", "number", t.Number, "name", t.Name)})
		}
	}
	for _, site := range s.Sites {
		if site.ID == c.SiteID {
			add("site", site.Name)
		}
	}
	if !c.PickedAt.IsZero() {
		facts = append(facts, view.Fact{Key: "picked", Text: r.when(c.PickedAt.Time)})
	}
	add("picked", c.PickedText)
	facts = append(facts, view.Fact{Key: "logged", Text: view.T("fact.logged-by", "at", r.when(c.RecordedAt.Time), "who", s.People[c.LoggedBy].Name)})
	for _, f := range []view.Fact{fact("substrate", c.Substrate), fact("growth", c.Growth), fact("plate", c.Plate)} {
		if f.Value != "" || !f.Text.IsZero() {
			facts = append(facts, f)
		}
	}
	add("host", c.Host)
	add("habitat", c.Habitat)
	add("remarks", c.Remarks)
	return facts
}

func (r *request) noted(s bench.Sight) []view.Noted {
	// What was noted at once comes in the order of the form.
	notes := slices.Clone(s.Notes)
	slices.SortStableFunc(notes, func(a, b hall.CharacterNote) int {
		return cmp.Or(a.RecordedAt.Compare(b.RecordedAt.Time), cmp.Compare(slices.Index(desk.Noted, a.Character), slices.Index(desk.Noted, b.Character)))
	})
	var noted []view.Noted
	for _, n := range notes {
		v := view.Noted{Character: view.T("character." + n.Character), Value: n.Words, By: s.People[n.NotedBy].Name, At: r.local(n.RecordedAt.Time)}
		if n.Seconds != nil {
			v.Seconds = *n.Seconds
		}
		if area := n.Character; area == "stickiness" || area == "texture" {
			if text := view.T(area + "." + n.Words); message.Has(text.Key) {
				v.Value = message.From(r.ctx).Text(text)
			}
		}
		noted = append(noted, v)
	}
	return noted
}

// slips are the history, newest on top, each with what may still be done to it.
func (r *request) slips(s bench.Sight, then string) []view.Slip {
	var slips []view.Slip
	for i := len(s.Plate.Slips) - 1; i >= 0; i-- {
		slip := s.Plate.Slips[i]
		if slip.Kind == foray.Strike {
			continue
		}
		v := view.Slip{ID: slip.ID.String(), Kind: r.kindOf(s, i), Determiner: s.People[slip.Determiner].Name, At: r.local(slip.RecordedAt),
			Basis: string(slip.Basis), Remarks: slip.Remarks, Looked: r.signsLooked(slip.Looked)}
		if slip.Writer != slip.Determiner {
			v.Writer = s.People[slip.Writer].Name
		}
		for _, n := range slip.Names {
			v.Names = append(v.Names, r.slipName(n))
		}
		if strike, gone := s.Plate.Standing.Struck[slip.ID]; gone {
			v.Struck = &view.Struck{By: s.People[strike.Determiner].Name, At: r.local(strike.RecordedAt), Reason: strike.Remarks}
		} else if s.MayStrike(r.actor, slip) {
			if f, err := r.newForm(r.act(s, view.FormStrike), int64(s.Plate.Version)); err == nil {
				f.Then = then
				v.Strike = &view.StrikeForm{Form: f}
			}
		}
		v.Unsettled = s.Plate.Standing.Disputed && slip.Kind == foray.SignOff && s.Plate.Standing.IsSide(slip.ID) && v.Kind == view.SlipDissent
		slips = append(slips, v)
	}
	return slips
}

// kindOf says what a sign-off did when it came: it confirmed, dissented or settled.
func (r *request) kindOf(s bench.Sight, i int) view.SlipKind { return view.SlipKind(s.Plate.Did(i)) }

func (r *request) slipName(n foray.SlipName) view.SlipName {
	v := view.SlipName{Rank: n.Rank, Name: sciOf(n), Common: r.commonOf(n), Reason: n.Reason, Hazard: r.hazardOfName(hall.Written(n))}
	if n.Verbatim != n.Name {
		v.Verbatim = n.Verbatim
	}
	if current := r.hall().Current(n); current != nil && current.Key != n.Key {
		name := sciOfTaxon(current)
		v.Current = &name
	}
	return v
}

// conflictOf shows what the other one wrote beside what was typed here.
func (r *request) conflictOf(err error, s bench.Sight, form string) *view.Conflict {
	f := fault.From(err)
	first, ok := f.Other.(bench.First)
	if f.Kind != fault.Conflict || !ok {
		return nil
	}
	c := &view.Conflict{Text: f.Text, Yours: r.kept(), Form: form}
	for _, slip := range r.slips(s, "") {
		if slip.ID == first.Slip.String() {
			c.Theirs = slip
		}
	}
	if c.Theirs.ID == "" {
		c.Theirs = view.Slip{Kind: view.SlipKind(first.Kind), Determiner: first.By, At: r.local(first.At)}
	}
	return c
}
