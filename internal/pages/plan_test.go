package pages_test

import (
	"net/url"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/tables"
	"forayhall/internal/printing"
)

func init() {
	areaRows = append(areaRows, `
GET  ⋯/wall                            . . x x x x x x x x x .
GET  ⋯/plan                            . . x x x x x x x x x .
GET  ⋯/put                             . . . . . x . . . . x .
POST ⋯/put                             . . . . . x . . . . x .
GET  ⋯/sweep                           . . . . . x . . . . x .
POST ⋯/sweep                           . . . . . x . . . . x .
GET  ⋯/clear                           . . . x . x x x . x x .
POST ⋯/clear                           . . . x . x x x . x x .
GET  ⋯/papers                          . . x x x x x x x x x .
GET  ⋯/papers/print                    . . . . . x . . . . x .
GET  ⋯/papers/cards.pdf                . . . . . x . . . . x .
GET  ⋯/p/:paper                        x x x x x x x x x x x x
GET  ⋯/warnings.csv                    x x x x x x x x x x x x
GET  ⋯/warnings.pdf                    x x x x x x x x x x x x
POST ⋯/papers/cards                    . . . . . x . . . . x .
POST ⋯/papers/swap                     . . . . . x . . x . x .
POST ⋯/papers/sheet                    . . . . . x . . x . x .
`)
	areaForms["/put"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		return set("where", "table", "table", "1", "plates", f.collection("Mei Adeyemi"))
	}
	areaPaths["/sweep"] = func(*floor, row) string { return event + "/sweep?table=1" }
	areaForms["/sweep"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		return set("plates", f.collection("Mei Adeyemi"))
	}
	areaPaths["/p/:paper"] = func(f *floor, _ row) string { return event + "/p/" + f.wrongCard().String() }
	areaPaths["/papers/cards.pdf"] = func(f *floor, _ row) string {
		return event + "/papers/cards.pdf?" + url.Values{"p": {f.wrongCard().String()}, "stock": {printing.Stocks()[0].Name}}.Encode()
	}
	areaForms["/clear"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		return set("where", "dryer", "tray", "4", "plate", f.collection("Mei Adeyemi"))
	}
	areaForms["/papers/cards"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		f.onTable()
		return set("again", "yes")
	}
	areaForms["/papers/swap"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		return set("paper", f.wrongCard().String())
	}
	areaForms["/papers/sheet"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		p, err := tables.SeePapers(f.t.Context(), f.s.Hall, f.s.As[access.Steward], f.s.Scope)
		if err != nil {
			f.t.Fatal(err)
		}
		return set("digest", p.Sheet)
	}
}

// onTable puts a fresh plate on table 1.
func (f *floor) onTable() string {
	f.t.Helper()
	number := f.collection("Mei Adeyemi")
	if _, err := tables.PlaceSeveral(f.t.Context(), f.s.Hall, f.s.As[access.Steward], f.s.Scope, f.s.Command(f.t),
		tables.Several{Plates: []tables.Spot{{Number: number}}, Where: foray.OnTable, Table: "1"}); err != nil {
		f.t.Fatal(err)
	}
	return number
}

// wrongCard leaves a card standing whose plate has gone to the dryer.
func (f *floor) wrongCard() foray.ID {
	f.t.Helper()
	number := f.onTable()
	made, err := tables.MakeCards(f.t.Context(), f.s.Hall, f.s.As[access.Steward], f.s.Scope, f.s.Command(f.t), tables.Cards{Numbers: []string{number}})
	if err != nil {
		f.t.Fatal(err)
	}
	if _, err := tables.PlaceSeveral(f.t.Context(), f.s.Hall, f.s.As[access.Steward], f.s.Scope, f.s.Command(f.t),
		tables.Several{Plates: []tables.Spot{{Number: number, Position: "tray 2"}}, Where: foray.InDryer}); err != nil {
		f.t.Fatal(err)
	}
	return made.Cards[0].Paper
}

