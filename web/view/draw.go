package view

import (
	"context"
	"maps"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/message"
)

func commonLang(ctx context.Context, c Common) string {
	if c.Language == "" {
		return lang(ctx)
	}
	return c.Language
}

// borrowText explains the mark at a common name.
func borrowText(ctx context.Context, b Borrow) string {
	return say(ctx, "borrows."+b.Relation, "part", b.Part, "genus", b.Genus)
}

func optionText(ctx context.Context, o Option) string {
	if o.Text.IsZero() {
		return o.Label
	}
	return tell(ctx, o.Text)
}

func linkText(ctx context.Context, l Link) string {
	return optionText(ctx, Option{Text: l.Text, Label: l.Label})
}

func versionOf(f Form) string { return strconv.FormatInt(f.BaseVersion, 10) }

// attributes are those that a control carries only where they say something.
func (f field) attributes(ctx context.Context) templ.Attributes {
	a := templ.Attributes{}
	maps.Copy(a, press(f.Press))
	if !f.wrong().IsZero() {
		a["aria-invalid"] = "true"
	}
	if d := f.described(); d != "" {
		a["aria-describedby"] = d
	}
	if f.Mode != "" {
		a["inputmode"] = f.Mode
	}
	if f.Needed {
		a["aria-required"] = "true"
	}
	if len(f.Offers) > 0 {
		a["data-offers"] = say(ctx, "offers.list")
		a["data-said-first"] = say(ctx, "offers.first")
	}
	if len(f.List) > 0 || len(f.Offers) > 0 {
		a["list"] = f.id() + "-known"
	}
	if f.Chooses != "" {
		a["data-chooses"] = f.Chooses
	}
	if f.Names != "" {
		a["data-names"] = f.Names
		a["data-list-label"] = say(ctx, "names.list")
		a["data-said-many"] = say(ctx, "names.many")
		a["data-said-none"] = say(ctx, "names.none")
		a["spellcheck"] = "false"
		a["autocapitalize"] = "off"
	}
	return a
}

// tabTitle is what the browser's tab says: the page, then the event.
func tabTitle(ctx context.Context, l Layout) string {
	if l.Event.Code == "" {
		return say(ctx, "layout.title", "page", l.Title)
	}
	return say(ctx, "layout.title.event", "page", l.Title, "event", l.Event.Code)
}

// current marks the link to the page one stands on.
func current(path, here string) string {
	if path == here {
		return "page"
	}
	return "false"
}

// chosen marks the filter that is on.
func chosen(on bool) string {
	if on {
		return "true"
	}
	return "false"
}

// firstTwo are the first and second choice, which drive comparison and warning.
func firstTwo(names []InQuestion) []InQuestion { return names[:min(2, len(names))] }

// StrikeKey is the key of a slip's strike form in Errors, since a page may carry several.
func StrikeKey(slip string) string { return FormStrike + "-" + slip }

// signRemarks labels the remarks of a sign-off, which in a dissent are its reason.
func signRemarks(kind SlipKind) string {
	if kind == SlipDissent {
		return "sign.reason"
	}
	return "sign.remarks"
}

func nameLabel(i int) string {
	switch i {
	case 0:
		return "field-name.first"
	case 1:
		return "field-name.second"
	}
	return "field-name.name"
}

// pathAt is the address of the i-th of a line's collections, where this reader may open it.
func pathAt(paths []string, i int) string {
	if i < len(paths) {
		return paths[i]
	}
	return ""
}

// dial is a phone number as a device dials it.
func dial(phone string) string {
	return strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' || r == '+' {
			return r
		}
		return -1
	}, phone)
}

func roleTexts(roles []string) []message.Text {
	list := make([]message.Text, len(roles))
	for i, r := range roles {
		list[i] = RoleText(r)
	}
	return list
}

func groupTexts(groups []string) []message.Text {
	list := make([]message.Text, len(groups))
	for i, g := range groups {
		list[i] = T("group." + g)
	}
	return list
}

// problemHeading is the heading for a kind of failure.
func problemHeading(kind string) string {
	if key := "problem." + kind; message.Has("pages." + key) {
		return key
	}
	return "problem.internal"
}

// acts are the links to the forms that this person may send now, in the order of the page.
func (p Collection) acts() []Link {
	var links []Link
	add := func(may bool, key, heading string) {
		if may {
			links = append(links, Link{Text: T(heading), Path: "#form-" + key})
		}
	}
	if p.Sign != nil {
		add(true, FormSign, "sign.heading."+string(p.Sign.Kind))
	}
	add(p.FieldName != nil, FormFieldName, "field-name.heading")
	add(p.Note != nil, FormNote, "note.heading")
	add(p.HandOn != nil, FormHandOn, "hand-on.heading")
	add(p.Place != nil, FormPlace, "place.heading")
	add(p.Nameless != nil, FormNameless, "nameless.heading")
	return links
}
