package safety_test

import (
	"context"
	"strconv"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hall/tables"
	"forayhall/internal/hazard"
	"forayhall/internal/store"
)

var ctx = context.Background()

func logged(t testing.TB, g *halltest.Ground, number int, group string) foray.ID {
	t.Helper()
	c, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: strconv.Itoa(number), Field: desk.Field{Group: group}})
	if err != nil {
		t.Fatal(err)
	}
	return c.ID
}

func suggest(t testing.TB, g *halltest.Ground, by access.Actor, c foray.ID, names ...string) {
	t.Helper()
	in := bench.FieldName{Collection: c}
	for _, n := range names {
		in.Names = append(in.Names, hall.NameInput{Text: n})
	}
	if _, err := bench.GiveFieldName(ctx, g.Hall, by, g.Scope, g.Command(t), in); err != nil {
		t.Fatal(err)
	}
}

func sign(t testing.TB, g *halltest.Ground, version int, by access.Actor, c foray.ID, name string) {
	t.Helper()
	in := bench.Word{Collection: c, Name: hall.NameInput{Text: name}, Basis: "microscopy", Remarks: "seen under the lens"}
	if _, err := bench.SignOff(ctx, g.Hall, by, g.Scope, g.On(t, version), in); err != nil {
		t.Fatal(err)
	}
}

func sheet(t testing.TB, g *halltest.Ground) safety.Sheet {
	t.Helper()
	s, err := safety.WarningSheet(ctx, g.Hall, access.Nobody, g.Scope)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// warned gives the worst severity under which a number stands on the sheet, and whether it stands there at all.
func warned(s safety.Sheet, number string) (worst int, there bool) {
	note := func(severity int, plates []hazard.Standing) {
		for _, p := range plates {
			if p.Number == number {
				worst, there = max(worst, severity), true
			}
		}
	}
	for _, l := range s.Here {
		note(l.Finding.Severity, l.Plates)
	}
	for _, l := range s.Wide {
		note(l.Worst.Severity, l.Plates)
	}
	note(0, s.Nameless)
	note(0, s.NoEntry)
	return worst, there
}

func TestASheetIsFinalOnlyWithATestedContact(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		lead := g.As[access.SafetyLead]
		typed := func(phone string) (safety.Typed, error) {
			return safety.TypeContact(ctx, g.Hall, lead, g.Scope, g.Command(t), safety.Contact{Name: "Poison line", Phone: phone, Hours: "always"})
		}
		rung := func(seq int) error {
			_, err := safety.TestContact(ctx, g.Hall, lead, g.Scope, g.Command(t), safety.Typed{Seq: seq})
			return err
		}
		if s := sheet(t, g); s.Final || len(s.Lacks) != 1 || s.Lacks[0].Key != "hazard.sheet.no-contact" {
			t.Errorf("without a contact: final=%v %v", s.Final, s.Lacks)
		}
		if err := rung(1); !fault.Is(err, fault.Invalid) {
			t.Errorf("rang nobody: %v", err)
		}
		for _, bad := range []string{"", "call us", "12", "0123\x00", strings.Repeat("1", 41)} {
			if _, err := typed(bad); !fault.Is(err, fault.Invalid) {
				t.Errorf("the number %q: %v", bad, err)
			}
		}
		first, err := typed("+44 (0)1632 960-001")
		if s := sheet(t, g); err != nil || s.Final || s.Lacks[0].Key != "hazard.sheet.untested" {
			t.Errorf("typed: final=%v %v %v", s.Final, s.Lacks, err)
		}
		g.Pass(time.Minute)
		if err := rung(first.Seq); err != nil {
			t.Fatal(err)
		}
		s := sheet(t, g)
		if !s.Final || len(s.Lacks) != 0 || s.Sheet.Contact.TypedBy != "Person safety_lead" || s.Sheet.Contact.TestedBy != "Person safety_lead" ||
			!s.Sheet.Contact.TypedAt.Equal(halltest.Saturday) || !s.Sheet.Contact.TestedAt.Equal(halltest.Saturday.Add(time.Minute)) {
			t.Errorf("tested: final=%v %+v", s.Final, s.Sheet.Contact)
		}
		second, err := typed("01632 960002")
		if s := sheet(t, g); err != nil || s.Final || s.Sheet.Contact.Phone != "01632 960002" {
			t.Errorf("changed: final=%v %+v %v", s.Final, s.Sheet.Contact, err)
		}
		if err := rung(first.Seq); !fault.Is(err, fault.Conflict) {
			t.Errorf("the test call of a number that was replaced: %v", err)
		}
		if err := rung(second.Seq); err != nil || !sheet(t, g).Final {
			t.Errorf("tested again: %v", err)
		}
		for _, right := range access.Rights {
			_, err := safety.TypeContact(ctx, g.Hall, g.As[right], g.Scope, g.Command(t), safety.Contact{Name: "Someone", Phone: "999"})
			if may := access.Allows(right, access.TendHazards); (err == nil) != may {
				t.Errorf("%s types a contact: %v", right, err)
			}
		}
	})
}

