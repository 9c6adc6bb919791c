package pages_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/message"
)

// sentTwiceOtherwise are the forms whose second answer cannot be the first, and why.
var sentTwiceOtherwise = map[string]string{
	"/sign-in":                           "it carries no command",
	"/sign-out":                          "it carries no command",
	"/me/token":                          "answers with a page that shows the token once",
	"/:society/:event/people/invitation": "answers with a page that shows the link once: TestALinkIsShownOnceAlsoWhereItsFormIsSentTwice",
	"/:society/:event/people/pass":       "answers with a page that shows the link once: TestALinkIsShownOnceAlsoWhereItsFormIsSentTwice",
	"/me/everywhere":                     "ends the session that it would be sent with again",
	"/me/erase":                          "leaves nobody who could send it again",
}

// TestAFormSentTwiceIsAppliedOnce: a thumb that taps twice, or a browser that tries again.
func TestAFormSentTwiceIsAppliedOnce(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		rights := map[string]access.Right{"/intake": access.Desk, "/publish": access.ListKeeper, "/setup/contact": access.SafetyLead, "/setup/tested": access.SafetyLead,
			"/setup/table": access.Organiser, "/setup/right": access.Organiser}
		for _, line := range allRows() {
			r := f.row(line)
			if r.method != http.MethodPost || sentTwiceOtherwise[r.route] != "" || nobodyMay(line[r.width:]) {
				continue
			}
			who, ok := rights[strings.TrimPrefix(r.route, "/:society/:event")]
			if !ok {
				who = whoMay(line[r.width:])
			}
			if r.route+r.variant == "/:society/:event/c/:number/place" {
				who = access.Steward
			}
			b := f.asks(r, who)
			path := f.path(r, who)
			form := f.form(r, who, path)
			f.s.Pass(time.Second) // a form is older than what it leads to
			once := b.post(path, form).seeOther()
			after, first := f.seq(), b.status
			again := b.post(path, form).seeOther()
			if first != http.StatusSeeOther || b.status != first || again != once || f.seq() != after {
				t.Errorf("POST %s %s sent twice by %s: %d to %s, then %d to %s, %d changes more: %s", path, r.variant, who, first, once, b.status, again, f.seq()-after, b.text())
			}
		}
	})
}

// whoMay is somebody of the staff who may: the chief identifier where that is one of them.
func whoMay(cells string) access.Right {
	may := access.Visitor
	for i, cell := range strings.Fields(cells) {
		if cell == "x" && (may == access.Visitor || personas[i] == access.ChiefIdentifier) {
			may = personas[i]
		}
	}
	return may
}

// nobodyMay is true of a row for what belongs to somebody else.
func nobodyMay(cells string) bool { return !strings.Contains(cells, "x") }

// TestACommandIsNotUsedForAnotherForm: what was typed differs, so it is another decision.
func TestACommandIsNotUsedForAnotherForm(t *testing.T) {
	f := onSQLite(t)
	form := url.Values{"command": {f.s.Command(t).ID.String()}, "number": {"810"}, "group": {"bolete"}}
	f.at[access.Desk].post(event+"/intake", form).want(http.StatusSeeOther)
	before := f.seq()
	form.Set("number", "811")
	f.at[access.Desk].post(event+"/intake", form).want(http.StatusUnprocessableEntity, message.For(message.English).Say("pages.problem.mismatch"), "811")
	form = url.Values{"command": {"no id"}, "number": {"812"}, "group": {"bolete"}}
	f.at[access.Desk].post(event+"/intake", form).want(http.StatusUnprocessableEntity, "812")
	if f.seq() != before {
		t.Error("a form under a used or missing id was taken")
	}
}

// TestAFormThatComesBackKeepsWhatWasTypedAndItsCommand: nobody types a slip twice, and sending it again is seen.
func TestAFormThatComesBackKeepsWhatWasTypedAndItsCommand(t *testing.T) {
	f := onSQLite(t)
	number := f.collection("Person chief_identifier")
	slip := f.suggested(number, f.s.As[access.ChiefIdentifier])
	act := event + "/c/" + number + "/"
	for _, c := range []struct {
		who    access.Right
		page   string
		action string
		wrong  []string // one of the fields is wrong
	}{
		{access.Desk, event + "/intake", event + "/intake", []string{"number", "0731", "group", "no_such", "collector", "Ines Okafor", "odour", "radish", "weight", "much", "remarks", "under a bench", "substrate", "soil"}},
		{access.Desk, event + "/intake", event + "/intake", []string{"number", "no number", "group", "bolete", "habitat", "by the weir"}},
		{access.ChiefIdentifier, event + "/c/" + number, act + "field-name", []string{"name_1", "", "reason_1", "no ring seen", "remarks", "two fruitbodies only"}},
		{access.ChiefIdentifier, event + "/c/" + number, act + "sign", []string{"choice", "other", "name", "Galerina marginata", "basis", "", "remarks", "fibrils below"}},
		{access.ChiefIdentifier, event + "/c/" + number, act + "nameless", []string{"kind", "", "remarks", "eaten by slugs"}},
		{access.ChiefIdentifier, event + "/c/" + number, act + "note", []string{"odour", "", "character", "spore print", "value", "", "cut_seconds", "12"}},
		{access.ChiefIdentifier, event + "/c/" + number, act + "strike", []string{"slip", slip, "remarks", ""}},
		{access.ListKeeper, event + "/publish", event + "/publish", []string{"note", "Two plates were not seen again."}},
		{access.SafetyLead, event + "/setup/contact", event + "/setup/contact", []string{"name", "Poison line", "phone", "", "hours", "day and night"}},
		{access.SafetyLead, event + "/setup/contact", event + "/setup/tested", []string{}},
		{access.Organiser, event + "/setup/tables", event + "/setup/table", []string{"number", "none", "name", "By the door"}},
		{access.Organiser, event + "/setup/rights", event + "/setup/right", []string{"person", f.s.As[access.Member].Person.String(), "role", ""}},
	} {
		b := f.at[c.who]
		before := f.seq()
		b.get(c.page).want(http.StatusOK)
		command := b.fields(c.action).Get("command")
		b.send(c.action, c.wrong...)
		if b.status != http.StatusUnprocessableEntity && b.status != http.StatusConflict {
			t.Errorf("%s with %v answered %d", c.action, c.wrong, b.status)
			continue
		}
		if !b.has(c.action) {
			t.Errorf("%s: the form did not come back: %s", c.action, b.text())
			continue
		}
		if got := b.fields(c.action).Get("command"); got != command && b.status != http.StatusConflict {
			t.Errorf("%s: the form came back under another command", c.action)
		}
		if find(b.page, func(n *node) bool { return attr(n, "id") == "problems" }) == nil {
			t.Errorf("%s: nothing says what is wrong", c.action)
		}
		for i := 0; i < len(c.wrong); i += 2 {
			if want := c.wrong[i+1]; want != "" && want != "no_such" && b.typed(c.action, c.wrong[i]) != want {
				t.Errorf("%s: %s is %q, was typed as %q", c.action, c.wrong[i], b.typed(c.action, c.wrong[i]), want)
			}
		}
		if f.seq() != before {
			t.Errorf("%s: a form that came back changed something", c.action)
		}
	}
}
