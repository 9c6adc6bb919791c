package pages_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
)

// link is where the link leads that says a text; "" where there is none.
func (b *browser) link(says string) string {
	n := find(b.page, func(n *node) bool { return n.Data == "a" && strings.Contains(textOf(n), says) })
	if n == nil {
		return ""
	}
	return attr(n, "href")
}

// sendForm fills in the form with an id and sends it with what its radio buttons and hidden fields hold.
func (b *browser) sendForm(id string, pairs ...string) *browser {
	b.t.Helper()
	form := find(b.page, func(n *node) bool { return n.Data == "form" && attr(n, "id") == id })
	if form == nil {
		b.t.Fatalf("no form %s on %s: %s", id, b.path, b.text())
	}
	v := url.Values{}
	each(form, func(n *node) {
		if n.Data == "input" && (attr(n, "type") == "hidden" || has(n, "checked")) {
			v.Add(attr(n, "name"), attr(n, "value"))
		}
	})
	for i := 0; i < len(pairs); i += 2 {
		v.Add(pairs[i], pairs[i+1])
	}
	return b.post(attr(form, "action"), v)
}

func TestAnEasyPlateIsSignedFromTheQueueAndTakenBack(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		f.brought(1, desk.Field{Group: "small_brown"}, "")
		f.brought(2, desk.Field{Group: "bolete"}, "")
		f.suggests(1, g.Third, "Kuehneromyces mutabilis", "Galerina marginata")
		b := f.s.as(t, access.Identifier)
		b.get(event+"/queue").want(http.StatusOK, "Here because: spoils in 2 h, Deadly", "For you: 2")
		first := b.link("0001")
		b.get(first).want(http.StatusOK, "1 of 2 that wait", "Signing it confirms the plate.", "Agree and confirm")
		b.sendForm("form-agree").want(http.StatusOK, "You just wrote a slip for", "1 plate waits")
		if p := f.plate("0001"); p.StateWord() != "confirmed" || p.Slips[1].Basis != "macroscopic" {
			t.Fatalf("0001 is %s: %+v", p.StateWord(), p.Slips)
		}
		if b.link("Next plate") != event+"/c/0002?from=queue" {
			t.Errorf("the next plate is %q", b.link("Next plate"))
		}
		undo := find(b.page, func(n *node) bool { return n.Data == "form" && attr(n, "class") == "undo" })
		v := url.Values{}
		each(undo, func(n *node) {
			if n.Data == "input" {
				v.Set(attr(n, "name"), attr(n, "value"))
			}
		})
		b.post(attr(undo, "action"), v).want(http.StatusOK, "slip of the hand", "1 of 2 that wait").not("You just wrote")
		if p := f.plate("0001"); p.StateWord() != "provisional" || len(p.Slips) != 3 {
			t.Errorf("after taking back 0001 is %s with %d slips", p.StateWord(), len(p.Slips))
		}
	})
}

// The next sign-off rests on what the last one rested on, unless something else is said; a minute later nothing is
// taken back in one key.
func TestTheBasisIsRememberedAndTheMinuteEnds(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		for n := range 2 {
			f.brought(n+1, desk.Field{Group: "bolete"}, "")
			f.suggests(n+1, g.Third, "Boletus edulis")
		}
		b := f.s.as(t, access.Identifier)
		b.get(event + "/c/0001").want(http.StatusOK)
		b.send(event+"/c/0001/sign", "choice", "Boletus edulis", "basis", "microscopy").want(http.StatusOK, "You just wrote")
		g.Pass(time.Minute + time.Second)
		b.get(event + "/c/0001").want(http.StatusOK).not("You just wrote")
		b.get(event + "/c/0002").sendForm("form-agree").want(http.StatusOK)
		if slip := f.plate("0002").Slips[1]; slip.Basis != "microscopy" {
			t.Errorf("0002 rests on %s", slip.Basis)
		}
	})
}

