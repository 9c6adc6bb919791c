package pages

import (
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/hall"
	"forayhall/internal/hall/setup"
	"forayhall/internal/message"
	"forayhall/web/view"
)

// lawOffer is what the law tables know under the jurisdiction that was chosen, else under the event's.
func (r *request) lawOffer(typed typedAct) (view.LawOffer, error) {
	law, err := setup.SeeLaw(r.ctx, r.hall(), r.actor, r.scope(), typed.or(view.FormLaw, "jurisdiction", r.echo.QueryParam("law")))
	o := view.LawOffer{Here: r.event().SetupPart(string(setup.PartFlags)), Known: law.Jurisdiction, Meant: law.Meant}
	for _, j := range law.Jurisdictions {
		o.Choices = append(o.Choices, view.Option{Value: j, Text: view.T("law.name", "name", j), Chosen: j == law.Jurisdiction})
	}
	var ticked []string
	if typed.form == view.FormLaw {
		ticked = r.several("taxa")
	}
	left := 0
	for _, f := range law.Flags {
		row := view.LawRow{Value: f.Flag + " " + f.Taxon, Name: r.sciWritten(f.Taxon), Flag: message.T("flag." + f.Flag + ".word"), Source: f.Source, Note: f.Note, Here: f.Here}
		row.Ticked = slices.Contains(ticked, row.Value)
		if !f.Here {
			left++
		}
		o.Rows = append(o.Rows, row)
	}
	if err != nil || left == 0 || !r.held.Can(access.SetUp) {
		return o, err
	}
	form, err := r.setupForm(view.FormLaw, 0, typed)
	o.Form = &form
	return o, err
}

// takenOver says what a taking over came to, which the address carries on.
func (r *request) takenOver() message.Text {
	added, err := strconv.Atoi(r.echo.QueryParam("added"))
	left, err2 := strconv.Atoi(r.echo.QueryParam("left"))
	switch {
	case err != nil || err2 != nil:
		return message.Text{}
	case left == 0:
		return view.T("law.taken", "n", added)
	}
	return view.T("law.taken.left", "taken", view.T("law.taken", "n", added), "left", view.T("law.left", "n", left))
}

// takeLaw takes rows of the tables over and leads back to the jurisdiction that they are of.
func takeLaw(r *request) (string, templ.Component, error) {
	var done setup.TakenOver
	next, again, err := r.doSetup(setup.PartFlags, setupFlags, view.FormLaw, func(cmd hall.Command) (err error) {
		in := setup.LawTaken{Jurisdiction: r.value("jurisdiction"), All: r.ticked("all")}
		if !in.All {
			in.Taxa = lawTaxa(r.several("taxa"))
		}
		done, err = setup.TakeLawOver(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		return err
	})
	if err == nil && again == nil {
		back := url.Values{"law": {r.value("jurisdiction")}, "added": {strconv.Itoa(len(done.Added))}, "left": {strconv.Itoa(len(done.Left))}}
		next = r.event().SetupPart(string(setup.PartFlags)) + "?" + back.Encode()
	}
	return next, again, err
}

// lawTaxa reads which rows were ticked: the flag, then the name.
func lawTaxa(ticked []string) []setup.LawTaxon {
	taxa := make([]setup.LawTaxon, len(ticked))
	for i, value := range ticked {
		taxa[i].Flag, taxa[i].Name, _ = strings.Cut(value, " ")
	}
	return taxa
}
