package tables_test

import (
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/tables"
)

func fieldName(t testing.TB, g *halltest.Ground, by access.Right, c foray.ID, name string) {
	t.Helper()
	if _, err := bench.GiveFieldName(ctx, g.Hall, g.As[by], g.Scope, g.Command(t), bench.FieldName{Collection: c, Names: []hall.NameInput{{Text: name}}}); err != nil {
		t.Fatal(err)
	}
}

func papers(t testing.TB, g *halltest.Ground) tables.Papers {
	t.Helper()
	p, err := tables.SeePapers(ctx, g.Hall, g.As[access.Steward], g.Scope)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func makeCards(t testing.TB, g *halltest.Ground, in tables.Cards) tables.Made {
	t.Helper()
	made, err := tables.MakeCards(ctx, g.Hall, g.As[access.Steward], g.Scope, g.Command(t), in)
	if err != nil {
		t.Fatal(err)
	}
	return made
}

func swap(t testing.TB, g *halltest.Ground, in tables.Swap) error {
	t.Helper()
	_, err := tables.SwapPaper(ctx, g.Hall, g.As[access.Steward], g.Scope, g.Command(t), in)
	return err
}

// TestOldCardStandsUntilSomebodySwapsIt is a card's whole life: made, overtaken by a name, swapped, taken away.
func TestOldCardStandsUntilSomebodySwapsIt(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ids := room(t, g)
		fieldName(t, g, access.Desk, ids[401], "Agaricus campestris")
		putAll(t, g, "7", 401, 402)
		if p := papers(t, g); len(p.Jobs) != 0 || strings.Join(p.Lacking, " ") != "0401 0402" {
			t.Fatalf("before: %+v", p)
		}
		made := makeCards(t, g, tables.Cards{Table: "7"})
		if len(made.Cards) != 2 || made.Cards[0].Names[0] != "Agaricus campestris" || made.Cards[0].State != "provisional" || made.Cards[1].State != "brought_in" {
			t.Fatalf("made %+v", made)
		}
		if again := makeCards(t, g, tables.Cards{Table: "7"}); len(again.Cards) != 0 {
			t.Errorf("cards that are right were made again: %+v", again)
		}
		if p := papers(t, g); len(p.Jobs) != 0 || len(p.Lacking) != 0 || p.Standing != 2 {
			t.Errorf("with right cards: %+v", p)
		}
		fieldName(t, g, access.Identifier, ids[401], "Amanita virosa")
		p := papers(t, g)
		if len(p.Jobs) != 1 {
			t.Fatalf("after another name: %+v", p.Jobs)
		}
		j := p.Jobs[0]
		if j.Kind != "swap_card" || j.Number != "0401" || j.Table != "7" || j.Ready || j.Was != "Agaricus campestris" || !strings.Contains(j.Is, "Amanita virosa") {
			t.Errorf("the job is %+v", j)
		}
		if err := swap(t, g, tables.Swap{Paper: j.Paper}); !fault.Is(err, fault.Refused) {
			t.Errorf("swapped for nothing: %v", err)
		}
		makeCards(t, g, tables.Cards{})
		if p := papers(t, g); len(p.Jobs) != 1 || !p.Jobs[0].Ready || p.Standing != 3 {
			t.Errorf("the old one no longer counts as standing: %+v", p)
		}
		if err := swap(t, g, tables.Swap{Paper: j.Paper}); err != nil {
			t.Fatal(err)
		}
		if err := swap(t, g, tables.Swap{Paper: j.Paper}); !fault.Is(err, fault.Conflict) {
			t.Errorf("swapped twice: %v", err)
		}
		if p := papers(t, g); len(p.Jobs) != 0 || p.Standing != 2 {
			t.Errorf("after the swap: %+v", p)
		}
	})
}

func TestCardOfAPlateThatLeftTheTableIsToBeTakenAway(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ids := room(t, g)
		fieldName(t, g, access.Desk, ids[401], "Boletus edulis")
		putAll(t, g, "3", 401)
		makeCards(t, g, tables.Cards{})
		if err := place(t, g, g.As[access.Desk], tables.Place{Collection: ids[401], Where: foray.InDryer, Position: "4"}); err != nil {
			t.Fatal(err)
		}
		p := papers(t, g)
		if len(p.Jobs) != 1 || p.Jobs[0].Kind != "away_card" || p.Jobs[0].Table != "3" {
			t.Fatalf("%+v", p.Jobs)
		}
		if err := swap(t, g, tables.Swap{Paper: p.Jobs[0].Paper}); err != nil {
			t.Errorf("it cannot be taken away: %v", err)
		}
		if p := papers(t, g); p.Standing != 0 || len(p.Jobs) != 0 {
			t.Errorf("%+v", p)
		}
	})
}

