package pages

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/desk"
	"forayhall/internal/message"
	"forayhall/web"
	"forayhall/web/view"
)

// pickedForm is how a browser writes a local date and time.
const pickedForm = "2006-01-02T15:04"

// typedIntake is the intake form as it was typed.
type typedIntake struct {
	number, group, team, site, collector, picked, substrate, host, habitat, growth, plate, fruitbodies, weight, remarks string
	odour, latex, latexChange, latexSeconds, cutChange, cutSeconds, stickiness, texture, name, nameReason               string
	cooled, outside, cultivated                                                                                         bool
}

func (r *request) typedIntake() typedIntake {
	return typedIntake{number: r.value("number"), group: r.value("group"), team: r.value("team"), site: r.value("site"), collector: r.value("collector"),
		picked: r.value("picked"), substrate: r.value("substrate"), host: r.value("host"), habitat: r.value("habitat"), growth: r.value("growth"),
		plate: r.value("plate"), fruitbodies: r.value("fruitbodies"), weight: r.value("weight"), remarks: r.value("remarks"),
		odour: r.value("odour"), latex: r.value("latex"), latexChange: r.value("latex_change"), latexSeconds: r.value("latex_seconds"),
		cutChange: r.value("cut_change"), cutSeconds: r.value("cut_seconds"), stickiness: r.value("stickiness"), texture: r.value("texture"),
		name: r.value("name"), nameReason: r.value("name_reason"),
		cooled: r.ticked("cooled"), outside: r.ticked("outside"), cultivated: r.ticked("cultivated")}
}

func intakePage(r *request) (templ.Component, error) {
	if !r.held.Can(access.LogCollection) {
		return nil, r.refuse(access.LogCollection)
	}
	t, open, last := r.carried()
	p, err := r.intake(t, last)
	if err != nil {
		return nil, err
	}
	p.Open = append(p.Open, open...)
	if number := r.echo.QueryParam("saved"); number != "" {
		p.Saved, err = r.saved(number)
		p.Layout.Assets.Photographs = web.Asset("photographs.js")
	}
	return view.IntakePage(p), err
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

// intake is the desk with what was typed or carried in it; last is the number that was logged last here.
func (r *request) intake(t typedIntake, last int) (view.Intake, error) {
	ready, err := desk.GetReady(r.ctx, r.hall(), r.actor, r.scope(), t.team, last)
	if err != nil {
		return view.Intake{}, err
	}
	p, err := r.fieldSlip(t, ready, r.event().Intake())
	if err != nil {
		return p, err
	}
	p.Number, p.Carried = cmp.Or(t.number, ready.Number.String()), r.chips(t, ready)
	if b := ready.Block; b != nil {
		p.NumberFrom, p.NumberTo = foray.Number{Base: b.FromNumber}.String(), foray.Number{Base: b.ToNumber}.String()
	}
	p.AtDesk, p.Incomplete = len(ready.AtDesk), ready.Incomplete
	p.Hand, err = r.newForm(r.event().Intake()+"/hand", 0)
	return p, err
}

// fieldSlip is the form over a field slip, whether it is a new one or one that is put right.
func (r *request) fieldSlip(t typedIntake, ready desk.Ready, action string) (view.Intake, error) {
	l, err := r.layout(view.T("intake.title"), false)
	if err != nil {
		return view.Intake{}, err
	}
	l.Assets.Desk = web.Asset("desk.js")
	f, err := r.newForm(action, 0)
	p := view.Intake{Layout: l, Form: f, Names: r.event().Names(), Code: r.at.Event.Code, Group: t.group, Groups: drawnGroups(ready),
		Collector: t.collector, Picked: t.picked, Substrates: view.Options("substrate", view.Substrates, t.substrate), Host: t.host, Habitat: t.habitat,
		Growths: view.Options("growth", view.Growths, t.growth), Plates: view.Options("plate", view.Plates, t.plate), Cooled: t.cooled,
		Fruitbodies: t.fruitbodies, Weight: t.weight, NeedsCount: countNeeded(t, ready), Outside: t.outside, Cultivated: t.cultivated,
		Odour: t.odour, Odours: r.odours(), Latex: t.latex, LatexChange: t.latexChange,
		LatexSeconds: t.latexSeconds, CutChange: t.cutChange, CutSeconds: t.cutSeconds, Stickiness: view.Options("stickiness", view.Stickiness, t.stickiness),
		Textures: view.Options("texture", view.Textures, t.texture), Remarks: t.remarks, Hosts: hostOffers(), Habitats: ready.Habitats,
		Name: t.name, NameReason: t.nameReason, Open: t.used()}
	for _, person := range ready.People {
		if person.Kind == "person" {
			p.People = append(p.People, person.Name)
		}
	}
	for _, m := range ready.Teams {
		p.Teams = append(p.Teams, view.Option{Value: m.ID.String(), Text: view.T("intake.team-option", "number", m.Number, "name", m.Name), Chosen: m.ID.String() == t.team})
	}
	for _, s := range ready.Sites {
		p.Sites = append(p.Sites, siteOption(s, t.site))
	}
	return p, err
}

// oftenMost is how many of the most used groups are drawn before the others, one row on a phone and a half.
const oftenMost = 6

// drawnGroups is the pictures in the order in which they are drawn: the organiser's, where there is one, else with those
// first that came most at this event. What letters find does not depend on it, so that fingers can learn them.
func drawnGroups(ready desk.Ready) []string {
	order := slices.DeleteFunc(slices.Clone(view.Groups), func(g string) bool { return !slices.Contains(ready.Groups, g) })
	if ready.Ordered {
		return ready.Groups
	}
	often := ready.Often[:min(oftenMost, len(ready.Often))]
	order = slices.DeleteFunc(order, func(g string) bool { return slices.Contains(often, g) })
	return append(slices.Clone(often), order...)
}

// odours are offered while typing; any other words may be written (common practice: compared with everyday things).
var odours = []string{"aniseed", "almond", "meal", "cucumber", "fish", "radish", "potato", "garlic", "ink", "gas", "chlorine", "coconut", "curry", "honey",
	"fruit", "pelargonium", "soap", "crab", "earth", "carrion", "none"}

// odours are kept as words of the language in which they were offered: an odour is noted as it was said.
func (r *request) odours() []view.Offer {
	offers := make([]view.Offer, len(odours))
	for i, o := range odours {
		offers[i] = view.Offer{Value: message.From(r.ctx).Text(view.T("odour." + o))}
	}
	return offers
}

// hosts are offered while typing; any other may be written (common practice).
var hosts = []string{"Betula", "Fagus", "Quercus", "Pinus", "Picea", "Larix", "Abies", "Alnus", "Salix", "Corylus", "Carpinus", "Castanea", "Fraxinus", "Populus", "Tilia", "Sambucus", "Acer", "Ilex", "Crataegus"}

func hostOffers() []view.Offer {
	offers := make([]view.Offer, len(hosts))
	for i, h := range hosts {
		offers[i] = view.Offer{Value: h, Label: view.T("host." + strings.ToLower(h))}
	}
	return offers
}

// saved says what was kept, and what is still to follow.
func (r *request) saved(number string) (*view.Saved, error) {
	n, err := foray.ParseNumber(number, r.at.Event.Code)
	if err != nil {
		return nil, err
	}
	k, err := desk.SeeKept(r.ctx, r.hall(), r.actor, r.scope(), n)
	if err != nil {
		return nil, err
	}
	c := k.Plate.Collection
	path := r.event().Collection(n.String())
	saved := &view.Saved{Number: r.number(n), Group: c.FormGroup, At: r.local(c.RecordedAt.Time), Path: path, Mend: path + "/field",
		Hazard: hazardOf(k.Assessment), AtDesk: c.Whereabouts == foray.AtDesk}
	for _, f := range k.Flags {
		saved.Flags = append(saved.Flags, f.Text())
	}
	if !k.Smelt {
		saved.Missing = append(saved.Missing, view.T("fact.odour"))
	}
	saved.Missing = append(saved.Missing, missingTexts(k.Missing)...)
	saved.Send, err = r.savedPhoto(n.String())
	return saved, err
}

func missingTexts(missing []string) []message.Text {
	texts := make([]message.Text, len(missing))
	for i, key := range missing {
		texts[i] = view.T("fact." + key)
	}
	return texts
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
		r.keepAtDesk(t, done.Number)
		return r.event().Intake() + "?saved=" + done.Number, nil, nil
	}
	if !mendable(err) || !r.held.Can(access.LogCollection) {
		return "", nil, err
	}
	return r.intakeAgain(t, err)
}