func TestThePageSaysBeforehandWhatSigningIs(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		f.brought(1, desk.Field{Group: "bolete"}, "")
		f.signed("1", g.Second, "Boletus edulis", "")
		second, third, ident := f.s.named(t, "second"), f.s.named(t, "third"), f.s.as(t, access.Identifier)
		third.get(event+"/c/0001").want(http.StatusOK, "Signing it agrees with Person second.", "is a dissent from Person second: give your reason")
		second.get(event+"/c/0001").want(http.StatusOK, "takes the place of your own earlier word").not("dissent")
		f.signed("1", g.Third, "Imleria badia", "blues at once")
		ident.get(event+"/c/0001").want(http.StatusOK, "settles the dispute, in person")
		if strings.Count(second.get(event+"/c/0001").want(http.StatusOK).text(), "settles the dispute, in person") != 2 {
			t.Errorf("a party settles with the other's name alone, said twice: %s", second.text())
		}
		scribe := f.s.as(t, access.Scribe)
		scribe.get(event + "/c/0001?for=" + g.Second.Person.String()).want(http.StatusOK).not("settles the dispute")
	})
}

// Of two qualifiers none is dropped: the page asks, and offers both.
func TestTwoQualifiersAreAskedBack(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		for i, c := range []struct{ meant, want string }{{"written", "group"}, {"chosen", "cf."}} {
			f.brought(i+1, desk.Field{Group: "bolete"}, "")
			b, act := f.s.named(t, "second"), fmt.Sprintf("%s/c/%04d/sign", event, i+1)
			b.get(strings.TrimSuffix(act, "/sign"))
			again := []string{"choice", "other", "name", "Boletus edulis group", "qualifier", "cf.", "basis", "macroscopic"}
			b.send(act, again...).want(http.StatusUnprocessableEntity, "Say which of the two is meant", "Which was meant?", "as it is written", "cf. alone")
			b.send(act, append(again, "meant", c.meant)...).want(http.StatusOK)
			if name := f.plate(fmt.Sprint(i + 1)).Slips[0].Name(); name.Qualifier != c.want || name.Name != "Boletus edulis" {
				t.Errorf("%s was meant and %+v was written", c.meant, name)
			}
		}
	})
}

func TestAScribeWritesForSomebodyWhoIsChosenOnce(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		for n := range 4 {
			f.brought(n+1, desk.Field{Group: "bolete"}, "")
		}
		f.signed("2", g.Third, "Imleria badia", "")
		b := f.s.as(t, access.Scribe)
		b.get(event+"/scribe").want(http.StatusOK, "For whom do you write?", "Person second").not("Person scribe")
		b.get(b.link("Person second")).want(http.StatusOK, "Writing for Person second")
		scribe := event + "/scribe"
		b.send(scribe, "number", "1", "name", "Boletus edulis", "basis", "comparison").want(http.StatusOK, "Written for Person second: 0001", "You just wrote a slip for")
		if slip := f.plate("1").Slips[0]; slip.Determiner != g.Second.Person || slip.Writer != g.As[access.Scribe].Person || slip.Basis != "comparison" {
			t.Errorf("%+v", slip)
		}
		b.send(scribe, "number", "2", "name", "Boletus edulis", "basis", "comparison").want(http.StatusUnprocessableEntity, "Another identifier signed another name")
		if b.typed(scribe, "name") != "Boletus edulis" || b.typed(scribe, "number") != "2" || b.typed(scribe, "basis") != "comparison" {
			t.Errorf("what was typed is lost: %q", b.typed(scribe, "name"))
		}
		b.send(scribe, "number", "", "name", "", "basis", "comparison").want(http.StatusUnprocessableEntity, "Write the number on the label.")

		several := scribe + "/several"
		lines := "3 Boletus edulis\n2 Boletus edulis\nHB26 4 Boletus cf. edulis; net white"
		b.send(several, "lines", lines, "basis", "macroscopic").want(http.StatusUnprocessableEntity, "Not every slip was written", "Another identifier signed another name")
		if left := b.typed(several, "lines"); left != "2 Boletus edulis" {
			t.Errorf("left are %q", left)
		}
		for _, n := range []string{"3", "4"} {
			if p := f.plate(n); p.StateWord() != "confirmed" || p.Slips[0].Determiner != g.Second.Person {
				t.Errorf("%s is %s", n, p.StateWord())
			}
		}
		b.send(several, "lines", "2 Boletus edulis; net white", "basis", "macroscopic").want(http.StatusOK, "Written for Person second: 0002")
		if !f.plate("2").Standing.Disputed {
			t.Error("the dissent was not written")
		}
	})
}

