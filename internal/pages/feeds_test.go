package pages_test

import (
	"encoding/json"
	"encoding/xml"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"forayhall/internal/access"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/setup"
)

// walks gives the floor two walks: one to a site that may be told, one to a site that may not.
func (f *floor) walks() {
	f.t.Helper()
	f.siteOnce(setup.Site{Code: "ALD", Name: "Alder Carr; the wet, lower half", Permitted: true})
	f.siteOnce(setup.Site{Code: "WEIR", Name: "Weir Bank", Sensitive: true, Permitted: true})
	for n, w := range []setup.Walk{{Number: 81, Title: "Carr and sallows, with a very long name in which ééééé stands where a line has to be folded", Site: "ALD"}, {Number: 82, Title: "Elsewhere", Site: "WEIR"}} {
		w.StartsAt = halltest.Saturday.Add(time.Duration(n+1) * time.Hour)
		w.DueAt = w.StartsAt.Add(2 * time.Hour)
		_, err := setup.AddWalk(f.t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope, f.s.Command(f.t), w)
		f.must(err)
	}
}

// unfolded reads content lines by RFC 5545, 3.1: each ends in CRLF and has at most 75 octets; a space at the beginning
// carries the line before on.
func unfolded(t *testing.T, text string) (lines []string) {
	t.Helper()
	if !strings.HasSuffix(text, "\r\n") || strings.Count(text, "\n") != strings.Count(text, "\r\n") {
		t.Error("not every line ends in CRLF")
	}
	for _, raw := range strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		if len(raw) > 75 || !utf8.ValidString(raw) || raw == "" {
			t.Errorf("a line of %d octets, or a letter that is cut through: %q", len(raw), raw)
		}
		if rest, on := strings.CutPrefix(raw, " "); on {
			lines[len(lines)-1] += rest
		} else {
			lines = append(lines, raw)
		}
	}
	return lines
}

// TestTheCalendarIsOneThatOthersRead holds it against RFC 5545 by counting for itself.
func TestTheCalendarIsOneThatOthersRead(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		f.walks()
		f.another("HB25", "2025-10-18", "")
		f.another("HB20", "2020-10-18", "")
		b := f.at[access.Visitor].get("/hollinbeck/events.ics")
		if kind := b.header.Get("Content-Type"); kind != "text/calendar; charset=utf-8" || b.status != http.StatusOK {
			t.Fatalf("%d as %s", b.status, kind)
		}
		lines := unfolded(t, b.body)
		if lines[0] != "BEGIN:VCALENDAR" || lines[len(lines)-1] != "END:VCALENDAR" {
			t.Errorf("begins with %q, ends with %q", lines[0], lines[len(lines)-1])
		}
		var events []map[string]string
		whole := map[string]string{}
		for _, line := range lines[1 : len(lines)-1] {
			name, value, ok := strings.Cut(line, ":")
			switch {
			case !ok || !regexp.MustCompile(`^[A-Z-]+(;VALUE=DATE)?$`).MatchString(name):
				t.Errorf("no content line: %q", line)
			case line == "BEGIN:VEVENT":
				events = append(events, map[string]string{})
			case line == "END:VEVENT":
			case len(events) == 0:
				whole[name] = value
			default:
				if events[len(events)-1][name] != "" {
					t.Errorf("%s is there twice", name)
				}
				events[len(events)-1][name] = value
			}
		}
		if whole["VERSION"] != "2.0" || whole["PRODID"] == "" {
			t.Errorf("VERSION and PRODID: %v", whole)
		}
		uids := map[string]bool{}
		for _, e := range events {
			if uids[e["UID"]] || e["UID"] == "" || !regexp.MustCompile(`^\d{8}T\d{6}Z$`).MatchString(e["DTSTAMP"]) || e["SUMMARY"] == "" {
				t.Errorf("UID, DTSTAMP and SUMMARY: %v", e)
			}
			uids[e["UID"]] = true
			if e["DTSTART;VALUE=DATE"]+e["DTSTART"] == "" || e["DTEND"] != "" && e["DTEND"] <= e["DTSTART"] || e["DTEND;VALUE=DATE"] != "" && e["DTEND;VALUE=DATE"] <= e["DTSTART;VALUE=DATE"] {
				t.Errorf("begins and ends: %v", e)
			}
		}
		if len(events) != 4 {
			t.Fatalf("%d entries, want two forays of the last year and two walks", len(events))
		}
		foray, walk, secret := events[0], events[1], events[2]
		if foray["DTSTART;VALUE=DATE"] != "20261024" || foray["DTEND;VALUE=DATE"] != "20261026" || foray["SUMMARY"] != "Autumn foray" || foray["URL"] != f.s.server.URL+event {
			t.Errorf("the foray: %v", foray)
		}
		if walk["DTSTART"] != "20261024T144000Z" || walk["DTEND"] != "20261024T164000Z" || walk["LOCATION"] != `Alder Carr\; the wet\, lower half` || !strings.Contains(walk["SUMMARY"], `sallows\, with`) || !strings.Contains(walk["SUMMARY"], "ééééé") {
			t.Errorf("the walk: %v", walk)
		}
		if secret["LOCATION"] != "" || strings.Contains(b.body, "Weir") {
			t.Errorf("the walk to a place that is kept back: %v", secret)
		}
		if events[3]["LOCATION"] != `Hollinbeck Hall\; annexe\, left` {
			t.Errorf("the place of the other foray: %v", events[3])
		}
		again := f.at[access.Visitor].get("/hollinbeck/events.ics").body
		if again != b.body {
			t.Error("nothing changed, and the calendar did")
		}
	})
}

