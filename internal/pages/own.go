package pages

import (
	"github.com/a-h/templ"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/visit"
	"forayhall/web/view"
)

func ownPage(r *request) (templ.Component, error) {
	return r.own(r.echo.QueryParam("name"), typedAct{})
}

// own is what a member brought in, with the form for a field name open at one of them.
func (r *request) own(naming string, typed typedAct) (templ.Component, error) {
	o, err := visit.SeeOwn(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("own.title"), true)
	if err != nil {
		return nil, err
	}
	p := view.Own{Layout: l, AsOf: r.local(o.At)}
	for _, plate := range o.Plates {
		f := view.OwnFind{Key: "own-" + plate.Number, Number: r.numbered(plate.Number), Path: r.event().Collection(plate.Number), Group: plate.Group,
			State: view.Naming(plate.State), Hazard: hazardOfPlate(plate.Plate), Names: r.publicNames(plate.Plate)}
		f.Where, f.TablePath = r.publicWhere(plate.Where)
		if f.NamePath = r.event().Own() + "?name=" + plate.Number + "#" + f.Key; plate.Number == naming {
			if f.Form, err = r.ownForm(plate, typed); err != nil {
				return nil, err
			}
		}
		p.Finds = append(p.Finds, f)
	}
	return view.OwnPage(p), r.ownPhotos(&p)
}

func (r *request) ownForm(plate visit.OwnPlate, typed typedAct) (*view.FieldNameForm, error) {
	f, err := r.newForm(r.event().OwnFind(plate.Number), int64(plate.Version))
	if typed.command != "" {
		f.Command = typed.command
	}
	form := &view.FieldNameForm{Form: f, Names: r.event().Names(), Remarks: typed.of(view.FormFieldName, "remarks")}
	for i := range form.Lines {
		form.Lines[i] = view.FieldNameLine{Name: typed.of(view.FormFieldName, nth("name_", i)), Reason: typed.of(view.FormFieldName, nth("reason_", i))}
	}
	return form, err
}

// nameOwn gives one of one's own collections a field name, and comes back to it.
func nameOwn(r *request) (string, templ.Component, error) {
	n, err := foray.ParseNumber(r.echo.Param("number"), r.at.Event.Code)
	if err != nil {
		return "", nil, fault.Missing()
	}
	id, err := r.ownID(n.String())
	if err != nil {
		return "", nil, err
	}
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	in := bench.FieldName{Collection: id, Remarks: r.value("remarks")}
	for i := range foray.MostNames {
		in.Names = append(in.Names, hall.NameInput{Text: r.value(nth("name_", i)), Reason: r.value(nth("reason_", i))})
	}
	_, err = bench.GiveFieldName(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
	if err == nil || !mendable(err) {
		return r.event().Own() + "#own-" + n.String(), nil, err
	}
	r.wrong(view.FormFieldName, err)
	page, pageErr := r.own(n.String(), typedAct{form: view.FormFieldName, command: r.keptCommand(err), values: r.value})
	if pageErr != nil {
		return "", nil, pageErr
	}
	return "", page, err
}

// ownID finds one of the collections that somebody brought in; others are not found here, whoever may see them elsewhere.
func (r *request) ownID(number string) (foray.ID, error) {
	o, err := visit.SeeOwn(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return foray.ID{}, err
	}
	for _, p := range o.Plates {
		if p.Number == number {
			return p.ID, nil
		}
	}
	return foray.ID{}, fault.Missing()
}
