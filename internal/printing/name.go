package printing

import (
	"strings"

	"forayhall/internal/message"
)

// Run is a piece of a scientific name: italic for the name itself, upright for authors, ranks and qualifiers.
type Run struct {
	Text   string
	Italic bool
}

// Name is a scientific name to be set, its runs with the spaces between them. A form group is one upright run.
type Name []Run

// Italic is a name that is wholly set in italics.
func Italic(text string) Name { return Name{{Text: text, Italic: true}} }

// Upright is a name of a rank above genus, or a form group.
func Upright(text string) Name { return Name{{Text: text}} }

// String is the name in one line, for whoever has no italics.
func (n Name) String() string {
	var b strings.Builder
	for _, r := range n {
		b.WriteString(r.Text)
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// IsZero reports whether there is no name.
func (n Name) IsZero() bool { return n.String() == "" }

// spans sets the name; the upright runs may be lighter and smaller.
func (n Name) spans(name, beside style) []span {
	spans := make([]span, 0, len(n))
	for _, r := range n {
		if r.Italic {
			spans = append(spans, span{r.Text, name.slanted()})
		} else {
			spans = append(spans, span{r.Text, beside})
		}
	}
	return spans
}

// State is how a plate is named, in the words of the hall: brought_in, provisional, confirmed, disputed,
// not_nameable, not_fungus.
type State string

// The states that are drawn in ways of their own.
const (
	BroughtIn   State = "brought_in"
	Provisional State = "provisional"
	Confirmed   State = "confirmed"
	Disputed    State = "disputed"
)

// plain is the state as it is written in keys; hazard writes it with a space.
func (s State) plain() State {
	return State(strings.NewReplacer(" ", "_", "-", "_").Replace(string(s)))
}

func (s State) say(say message.Printer) string {
	key := "pages.state." + string(s.plain())
	if s == "" || !message.Has(key) {
		return string(s)
	}
	return say.Say(key)
}

// severityWord says a severity as the screens do. There is no word for what does no harm.
func severityWord(say message.Printer, severity int) string {
	if severity < 1 || severity > 5 {
		return say.Say("pages.hazard.none")
	}
	return say.Say("pages.hazard." + string(rune('0'+severity)))
}

// placeholder stands in a text for what is set in another style than the text around it.
const placeholder = "\uE000"

// rich says a text that has one argument set in a style of its own, such as a scientific name.
func rich(said string, around style, inner []span) []span {
	before, after, found := strings.Cut(said, placeholder)
	spans := []span{{before, around}}
	if found {
		spans = append(append(spans, inner...), span{after, around})
	}
	return spans
}
