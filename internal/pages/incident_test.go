package pages_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/safety"
	"forayhall/internal/store"
)

func init() {
	areaRows = append(areaRows, `
GET  ⋯/eaten                           . . x x x x x x x x x .
POST ⋯/eaten                           . . x x x x x x x x x .
GET  ⋯/eaten/:incident                 . . . . . . . . x . . .
GET  ⋯/eaten/:incident     own         . . x x x x x x x x x .
POST ⋯/eaten/:incident                 . . . . . . . . x . . .
POST ⋯/eaten/:incident     own         . . x x x x x x x x x .
POST ⋯/eaten/:incident     close       . . . . . . . . x . . .
`)
	said := func(_ *floor, _ access.Right, set func(...string) url.Values) url.Values {
		return set("words", "rang the number")
	}
	areaForms["/eaten"] = func(_ *floor, _ access.Right, set func(...string) url.Values) url.Values { return set("who", "child") }
	areaForms["/eaten/:incident"] = said
	areaForms["/eaten/:incident own"] = said
	areaForms["/eaten/:incident close"] = func(_ *floor, _ access.Right, set func(...string) url.Values) url.Values {
		return set("words", "nobody ate any", "close", "yes")
	}
}

// incident opens one, by the persona itself where it may.
func (f *floor) incident(by access.Actor) string {
	f.t.Helper()
	done, err := safety.OpenIncident(f.t.Context(), f.s.Hall, by, f.s.Scope, f.s.Command(f.t), safety.Eaten{Who: "child"})
	if err != nil {
		f.t.Fatal(err)
	}
	return done.Incident.String()
}

// TestSomethingWasEaten: whom to call stands before anything is typed, the plate is kept, and every reading is noted.
func TestSomethingWasEaten(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		seq := f.contactSeq()
		number := f.collection("Mei Adeyemi")
		f.suggested(number, g.Second)
		b := f.enter(access.Desk)
		if _, err := safety.TestContact(t.Context(), g.Hall, g.As[access.SafetyLead], g.Scope, g.Command(t), safety.Typed{Seq: seq}); err != nil {
			t.Fatal(err)
		}
		if text := b.get(event + "/eaten").text(); strings.Contains(text, "Not final") {
			t.Errorf("a tested contact is called not final: %s", text)
		}
		if text := b.get(event + "/eaten").text(); !strings.Contains(text, "0300 555 0142") || strings.Index(text, "0300 555 0142") > strings.Index(text, "Then write it down") {
			t.Errorf("whom to call does not come first: %s", text)
		}
		v := url.Values{"command": {g.Command(t).ID.String()}, "number": {"9999"}, "signs": {"vomiting"}}
		b.post(event+"/eaten", v).want(http.StatusUnprocessableEntity)
		if !strings.Contains(b.body, "vomiting") {
			t.Error("what was typed is lost")
		}
		v.Set("who", "child")
		b.post(event+"/eaten", v).want(http.StatusUnprocessableEntity)
		if !strings.Contains(b.text(), "There is no plate 9999") {
			t.Errorf("a wrong number is not said: %s", b.text())
		}
		v.Set("number", number)
		b.post(event+"/eaten", v).want(http.StatusSeeOther)
		path := b.location
		text := b.get(path).text()
		for _, want := range []string{"A child", "0300 555 0142", "Kuehneromyces mutabilis", "Galerina marginata", "vomiting", "Person identifier"} {
			if !strings.Contains(text, want) {
				t.Errorf("the page does not say %q: %s", want, text)
			}
		}
		for who, want := range map[access.Right]int{access.SafetyLead: 200, access.Organiser: 404, access.Identifier: 404, access.Member: 403} {
			if other := f.enter(who); other.get(path).status != want {
				t.Errorf("%s: %d, want %d", who, other.status, want)
			}
		}
		if err := g.Store.Read(t.Context(), func(tx *store.Tx) error {
			reads, err := tx.PrivateReads(g.Scope.Society, g.Scope.Event)
			var who []string
			for _, r := range reads {
				who = append(who, r.What+" "+fmt.Sprint(r.PersonID == g.As[access.Desk].Person || r.PersonID == g.As[access.SafetyLead].Person))
			}
			if strings.Join(who, ",") != "incident true,incident true" {
				t.Errorf("readings noted: %v", who)
			}
			return err
		}); err != nil {
			t.Fatal(err)
		}
		if _, err := foray.ParseID(path[strings.LastIndex(path, "/")+1:]); err != nil {
			t.Error(err)
		}
	})
}