// intakeAgain is the form with what was typed. Where the number is taken, the next free one is filled in for a new label.
func (r *request) intakeAgain(t typedIntake, err error) (string, templ.Component, error) {
	f := r.wrong("", err)
	taken, isTaken := f.Other.(desk.Taken)
	if isTaken {
		t.number = taken.Next
	}
	p, pageErr := r.intake(t, 0)
	if pageErr != nil {
		return "", nil, pageErr
	}
	p.Form.Command = r.value("command")
	if isTaken {
		p.Taken, pageErr = r.taken(taken)
	}
	if pageErr != nil {
		return "", nil, pageErr
	}
	return "", view.IntakePage(p), err
}

func (r *request) taken(taken desk.Taken) (*view.Taken, error) {
	n, err := foray.ParseNumber(taken.Number, r.at.Event.Code)
	if err != nil {
		return nil, err
	}
	next, err := foray.ParseNumber(taken.Next, r.at.Event.Code)
	v := &view.Taken{Number: r.number(n), Next: r.number(next)}
	if taken.HasPlate() {
		v.Path = r.event().Collection(n.String())
	}
	return v, err
}

// logOf reads what was typed; every field that cannot be read is named.
func (r *request) logOf(t typedIntake) (desk.Log, error) {
	wrong := map[string]message.Text{}
	f := desk.Field{Group: t.group, Team: t.team, Site: t.site, Collector: t.collector, Substrate: t.substrate, Host: t.host, Habitat: t.habitat,
		Growth: t.growth, Plate: t.plate, KeptCool: t.cooled, Outside: t.outside, Cultivated: t.cultivated, Remarks: t.remarks}
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
	return desk.Log{Number: t.number, Field: f, Characters: characters, Name: hall.NameInput{Text: t.name, Reason: t.nameReason}}, nil
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