// The same list sent again is the same slips; what came between is shown.
func TestAListSentAgainWritesNothingTwice(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		f.brought(1, desk.Field{Group: "bolete"}, "")
		f.brought(2, desk.Field{Group: "bolete"}, "")
		b := f.s.as(t, access.Scribe)
		b.get(event + "/scribe?for=" + g.Second.Person.String()).want(http.StatusOK)
		g.Pass(time.Second)
		f.signed("2", g.Third, "Imleria badia", "")
		v := b.fields(event + "/scribe/several")
		v.Set("lines", "1 Boletus edulis\n2 Boletus edulis")
		v.Set("basis", "macroscopic")
		for range 2 {
			b.post(event+"/scribe/several", v).want(http.StatusUnprocessableEntity, "Somebody was first", "Person third wrote Imleria badia.")
		}
		if one, two := f.plate("1"), f.plate("2"); len(one.Slips) != 1 || len(two.Slips) != 1 {
			t.Errorf("%d and %d slips", len(one.Slips), len(two.Slips))
		}
	})
}

func TestSeveralPlatesAreSignedWithOneName(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		for n := range 3 {
			f.brought(n+1, desk.Field{Group: "bolete"}, "")
		}
		b := f.s.named(t, "second")
		v := b.get(event + "/queue").fields(event + "/queue/sign")
		v["pick"], v["name"], v["basis"] = []string{"0001", "0003", "0009"}, []string{"Boletus edulis"}, []string{"macroscopic"}
		b.post(event+"/queue/sign", v).want(http.StatusUnprocessableEntity, "No collection has the number 0009 yet", "Sign with others")
		if f.plate("1").StateWord() != "confirmed" || f.plate("3").StateWord() != "confirmed" || len(f.plate("2").Slips) != 0 {
			t.Error("not each was answered by itself")
		}
		v = b.get(event + "/queue").fields(event + "/queue/sign")
		v["pick"], v["name"], v["basis"] = []string{"0002"}, []string{"Boletus edulis"}, []string{"macroscopic"}
		b.post(event+"/queue/sign", v).want(http.StatusOK, "Signed: 0002", "Nothing waits")
		v = b.get(event + "/queue").fields(event + "/queue/sign")
		v["name"] = []string{"Boletus edulis"}
		b.post(event+"/queue/sign", v).want(http.StatusUnprocessableEntity, "Write at least one line")
	})
}

func TestMyGroupsAreShownFirst(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		f.brought(1, desk.Field{Group: "bolete"}, "")
		f.brought(2, desk.Field{Group: "cup"}, "")
		b := f.s.named(t, "second")
		b.get(event+"/queue").send(event+"/queue/groups", "groups", "cup").want(http.StatusOK, "Yours by the groups you determine:", "For you: 1", "For anybody: 2")
		if b.link("0001") != "" || b.link("0002") == "" {
			t.Error("the queue is not this person's")
		}
		b.get(event+"/queue?show=all").want(http.StatusOK, "0001", "0002")
		b.get(b.link("0001")).want(http.StatusOK, "that wait")
		b.send(event+"/c/0001/place", "where", "bench", "with", "Person third").want(http.StatusOK, "at the bench: Person third")
		f.s.named(t, "third").get(event+"/queue").want(http.StatusOK, "passed to you")
	})
}