func TestCardWrittenByHandIsRememberedToo(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ids := room(t, g)
		putAll(t, g, "3", 401)
		makeCards(t, g, tables.Cards{Numbers: []string{"0401"}, ByHand: true})
		fieldName(t, g, access.Desk, ids[401], "Boletus edulis")
		p := papers(t, g)
		if len(p.Jobs) != 1 {
			t.Fatalf("%+v", p)
		}
		if err := swap(t, g, tables.Swap{Paper: p.Jobs[0].Paper, ByHand: true}); err != nil {
			t.Fatal(err)
		}
		if p := papers(t, g); len(p.Jobs) != 0 || p.Standing != 1 {
			t.Errorf("%+v", p)
		}
		if _, err := tables.MakeCards(ctx, g.Hall, g.As[access.Steward], g.Scope, g.Command(t), tables.Cards{Numbers: []string{"0406"}}); fault.From(err).Fields["plates.0"].Key != "card.not-on-a-table" {
			t.Errorf("a card for a plate at the desk: %v", err)
		}
	})
}

// TestHungSheetIsWrongOnceADangerousNameComesUp; another unnamed basket does not make it wrong.
func TestHungSheetIsWrongOnceADangerousNameComesUp(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ids := room(t, g)
		hang := func(digest string) error {
			_, err := tables.HangSheet(ctx, g.Hall, g.As[access.SafetyLead], g.Scope, g.Command(t), tables.Hang{Digest: digest})
			return err
		}
		printed := papers(t, g).Sheet
		if err := hang(printed); err != nil {
			t.Fatal(err)
		}
		logged(t, g, 499)
		if p := papers(t, g); len(p.Jobs) != 0 {
			t.Errorf("a basket made it wrong: %+v", p.Jobs)
		}
		fieldName(t, g, access.Desk, ids[401], "Galerina marginata")
		p := papers(t, g)
		if len(p.Jobs) != 1 || p.Jobs[0].Kind != "swap_sheet" || p.Jobs[0].Ready {
			t.Fatalf("%+v", p.Jobs)
		}
		if err := hang(printed); !fault.Is(err, fault.Conflict) {
			t.Errorf("an old print was hung: %v", err)
		}
		if err := swap(t, g, tables.Swap{Paper: p.Jobs[0].Paper, ByHand: true}); !fault.Is(err, fault.Refused) {
			t.Errorf("a sheet written by hand: %v", err)
		}
		if err := hang(p.Sheet); err != nil {
			t.Fatal(err)
		}
		if err := swap(t, g, tables.Swap{Paper: p.Jobs[0].Paper}); err != nil {
			t.Fatal(err)
		}
		if p := papers(t, g); len(p.Jobs) != 0 || p.Standing != 1 {
			t.Errorf("%+v", p)
		}
	})
}

func TestCardOfWhatPeopleLookForNamesItsDoubleAndWhereItStands(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ids := room(t, g)
		fieldName(t, g, access.Desk, ids[401], "Agaricus campestris")
		putAll(t, g, "7", 401)
		before := makeCards(t, g, tables.Cards{})
		if len(before.Cards[0].Doubles) == 0 {
			t.Fatal("no double is known of Agaricus campestris")
		}
		double := before.Cards[0].Doubles[0]
		fieldName(t, g, access.Desk, ids[402], double.Name)
		putAll(t, g, "3", 402)
		p := papers(t, g)
		if len(p.Jobs) != 1 || p.Jobs[0].Number != "0401" {
			t.Fatalf("the double's coming made no job: %+v", p.Jobs)
		}
		after := makeCards(t, g, tables.Cards{Numbers: []string{"401"}})
		if after.Cards[0].Doubles[0].Table != "3" || before.Cards[0].Doubles[0].Table != "" {
			t.Errorf("doubles before %+v, after %+v", before.Cards[0].Doubles, after.Cards[0].Doubles)
		}
	})
}

// TestHungSheetIsWrongOnceAWideNameStandsElsewhereToo, or what people look for comes in with a double.
func TestHungSheetIsWrongOnceAWideNameStandsElsewhereToo(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ids := room(t, g)
		fieldName(t, g, access.Desk, ids[401], "Galerina sp.")
		putAll(t, g, "3", 401)
		for name, change := range map[string]func(){
			"a wide name on another table":  func() { fieldName(t, g, access.Desk, ids[402], "Galerina sp."); putAll(t, g, "7", 402) },
			"what people look for comes in": func() { fieldName(t, g, access.Desk, ids[403], "Agaricus campestris"); putAll(t, g, "7", 403) },
		} {
			now := papers(t, g)
			if _, err := tables.HangSheet(ctx, g.Hall, g.As[access.SafetyLead], g.Scope, g.Command(t), tables.Hang{Digest: now.Sheet}); err != nil {
				t.Fatal(err)
			}
			change()
			if p := papers(t, g); p.Sheet == now.Sheet || len(p.Jobs) <= len(now.Jobs) {
				t.Errorf("%s: the hung sheet still counts as right", name)
			}
		}
	})
}
