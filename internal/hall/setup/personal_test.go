package setup_test

import (
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/hall/closing"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
	"forayhall/internal/store"
)

func TestTheDayOnWhichPersonalDataGoesIsMovedWithAReasonAndNotTooFar(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		organiser := g.As[access.Organiser]
		look := func() setup.Room {
			t.Helper()
			room, err := setup.See(t.Context(), g.Hall, organiser, g.Scope)
			if err != nil {
				t.Fatal(err)
			}
			return room
		}
		change := func(fn func(*setup.Details)) error {
			d := setup.DetailsOf(look().Event)
			fn(&d)
			_, err := setup.ChangeEvent(t.Context(), g.Hall, organiser, g.Scope, g.Command(t), d)
			return err
		}
		on := func(day, reason string) error {
			return change(func(d *setup.Details) { d.DeletePersonalOn, d.DeleteReason = day, reason })
		}
		wrong := func(name, field string, err error) {
			t.Helper()
			if _, said := fault.From(err).Fields[field]; !said {
				t.Errorf("%s: %v", name, err)
			}
		}
		wrong("thirteen months after the end", "delete_personal_on", on("2027-11-26", ""))
		if err := on("2026-11-30", ""); err != nil {
			t.Fatalf("the first time: %v", err)
		}
		wrong("moved without a reason", "delete_reason", on("2027-01-31", " "))
		wrong("taken away", "delete_personal_on", on("", "never mind"))
		wrong("months that are none", "personal_months", change(func(d *setup.Details) { d.PersonalMonths = 37 }))
		g.Pass(time.Minute) // two lines of one moment have no order
		if err := on("2027-01-31", "the reports are late"); err != nil {
			t.Fatal(err)
		}
		if err := change(func(d *setup.Details) { d.Name = "Another" }); err != nil {
			t.Errorf("other details want a reason: %v", err)
		}
		wrong("fewer months than the day needs", "delete_personal_on", change(func(d *setup.Details) { d.PersonalMonths = 2 }))
		var audits []store.Audit
		if err := g.Store.Read(t.Context(), func(tx *store.Tx) (err error) {
			audits, err = tx.AuditsOfKinds(g.Scope.Society, g.Scope.Event, []string{"personal.date"}, 9)
			return err
		}); err != nil || len(audits) != 2 || audits[0].Detail != "2026-11-30 → 2027-01-31 the reports are late" || audits[0].PersonID != organiser.Person {
			t.Errorf("on record: %+v %v", audits, err)
		}
		soon := func() bool {
			for _, m := range look().Missing() {
				if strings.Contains(m.Text.Key, "personal-soon") {
					return true
				}
			}
			return false
		}
		if _, err := setup.IssueBlock(t.Context(), g.Hall, organiser, g.Scope, g.Command(t), setup.Block{From: 1, To: 5, Person: "Dora Vale"}); err != nil {
			t.Fatal(err)
		}
		g.Pass(84 * 24 * time.Hour) // 16 January
		if soon() {
			t.Error("told more than a fortnight before")
		}
		g.Pass(24 * time.Hour)
		if !soon() || look().Personal.Held["blocks"] != 1 {
			t.Errorf("not told a fortnight before: %+v", look().Personal)
		}
		wrong("a day that is past", "delete_personal_on", on("2027-01-10", "at once"))
		if s, err := closing.See(t.Context(), g.Hall, organiser, g.Scope); err != nil || !s.Personal.Soon {
			t.Errorf("nor where the event is closed: %v", err)
		}
	})
}
