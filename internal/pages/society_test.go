package pages_test

import (
	"encoding/csv"
	"net/http"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
)

func init() {
	areaRows = append(areaRows, `
GET  /:society/list                    x x x x x x x x x x x x
GET  /:society/list.csv                x x x x x x x x x x x x
GET  /:society/season/:year            x x x x x x x x x x x x
GET  /:society/sites                   x x x x x x x x x x x x
GET  /:society/sites/:code             x x x x x x x x x x x x
GET  /:society/t/:name                 x x x x x x x x x x x x
GET  /:society/feed.atom               x x x x x x x x x x x x
GET  /:society/events.ics              x x x x x x x x x x x x
`)
	areaPaths["/:society/season/:year"] = func(*floor, row) string { return "/hollinbeck/season/2026" }
	areaPaths["/:society/sites/:code"] = func(f *floor, _ row) string {
		f.siteOnce(setup.Site{Code: "ALD", Name: "Alder Carr", Permitted: true})
		return "/hollinbeck/sites/ALD"
	}
	areaPaths["/:society/t/:name"] = func(f *floor, _ row) string {
		f.signed(f.collection("Mei Adeyemi"), f.s.Second, "Galerina marginata", "")
		return "/hollinbeck/t/Galerina_marginata"
	}
}

// siteOnce makes a site where there is none of its code.
func (f *floor) siteOnce(site setup.Site) {
	f.t.Helper()
	if _, err := setup.AddSite(f.t.Context(), f.s.Hall, f.s.Machine, f.s.Scope, f.s.Command(f.t), site); err != nil && !fault.Is(err, fault.Invalid) {
		f.t.Fatal(err)
	}
}

// another is a floor for a further event of the society, at which the same people may do the same.
func (f *floor) another(code, starts, ends string) *floor {
	f.t.Helper()
	made, err := setup.AddEvent(f.t.Context(), f.s.Hall, f.s.Machine, access.Scope{Society: f.s.Scope.Society}, f.s.Command(f.t), setup.Event{Code: code, Name: "Foray " + code,
		Place: "Hollinbeck Hall; annexe, left", StartsOn: starts, EndsOn: ends, TimeZone: "Europe/London", Region: "EU"})
	if err != nil {
		f.t.Fatal(err)
	}
	ground, site, there := *f.s.Ground, *f.s, *f
	ground.Scope.Event = made.ID
	site.Ground, there.s = &ground, &site
	for _, right := range access.Rights[2:] {
		if _, err := setup.GiveRight(f.t.Context(), f.s.Hall, f.s.Machine, ground.Scope, f.s.Command(f.t), setup.Right{Person: f.s.As[right].Person, Right: right}); err != nil {
			f.t.Fatal(err)
		}
	}
	if _, err := setup.GiveRight(f.t.Context(), f.s.Hall, f.s.Machine, ground.Scope, f.s.Command(f.t), setup.Right{Person: f.s.Second.Person, Right: access.Identifier}); err != nil {
		f.t.Fatal(err)
	}
	return &there
}

func degrees(v float64) *float64 { return &v }

