package pages

import (
	"strconv"
	"strings"
	"time"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hazard"
	"forayhall/internal/message"
	"forayhall/web/view"
)

// pickedForm is how a browser writes a local date and time.
const pickedForm = "2006-01-02T15:04"

// typedIntake is the intake form as it was typed.
type typedIntake struct {
	number, group, team, site, collector, picked, substrate, host, habitat, growth, plate, fruitbodies, weight, remarks string
	odour, latex, latexChange, latexSeconds, cutChange, cutSeconds, stickiness, texture                                 string
	cooled, outside                                                                                                     bool
}

func (r *request) typedIntake() typedIntake {
	return typedIntake{number: r.value("number"), group: r.value("group"), team: r.value("team"), site: r.value("site"), collector: r.value("collector"),
		picked: r.value("picked"), substrate: r.value("substrate"), host: r.value("host"), habitat: r.value("habitat"), growth: r.value("growth"),
		plate: r.value("plate"), fruitbodies: r.value("fruitbodies"), weight: r.value("weight"), remarks: r.value("remarks"),
		odour: r.value("odour"), latex: r.value("latex"), latexChange: r.value("latex_change"), latexSeconds: r.value("latex_seconds"),
		cutChange: r.value("cut_change"), cutSeconds: r.value("cut_seconds"), stickiness: r.value("stickiness"), texture: r.value("texture"),
		cooled: r.ticked("cooled"), outside: r.ticked("outside")}
}

// carried is what the next form keeps of one that was saved: the same basket is still being emptied.
func (r *request) carried() typedIntake {
	q := func(name string) string { return r.echo.QueryParam(name) }
	return typedIntake{team: q("team"), site: q("site"), collector: q("collector"), picked: q("picked"), habitat: q("habitat"), cooled: q("cooled") != ""}
}

func (t typedIntake) carry() string {
	values := templQuery{}
	for name, value := range map[string]string{"team": t.team, "site": t.site, "collector": t.collector, "picked": t.picked, "habitat": t.habitat} {
		values.add(name, value)
	}
	if t.cooled {
		values.add("cooled", "yes")
	}
	return values.String()
}

func intakePage(r *request) (templ.Component, error) {
	if !r.held.Can(access.LogCollection) {
		return nil, r.refuse(access.LogCollection)
	}
	t := r.carried()
	var saved *view.Saved
	if number := r.echo.QueryParam("saved"); number != "" {
		var err error
		if saved, err = r.saved(number); err != nil {
			return nil, err
		}
	}
	return r.intake(t, saved, "")
}

// refuse is the answer to a page that the rights do not cover.
func (r *request) refuse(a access.Action) error {
	if !r.actor.SignedIn() {
		return fault.New(fault.NotSignedIn, "fault.not-signed-in")
	}
	if r.actor.Society != r.at.Society.ID {
		return fault.Missing()
	}
	return hall.NotAllowed(a)
}

// intake draws the form; command is the id it had when it comes back with an error.
func (r *request) intake(t typedIntake, saved *view.Saved, command string) (templ.Component, error) {
	room, err := setup.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	if t.number == "" {
		if t.number, err = r.nextNumber(); err != nil {
			return nil, err
		}
	}
	l, err := r.layout(view.T("intake.title"), false)
	if err != nil {
		return nil, err
	}
	f, err := r.newForm(r.event().Intake(), 0)
	if err != nil {
		return nil, err
	}
	if command != "" {
		f.Command = command
	}
	p := view.Intake{Layout: l, Form: f, Saved: saved, Names: r.event().Names(), Code: r.at.Event.Code, Number: t.number, Group: t.group,
		Collector: t.collector, Picked: t.picked, Substrates: view.Options("substrate", view.Substrates, t.substrate), Host: t.host, Habitat: t.habitat,
		Growths: view.Options("growth", view.Growths, t.growth), Plates: view.Options("plate", view.Plates, t.plate), Cooled: t.cooled,
		Fruitbodies: t.fruitbodies, Weight: t.weight, Outside: t.outside, Odour: t.odour, Latex: t.latex, LatexChange: t.latexChange,
		LatexSeconds: t.latexSeconds, CutChange: t.cutChange, CutSeconds: t.cutSeconds, Stickiness: view.Options("stickiness", view.Stickiness, t.stickiness),
		Textures: view.Options("texture", view.Textures, t.texture), Remarks: t.remarks, Hosts: hosts}
	r.intakeChoices(&p, t, room)
	return view.IntakePage(p), nil
}

// hosts are offered while typing; any other may be written (common practice).
var hosts = []string{"Betula", "Fagus", "Quercus", "Pinus", "Picea", "Larix", "Alnus", "Salix", "Corylus", "Carpinus", "Castanea", "Fraxinus", "Populus", "Tilia", "Sambucus", "Acer", "Ilex", "Crataegus"}

