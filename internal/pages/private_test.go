package pages_test

import (
	"context"
	"errors"
	"net/http"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
	"forayhall/internal/store"
)

// TestNoPublicPageTellsWhatIsPrivate scans everything that nobody may read for what only the society may.
func TestNoPublicPageTellsWhatIsPrivate(t *testing.T) {
	f := onSQLite(t)
	latitude, longitude := 51.73846, -2.40917
	site := setup.Site{Code: "WEIR", Name: "Weir Bank hollow", Latitude: &latitude, Longitude: &longitude, GridM: 2000, Sensitive: true, Permitted: true}
	if _, err := setup.AddSite(t.Context(), f.s.Hall, f.s.Machine, f.s.Scope, f.s.Command(t), site); err != nil {
		t.Fatal(err)
	}
	if _, err := desk.LogCollection(t.Context(), f.s.Hall, f.s.As[access.Desk], f.s.Scope, f.s.Command(t), desk.Log{Number: "640", Field: desk.Field{
		Group: "small_brown", Site: "WEIR", Collector: "Quiet Collector", Remarks: "call 0300 555 0199", Habitat: "at 51.73846 -2.40917"}}); err != nil {
		t.Fatal(err)
	}
	f.signed("640", f.s.Second, "Galerina marginata", "")
	f.unnamed("Quiet Collector")
	f.publish()
	private := []string{"51.738", "-2.409", "2.4091", "Weir Bank", "WEIR", "0199", "Quiet Collector", "safety_lead@", halltest.Password, "argon2"}
	for _, id := range f.logins() {
		private = append(private, `"`+id+`"`, ">"+id+"<")
	}
	pages := 0
	for _, line := range allRows() {
		r := f.row(line)
		if r.method != http.MethodGet || !strings.HasPrefix(strings.Fields(line[r.width:])[0], "x") {
			continue
		}
		pages++
		path := strings.Replace(f.path(r, access.Visitor), "/list/1", "/list/2", 1)
		if r.route == "/:society/:event/n/:number" {
			path = event + "/n/0640"
		}
		b := f.at[access.Visitor].get(path)
		for _, secret := range private {
			if strings.Contains(strings.ReplaceAll(b.body, `"identifier":`, ""), secret) && // the vocabulary has a term of that name
				!(asksWho[r.route] != "" && strings.HasPrefix(secret, ">")) { // a right is called as its login is here
				t.Errorf("%s tells %q", r.route, secret)
			}
		}
	}
	if pages < 12 {
		t.Errorf("only %d public pages were read", pages)
	}
	if b := f.at[access.Visitor].get(event + "/warnings"); !strings.Contains(b.body, "0300 555 0142") || !strings.Contains(b.body, "0640") {
		t.Error("the sheet lacks the poison contact or the plate: this test reads the wrong page")
	}
}

// unnamed makes somebody one who chose not to be named.
func (f *floor) unnamed(name string) {
	f.t.Helper()
	err := f.s.Store.Write(f.t.Context(), func(tx *store.Tx) error {
		persons, err := tx.Persons(f.s.Scope.Society)
		for _, p := range persons {
			if err == nil && p.Name == name {
				err = errors.Join(tx.SetCredit(p.SocietyID, p.ID, "none"), f.changed(tx, "person", p.ID))
			}
		}
		return err
	})
	if err != nil {
		f.t.Fatal(err)
	}
}

func (f *floor) publish() {
	f.t.Helper()
	b := f.at[access.ListKeeper]
	b.get(event+"/publish").send(event+"/publish", "sign", "yes").want(http.StatusSeeOther)
}

// logins are what people type to sign in, with what the store knows of them.
func (f *floor) logins() []string {
	f.t.Helper()
	var logins []string
	for _, r := range access.Rights[1:] {
		logins = append(logins, string(r))
	}
	return append(logins, "second", "third")
}

// TestStaffSeeWhatVisitorsDoNot keeps the test above honest: what it looks for is there.
func TestStaffSeeWhatVisitorsDoNot(t *testing.T) {
	f := onSQLite(t)
	n := f.collection("Quiet Collector")
	f.at[access.Desk].get(event+"/c/"+n).want(http.StatusOK, "Quiet Collector")
	if _, err := bench.All(context.Background(), f.s.Hall, access.Nobody, f.s.Scope); err == nil {
		t.Error("nobody was shown every collection")
	}
}

// changed is the line of the change log that a use case would have written.
func (f *floor) changed(tx *store.Tx, kind string, subject foray.ID) error {
	_, err := tx.AddChanges(f.s.Scope.Society, f.s.Scope.Event, []store.Change{{SocietyID: f.s.Scope.Society, EventID: f.s.Scope.Event, Kind: kind,
		Subject: subject, RecordedAt: store.At(f.s.Now())}})
	return err
}