// What is passed over comes back at the end; a word that was written leads on, and can be taken back.
func TestWalkingATable(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		for n, position := range map[int]string{1: "A2", 2: "A10", 3: "A1"} {
			f.brought(n, desk.Field{Group: "bolete"}, "")
			f.suggests(n, g.Third, "Boletus edulis")
			f.stands(n, 1, position)
		}
		b := f.s.named(t, "second")
		at := func(number string, says ...string) {
			t.Helper()
			b.want(http.StatusOK, says...)
			if h := find(b.page, func(n *node) bool { return n.Data == "h1" }); !strings.Contains(textOf(h), number) {
				t.Fatalf("stands before %s, want %s", textOf(h), number)
			}
		}
		b.get(event + "/walk/1")
		at("0003", "1 of 3 on table 1 Boletes")
		b.get(b.link("Later"))
		at("0001")
		b.sendForm("form-agree")
		at("0002", "2 of 3 on table 1 Boletes", "0001 is now: confirmed", "You just wrote a slip for")
		b.get(b.link("Looked at"))
		at("0003", "3 of 3 on table 1 Boletes")
		b.send(event+"/c/0003/nameless", "kind", "not_nameable", "remarks", "too old").want(http.StatusOK, "Table 1 Boletes is seen", "3 plates were looked at.", "0003 is now")
		b.get(event + "/walk/1?seen=0003.0001&done=0001")
		undo := find(b.page, func(n *node) bool { return n.Data == "form" && attr(n, "class") == "undo" })
		v := url.Values{}
		each(undo, func(n *node) {
			if n.Data == "input" {
				v.Set(attr(n, "name"), attr(n, "value"))
			}
		})
		b.post(attr(undo, "action"), v)
		at("0001", "2 of 3 on table 1 Boletes")
		b.get(event + "/walk/99").want(http.StatusNotFound)
		b.get(event + "/walk/three").want(http.StatusNotFound)
	})
}

// A form may lead on within its event and nowhere else.
func TestAFormLeadsNowhereElse(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		b := f.at[access.Identifier]
		for n, then := range []string{"https://example.org/", "//example.org/", event + "@example.org/", "/fernhollow/HB26/hall", event + "/queue"} {
			f.brought(n+1, desk.Field{Group: "bolete"}, "")
			number := fmt.Sprintf("%04d", n+1)
			b.post(event+"/c/"+number+"/sign", url.Values{"command": {g.Command(t).ID.String()}, "then": {then}, "choice": {"other"}, "name": {"Boletus edulis"}, "basis": {"macroscopic"}})
			want := event + "/c/" + number
			if n == 4 {
				want = then
			}
			if b.seeOther() != want {
				t.Errorf("%q led to %q", then, b.seeOther())
			}
		}
	})
}

func TestADisputeIsInTheQueueOfWhoMaySettleIt(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		f.brought(1, desk.Field{Group: "bolete"}, "")
		f.signed("1", g.Second, "Boletus edulis", "")
		f.signed("1", g.Third, "Imleria badia", "blues")
		f.s.as(t, access.ChiefIdentifier).get(event+"/queue?show="+string(bench.Disputes)).want(http.StatusOK, "1 dispute to settle", "0001")
		f.s.as(t, access.Scribe).get(event + "/queue").want(http.StatusOK).not("to settle")
	})
}

// TestAWrittenNameThatMayKillIsAskedForItsSigns: the form of a plate without names cannot know what will be written. It
// comes back once with the signs, nothing lost; what is answered stays with the slip and shows on it.
func TestAWrittenNameThatMayKillIsAskedForItsSigns(t *testing.T) {
	f := onSQLite(t)
	f.brought(1, desk.Field{Group: "ring_and_sack"}, "")
	b := f.s.as(t, access.Identifier)
	b.get(event+"/c/0001").send(event+"/c/0001/sign", "choice", "other", "name", "Amanita phalloides", "basis", "macroscopic", "remarks", "a sac").
		want(http.StatusUnprocessableEntity, "Look for these before you sign", f.s.Hall.Knowledge.Hazards.Signs("Amanita phalloides")[0].Text)
	if p := f.plate("0001"); len(p.Slips) != 0 || !strings.Contains(b.body, "a sac") {
		t.Errorf("%d slips, or what was written is lost", len(p.Slips))
	}
	b.send(event+"/c/0001/sign", "choice", "other", "name", "Amanita phalloides", "basis", "macroscopic", "quick_0", "seen").want(http.StatusOK, "Signs of", ": seen")
	f.at[access.Visitor].get(event+"/list").want(http.StatusOK, "signs looked for")
	for _, l := range f.plate("0001").Slips[0].Looked {
		if l.Of == "Amanita phalloides" && l.Answer != foray.IsSeen {
			t.Errorf("%s is %s", l.Sign, l.Answer)
		}
	}
}