// TestASocietyShowsWhatItFoundAtAllItsForays: two forays, one name that moved between them, one site at both.
func TestASocietyShowsWhatItFoundAtAllItsForays(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		f.siteOnce(setup.Site{Code: "ALD", Name: "Alder Carr", Latitude: degrees(54.2), Longitude: degrees(-2.1), UncertaintyM: 150, Permitted: true})
		f.siteOnce(setup.Site{Code: "BIR", Name: "Birch Holt", Latitude: degrees(54.25), Longitude: degrees(-2.05), Permitted: true})
		f.brought(1, desk.Field{Group: "white_spored", Site: "ALD"}, "")
		f.signed("0001", g.Second, "Amanita phalloides", "")
		past := f.another("HB25", "2025-10-18", "2025-10-19")
		past.siteOnce(setup.Site{Code: "ALD", Name: "Alder Carr", Permitted: true})
		past.brought(1, desk.Field{Group: "white_spored", Site: "ALD", PickedAt: time.Date(2025, 10, 18, 10, 0, 0, 0, time.UTC)}, "")
		past.signed("0001", g.Second, "Agaricus phalloides", "")
		past.brought(2, desk.Field{Group: "bolete"}, "")
		past.signed("0002", g.Second, "Boletus edulis", "")
		b := f.at[access.Visitor]
		b.get("/hollinbeck").want(http.StatusOK, "Running now", "Autumn foray", "Past forays", "Season 2025", "Foray HB25", "Stay informed")
		b.get("/hollinbeck/list").want(http.StatusOK, "2 taxa counted", "Amanita phalloides", "2 collections", "HB26 HB25", "2025 to 2026", "Alder Carr", "Boletus edulis", "Agaricus phalloides")
		b.get("/hollinbeck/list?year=2025&find=bol").want(http.StatusOK, "Boletus edulis", "1 line of 2").not("Amanita")
		b.get("/hollinbeck/list?site=ald").want(http.StatusOK, "Amanita phalloides").not("Boletus edulis")
		b.get("/hollinbeck/season/2025").want(http.StatusOK, "Foray HB25", "Boletus edulis", "Season 2026")
		b.get("/hollinbeck/sites").want(http.StatusOK, "Alder Carr", "Birch Holt", "1 km", "10 km")
		b.get("/hollinbeck/sites/ald").want(http.StatusOK, "Alder Carr", "54.2, -2.1", "within 150 m", "Amanita phalloides", "2 collections").not("Boletus edulis")
		b.get("/hollinbeck/t/Agaricus_phalloides").want(http.StatusOK, "Amanita phalloides", "Asked for under a former name", "2 finds, 2 of them sure.", "HB25", "HB26", "Alder Carr",
			"When in the year", "11 to 20 October 1", "21 October to the end of the month 1", "see HB26")
		b.get("/hollinbeck/t/Amanitaceae").want(http.StatusOK, "Within it", "Amanita phalloides")
		for _, path := range []string{"/hollinbeck/t/Morchella_esculenta", "/hollinbeck/t/x", "/hollinbeck/season/1999", "/hollinbeck/season/list", "/hollinbeck/sites/NONE", "/hollinbeck/list?year=1999",
			"/hollinbeck/list?site=NONE", "/nobody/list", "/nobody/feed.atom", "/hollinbeck/LIST", "/hollinbeck/season"} {
			b.get(path).want(http.StatusNotFound)
		}
		rows, err := csv.NewReader(strings.NewReader(b.get("/hollinbeck/list.csv?year=2025").body)).ReadAll()
		if err != nil || len(rows) != 3 || rows[1][0] != "Amanita phalloides" || rows[1][9] != "1" || rows[1][11] != "HB25" || rows[1][12] != "Alder Carr" || rows[1][15] != "Agaricus phalloides" {
			t.Errorf("the CSV is %q, %v", rows, err)
		}
	})
}

// TestAnEventIsNotNamedLikeAPage: its pages could not be reached, or it would hide the society's.
func TestAnEventIsNotNamedLikeAPage(t *testing.T) {
	f := onSQLite(t)
	for _, code := range []string{"list", "LIST", "Sites", "season", "t", "T", "feed.atom", "events.ics", "events", "INVITED", "list.csv"} {
		_, err := setup.AddEvent(t.Context(), f.s.Hall, f.s.Machine, access.Scope{Society: f.s.Scope.Society}, f.s.Command(t), setup.Event{Code: code, Name: "Foray", StartsOn: "2026-04-11",
			TimeZone: "Europe/London", Region: "EU"})
		if wrong := fault.From(err).Fields["code"]; wrong.Key != "setup.event-reserved" {
			t.Errorf("%s: %v", code, err)
		}
	}
	for _, code := range []string{"TT", "LIST26", "SITE", "EVENT"} {
		f.another(code, "2026-04-11", "")
		f.at[access.Visitor].get("/hollinbeck/"+code).want(http.StatusOK, "Foray "+code)
	}
}

