package pages_test

import (
	"encoding/json"
	"testing"

	"github.com/chromedp/chromedp"

	"forayhall/internal/access"
	"forayhall/internal/browsertest"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/setup"
)

// TestASocietysPagesInABrowser holds them against axe-core and a small phone, and reads what they tell machines as a page
// does: the content policy lets no script of the page run, and must not keep data from being read.
func TestASocietysPagesInABrowser(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	f := onSQLite(t)
	f.furnish()
	f.siteOnce(setup.Site{Code: "HAZ", Name: "Hazel Shaw", Latitude: degrees(54.2), Longitude: degrees(-2.1), UncertaintyM: 150, Permitted: true})
	f.walks()
	past := f.another("HB25", "2025-10-18", "2025-10-19")
	past.siteOnce(setup.Site{Code: "BIR", Name: "Birch Holt", Latitude: degrees(54.25), Longitude: degrees(-2.05), Permitted: true})
	for n, site := range []string{"BIR", ""} {
		past.brought(n+1, desk.Field{Group: "white_spored", Site: site}, "")
	}
	past.signed("0001", f.s.Second, "Amanita phalloides", "")
	past.signed("0002", f.s.Second, "Amanita citrina", "")
	f.another("HB27", "2027-10-16", "2027-10-17")
	_, err := setup.SetPublisher(t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope, f.s.Command(t), setup.Publisher{Licence: "CC-BY-4.0", Contact: "Recorder", Mail: "records@society.example",
		Web: "https://society.example/", About: "Twelve people and a dog."})
	f.must(err)
	w := f.s.window(t, b, "society", browsertest.Desktop, true)
	for _, path := range []string{"/hollinbeck", "/hollinbeck/list?find=amanita", "/hollinbeck/season/2025", "/hollinbeck/sites", "/hollinbeck/sites/BIR", "/hollinbeck/t/Amanita_phalloides"} {
		w.look(t, path)
	}
	w.open(event)
	var data map[string]any
	text := browsertest.Get(t, w.tab, chromedp.Evaluate[string](`document.querySelector('script[type="application/ld+json"]').textContent`))
	if err := json.Unmarshal([]byte(text), &data); err != nil || data["@type"] != "Event" {
		t.Errorf("the page reads %q, %v", text, err)
	}
	w.tab.MustBeQuiet(t)
}
