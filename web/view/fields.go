package view

import "forayhall/internal/message"

// field is one labelled control of a form. Its texts are "LABEL" and, where Hint is set, "LABEL.hint".
type field struct {
	Form    string // key of the form on pages with several; empty otherwise
	Name    string
	Label   string
	Hint    bool
	Value   string
	Type    string   // text unless said
	Mode    string   // inputmode
	Auto    string   // autocomplete; off unless said
	Names   string   // address of the type-ahead
	List    []string // suggestions that need no network
	Offers  []Offer  // words that it offers, which it need not take
	Needed  bool
	Short   bool // a few characters
	Big     bool // drawn as the number on a label
	Errors  Errors
	Options []Option
	Empty   string // key of the first, empty choice of a list
	Lines   int    // more than one: a text area
	N       int    // argument n of the label
	Chooses string // id of the radio button that writing in it chooses
	Press   Key    // the key that goes there
}

func (f field) id() string { return fieldID(f.Form, f.Name) }

func fieldID(form, name string) string {
	if form == "" {
		return name
	}
	return form + "-" + name
}

func (f field) kind() string {
	if f.Type == "" {
		return "text"
	}
	return f.Type
}

func (f field) auto() string {
	if f.Auto == "" {
		return "off"
	}
	return f.Auto
}

func (f field) wrong() message.Text { return f.Errors.of(f.Form, f.Name) }

// described lists the ids of what explains the control.
func (f field) described() string {
	ids := ""
	if f.Hint {
		ids = f.id() + "-hint"
	}
	if !f.wrong().IsZero() {
		if ids != "" {
			ids += " "
		}
		ids += f.id() + "-error"
	}
	return ids
}

func (f field) class() string {
	class := "field"
	if f.Short {
		class += " field-short"
	}
	if f.Big {
		class += " field-big"
	}
	return class
}

// fleetingValues are the characters that are gone by evening, as typed. Taste is not among them and never will be.
type fleetingValues struct {
	Form                                    string
	Odour, Latex, LatexChange, LatexSeconds string
	CutChange, CutSeconds                   string
	Stickiness, Textures                    []Option
	Errors                                  Errors
}
