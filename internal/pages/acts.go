package pages

import (
	"github.com/a-h/templ"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/tables"
	"forayhall/internal/message"
	"forayhall/internal/taxon"
	"forayhall/web/view"
)

// act runs one form of the collection page: a good one leads back to the page, a wrong one comes back with what was
// typed and, where somebody was first, with what they wrote.
func (r *request) doAct(form string, do func(s bench.Sight, cmd hall.Command) error) (string, templ.Component, error) {
	s, err := r.sight()
	if err != nil {
		return "", nil, err
	}
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	err = do(s, cmd)
	next := r.event().Collection(s.Plate.Number().String())
	if err == nil || !mendable(err) {
		return r.then(next), nil, err
	}
	// What is there now: a conflict means that it is not what was read above.
	if s, err2 := r.sight(); err2 == nil {
		r.wrong(form, err)
		page, err2 := r.collection(s, typedAct{form: form, command: r.keptCommand(err), values: r.value}, r.conflictOf(err, s, form))
		if err2 == nil {
			return "", page, err
		}
	}
	return "", nil, err
}

// keptCommand is the id that a form keeps when it comes back; after a conflict the decision is a new one.
func (r *request) keptCommand(err error) string {
	if fault.Is(err, fault.Conflict) {
		return ""
	}
	return r.value("command")
}

func giveFieldName(r *request) (string, templ.Component, error) {
	return r.doAct(view.FormFieldName, func(s bench.Sight, cmd hall.Command) error {
		in := bench.FieldName{Collection: s.Plate.ID, Remarks: r.value("remarks")}
		for i := range foray.MostNames {
			in.Names = append(in.Names, hall.NameInput{Text: r.value(nth("name_", i)), Reason: r.value(nth("reason_", i))})
		}
		_, err := bench.GiveFieldName(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		return err
	})
}

// determiner is whom a scribe wrote for; nobody chosen means the person at the screen.
func (r *request) determiner() (foray.ID, error) {
	id, err := optionalID(r.value("determiner"))
	if err != nil {
		return foray.ID{}, fault.Wrong("determiner", "slip.determiner-missing")
	}
	return id, nil
}

func optionalID(s string) (foray.ID, error) {
	if s == "" {
		return foray.ID{}, nil
	}
	return foray.ParseID(s)
}

// otherName is the choice of a sign-off whose name is written.
const otherName = "other"

func signOff(r *request) (string, templ.Component, error) {
	return r.doAct(view.FormSign, func(s bench.Sight, cmd hall.Command) error {
		by, err := r.determiner()
		if err != nil {
			return err
		}
		name := hall.NameInput{Text: r.value("choice")}
		if name.Text == otherName || name.Text == "" {
			name.Text = r.value("name")
		}
		if typed := r.value("name"); typed != "" && name.Text != typed {
			return fault.Wrong("choice", "sign.two-names")
		}
		if q := r.value("qualifier"); q != "" {
			name = qualified(name, q, r.value("meant"))
		}
		looked, err := r.looked(s, name)
		if err != nil {
			return err
		}
		_, err = bench.SignOff(r.ctx, r.hall(), r.actor, r.scope(), cmd, bench.Word{Collection: s.Plate.ID, Determiner: by, Name: name,
			Basis: foray.Basis(r.value("basis")), Remarks: r.value("remarks"), Looked: looked})
		return err
	})
}

// What was meant where the text carries one qualifier and another is chosen.
const (
	meantWritten = "written"
	meantChosen  = "chosen"
)

func qualified(name hall.NameInput, chosen, meant string) hall.NameInput {
	switch meant {
	case meantWritten:
		return name
	case meantChosen:
		name.Text = taxon.Read(name.Text).Canonical
	}
	name.Qualifier = chosen
	return name
}

func nothingToName(r *request) (string, templ.Component, error) {
	return r.doAct(view.FormNameless, func(s bench.Sight, cmd hall.Command) error {
		by, err := r.determiner()
		if err != nil {
			return err
		}
		word := bench.Word{Collection: s.Plate.ID, Determiner: by, Remarks: r.value("remarks")}
		switch r.value("kind") {
		case string(foray.NotNameable):
			_, err = bench.FindNotNameable(r.ctx, r.hall(), r.actor, r.scope(), cmd, word)
		case string(foray.NotFungus):
			_, err = bench.FindNotFungus(r.ctx, r.hall(), r.actor, r.scope(), cmd, word)
		default:
			err = fault.Wrong("kind", "slip.kind-unknown")
		}
		return err
	})
}

func strikeSlip(r *request) (string, templ.Component, error) {
	return r.doAct(view.StrikeKey(r.value("slip")), func(s bench.Sight, cmd hall.Command) error {
		slip, err := foray.ParseID(r.value("slip"))
		if err != nil {
			return fault.Missing()
		}
		_, err = bench.StrikeSlip(r.ctx, r.hall(), r.actor, r.scope(), cmd, bench.Struck{Collection: s.Plate.ID, Slip: slip, Remarks: r.value("remarks")})
		return err
	})
}

func placePlate(r *request) (string, templ.Component, error) {
	return r.doAct(view.FormPlace, func(s bench.Sight, cmd hall.Command) error {
		_, err := tables.PlacePlate(r.ctx, r.hall(), r.actor, r.scope(), cmd, tables.Place{Collection: s.Plate.ID, Where: foray.Whereabouts(r.value("where")),
			Table: r.value("table"), Position: r.value("position"), With: r.value("with")})
		return err
	})
}

func noteCharacters(r *request) (string, templ.Component, error) {
	return r.doAct(view.FormNote, func(s bench.Sight, cmd hall.Command) error {
		wrong := map[string]message.Text{}
		noted := charactersOf(r.typedIntake(), wrong)
		switch character, value := r.value("character"), r.value("value"); {
		case character != "" && value != "":
			noted = append(noted, desk.Character{Character: "other", Words: character + ": " + value})
		case character != "" || value != "":
			wrong["character"] = message.T("character.both")
		}
		if len(wrong) > 0 {
			return fault.Many(wrong)
		}
		_, err := desk.NoteCharacters(r.ctx, r.hall(), r.actor, r.scope(), cmd, desk.Note{Collection: s.Plate.ID, Characters: noted})
		return err
	})
}
