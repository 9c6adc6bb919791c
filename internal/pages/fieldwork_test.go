package pages_test

import (
	"net/url"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall/fieldwork"
	"forayhall/internal/hall/halltest"
)

func init() {
	areaRows = append(areaRows, `
GET  ⋯/list/why                        x x x x x x x x x x x x
GET  ⋯/list/:version/changes           x x x x x x x x x x x x
GET  ⋯/list/:version/today             x x x x x x x x x x x x
GET  ⋯/list/:version/today/csv         x x x x x x x x x x x x
GET  ⋯/seen                            . x x x x x x x x x x .
POST ⋯/seen                            . x x x x x x x x x x .
POST ⋯/seen/count                      . . x x x x x x . x x .
POST ⋯/seen/count          own         . x x x x x x x x x x .
POST ⋯/seen/stand                      . . . . x . x x . . . .
POST ⋯/seen/strike                     . . . . . . x x . x . .
POST ⋯/seen/strike         own         . x x x x x x x x x x .
`)
	areaForms["/seen"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		return set("name", "Fuligo septica", "count", "3", "again", "yes")
	}
	others := func(pairs ...string) func(*floor, access.Right, func(...string) url.Values) url.Values {
		return func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
			return set(append([]string{"record", f.seen(f.s.Third).String()}, pairs...)...)
		}
	}
	own := func(pairs ...string) func(*floor, access.Right, func(...string) url.Values) url.Values {
		return func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
			by := f.s.Third
			if who != access.Visitor && who != stranger {
				by = f.actor[who]
			}
			return set(append([]string{"record", f.seen(by).String()}, pairs...)...)
		}
	}
	areaForms["/seen/count"], areaForms["/seen/count own"] = others("n", "1"), own("n", "1")
	areaForms["/seen/strike"], areaForms["/seen/strike own"] = others("reason", "it was a crust"), own("reason", "it was a crust")
	areaForms["/seen/stand"] = func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
		v := others()(f, who, set)
		if who == access.Scribe {
			v.Set("determiner", f.s.Second.Person.String())
		}
		return v
	}
}

// seen writes a record down in somebody's hand.
func (f *floor) seen(by access.Actor) foray.ID {
	f.t.Helper()
	done, err := fieldwork.AddRecord(f.t.Context(), f.s.Hall, by, f.s.Scope, f.s.Command(f.t), fieldwork.Record{Name: "Panellus stipticus", Again: true})
	if err != nil {
		f.t.Fatal(err)
	}
	return done.Record
}

// TestWhatIsSeenAgainIsCountedFirst goes through the forms without scripts: a record, the same again, counting only.
func TestWhatIsSeenAgainIsCountedFirst(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		f.ground()
		b := f.enter(access.TeamLeader)
		send := func(path string, pairs ...string) *browser {
			v := url.Values{"command": {g.Command(t).ID.String()}}
			for i := 0; i < len(pairs); i += 2 {
				v.Set(pairs[i], pairs[i+1])
			}
			return b.post(event+path, v)
		}
		send("/seen", "team", "1", "count", "many").want(422)
		if text := b.text(); !strings.Contains(text, "Say what was seen") || !strings.Contains(text, "A count is a whole number") || !strings.Contains(b.body, `value="many"`) {
			t.Errorf("what is wrong is not said, or what was typed is lost: %s", text)
		}
		send("/seen", "team", "1", "name", "Panellus stipticus", "count", "6").want(303)
		b.get(event+"/seen").want(200, "Panellus stipticus", "6 counted", "Alder Carr")
		send("/seen", "team", "1", "name", "Panellus stipticus", "count", "2", "remarks", "on the oak").want(409)
		body := b.body
		if text := b.text(); !strings.Contains(text, "Already 6 from this site") || !strings.Contains(body, "Count only: 2 more") ||
			strings.Index(body, "Count only: 2 more") > strings.Index(body, "write a record of its own") || !strings.Contains(body, `value="on the oak"`) {
			t.Errorf("counting is not offered first: %s", text)
		}
		p, err := fieldwork.See(t.Context(), g.Hall, g.As[access.TeamLeader], g.Scope, fieldwork.ShowAll)
		if err != nil || len(p.Rows) != 1 {
			t.Fatalf("%+v %v", p.Rows, err)
		}
		send("/seen/count", "record", p.Rows[0].ID.String(), "n", "2").want(303)
		b.get(event+"/seen").want(200, "8 counted")
		send("/seen/strike", "record", p.Rows[0].ID.String()).want(422)
		if !strings.Contains(b.text(), "Say in a few words why it is taken back") {
			t.Errorf("no reason is asked for: %s", b.text())
		}
		id := f.enter(access.Identifier)
		id.post(event+"/seen/stand", url.Values{"command": {g.Command(t).ID.String()}, "record": {p.Rows[0].ID.String()}}).want(303)
		f.enter(access.Visitor).get(event+"/list/why").want(200, "Panellus stipticus", "1 field record that an identifier stands behind (8 seen)")
		f.enter(access.ListKeeper).get(event+"/publish").want(200, "Compared with version 1", "Panellus stipticus", "Field record")
		f.enter(access.Visitor).get(event+"/list/1/changes").want(200, "This is the first version")
	})
}