func (r *request) intakeChoices(p *view.Intake, t typedIntake, room setup.Room) {
	for _, person := range room.People {
		if person.Kind == "person" {
			p.People = append(p.People, person.Name)
		}
	}
	for _, m := range room.Teams {
		o := view.Option{Value: m.ID.String(), Text: view.T("intake.team-option", "number", m.Number, "name", m.Name), Chosen: m.ID.String() == t.team}
		p.Teams = append(p.Teams, o)
		if o.Chosen {
			p.Carried = append(p.Carried, o.Text)
		}
	}
	for _, s := range room.Sites {
		o := view.Option{Value: s.ID.String(), Label: s.Code + " " + s.Name, Chosen: s.ID.String() == t.site}
		p.Sites = append(p.Sites, o)
		if o.Chosen {
			p.Carried = append(p.Carried, message.T("data.as-is", "text", o.Label))
		}
	}
	for _, text := range []string{t.collector, t.habitat} {
		if text != "" {
			p.Carried = append(p.Carried, message.T("data.as-is", "text", text))
		}
	}
}

func (r *request) nextNumber() (string, error) {
	n, err := desk.NextNumber(r.ctx, r.hall(), r.actor, r.scope())
	return n.String(), err
}

// saved says what was kept, and what is still to follow.
func (r *request) saved(number string) (*view.Saved, error) {
	n, err := foray.ParseNumber(number, r.at.Event.Code)
	if err != nil {
		return nil, err
	}
	s, err := benchSight(r, n)
	if err != nil {
		return nil, err
	}
	c := s.Plate.Collection
	saved := &view.Saved{Number: r.number(n), Group: c.FormGroup, At: r.local(c.RecordedAt.Time), Path: r.event().Collection(n.String()),
		Hazard: hazardOf(r.hall().Knowledge.Hazards.Worst([]hazard.Question{{Group: c.FormGroup}}, r.at.Event.Region))}
	for key, missing := range map[string]bool{"site": c.SiteID.IsZero(), "substrate": c.Substrate == "", "host": c.Host == "", "odour": !noted(s.Notes, "odour")} {
		if missing {
			saved.Missing = append(saved.Missing, view.T("fact."+key))
		}
	}
	sortTexts(saved.Missing)
	return saved, nil
}

func logCollection(r *request) (string, templ.Component, error) {
	t := r.typedIntake()
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	in, err := r.logOf(t)
	var done desk.Logged
	if err == nil {
		done, err = desk.LogCollection(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
	}
	if err == nil {
		return r.event().Intake() + "?saved=" + done.Number + t.carry(), nil, nil
	}
	if !mendable(err) || !r.held.Can(access.LogCollection) {
		return "", nil, err
	}
	r.wrong("", err)
	page, pageErr := r.intake(t, nil, r.value("command"))
	if pageErr != nil {
		return "", nil, pageErr
	}
	return "", page, err
}

// logOf reads what was typed; every field that cannot be read is named.
func (r *request) logOf(t typedIntake) (desk.Log, error) {
	wrong := map[string]message.Text{}
	f := desk.Field{Group: t.group, Team: t.team, Site: t.site, Collector: t.collector, Substrate: t.substrate, Host: t.host, Habitat: t.habitat,
		Growth: t.growth, Plate: t.plate, KeptCool: t.cooled, Outside: t.outside, Remarks: t.remarks}
	if t.picked != "" {
		at, err := time.ParseInLocation(pickedForm, t.picked, hall.Zone(r.at.Event))
		if err != nil {
			wrong["picked"] = message.T("field.not-a-time")
		}
		f.PickedAt = at
	}
	if t.fruitbodies != "" {
		n, err := strconv.Atoi(t.fruitbodies)
		if err != nil {
			wrong["fruitbodies"] = message.T("field.not-a-count")
		}
		f.Fruitbodies = &n
	}
	if t.weight != "" {
		w, err := strconv.ParseFloat(strings.Replace(t.weight, ",", ".", 1), 64)
		if err != nil {
			wrong["weight"] = message.T("field.not-a-weight")
		}
		f.WeightG = &w
	}
	characters := charactersOf(t, wrong)
	if len(wrong) > 0 {
		return desk.Log{}, fault.Many(wrong)
	}
	return desk.Log{Number: t.number, Field: f, Characters: characters}, nil
}

func charactersOf(t typedIntake, wrong map[string]message.Text) []desk.Character {
	var noted []desk.Character
	for _, c := range []struct{ character, words, seconds, field string }{
		{"odour", t.odour, "", ""}, {"latex", t.latex, "", ""}, {"latex_change", t.latexChange, t.latexSeconds, "latex_seconds"},
		{"cut_change", t.cutChange, t.cutSeconds, "cut_seconds"}, {"stickiness", t.stickiness, "", ""}, {"texture", t.texture, "", ""},
	} {
		if c.words == "" {
			if c.seconds != "" {
				wrong[c.field] = message.T("character.seconds-of-what")
			}
			continue
		}
		n := desk.Character{Character: c.character, Words: c.words}
		if c.seconds != "" {
			seconds, err := strconv.Atoi(c.seconds)
			if err != nil {
				wrong[c.field] = message.T("character.seconds")
			}
			n.Seconds = &seconds
		}
		noted = append(noted, n)
	}
	return noted
}
