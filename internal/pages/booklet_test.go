package pages_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/setup"
)

// A letter is asked for of the site that is there.
func init() {
	areaRows = append(areaRows, `
GET  ⋯/list.xlsx                       x x x x x x x x x x x x
GET  ⋯/list.pdf                        x x x x x x x x x x x x
GET  ⋯/list.txt                        x x x x x x x x x x x x
GET  ⋯/list/:version/xlsx              x x x x x x x x x x x x
GET  ⋯/list/:version/pdf               x x x x x x x x x x x x
GET  ⋯/list/:version/txt               x x x x x x x x x x x x
GET  ⋯/letter                          . . . . . . . . . x x .
GET  ⋯/letter.pdf                      . . . . . . . . . x x .
GET  ⋯/letter.txt                      . . . . . . . . . x x .
`)
	for _, route := range []string{"/letter.pdf", "/letter.txt"} {
		areaPaths[route] = func(f *floor, _ row) string {
			return event + route + "?" + url.Values{"site": {f.letterSite()}}.Encode()
		}
	}
}

// letterSite is a site of the event.
func (f *floor) letterSite() string {
	f.t.Helper()
	const code = "LS"
	sites, err := setup.Sites(f.t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope)
	if err != nil {
		f.t.Fatal(err)
	}
	for _, s := range sites {
		if s.Full != nil && s.Full.Code == code {
			return code
		}
	}
	if _, err := setup.AddSite(f.t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope, f.s.Command(f.t), setup.Site{Code: code, Name: "Letter Wood", GridM: 1000, Permitted: true}); err != nil {
		f.t.Fatal(err)
	}
	return code
}

// Would catch a paper that is kept after the list changed, one that is made anew though nothing did, a version that is not
// there, and a file under a wrong name.
func TestTheListGoesOutOnPapers(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		done, err := desk.LogCollection(t.Context(), g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: "417", Field: desk.Field{Group: "bolete"}})
		if err != nil {
			t.Fatal(err)
		}
		b := f.s.browser(t)
		for path, want := range map[string]string{"/list.pdf": "%PDF-", "/list.xlsx": "PK", "/list.txt": "AUTUMN FORAY (HB26)"} {
			b.get(event + path).want(http.StatusOK)
			if !strings.HasPrefix(b.body, want) || !strings.Contains(b.header.Get("Content-Disposition"), "HB26-not-final."+strings.TrimPrefix(path, "/list.")) {
				t.Errorf("%s is %.20q, %v", path, b.body, b.header)
			}
		}
		tag := b.get(event + "/list.txt").header.Get("ETag")
		if again := b.get(event + "/list.txt").header.Get("ETag"); tag == "" || again != tag {
			t.Errorf("nothing changed, and the tag %q became %q", tag, again)
		}
		word := bench.Word{Collection: done.ID, Basis: "macroscopic"}
		word.Name.Text = "Boletus edulis"
		if _, err := bench.SignOff(t.Context(), g.Hall, g.As[access.Identifier], g.Scope, g.On(t, 0), word); err != nil {
			t.Fatal(err)
		}
		if b.get(event+"/list.txt").want(http.StatusOK, "Boletus edulis"); b.header.Get("ETag") == tag {
			t.Error("the list changed, and its tag did not")
		}
		b.get(event + "/list/99/pdf").want(http.StatusNotFound)
		running, err := list.See(t.Context(), g.Hall, g.As[access.ListKeeper], g.Scope)
		if err != nil {
			t.Fatal(err)
		}
		signed, err := list.Publish(t.Context(), g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), list.Sign{Seq: running.Seq})
		if err != nil {
			t.Fatal(err)
		}
		b.get(fmt.Sprintf("%s/list/%d/txt", event, signed.Version)).want(http.StatusOK, "Boletus edulis", fmt.Sprintf("Version %d, signed by", signed.Version))
		b.get(event + "/list.pdf?size=A3").want(http.StatusUnprocessableEntity)
	})
}

// Would catch a page that leads to no letter, and a letter about a site that is not there.
func TestALetterIsMadeFromItsPage(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		site := f.letterSite()
		b := f.s.browser(t)
		b.get("/sign-in").send("/sign-in", "name", string(access.ListKeeper), "password", halltest.Password).want(http.StatusOK)
		b.get(event+"/letter").want(http.StatusOK, "Letter Wood")
		if !strings.Contains(b.body, event+"/letter.txt?site="+site) {
			t.Errorf("the page leads to no letter for %s", site)
		}
		b.get(event+"/letter.txt?site="+site).want(http.StatusOK, "at Letter Wood")
		b.get(event + "/letter.txt?site=nowhere").want(http.StatusUnprocessableEntity)
	})
}
