package corrections_test

import (
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/corrections"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/fieldwork"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/store"
)

// TestAClosedEventTakesDeterminationsAndNothingNew: a sequence comes a year later; field data are put right by those who
// keep the list, with a reason; the first version stays as it was.
func TestAClosedEventTakesDeterminationsAndNothingNew(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := found(t, g)
		record, err := fieldwork.AddRecord(ctx, g.Hall, g.As[access.Member], g.Scope, g.Command(t), fieldwork.Record{Name: "Fuligo septica", Outside: true})
		if err != nil {
			t.Fatal(err)
		}
		first, _, err := list.Version(ctx, g.Hall, access.Nobody, g.Scope, 1)
		if err != nil {
			t.Fatal(err)
		}
		g.CloseEvent(t)
		g.Pass(400 * 24 * time.Hour)
		if done := sign(t, g, g.As[access.Identifier], c.ID, 1, "Suillus grevillei"); done.Naming != foray.Confirmed {
			t.Errorf("a late determination: %+v", done)
		}
		correct := func(who access.Right, reason string) error {
			_, err := desk.CorrectField(ctx, g.Hall, g.As[who], g.Scope, g.Command(t), desk.Correct{Collection: c.ID, Field: desk.Field{Group: "bolete", Host: "Larix"}, Reason: reason})
			return err
		}
		for _, who := range []access.Right{access.Desk, access.Identifier, access.Organiser} {
			if err := correct(who, "I was there"); !fault.Is(err, fault.NotAllowed) {
				t.Errorf("%s corrects field data: %v", who, err)
			}
		}
		if err := correct(access.ListKeeper, " "); !fault.Is(err, fault.Invalid) {
			t.Errorf("without a reason: %v", err)
		}
		asked := ask(t, g, access.Nobody, corrections.Ask{About: "1", Kind: "place"})
		if err := correct(access.ListKeeper, "the letter of the wood's owner"); err != nil {
			t.Fatal(err)
		}
		if _, err := corrections.AnswerRequest(ctx, g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), corrections.Answer{Request: asked.Request, Changed: "field", Words: "The tree was a larch."}); err != nil {
			t.Error(err)
		}
		if err := g.Store.Read(ctx, func(tx *store.Tx) error {
			audits, err := tx.AuditsOfKinds(g.Scope.Society, g.Scope.Event, []string{"collection.correct"}, 1)
			if len(audits) != 1 || !strings.Contains(audits[0].Detail, "wood's owner") {
				t.Errorf("the reason is not on record: %+v", audits)
			}
			return err
		}); err != nil {
			t.Fatal(err)
		}
		for name, refused := range map[string]error{
			"a find":         second(desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: "2", Field: desk.Field{Group: "bolete", Outside: true}})),
			"a field record": second(fieldwork.AddRecord(ctx, g.Hall, g.As[access.Member], g.Scope, g.Command(t), fieldwork.Record{Name: "Lycogala epidendrum", Outside: true})),
			"a count":        second(fieldwork.AddTally(ctx, g.Hall, g.As[access.Member], g.Scope, g.Command(t), fieldwork.Tally{Record: record.Record, N: 2})),
		} {
			if !fault.Is(refused, fault.Refused) {
				t.Errorf("%s is taken in: %v", name, refused)
			}
		}
		publish(t, g)
		again, _, err := list.Version(ctx, g.Hall, access.Nobody, g.Scope, 1)
		if err != nil || again.CanonicalSha256 != first.CanonicalSha256 || string(again.Canonical) != string(first.Canonical) {
			t.Errorf("version 1 is another: %v", err)
		}
	})
}

func second[T any](_ T, err error) error { return err }
