package pages_test

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
	"forayhall/internal/message"
	"forayhall/internal/printing"
)

// Would catch a form that forgets what was typed, one that takes a page size that was not chosen, a drawing that is none,
// and a button to take away what ships.
func TestPaperForCardsIsAddedByAFormDrawnAndTakenAway(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		b, at := f.s.browser(t), event+"/setup"
		b.get("/sign-in").send("/sign-in", "name", string(access.Steward), "password", halltest.Password).want(http.StatusOK)
		say := message.For(message.English).Say
		b.get(at+"/stocks").want(http.StatusOK, printing.Stocks()[0].Name)
		if b.has(at + "/stock-taken") {
			t.Error("what ships may be taken away")
		}
		b.fill(at+"/stock", "name", "Our labels", "card_w", "99,1", "card_h", "67.7", "columns", "3", "rows", "4", "left", "4,65", "top", "13.1", "gap_x", "wide", "cut_marks", "yes").
			want(http.StatusUnprocessableEntity, say("stocks.number"))
		b.fill(at+"/stock", "gap_x", "2.5").want(http.StatusUnprocessableEntity, "over the right edge of the page")
		b.fill(at+"/stock", "page", "other", "page_w", "", "page_h", "1").want(http.StatusUnprocessableEntity, say("stocks.number"))
		b.fill(at+"/stock", "page", "a4", "columns", "2").want(http.StatusOK, say("pages.setup.done"), "Our labels", "8 cards of 99.1 × 67.7 mm: 2 across, 4 down", say("pages.stocks.cut"))
		stocks, err := setup.Stocks(t.Context(), g.Hall, g.As[access.Steward], g.Scope)
		want := printing.Stock{Name: "Our labels", PageW: 210, PageH: 297, CardW: 99.1, CardH: 67.7, Columns: 2, Rows: 4, Left: 4.65, Top: 13.1, GapX: 2.5, CutMarks: true}
		if err != nil || stocks[0].Stock != want {
			t.Errorf("added was %+v, %v", stocks[0], err)
		}
		drawing := find(b.page, func(n *node) bool { return n.Data == "svg" && strings.Contains(textOf(n), "Our labels") })
		if drawing == nil || attr(drawing, "viewBox") != "0 0 210 297" || count(drawing, "rect") != 9 || count(drawing, "title") != 1 || count(drawing, "desc") != 1 {
			t.Fatalf("the page with its eight cards is not drawn")
		}
		last := []string{}
		each(drawing, func(n *node) {
			if n.Data == "rect" {
				last = []string{attr(n, "x"), attr(n, "y"), attr(n, "width"), attr(n, "height")}
			}
		})
		if !slices.Equal(last, []string{"106.25", "216.2", "99.1", "67.7"}) {
			t.Errorf("the last card is drawn at %v", last)
		}
		b.fill(at+"/stock-taken").want(http.StatusOK, say("pages.setup.done"))
		if strings.Contains(b.text(), "Our labels") {
			t.Error("what was taken away is still listed")
		}
		desk := f.s.browser(t)
		desk.get("/sign-in").send("/sign-in", "name", string(access.Desk), "password", halltest.Password).want(http.StatusOK)
		if desk.get(at + "/stocks").want(http.StatusOK); desk.has(at + "/stock") {
			t.Error("the desk is offered a form that it may not send")
		}
	})
}

// Would catch an offer that does not follow the event's jurisdiction, a button for who may not, one row taken for another,
// and a taking over that says nothing of what it left.
func TestFlagsOfTheLawTablesAreOfferedAndTakenOverByOnePress(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		b, at := f.s.browser(t), event+"/setup"
		b.get("/sign-in").send("/sign-in", "name", string(access.Organiser), "password", halltest.Password).want(http.StatusOK)
		say := message.For(message.English).Say
		b.get(at+"/flags").want(http.StatusOK, say("pages.law.not-said"))
		if b.has(at + "/law") {
			t.Error("flags of nobody's law are offered")
		}
		b.get(at+"/event").fill(at+"/event", "jurisdiction", "the Riverlands").want(http.StatusOK)
		b.get(at+"/flags").want(http.StatusOK, say("pages.law.not-known", "name", "the Riverlands"))
		b.get(at+"/event").fill(at+"/event", "jurisdiction", "united KINGDOM").want(http.StatusOK)
		law, err := setup.SeeLaw(t.Context(), g.Hall, g.As[access.Organiser], g.Scope, "")
		if err != nil || len(law.Flags) < 3 {
			t.Fatalf("of the United Kingdom is known %+v, %v", law, err)
		}
		first := law.Flags[0]
		b.get(at+"/flags").want(http.StatusOK, first.Source, first.Note, "check the law in force")
		b.fill(at+"/law").want(http.StatusUnprocessableEntity, say("law.none-chosen"))
		b.fill(at+"/law", "taxa", first.Flag+" "+first.Taxon).want(http.StatusOK, say("pages.law.taken", "n", 1), say("pages.law.here"))
		room := f.room()
		if len(room.Flags) != 1 || room.Flags[0].Flag != first.Flag || room.Flags[0].Source != first.Source {
			t.Errorf("taken over was %+v", room.Flags)
		}
		b.fill(at+"/law", "all", "yes").want(http.StatusOK, say("pages.law.left", "n", 1))
		if got := len(f.room().Flags); got < 3 || got > len(law.Flags) {
			t.Errorf("%d flags of %d rows", got, len(law.Flags))
		}
		if b.get(at + "/flags"); b.has(at + "/law") {
			t.Error("there is a form, and nothing left to take over")
		}
		b.get(at+"/flags?law="+url.QueryEscape("Germany")).want(http.StatusOK, "Germany")
		desk := f.s.browser(t)
		desk.get("/sign-in").send("/sign-in", "name", string(access.Desk), "password", halltest.Password).want(http.StatusOK)
		if desk.get(at+"/flags?law=Germany").want(http.StatusOK, "Germany"); desk.has(at + "/law") {
			t.Error("the desk is offered what only an organiser may take over")
		}
	})
}
