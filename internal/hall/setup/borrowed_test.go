package setup_test

import (
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/setup"
	"forayhall/internal/store"
)

// Would catch a choice that a list or a card does not follow, and one that touches another society.
func TestASocietyDecidesWhetherNamesThatBorrowArePrinted(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		other, _, _ := g.Another(t, "fennmoor", "Fennmoor Fungus Group")
		for i, name := range []string{"Entoloma abortivum", "Catathelasma imperiale"} {
			signed(t, g, i+1, name)
		}
		choose := func(by access.Actor, choice string) error {
			_, err := setup.ChooseBorrowedNames(ctx, g.Hall, by, g.Scope, g.Command(t), setup.BorrowedNames{Choice: choice})
			return err
		}
		expect := func(first, second string) {
			t.Helper()
			if got := commonNames(t, g); got["Entoloma abortivum"] != first || got["Catathelasma imperiale"] != second {
				t.Errorf("printed: %v, want %q and %q", got, first, second)
			}
		}
		expect("Aborted Entoloma", "Imperial Cat")
		if err := choose(g.As[access.ListKeeper], store.BorrowedLeftOut); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("the list keeper chooses: %v", err)
		}
		if err := choose(g.As[access.Organiser], "sometimes"); !names(err, "choice") {
			t.Errorf("a choice that is none: %v", err)
		}
		if err := choose(g.As[access.Organiser], store.BorrowedLeftOut); err != nil {
			t.Fatal(err)
		}
		expect("Shrimp of the Woods", "")
		room, err := setup.See(ctx, g.Hall, g.As[access.Organiser], g.Scope)
		if err != nil || len(room.Borrowed) != 3 || room.Borrowed[0].Borrows.Part != "Entoloma" {
			t.Errorf("to decide on: %+v, %v", room.Borrowed, err)
		}
		check(t, g, func(tx *store.Tx) error {
			audits, err := tx.AuditsOfKinds(g.Scope.Society, g.Scope.Event, []string{"society.change"}, 5)
			if len(audits) != 1 || audits[0].Detail != `{"choice":"shown"}` {
				t.Errorf("the audit keeps %+v", audits)
			}
			theirs, err2 := tx.SocietyByID(other.ID)
			if err2 != nil || theirs.BorrowedNames != store.BorrowedShown {
				t.Errorf("another society: %q, %v", theirs.BorrowedNames, err2)
			}
			return err
		})
	})
}

func check(t *testing.T, g *halltest.Ground, read func(tx *store.Tx) error) {
	t.Helper()
	if err := g.Hall.Store.Read(ctx, read); err != nil {
		t.Fatal(err)
	}
}

// signed logs a find and stands behind a name.
func signed(t *testing.T, g *halltest.Ground, number int, name string) {
	t.Helper()
	c, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: foray.Number{Base: number}.String(), Field: desk.Field{Group: "bolete"}})
	if err != nil {
		t.Fatal(err)
	}
	in := bench.Word{Collection: c.ID, Name: hall.NameInput{Text: name}, Basis: "macroscopic"}
	if _, err := bench.SignOff(ctx, g.Hall, g.As[access.Identifier], g.Scope, g.On(t, 0), in); err != nil {
		t.Fatal(err)
	}
}

// commonNames is what the running list prints beside each name, which the cards must agree with.
func commonNames(t *testing.T, g *halltest.Ground) map[string]string {
	t.Helper()
	r, err := list.See(ctx, g.Hall, access.Nobody, g.Scope)
	if err != nil {
		t.Fatal(err)
	}
	var society store.Society
	check(t, g, func(tx *store.Tx) (err error) {
		society, err = tx.SocietyByID(g.Scope.Society)
		return err
	})
	printed := map[string]string{}
	for _, l := range list.Lines(g.Hall, society, r) {
		printed[l.Name] = l.Common
	}
	err = g.Hall.View(ctx, g.As[access.Steward], access.NameOwn, g.Scope, func(l *hall.Look) error {
		plates, err := l.Plates()
		if err != nil {
			return err
		}
		cards, err := l.NewCardWriter(plates)
		if err != nil {
			return err
		}
		for _, p := range plates {
			if card := cards.Write(p); card.Common != printed[card.Names[0]] {
				t.Errorf("the card of %s says %q, the list %q", card.Names[0], card.Common, printed[card.Names[0]])
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return printed
}
