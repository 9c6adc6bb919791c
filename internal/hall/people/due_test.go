package people_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/people"
	"forayhall/internal/hall/photographs"
	"forayhall/internal/hall/safety"
	"forayhall/internal/store"
)

// told is everything that the tables hold as text, a line a row.
func told(t testing.TB, g *halltest.Ground, tables ...string) string {
	t.Helper()
	var b strings.Builder
	if err := g.Store.Read(ctx, func(tx *store.Tx) error {
		for _, table := range tables {
			if err := tx.Dump(table, store.Part{}, func(row map[string]any) error {
				fmt.Fprintln(&b, table, row)
				return nil
			}); err != nil {
				return err
			}
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// marked writes remarks on who is back and hands numbers out, all in words that are personal.
func marked(t testing.TB, g *halltest.Ground, by access.Actor) {
	t.Helper()
	wish(t, g, by)
	if err := g.Store.Write(ctx, func(tx *store.Tx) error {
		members, err := tx.TeamMembers(g.Scope.Society, g.Scope.Event, foray.ID{})
		if err != nil {
			return err
		}
		m, now, s, e := members[0], store.At(g.Hall.Now()), g.Scope.Society, g.Scope.Event
		if err := tx.AddHeadMarks([]store.HeadMark{{SocietyID: s, EventID: e, ID: foray.ID{15: 1}, TeamID: m.TeamID, MemberID: m.ID, Kind: "back", MarkedBy: by.Person,
			HappenedAt: now, RecordedAt: now, Remarks: "personal: a sprained ankle"}}); err != nil {
			return err
		}
		if err := tx.AddHeadCount(store.HeadCount{SocietyID: s, EventID: e, ID: foray.ID{15: 2}, TeamID: m.TeamID, Kind: "rung", CountedBy: by.Person, HappenedAt: now,
			RecordedAt: now, Remarks: "personal: her brother answered"}); err != nil {
			return err
		}
		return tx.AddNumberBlock(store.NumberBlock{SocietyID: s, EventID: e, ID: foray.ID{15: 3}, FromNumber: 900, ToNumber: 910, IssuedTo: "Person member",
			IssuedBy: by.Person, IssuedAt: now})
	}); err != nil {
		t.Fatal(err)
	}
}

// eaten is an incident of which everything is told, with a picture in view and one that was hidden.
func eaten(t testing.TB, g *halltest.Ground) foray.ID {
	t.Helper()
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	lead := g.As[access.SafetyLead]
	_, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: "77", Field: desk.Field{Group: "bolete", Outside: true}})
	must(err)
	i, err := safety.OpenIncident(ctx, g.Hall, lead, g.Scope, g.Command(t), safety.Eaten{Number: "77", What: "personal: the pan", Who: "child", EatenText: "personal: at supper",
		HowMuch: "personal: two spoons", Signs: "personal: sick twice"})
	must(err)
	var hidden foray.ID
	for n := range 2 {
		done, err := photographs.Add(ctx, g.Hall, lead, g.Scope, g.Command(t), photographs.Upload{Kind: "incident", Subject: i.Incident.String(), Caption: "personal: a bowl"},
			bytes.NewReader(halltest.Picture(t, n)))
		must(err)
		hidden = done.Photograph
	}
	_, err = photographs.Hide(ctx, g.Hall, lead, g.Scope, g.Command(t), photographs.Hidden{Photograph: hidden, Reason: "personal: his face"})
	must(err)
	_, err = photographs.Add(ctx, g.Hall, lead, g.Scope, g.Command(t), photographs.Upload{Kind: "field", Subject: seenThere(t, g, lead).String()}, bytes.NewReader(halltest.Picture(t, 5)))
	must(err)
	_, err = safety.CloseIncident(ctx, g.Hall, lead, g.Scope, g.Command(t), safety.Said{Incident: i.Incident, Words: "personal: home from hospital"})
	must(err)
	return i.Incident
}

func seenThere(t testing.TB, g *halltest.Ground, by access.Actor) foray.ID {
	t.Helper()
	id, now := foray.ID{15: 4}, store.At(g.Hall.Now())
	if err := g.Store.Write(ctx, func(tx *store.Tx) error {
		return tx.AddFieldRecord(store.FieldRecord{SocietyID: g.Scope.Society, EventID: g.Scope.Event, ID: id, ObserverID: by.Person, EnteredBy: by.Person,
			Verbatim: "Fuligo septica", NameKey: "fuligo septica", CurrentKey: "fuligo septica", Name: "Fuligo septica", HappenedAt: now, RecordedAt: now})
	}); err != nil {
		t.Fatal(err)
	}
	return id
}

func TestWhatIsOfSomebodysHealthGoesOnTheDateAndThatItHappenedStays(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		tables := []string{"incident", "incident_note", "photograph", "head_mark", "head_count", "number_block", "audit", "member_private"}
		marked(t, g, g.As[access.Member])
		incident := eaten(t, g)
		due := func() int {
			t.Helper()
			if err := g.Store.Write(ctx, func(tx *store.Tx) error {
				e, err := tx.EventByID(g.Scope.Society, g.Scope.Event)
				e.DeletePersonalOn = "2026-11-30"
				if err != nil {
					return err
				}
				return tx.SetEvent(e)
			}); err != nil {
				t.Fatal(err)
			}
			return deleted(t, g)
		}
		if n := due(); n != 0 || strings.Count(told(t, g, tables...), "personal: ") < 9 {
			t.Fatalf("before the date %d rows went:\n%s", n, told(t, g, tables...))
		}
		g.Pass(37 * 24 * time.Hour)
		// A wish, a private note, a name, a block, a mark, a count, an incident, its note, why a picture was hidden, two pictures.
		if n := due(); n != 11 {
			t.Errorf("%d rows", n)
		}
		if all := told(t, g, tables...); strings.Contains(all, "personal: ") || strings.Contains(told(t, g, "number_block"), "Person member") {
			t.Errorf("something is left:\n%s", all)
		}
		if n := due(); n != 0 {
			t.Errorf("a second time %d rows", n)
		}
		if kept(t, g, "head_mark") != 1 || kept(t, g, "head_count") != 1 || kept(t, g, "number_block") != 1 || kept(t, g, "incident_note") != 1 || kept(t, g, "photograph") != 1 {
			t.Error("what was marked, counted and handed out is gone, or a picture of something else")
		}
		c, err := safety.SeeIncident(ctx, g.Hall, g.As[access.SafetyLead], g.Scope, incident)
		if err != nil || c.Who != "child" || c.CollectionID.IsZero() || !c.OpenedAt.Equal(halltest.Saturday) || c.ClosedAt.IsZero() {
			t.Errorf("of the incident stays %+v, %v", c.Incident, err)
		}
		if n, err := photographs.ClearBlobs(ctx, g.Hall, time.Now().Add(time.Minute)); n != 4 || err != nil { // in full and small
			t.Errorf("cleared %d blobs, %v", n, err)
		}
		appendOnlyAgain(t, g)
	})
}

// appendOnlyAgain tries to change what is only ever added to.
func appendOnlyAgain(t testing.TB, g *halltest.Ground) {
	t.Helper()
	if err := g.Store.Write(ctx, func(tx *store.Tx) error {
		return tx.Maintain("a look", store.At(g.Hall.Now()), func() error { return nil })
	}); err != nil {
		t.Errorf("the maintenance switch was left on: %v", err)
	}
}

func TestWhoeverLeavesTakesTheRemarksOnThemToo(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		marked(t, g, g.As[access.Member])
		if err := people.EraseMe(ctx, g.Hall, who(t, g, in(t, g, "member")), g.Command(t), people.Leave{Credit: "initials"}); err != nil {
			t.Fatal(err)
		}
		if left := told(t, g, "head_mark", "number_block"); strings.Contains(left, "personal: ") || strings.Contains(left, "Person member") {
			t.Errorf("left:\n%s", left)
		}
		if kept(t, g, "head_mark") != 1 || kept(t, g, "number_block") != 1 {
			t.Error("what was marked is gone")
		}
		appendOnlyAgain(t, g)
	})
}
