package pages

import (
	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/photographs"
	"forayhall/web/view"
)

// handToBench hands over the plate that was just logged, or all that stand at the desk.
func handToBench(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	in := desk.Hand{All: r.ticked("all")}
	if !in.All {
		in.Numbers = []string{r.value("number")}
	}
	_, err = desk.HandToBench(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
	return r.event().Intake(), nil, err
}

func incompletePage(r *request) (templ.Component, error) {
	s, err := desk.Incomplete(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("incomplete.title"), false)
	p := view.Incomplete{Layout: l, All: s.All}
	for _, row := range s.Lacking {
		c := row.Plate.Collection
		v := view.Lacking{Number: r.number(c.Number()), Path: r.event().Collection(c.Number().String()) + "/field", Group: c.FormGroup,
			Collector: s.People[c.CollectorID].Name, Missing: missingTexts(row.Missing)}
		for _, t := range s.Teams {
			if t.ID == c.TeamID {
				v.Team = view.T("intake.team-option", "number", t.Number, "name", t.Name)
			}
		}
		p.Rows = append(p.Rows, v)
	}
	return view.IncompletePage(p), err
}

// fieldPage is the field slip of a collection in the form in which it was written.
func fieldPage(r *request) (templ.Component, error) {
	if !r.held.Can(access.LogCollection) {
		return nil, r.refuse(access.LogCollection)
	}
	s, err := r.sight()
	if err != nil {
		return nil, err
	}
	p, err := r.field(s, r.writtenField(s))
	return view.IntakePage(p), err
}

// writtenField is a field slip as the form would have been typed.
func (r *request) writtenField(s bench.Sight) typedIntake {
	c := s.Plate.Collection
	t := typedIntake{group: c.FormGroup, team: c.TeamID.String(), site: c.SiteID.String(), collector: s.People[c.CollectorID].Name, substrate: c.Substrate,
		host: c.Host, habitat: c.Habitat, growth: c.Growth, plate: c.Plate, remarks: c.Remarks, cooled: c.KeptCool, outside: c.Outside, cultivated: c.Cultivated,
		fruitbodies: written(c.Fruitbodies), weight: written(c.WeightG)}
	if !c.PickedAt.IsZero() {
		t.picked = r.local(c.PickedAt.Time).Format(pickedForm)
	}
	return t
}

func (r *request) field(s bench.Sight, t typedIntake) (view.Intake, error) {
	ready, err := desk.GetReady(r.ctx, r.hall(), r.actor, r.scope(), "", 0)
	if err != nil {
		return view.Intake{}, err
	}
	p, err := r.fieldSlip(t, ready, r.act(s, "field"))
	c := s.Plate.Collection
	p.PickedText = c.PickedText
	p.Correct = &view.Correct{Number: r.number(c.Number()), Path: r.event().Collection(c.Number().String()), Seen: desk.MarkOf(c), Noted: r.noted(s),
		Closed: r.at.Event.State == hall.EventClosed, Reason: r.value("reason")}
	if err != nil {
		return p, err
	}
	b, err := photographs.SeeBeside(r.ctx, r.hall(), r.actor, r.scope(), c.Number())
	if len(b.Slip) > 0 {
		p.Photograph = view.SlipPhotos(r.photos(b.Slip))
	}
	return p, err
}

func correctField(r *request) (string, templ.Component, error) {
	if !r.held.Can(access.LogCollection) {
		return "", nil, r.refuse(access.LogCollection)
	}
	s, err := r.sight()
	if err != nil {
		return "", nil, err
	}
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	t := r.typedIntake()
	in, err := r.logOf(t)
	if err == nil {
		c := s.Plate.Collection
		in.Field.PickedText, in.Field.PickedFrom, in.Field.PickedTo = c.PickedText, c.PickedFrom, c.PickedTo
		_, err = desk.CorrectField(r.ctx, r.hall(), r.actor, r.scope(), cmd, desk.Correct{Collection: c.ID, Field: in.Field, Seen: r.value("seen"), Characters: in.Characters, Reason: r.value("reason")})
	}
	if err == nil || !mendable(err) {
		return r.event().Collection(s.Plate.Number().String()), nil, err
	}
	return r.fieldAgain(t, err)
}

// fieldAgain is the form with what was typed, and with what stands there now where somebody changed it meanwhile.
func (r *request) fieldAgain(t typedIntake, err error) (string, templ.Component, error) {
	s, sightErr := r.sight()
	if sightErr != nil {
		return "", nil, sightErr
	}
	f := r.wrong("", err)
	p, pageErr := r.field(s, t)
	if pageErr != nil {
		return "", nil, pageErr
	}
	if _, overtaken := f.Other.(desk.Overtaken); overtaken {
		p.Correct.Now = r.facts(s)
	} else {
		p.Form.Command, p.Correct.Seen = r.value("command"), r.value("seen")
	}
	return "", view.IntakePage(p), err
}

// whichPart answers a number that is no plate any more; nil where it is one.
func (r *request) whichPart(n foray.Number) (templ.Component, error) {
	s, err := desk.SeeNumbered(r.ctx, r.hall(), r.actor, r.scope(), n)
	if err != nil || s.Plate.Fate == string(foray.LiveNumber) {
		return nil, err
	}
	l, err := r.layout(view.T("no-plate.title", "number", n.String()), true)
	if err != nil {
		return nil, err
	}
	p := view.NoPlate{Layout: l, Number: r.number(n), Fate: s.Plate.Fate, By: s.By.Name, At: r.local(s.At.Time), Reason: s.Reason,
		Noted: r.noted(bench.Sight{Notes: s.Notes, People: s.People})}
	for _, into := range s.Into {
		worst := r.hall().Knowledge.Hazards.Worst(into.Questions(), r.at.Event.Region)
		p.Into = append(p.Into, r.queueRow(bench.Waiting{Plate: into, Assessment: worst, Since: into.HappenedAt.Time}, r.hall().Now(), byID(s.Tables), s.People))
	}
	if s.Plate.Fate == string(foray.Spoilt) && r.held.Can(access.LogCollection) {
		form, err := r.newForm(r.event().Numbers()+"/fate", 0)
		if err != nil {
			return nil, err
		}
		p.Again = &form
	}
	return view.NoPlatePage(p), nil
}

// partsPage is where a plate is split, merged or taken out.
func partsPage(r *request) (templ.Component, error) {
	if !r.held.Can(access.LogCollection) {
		return nil, r.refuse(access.LogCollection)
	}
	s, err := r.sight()
	if err != nil {
		return nil, err
	}
	return r.parts(s, typedAct{})
}

// partLines is how many parts the form has room for.
const partLines = 6

func (r *request) parts(s bench.Sight, typed typedAct) (templ.Component, error) {
	n := s.Plate.Number()
	if s.Plate.Fate != string(foray.LiveNumber) {
		return r.whichPart(n)
	}
	l, err := r.layout(view.T("parts.title", "number", n.String()), true)
	if err != nil {
		return nil, err
	}
	p := view.Parts{Layout: l, Number: r.number(n), Path: r.event().Collection(n.String()), Group: s.Plate.FormGroup, Names: r.inQuestion(s.Plate, s.People)}
	p.Split.Reason = typed.of(view.FormSplit, "reason")
	for i := range partLines {
		line := view.PartLine{Groups: view.Options("group", view.Groups, typed.of(view.FormSplit, nth("group_", i))), Remarks: typed.of(view.FormSplit, nth("remarks_", i))}
		line.Said = line.Remarks != "" || typed.of(view.FormSplit, nth("group_", i)) != ""
		p.Split.Lines = append(p.Split.Lines, line)
	}
	p.Merge.Into, p.Merge.Reason = typed.of(view.FormMerge, "into"), typed.of(view.FormMerge, "reason")
	if len(s.Plate.Slips) == 0 {
		p.Spoil = &view.SpoilForm{Reason: typed.of(view.FormSpoil, "reason")}
		if p.Spoil.Form, err = r.formFor(s, view.FormSpoil, typed); err != nil {
			return nil, err
		}
	}
	if p.Split.Form, err = r.formFor(s, view.FormSplit, typed); err != nil {
		return nil, err
	}
	p.Merge.Form, err = r.formFor(s, view.FormMerge, typed)
	return view.PartsPage(p), err
}

// doParts runs one form of the page where a plate is split, merged or taken out.
func (r *request) doParts(form string, do func(s bench.Sight, cmd hall.Command) (next string, err error)) (string, templ.Component, error) {
	if !r.held.Can(access.LogCollection) {
		return "", nil, r.refuse(access.LogCollection)
	}
	s, err := r.sight()
	if err != nil {
		return "", nil, err
	}
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	number, err := do(s, cmd)
	if err == nil || !mendable(err) {
		return r.event().Collection(number), nil, err
	}
	r.wrong(form, err)
	page, pageErr := r.parts(s, typedAct{form: form, command: r.value("command"), values: r.value})
	if pageErr != nil {
		return "", nil, pageErr
	}
	return "", page, err
}

func splitCollection(r *request) (string, templ.Component, error) {
	return r.doParts(view.FormSplit, func(s bench.Sight, cmd hall.Command) (string, error) {
		in := desk.Split{Collection: s.Plate.ID, Reason: r.value("reason")}
		for i := range partLines {
			part := desk.Part{Group: r.value(nth("group_", i)), Remarks: r.value(nth("remarks_", i))}
			if i < 2 || part != (desk.Part{}) {
				in.Parts = append(in.Parts, part)
			}
		}
		done, err := desk.SplitCollection(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		return done.Of, err
	})
}

func mergeCollection(r *request) (string, templ.Component, error) {
	return r.doParts(view.FormMerge, func(s bench.Sight, cmd hall.Command) (string, error) {
		done, err := desk.MergeCollection(r.ctx, r.hall(), r.actor, r.scope(), cmd, desk.Merge{Collection: s.Plate.ID, Into: r.value("into"), Reason: r.value("reason")})
		return done.Into, err
	})
}

func spoilCollection(r *request) (string, templ.Component, error) {
	return r.doParts(view.FormSpoil, func(s bench.Sight, cmd hall.Command) (string, error) {
		done, err := desk.Spoil(r.ctx, r.hall(), r.actor, r.scope(), cmd, desk.Mistake{Collection: s.Plate.ID, Reason: r.value("reason")})
		return done.Number, err
	})
}

// ways lead from a collection's page to its field slip and to where it is split or merged.
func (r *request) ways(n foray.Number) []view.Link {
	path := r.event().Collection(n.String())
	var ways []view.Link
	if r.held.Can(access.LogCollection) {
		ways = append(ways, view.Link{Text: view.T("parts.field"), Path: path + "/field"}, view.Link{Text: view.T("parts.way"), Path: path + "/parts"})
	}
	if r.held.Can(access.RemovePlates) {
		ways = append(ways, view.Link{Text: view.T("collection.voucher"), Path: r.event().Voucher(n.String())})
	}
	return ways
}
