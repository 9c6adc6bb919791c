package pages_test

import (
	"net/http"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/hall/setup"
	"forayhall/internal/message"
)

// TestNotModifiedIsNeverSaidAfterAChange: a visitor's phone that keeps an old warning sheet is a danger.
func TestNotModifiedIsNeverSaidAfterAChange(t *testing.T) {
	f := onSQLite(t)
	number := f.collection("Mei Adeyemi")
	public := []string{event, event + "/list", event + "/list/1", event + "/tables", event + "/tables/1", event + "/n/" + number, event + "/t/Galerina_marginata", event + "/warnings"}
	b, past := f.at[access.Visitor], f.another("HB25", "2025-10-18", "")
	for name, change := range map[string]func(){
		"a site that another event keeps back": func() {
			past.siteOnce(setup.Site{Code: "OLD", Name: "Old Holt", Sensitive: true, GridM: 2000, Permitted: true})
		},
		"names that borrow, left out at another event": func() {
			f.must(second(setup.ChooseBorrowedNames(f.t.Context(), f.s.Hall, f.s.As[access.Organiser], past.s.Scope, f.s.Command(f.t), setup.BorrowedNames{Choice: "left_out"})))
		},
		"a field name": func() { f.suggested(number, f.s.Second) },
		"a sign-off":   func() { f.signed(number, f.s.Second, "Galerina marginata", "") },
		"a contact":    func() { f.contactSeq() },
		"a table":      func() { f.addTable() },
		"a right":      func() { f.giveRight() },
	} {
		tags := map[string]string{}
		for _, path := range public {
			tags[path] = b.ask("GET", path, nil).Header.Get("ETag")
			res := b.ask("GET", path, nil, "If-None-Match", tags[path])
			if res.StatusCode != http.StatusNotModified || b.body != "" || res.Header.Get("ETag") != tags[path] {
				t.Errorf("%s unchanged answered %d", path, res.StatusCode)
			}
			if res.Header.Get("Cache-Control") != "public, no-cache" || res.Header.Get("Vary") == "" || res.Header.Get("Content-Security-Policy") != "" {
				t.Errorf("%s unchanged says %v of the page", path, res.Header)
			}
		}
		change()
		for _, path := range public {
			if res := b.ask("GET", path, nil, "If-None-Match", tags[path]); res.StatusCode != http.StatusOK {
				t.Errorf("%s after %s answered %d", path, name, res.StatusCode)
			}
			if again := b.ask("GET", path, nil); again.Header.Get("ETag") == tags[path] {
				t.Errorf("%s after %s is the page from before", path, name)
			}
		}
	}
}

func (f *floor) addTable() {
	f.t.Helper()
	f.table++
	if _, err := setup.AddTable(f.t.Context(), f.s.Hall, f.s.Machine, f.s.Scope, f.s.Command(f.t), setup.Table{Number: f.table}); err != nil {
		f.t.Fatal(err)
	}
}

func (f *floor) giveRight() {
	f.t.Helper()
	if _, err := setup.GiveRight(f.t.Context(), f.s.Hall, f.s.Machine, f.s.Scope, f.s.Command(f.t), setup.Right{Name: "Ines Okafor", Right: access.Identifier}); err != nil {
		f.t.Fatal(err)
	}
}

// TestAKeptPageIsOnlyForItsLanguageAndKnowledge: a store on the way may hand it to anybody else.
func TestAKeptPageIsOnlyForItsLanguageAndKnowledge(t *testing.T) {
	f := onSQLite(t)
	tag := f.at[access.Visitor].ask("GET", event+"/warnings", nil).Header.Get("ETag")
	if res := f.at[access.Desk].ask("GET", event+"/warnings", nil, "If-None-Match", tag); res.StatusCode != http.StatusNotModified {
		t.Errorf("the desk was not told that a visitor's page is its own: %d", res.StatusCode)
	}
	if res := f.at[access.Visitor].ask("GET", event+"/warnings", nil, "If-None-Match", tag, "Accept-Language", message.Pseudo); res.StatusCode != http.StatusOK {
		t.Errorf("another language was told that it has the page: %d", res.StatusCode)
	}
	kept := *f.s.Knowledge
	newer := kept
	newer.Revision = "0123456789ab"
	f.s.Knowledge = &newer
	if res := f.at[access.Visitor].ask("GET", event+"/warnings", nil, "If-None-Match", tag); res.StatusCode != http.StatusOK {
		t.Errorf("newer knowledge of hazards was kept from a phone that has the old sheet: %d", res.StatusCode)
	}
}