// TestASocietysPagesAreKeptUntilSomethingChanges: at any of its events, in what it says of itself, or on the calendar.
func TestASocietysPagesAreKeptUntilSomethingChanges(t *testing.T) {
	f := onSQLite(t)
	past := f.another("HB25", "2025-10-18", "")
	b := f.at[access.Visitor]
	paths := []string{"/hollinbeck", "/hollinbeck/list", "/hollinbeck/list.csv", "/hollinbeck/sites", "/hollinbeck/season/2025", "/hollinbeck/feed.atom", "/hollinbeck/events.ics"}
	tags := map[string]string{}
	read := func() {
		for _, path := range paths {
			res := b.ask("GET", path, nil)
			if tag := res.Header.Get("ETag"); tag == "" || tag == tags[path] || res.Header.Get("Cache-Control") != "public, no-cache" || res.StatusCode != http.StatusOK {
				t.Errorf("%s: %d, tag %q after %q, kept by %q", path, res.StatusCode, tag, tags[path], res.Header.Get("Cache-Control"))
			}
			tags[path] = res.Header.Get("ETag")
			if res := b.ask("GET", path, nil, "If-None-Match", tags[path]); res.StatusCode != http.StatusNotModified {
				t.Errorf("%s again: %d", path, res.StatusCode)
			}
		}
	}
	read()
	past.brought(2, desk.Field{Group: "bolete"}, "")
	past.signed("0002", f.s.Second, "Boletus edulis", "")
	read()
	if b.get("/hollinbeck/list").want(http.StatusOK, "Boletus edulis"); !contains(b.get("/hollinbeck/list.csv").body, "Boletus edulis") {
		t.Error("the CSV is an old one")
	}
	if _, err := setup.SetPublisher(t.Context(), f.s.Hall, f.s.As[access.Organiser], past.s.Scope, f.s.Command(t), setup.Publisher{Licence: "CC0-1.0", About: "Twelve people and a dog."}); err != nil {
		t.Fatal(err)
	}
	before := f.at[access.Visitor].ask("GET", event+"/list", nil).Header.Get("ETag")
	read()
	b.get("/hollinbeck").want(http.StatusOK, "Twelve people and a dog.")
	if _, err := setup.SetPublisher(t.Context(), f.s.Hall, f.s.As[access.Organiser], past.s.Scope, f.s.Command(t), setup.Publisher{Licence: "CC-BY-4.0"}); err != nil {
		t.Fatal(err)
	}
	if res := b.ask("GET", event+"/list", nil, "If-None-Match", before); res.StatusCode != http.StatusOK || !contains(b.body, "licenses/by/4.0") {
		t.Errorf("another foray's list still tells the licence of before: %d", res.StatusCode)
	}
	f.s.Pass(14 * 24 * time.Hour)
	read()
	b.get("/hollinbeck").want(http.StatusOK, "Season 2026").not("Running now")
}