// TestTheFeedIsOneThatOthersRead holds it against RFC 4287: what every feed and entry must have, ids that are the same
// for ever and each there once, newest first, links with a host.
func TestTheFeedIsOneThatOthersRead(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		f.s.Pass(time.Hour)
		f.another("HB27", "2027-10-16", "2027-10-17")
		b := f.at[access.Visitor].get("/hollinbeck/feed.atom")
		type link struct {
			Rel  string `xml:"rel,attr"`
			Href string `xml:"href,attr"`
		}
		type entry struct {
			ID      string `xml:"id"`
			Title   string `xml:"title"`
			Updated string `xml:"updated"`
			Links   []link `xml:"link"`
		}
		var feed struct {
			XMLName xml.Name `xml:"http://www.w3.org/2005/Atom feed"`
			entry
			Author  string  `xml:"author>name"`
			Entries []entry `xml:"entry"`
		}
		read := func() {
			t.Helper()
			feed.Entries, feed.Links = nil, nil
			if err := xml.Unmarshal([]byte(b.body), &feed); err != nil || b.header.Get("Content-Type") != "application/atom+xml; charset=utf-8" {
				t.Fatalf("%v: %s", err, b.body)
			}
		}
		read()
		if feed.Author == "" || len(feed.Entries) != 3 || feed.Updated != feed.Entries[0].Updated || feed.Title == "" {
			t.Errorf("the feed: %+v", feed)
		}
		if want := []string{"HB27: Foray HB27", "Version 1 of the list of HB26"}; feed.Entries[0].Title != want[0] || !slices.ContainsFunc(feed.Entries, func(e entry) bool { return e.Title == want[1] }) {
			t.Errorf("entries: %+v", feed.Entries)
		}
		ids := map[string]bool{feed.ID: true}
		for i, e := range feed.Entries {
			at, err := time.Parse(time.RFC3339, e.Updated)
			if err != nil || at.IsZero() || e.Title == "" || ids[e.ID] || !regexp.MustCompile(`^urn:uuid:[0-9a-f-]{36}$`).MatchString(e.ID) || i > 0 && e.Updated > feed.Entries[i-1].Updated {
				t.Errorf("entry %d: %+v", i, e)
			}
			ids[e.ID] = true
		}
		for _, l := range append(slices.Clone(feed.Links), feed.Entries[0].Links...) {
			if !strings.HasPrefix(l.Href, f.s.server.URL+"/hollinbeck") {
				t.Errorf("%s leads to %q", l.Rel, l.Href)
			}
			f.at[access.Visitor].get(strings.TrimPrefix(l.Href, f.s.server.URL)).want(http.StatusOK)
		}
		if _, err := list.Publish(t.Context(), f.s.Hall, f.s.As[access.ListKeeper], f.s.Scope, f.s.Command(t), list.Sign{Seq: f.seq()}); err != nil {
			t.Fatal(err)
		}
		b = f.at[access.Visitor].get("/hollinbeck/feed.atom")
		if read(); len(feed.Entries) != 4 || !strings.HasPrefix(feed.Entries[0].Title, "Version 2") && !strings.HasPrefix(feed.Entries[1].Title, "Version 2") {
			t.Errorf("after version 2: %+v", feed.Entries)
		}
		for _, e := range feed.Entries {
			delete(ids, e.ID)
		}
		if len(ids) != 1 { // the feed's own
			t.Errorf("ids are gone: %v", ids)
		}
		front := f.at[access.Visitor].get("/hollinbeck")
		for _, path := range []string{"/hollinbeck/feed.atom", "/hollinbeck/events.ics"} {
			if find(front.page, func(n *node) bool {
				return n.Data == "link" && attr(n, "rel") == "alternate" && attr(n, "href") == path
			}) == nil {
				t.Errorf("the page does not say that there is %s", path)
			}
		}
	})
}