// TestACodeOnPaperSaysWhetherItStillHolds: a card and a sheet are right while nothing changes, and their codes say so to
// whoever reads them when something does.
func TestACodeOnPaperSaysWhetherItStillHolds(t *testing.T) {
	f := onSQLite(t)
	visitor, steward := f.at[access.Visitor], f.at[access.Steward]
	number := f.onTable()
	made, err := tables.MakeCards(t.Context(), f.s.Hall, f.s.As[access.Steward], f.s.Scope, f.s.Command(t), tables.Cards{Numbers: []string{number}})
	if err != nil {
		t.Fatal(err)
	}
	card := event + "/p/" + made.Cards[0].Paper.String()
	papers, err := tables.SeePapers(t.Context(), f.s.Hall, f.s.As[access.Steward], f.s.Scope)
	if err != nil {
		t.Fatal(err)
	}
	hung, err := tables.HangSheet(t.Context(), f.s.Hall, f.s.As[access.Steward], f.s.Scope, f.s.Command(t), tables.Hang{Digest: papers.Sheet})
	if err != nil {
		t.Fatal(err)
	}
	sheet := event + "/p/" + hung.Paper.String()
	for _, at := range []string{card, sheet} {
		visitor.get(at).want(200, "This paper says what is so")
	}
	steward.get(event+"/warnings.pdf?paper="+hung.Paper.String()).want(200, "%PDF")
	if _, err := bench.GiveFieldName(t.Context(), f.s.Hall, f.s.Second, f.s.Scope, f.s.Command(t), bench.FieldName{Collection: f.plate(number).ID,
		Names: []hall.NameInput{{Text: "Amanita phalloides"}}}); err != nil {
		t.Fatal(err)
	}
	visitor.get(card).want(200, "This card is out of date", "Amanita phalloides")
	visitor.get(sheet).want(200, "This sheet is out of date")
	steward.get(event + "/warnings.pdf?paper=" + hung.Paper.String()).want(409)
	for _, at := range []string{event + "/warnings.pdf", event + "/warnings.csv"} {
		tag := visitor.ask("GET", at, nil).Header.Get("ETag")
		if res := visitor.ask("GET", at, nil, "If-None-Match", tag); tag == "" || res.StatusCode != 304 {
			t.Errorf("%s is made anew though nothing changed: %d", at, res.StatusCode)
		}
	}
	visitor.get(event + "/p/" + foray.ID{1}.String()).want(404)
	visitor.get(event + "/p/none").want(404)
}

// TestStewardsDay goes through the forms: a wrong number is said and nothing is lost, then put, card, swap, sweep.
func TestStewardsDay(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		number := f.collection("Mei Adeyemi")
		b := f.enter(access.Steward)
		send := func(path string, pairs ...string) *browser {
			v := url.Values{"command": {g.Command(t).ID.String()}}
			for i := 0; i < len(pairs); i += 2 {
				v.Set(pairs[i], pairs[i+1])
			}
			return b.post(event+path, v)
		}
		send("/put", "where", "table", "table", "1", "plates", number+" 9999").want(422)
		if text := b.text(); !strings.Contains(text, "9999 has not been logged here") || !strings.Contains(b.body, number+" 9999") {
			t.Errorf("the wrong number is not said, or what was typed is lost: %s", text)
		}
		send("/put", "where", "table", "table", "1", "plates", number).want(303)
		send("/papers/cards").want(303)
		if !strings.Contains(b.get(event+"/papers").text(), "1 paper stands in the hall") {
			t.Errorf("the card is not remembered: %s", b.text())
		}
		f.suggested(number, g.Second)
		if text := b.get(event + "/hall").text(); !strings.Contains(text, number+": swap card") {
			t.Errorf("the hall page does not ask for the swap: %s", text)
		}
		send("/sweep?table=1", "plates", "").want(303)
		if text := b.get(event + "/plan").text(); !strings.Contains(text, "0 of 14") {
			t.Errorf("after an empty sweep: %s", text)
		}
	})
}