// TestWhatIsSensitiveAnywhereIsUnknownToTheSocietysPages: a site that one event keeps back, under another code at that.
func TestWhatIsSensitiveAnywhereIsUnknownToTheSocietysPages(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		f.siteOnce(setup.Site{Code: "GLE", Name: "Glede Wood", Latitude: degrees(54.21739), Longitude: degrees(-2.1), Permitted: true})
		f.siteOnce(setup.Site{Code: "ALD", Name: "Alder Carr", Permitted: true})
		f.brought(1, desk.Field{Group: "bolete", Site: "GLE"}, "")
		f.signed("0001", g.Second, "Boletus edulis", "")
		f.brought(2, desk.Field{Group: "tooth", Site: "ALD"}, "")
		f.signed("0002", g.Second, "Hericium erinaceus", "")
		_, err := setup.AddWalk(t.Context(), g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), setup.Walk{Number: 7, Site: "GLE", StartsAt: halltest.Saturday, DueAt: halltest.Saturday.Add(time.Hour)})
		if err != nil {
			t.Fatal(err)
		}
		b := f.at[access.Visitor]
		b.get("/hollinbeck/list").want(http.StatusOK, "Glede Wood", "Alder Carr")
		b.get(event+"/records.csv").want(http.StatusOK, "Glede Wood", "54.217")
		b.get(event+"/walks").want(http.StatusOK, "Glede Wood")
		past := f.another("HB25", "2025-10-18", "")
		past.siteOnce(setup.Site{Code: "OLD", Name: "Glede  wood", Sensitive: true, GridM: 2000, Permitted: true})
		past.flag("Hericium erinaceus")
		unknown := b.get("/hollinbeck/sites/NONE").want(http.StatusNotFound).body
		for _, code := range []string{"GLE", "OLD"} {
			if got := b.get("/hollinbeck/sites/" + code).want(http.StatusNotFound).body; strings.ReplaceAll(got, code, "NONE") != unknown {
				t.Errorf("the page of %s is not that of a site which is not there", code)
			}
			b.get("/hollinbeck/list?site=" + code).want(http.StatusNotFound)
		}
		for _, path := range []string{"/hollinbeck/list", "/hollinbeck/sites", "/hollinbeck/season/2026", "/hollinbeck/t/Boletus_edulis", "/hollinbeck/list.csv", "/hollinbeck/events.ics",
			event + "/list", event + "/list.csv", event + "/list.json", event + "/n/0001", event + "/walks", event + "/worth", event + "/records.csv", event + "/records.geojson"} {
			if b.get(path); b.status != http.StatusOK || contains(b.body, "Glede") || contains(b.body, "54.217") {
				t.Errorf("%s (%d) tells of the site", path, b.status)
			}
		}
		b.get("/hollinbeck/t/Boletus_edulis").want(http.StatusOK, "1 find, its place kept back on a 2 km grid.")
		b.get("/hollinbeck/t/Hericium_erinaceus").want(http.StatusOK, "1 find, its place kept back on a 10 km grid.", "its places are not told").not("Alder Carr")
		b.get("/hollinbeck/sites/ALD").want(http.StatusOK).not("Hericium")
	})
}

// TestSearchEnginesAreToldWhatIsPublic: each open page has its one address and what it is about; what is behind the
// sign-in is not to be found.
func TestSearchEnginesAreToldWhatIsPublic(t *testing.T) {
	f := onSQLite(t).furnish()
	b := f.at[access.Visitor]
	meta := func(name string) string {
		return attr(find(b.page, func(n *node) bool { return n.Data == "meta" && attr(n, "name") == name }), "content")
	}
	for _, path := range []string{"/hollinbeck", "/hollinbeck/list", "/hollinbeck/sites", "/hollinbeck/sites/ALD", "/hollinbeck/season/2026", "/hollinbeck/t/Amanita_phalloides", event, event + "/list", event + "/list/1"} {
		b.get(path + "?find=a").want(http.StatusOK)
		canonical := attr(find(b.page, func(n *node) bool { return attr(n, "rel") == "canonical" }), "href")
		if canonical != f.s.server.URL+path || meta("description") == "" || find(b.page, func(n *node) bool { return attr(n, "name") == "robots" }) != nil || b.header.Get("X-Robots-Tag") != "" {
			t.Errorf("%s: canonical %q, about %q", path, canonical, meta("description"))
		}
	}
	b.get("/hollinbeck/t/Nothing").want(http.StatusNotFound)
	if meta("robots") != "noindex" {
		t.Error("an error may be found")
	}
	b = f.at[access.Desk]
	for _, path := range []string{event + "/hall", event + "/intake", "/me", event + "/c/0213"} {
		if b.get(path).want(http.StatusOK); meta("robots") != "noindex" || b.header.Get("X-Robots-Tag") != "noindex" {
			t.Errorf("%s may be found", path)
		}
	}
}
