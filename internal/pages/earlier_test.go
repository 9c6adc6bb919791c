package pages_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/hall/earlier"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

func init() {
	areaRows = append(areaRows, `
GET  ⋯/setup/earlier                   . . x x x x x x x x x .
POST ⋯/setup/earlier                   . . . . . . . . . x x .
POST ⋯/setup/earlier-withdrawn         . . . . . . . . . x x .
GET  ⋯/setup/earlier/firsts            . . . . . . . . . x x .
GET  ⋯/list/firsts                     x x x x x x x x x x x x
GET  ⋯/list/firsts.csv                 x x x x x x x x x x x x
`)
	lists := 0
	areaForms["/setup/earlier"] = func(_ *floor, _ access.Right, set func(...string) url.Values) url.Values {
		lists++
		return set("title", "Our list", "scope", "society", "source", "minutes", "lines", fmt.Sprintf("name\nBoletus edulis\nInventaria %s\n", strings.Repeat("a", lists)), "do", "take")
	}
	areaForms["/setup/earlier-withdrawn"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		lists++
		out := f.earlierList(earlier.About{Title: "To be withdrawn", Scope: store.OfSociety, Source: "minutes"}, "Boletus edulis", "Inventaria "+strings.Repeat("b", lists))
		return set("list", out.List.String(), "reason", "another edition")
	}
}

// earlierList takes a list in.
func (f *floor) earlierList(about earlier.About, names ...string) earlier.Outcome {
	f.t.Helper()
	t, err := archive.ReadTable(strings.NewReader("name\n"+strings.Join(names, "\n")), "list.csv")
	if err != nil {
		f.t.Fatal(err)
	}
	out, err := earlier.Import(f.t.Context(), f.s.Hall, f.s.As[access.ListKeeper], f.s.Scope, f.s.Command(f.t), about, t, earlier.Options{AsWritten: true})
	if err != nil {
		f.t.Fatal(err)
	}
	return out
}

// Would catch a list that is written before it was looked at, one that is lost on the way, a misspelling taken unasked,
// and words about a list that are lost when the form comes back.
func TestAListIsLookedAtAndThenTakenIn(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		b, at := f.s.browser(t), event+"/setup/earlier"
		b.get("/sign-in").send("/sign-in", "name", string(access.ListKeeper), "password", halltest.Password).want(http.StatusOK)
		say := message.For(message.English).Say
		b.get(at).want(http.StatusOK, say("pages.setup.rows.earlier.none"))
		b.fill(at, "title", "Fungi of Alder Carr", "scope", "site", "lines", "name\nBoletus edulis", "do", "look").want(http.StatusUnprocessableEntity, say("earlier.site-missing"), say("earlier.source-missing"))
		if b.typed(at, "title") != "Fungi of Alder Carr" {
			t.Error("what was typed is lost")
		}
		before := f.seq()
		// A file that was sent comes back with the form when something else was wrong.
		again := b.fields(at)
		again.Set("source", "")
		b.postSheet(at, again, "name\nRussula emetica\n").want(http.StatusUnprocessableEntity, say("pages.earlier.form.carried", "file", "own.csv"))
		again = b.fields(at)
		for name, text := range map[string]string{"title": "Fungi of Alder Carr", "scope": "site", "site": "ALD", "source": "Naylor 2020", "do": "look"} {
			again.Set(name, text)
		}
		b.post(at, again).want(http.StatusOK, say("pages.earlier.looked.lines", "n", 1, "rows", 1))
		b.get(at)
		values := b.fields(at)
		for name, text := range map[string]string{"title": "Fungi of Alder Carr", "scope": "site", "site": "ALD", "source": "Naylor 2020", "do": "look"} {
			values.Set(name, text)
		}
		b.postSheet(at, values, "name,date\nBoletus badius,1998\nAmanita muscara,1999\nInventaria nova,\nRussula emetica,2098\n").want(http.StatusOK, say("pages.earlier.looked.why"), "now called", "Imleria badia",
			"Inventaria nova", say("pages.earlier.asked", "n", 1), "Amanita muscaria", "2098", say("pages.earlier.looked.lines", "n", 3, "rows", 4))
		if f.seq() != before {
			t.Error("looking at a list changed something")
		}
		if room := seenLists(f); len(room.Lists) != 0 {
			t.Error("looking at a list took it in")
		}
		send := takeForm(b, at)
		send.Set("do", "take")
		send.Del("take")
		b.post(at, send).want(http.StatusUnprocessableEntity, say("earlier.refused", "n", 1))
		send = takeForm(b, at)
		send.Set("do", "take")
		send.Set("leave_out", "yes")
		send.Set("take", "Amanita muscara")
		b.post(at, send).want(http.StatusOK, say("pages.setup.done"), "Fungi of Alder Carr", "1998-01-01 to 1999-12-31", say("pages.earlier.not-known", "n", 1))
		room := seenLists(f)
		if len(room.Lists) != 1 || room.Lists[0].Lines != 3 || room.Lists[0].Species != 3 || room.Lists[0].File != "own.csv" || room.Lists[0].Site != "ALD" {
			t.Fatalf("%+v", room.Lists)
		}
		b.get(b.link("Read the lines")).want(http.StatusOK, "Amanita muscara,1999", "Imleria badia")
		b.get(at).fill(at+"-withdrawn", "reason", "").want(http.StatusUnprocessableEntity, say("earlier.reason-missing"))
		b.fill(at+"-withdrawn", "reason", "another edition").want(http.StatusOK, "Withdrawn", "another edition")
		if b.has(at + "-withdrawn") {
			t.Error("a list that was withdrawn can be withdrawn again")
		}
		desk := f.s.browser(t)
		desk.get("/sign-in").send("/sign-in", "name", string(access.Desk), "password", halltest.Password).want(http.StatusOK)
		if desk.get(at).want(http.StatusOK); desk.has(at) || desk.has(at+"-withdrawn") {
			t.Error("the desk is offered what it may not send")
		}
	})
}