func TestTheSheetNamesPeopleAsTheyChose(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		lead := g.As[access.SafetyLead]
		if err := g.Store.Write(ctx, func(tx *store.Tx) error { return tx.SetCredit(g.Scope.Society, lead.Person, "none") }); err != nil {
			t.Fatal(err)
		}
		typed, err := safety.TypeContact(ctx, g.Hall, lead, g.Scope, g.Command(t), safety.Contact{Name: "Poison line", Phone: "01632 960001"})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := safety.TestContact(ctx, g.Hall, lead, g.Scope, g.Command(t), typed); err != nil {
			t.Fatal(err)
		}
		s := sheet(t, g)
		if c := s.Sheet.Contact; !s.Final || strings.Contains(c.TypedBy+c.TestedBy, "Person") || c.TypedBy == "" {
			t.Errorf("typed by %q, tested by %q, final=%v", c.TypedBy, c.TestedBy, s.Final)
		}
	})
}

func TestWhatIsInQuestionIsOnTheSheet(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := logged(t, g, 1, "parasol")
		suggest(t, g, g.As[access.Desk], c, "Macrolepiota procera")
		if worst, there := warned(sheet(t, g), "0001"); !there || worst == 5 {
			t.Errorf("with one gathered name: severity %d, there=%v", worst, there)
		}
		suggest(t, g, g.As[access.Desk], c, "Macrolepiota procera", "Lepiota brunneoincarnata")
		if worst, _ := warned(sheet(t, g), "0001"); worst != 5 {
			t.Errorf("a deadly second choice: severity %d", worst)
		}
		sign(t, g, 2, g.As[access.Identifier], c, "Macrolepiota procera")
		if worst, there := warned(sheet(t, g), "0001"); worst == 5 || !there {
			t.Errorf("the first choice was signed: severity %d, there=%v", worst, there)
		}
		sign(t, g, 3, g.Second, c, "Lepiota brunneoincarnata")
		if worst, _ := warned(sheet(t, g), "0001"); worst != 5 {
			t.Errorf("a dissent for the deadly one: severity %d", worst)
		}
		sign(t, g, 4, g.Third, c, "Macrolepiota procera")
		suggest(t, g, g.As[access.Desk], c, "Galerina marginata")
		if worst, _ := warned(sheet(t, g), "0001"); worst != 5 {
			t.Errorf("a field name after the sign-off: severity %d", worst)
		}
	})
}

func TestWideNamesGroupsAndFormerNamesWarnOfTheirWorst(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		for i, c := range []struct {
			group, name string
			worst       int
		}{
			{"small_brown", "Galerina", 5},
			{"small_brown", "Conocybe sp.", 5},
			{"parasol", "Lepiota", 5},
			{"small_brown", "", 5},
			{"small_brown", "aff. Galerina marginata", 5},
			{"small_brown", "Galerina autumnalis", 5},  // former name of G. marginata (Gulden et al. 2001, Mycologia 93:432-440)
			{"white_spored", "Agaricus phalloides", 5}, // basionym of Amanita phalloides
			{"small_brown", "Galerina margynata", 5},
			{"bolete", "Boletus hollinbeckensis", 0},
		} {
			plate := logged(t, g, i+1, c.group)
			if c.name != "" {
				suggest(t, g, g.As[access.Desk], plate, c.name)
			}
			worst, there := warned(sheet(t, g), foray.Number{Base: i + 1}.String())
			if !there || worst < c.worst {
				t.Errorf("%s %q stands under severity %d, there=%v, want %d", c.group, c.name, worst, there, c.worst)
			}
		}
	})
}

func TestAPlateLeavesTheSheetWithTheHallAndNotWithItsName(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := logged(t, g, 1, "small_brown")
		suggest(t, g, g.As[access.Desk], c, "Galerina marginata")
		says := func(word func(context.Context, *hall.Hall, access.Actor, access.Scope, hall.Command, bench.Word) (bench.Done, error), version int) {
			t.Helper()
			if _, err := word(ctx, g.Hall, g.Second, g.Scope, g.On(t, version), bench.Word{Collection: c}); err != nil {
				t.Fatal(err)
			}
		}
		says(bench.FindNotNameable, 1)
		if worst, _ := warned(sheet(t, g), "0001"); worst != 5 {
			t.Errorf("too old to be named, it warns with severity %d", worst)
		}
		says(bench.FindNotFungus, 2)
		if _, there := warned(sheet(t, g), "0001"); there {
			t.Error("a pine cone is on the sheet")
		}
		suggest(t, g, g.As[access.Desk], c, "Galerina marginata")
		if worst, _ := warned(sheet(t, g), "0001"); worst != 5 {
			t.Errorf("named again, it warns with severity %d", worst)
		}
		if _, err := tables.PlacePlate(ctx, g.Hall, g.As[access.Steward], g.Scope, g.Command(t), tables.Place{Collection: c, Where: foray.Discarded}); err != nil {
			t.Fatal(err)
		}
		if _, there := warned(sheet(t, g), "0001"); there {
			t.Error("a discarded plate is on the sheet")
		}
	})
}