// vocabulary is the types and their properties of schema.org that are used here (from memory, release 28).
var vocabulary = map[string]string{
	"Event":        "name identifier url startDate endDate location organizer eventStatus eventAttendanceMode description",
	"Dataset":      "name identifier url description version temporalCoverage spatialCoverage creator publisher license isAccessibleForFree inLanguage distribution datePublished creativeWorkStatus includedInDataCatalog",
	"Organization": "name url contactPoint",
	"ContactPoint": "name email",
	"Place":        "name geo",
	"GeoShape":     "box",
	"DataDownload": "encodingFormat contentUrl",
	"DataCatalog":  "name url",
}

// structured reads the description in a page and holds it against the vocabulary.
func (b *browser) structured(t *testing.T) map[string]any {
	t.Helper()
	block := find(b.page, func(n *node) bool { return n.Data == "script" && attr(n, "type") == "application/ld+json" })
	if block == nil {
		t.Fatalf("%s has no description", b.path)
	}
	var top map[string]any
	if err := json.Unmarshal([]byte(block.FirstChild.Data), &top); err != nil {
		t.Fatalf("%s: %v", b.path, err)
	}
	if top["@context"] != "https://schema.org" {
		t.Errorf("the context is %v", top["@context"])
	}
	delete(top, "@context")
	var look func(v any)
	look = func(v any) {
		switch v := v.(type) {
		case []any:
			for _, one := range v {
				look(one)
			}
		case map[string]any:
			kind, _ := v["@type"].(string)
			properties, known := vocabulary[kind]
			if !known {
				t.Errorf("%s: a thing of the type %q", b.path, kind)
			}
			for name, value := range v {
				if name != "@type" && !slices.Contains(strings.Fields(properties), name) {
					t.Errorf("%s: %s has no %s", b.path, kind, name)
				}
				look(value)
			}
		}
	}
	look(top)
	return top
}

// TestPagesDescribeThemselvesToMachines: events and lists in the words of schema.org, with nothing that could end the
// block early.
func TestPagesDescribeThemselvesToMachines(t *testing.T) {
	f := onSQLite(t)
	nasty := `</script><script>alert(1)</script>`
	_, err := setup.SetPublisher(t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope, f.s.Command(t), setup.Publisher{Licence: "CC-BY-4.0", Contact: nasty, Mail: "list@society.example"})
	f.must(err)
	b := f.at[access.Visitor]
	e := b.get(event).structured(t)
	if e["@type"] != "Event" || e["startDate"] != "2026-10-24T00:00:00+01:00" || e["endDate"] != "2026-10-25T23:59:59Z" || e["url"] != f.s.server.URL+event {
		t.Errorf("the event: %v", e)
	}
	if contact := e["organizer"].(map[string]any)["contactPoint"].(map[string]any); contact["name"] != nasty || strings.Contains(b.body, "<script>alert") {
		t.Errorf("the contact: %v", contact)
	}
	for _, path := range []string{event + "/list", event + "/list/1", "/hollinbeck/list", "/hollinbeck/season/2026"} {
		d := b.get(path).structured(t)
		if d["@type"] != "Dataset" || d["license"] != "http://creativecommons.org/licenses/by/4.0/legalcode" || d["temporalCoverage"] != "2026-10-24/2026-10-25" || d["url"] != f.s.server.URL+path {
			t.Errorf("%s: %v", path, d)
		}
		for _, one := range d["distribution"].([]any) {
			form := one.(map[string]any)
			b.get(strings.TrimPrefix(form["contentUrl"].(string), f.s.server.URL)).want(http.StatusOK)
			if kind, _, _ := strings.Cut(b.header.Get("Content-Type"), ";"); kind != form["encodingFormat"] {
				t.Errorf("%v is %s", form, kind)
			}
		}
	}
}