// takeForm is the fields of the form that was looked at: the last of the two that go there.
func takeForm(b *browser, at string) url.Values {
	b.t.Helper()
	values := url.Values{}
	each(b.page, func(n *node) {
		if n.Data != "form" || attr(n, "action") != at || find(n, func(i *node) bool { return attr(i, "name") == "carried" }) == nil {
			return
		}
		each(n, func(i *node) {
			if i.Data == "input" && attr(i, "type") == "hidden" {
				values.Set(attr(i, "name"), attr(i, "value"))
			}
		})
	})
	if values.Get("carried") == "" {
		b.t.Fatal("the list is not carried on:", b.text())
	}
	return values
}

func seenLists(f *floor) earlier.Room {
	f.t.Helper()
	room, err := earlier.See(f.t.Context(), f.s.Hall, f.s.As[access.ListKeeper], f.s.Scope)
	if err != nil {
		f.t.Fatal(err)
	}
	return room
}

// Would catch a page that is kept though a list was taken in elsewhere, a first that is called sure too soon, and a site
// that is told.
func TestFirstRecordsAreShownToEverybodyWithWhatTheyLack(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g)).furnish()
		b, at := f.at[access.Visitor], event+"/list/firsts"
		b.get(at).want(http.StatusOK, "Nothing here is new", "Nothing to compare with")
		tag := b.ask("GET", at, nil).Header.Get("ETag")
		f.earlierList(earlier.About{Title: "Fungi of Fellshire", Scope: store.OfRecord, Area: "Fellshire", Source: "Pugh 2020"}, "Boletus badius")
		f.earlierList(earlier.About{Title: "Fungi of Weir Bank", Scope: store.OfSite, Site: "Weir Bank", Source: "Pugh 2021"}, "Boletus badius")
		b.get(at).want(http.StatusOK, "possible first for Fellshire", "Boletus edulis", "Compared with: Fungi of Fellshire.", "No confirmed find of it is kept as a voucher yet.")
		if tag == "" || b.ask("GET", at, nil).Header.Get("ETag") == tag {
			t.Errorf("the page has the tag %q still", tag)
		}
		if text := b.text(); strings.Contains(text, "Weir") {
			t.Error("a sensitive site is told")
		}
		csv := f.s.browser(t).get(at + ".csv").want(http.StatusOK)
		if body := csv.text(); !strings.Contains(body, "possible first") || strings.Contains(body, "Weir") {
			t.Errorf("as a table: %s", body)
		}
		keeper := f.at[access.ListKeeper].get(event+"/setup/earlier/firsts").want(http.StatusOK, "Fungi of Fellshire", "Weir Bank", "Not told to the public.")
		if wrong := append(identities(keeper.page), inlined(keeper.page)...); len(wrong) > 0 {
			t.Errorf("the page: %v", wrong)
		}
	})
}
