package safety_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hazard"
	"forayhall/internal/store"
)

// known is the hall as the society knows it at its next request.
func known(t testing.TB, g *halltest.Ground) *hall.Hall {
	t.Helper()
	h, err := g.For(ctx, g.Scope.Society)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func addHazard(t testing.TB, g *halltest.Ground, in safety.Hazard) foray.ID {
	t.Helper()
	done, err := safety.AddHazard(ctx, known(t, g), g.As[access.SafetyLead], g.Scope, g.Command(t), in)
	if err != nil {
		t.Fatal(err)
	}
	return done.Entry
}

func ownSheet(t testing.TB, g *halltest.Ground) safety.Sheet {
	t.Helper()
	s, err := safety.WarningSheet(ctx, known(t, g), access.Nobody, g.Scope)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

var slippery = safety.Hazard{Taxon: "Suillus luteus", Syndrome: "gut-severe", Source: "minutes of the society, 3 October 2026"}

// What the safety lead writes is on the sheet with the next request, well within two seconds, also in an instance that
// did not write it; and off it when it is taken back.
func TestAnEntryReachesTheSheetAtOnceAndInEveryInstance(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		suggest(t, g, g.As[access.Identifier], logged(t, g, 1, "bolete"), "Suillus luteus")
		before, _ := warned(ownSheet(t, g), "0001")
		other := hall.New(g.Store, g.Knowledge)
		begun := time.Now()
		id := addHazard(t, g, slippery)
		after, _ := warned(ownSheet(t, g), "0001")
		if took := time.Since(begun); after <= before || took > 2*time.Second {
			t.Errorf("severity %d, then %d after %v", before, after, took)
		}
		there, err := other.For(ctx, g.Scope.Society)
		if err != nil || there.Knowledge.Hazards.Assess("Suillus luteus")[0].Severity != after {
			t.Errorf("another instance does not know it: %v", err)
		}
		if there.Knowledge.Revision == g.Knowledge.Revision || there.Knowledge.Revision != known(t, g).Knowledge.Revision {
			t.Errorf("revisions: ships %s, here %s, there %s", g.Knowledge.Revision, known(t, g).Knowledge.Revision, there.Knowledge.Revision)
		}
		if _, err := safety.Withdraw(ctx, known(t, g), g.As[access.SafetyLead], g.Scope, g.Command(t), safety.Withdrawal{Entry: id, Reason: "another was meant"}); err != nil {
			t.Fatal(err)
		}
		if gone, _ := warned(ownSheet(t, g), "0001"); gone != before {
			t.Errorf("severity %d after it was taken back, want %d", gone, before)
		}
		again, err := other.For(ctx, g.Scope.Society)
		if err != nil || again.Knowledge.Revision != g.Knowledge.Revision {
			t.Errorf("another instance still knows it: %v", err)
		}
	})
}

func TestAnEntryIsTheSocietysAlone(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		_, scope, _ := g.Another(t, "fernhollow", "Fernhollow Fungus Group")
		addHazard(t, g, slippery)
		there, err := g.For(ctx, scope.Society)
		if err != nil || there.Knowledge != g.Knowledge {
			t.Errorf("another society knows other things: %v", err)
		}
	})
}

// Every open event of the society is told that its sheet is another one now.
func TestEveryOpenEventIsToldOfAnEntry(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		second := secondEvent(t, g)
		before, err := g.ChangeSeq(ctx, second)
		if err != nil {
			t.Fatal(err)
		}
		listener := g.Live.Listen(second.Event)
		defer listener.Close()
		addHazard(t, g, slippery)
		if after, err := g.ChangeSeq(ctx, second); err != nil || after != before+1 {
			t.Errorf("changes %d, then %d, %v", before, after, err)
		}
		select {
		case <-listener.Wake():
		case <-time.After(2 * time.Second):
			t.Error("whoever looks at the other event is not told")
		}
	})
}

func TestWhatCannotBeJoinedIsRefusedWithWhatToDo(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		with := func(change func(*safety.Hazard)) safety.Hazard { in := slippery; change(&in); return in }
		addHazard(t, g, with(func(in *safety.Hazard) { in.Exposure = "touch" }))
		tests := map[string]struct {
			in    safety.Hazard
			field string
			says  string
		}{
			"a misspelt name":         {with(func(in *safety.Hazard) { in.Taxon = "Suilus luteus" }), "taxon", "Suillus luteus"},
			"a name that nobody has":  {with(func(in *safety.Hazard) { in.Taxon = "Xyzus inventatus" }), "taxon", "No list"},
			"no scientific name":      {with(func(in *safety.Hazard) { in.Taxon = "the slimy one" }), "taxon", "No list"},
			"no name":                 {with(func(in *safety.Hazard) { in.Taxon = " " }), "taxon", "scientific name"},
			"a name in doubt":         {with(func(in *safety.Hazard) { in.Taxon = "Suillus cf. luteus" }), "taxon", "without a doubt"},
			"an unknown syndrome":     {with(func(in *safety.Hazard) { in.Syndrome = "dizzy" }), "syndrome", "amatoxin"},
			"no syndrome":             {with(func(in *safety.Hazard) { in.Syndrome = "" }), "syndrome", "amatoxin"},
			"an unknown exposure":     {with(func(in *safety.Hazard) { in.Exposure = "by looking" }), "exposure", "touch"},
			"an unknown scope":        {with(func(in *safety.Hazard) { in.Scope = "half" }), "scope", "unnamed"},
			"an unknown region":       {with(func(in *safety.Hazard) { in.Region = "Moon" }), "region", "Australasia"},
			"an unknown evidence":     {with(func(in *safety.Hazard) { in.Evidence = "sure" }), "evidence", "suspected"},
			"no source":               {with(func(in *safety.Hazard) { in.Source = "" }), "source", "publication"},
			"a source without end":    {with(func(in *safety.Hazard) { in.Source = strings.Repeat("a", 501) }), "source", "500"},
			"what is said already":    {with(func(in *safety.Hazard) { in.Exposure = "Touch" }), "taxon", "already"},
			"an epithet nobody knows": {with(func(in *safety.Hazard) { in.Taxon = "Suillus inventatus" }), "taxon", "genus"},
		}
		for name, tt := range tests {
			_, err := safety.AddHazard(ctx, known(t, g), g.As[access.SafetyLead], g.Scope, g.Command(t), tt.in)
			f := fault.From(err)
			if f.Kind != fault.Invalid || len(f.Fields) != 1 || f.Fields[tt.field].IsZero() || !strings.Contains(err.Error(), tt.says) {
				t.Errorf("%s: %v", name, err)
			}
		}
		pairs := map[string]struct {
			in    safety.Lookalike
			field string
		}{
			"nothing against the other side": {safety.Lookalike{Gathered: "Boletus edulis", Poisonous: "Cantharellus cibarius", Differences: "ribs", Source: "minutes"}, "poisonous"},
			"one and the same":               {safety.Lookalike{Gathered: "Suillus luteus", Poisonous: "Suillus luteus", Differences: "none", Source: "minutes"}, "poisonous"},
			"nothing to tell them by":        {safety.Lookalike{Gathered: "Boletus edulis", Poisonous: "Suillus luteus", Source: "minutes"}, "differences"},
			"a misspelt side":                {safety.Lookalike{Gathered: "Boletus eduliss", Poisonous: "Suillus luteus", Differences: "ring", Source: "minutes"}, "gathered"},
		}
		for name, tt := range pairs {
			_, err := safety.AddPair(ctx, known(t, g), g.As[access.SafetyLead], g.Scope, g.Command(t), tt.in)
			if f := fault.From(err); f.Kind != fault.Invalid || f.Fields[tt.field].IsZero() {
				t.Errorf("%s: %v", name, err)
			}
		}
	})
}

func TestAContestStaysVisibleAndNothingThatShipsCanBeTakenBack(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		lead := g.As[access.SafetyLead]
		row := g.Knowledge.Hazards.Assess("Paxillus involutus")[0]
		contest := func(in safety.Contest) error {
			_, err := safety.ContestRow(ctx, known(t, g), lead, g.Scope, g.Command(t), in)
			return err
		}
		if err := contest(safety.Contest{About: row.Entry.ID, Reason: "the case was another species", Source: "letter of 2 May 2026"}); err != nil {
			t.Fatal(err)
		}
		for name, in := range map[string]safety.Contest{
			"of nothing":       {About: "Paxillus involutus / nothing", Reason: "r", Source: "s"},
			"without a reason": {About: row.Entry.ID, Source: "s"},
			"without a source": {About: row.Entry.ID, Reason: "r"},
		} {
			if err := contest(in); !fault.Is(err, fault.Invalid) {
				t.Errorf("a contest %s: %v", name, err)
			}
		}
		f := known(t, g).Knowledge.Hazards.Assess("Paxillus involutus")[0]
		if f.Severity != row.Severity || len(f.Contests) != 1 || f.Contests[0].By != lead.Person.String() {
			t.Errorf("%+v", f)
		}
		_, err := safety.Withdraw(ctx, known(t, g), lead, g.Scope, g.Command(t), safety.Withdrawal{Entry: g.Scope.Event, Reason: "it ships"})
		if !fault.Is(err, fault.NotFound) {
			t.Errorf("something that is no entry was taken back: %v", err)
		}
	})
}

func TestAnEntryOnWhichAPairLeansStaysAndIsTakenBackOnce(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		lead := g.As[access.SafetyLead]
		id := addHazard(t, g, safety.Hazard{Taxon: "Cantharellus cibarius", Syndrome: "gut", Source: "minutes"})
		pair, err := safety.AddPair(ctx, known(t, g), lead, g.Scope, g.Command(t), safety.Lookalike{Gathered: "Boletus edulis", Poisonous: "Cantharellus cibarius",
			Differences: "Gathered: pores. Poisonous: blunt ribs.", Source: "minutes"})
		if err != nil {
			t.Fatal(err)
		}
		withdraw := func(entry foray.ID) error {
			_, err := safety.Withdraw(ctx, known(t, g), lead, g.Scope, g.Command(t), safety.Withdrawal{Entry: entry, Reason: "found out"})
			return err
		}
		if err := withdraw(id); !fault.Is(err, fault.Refused) {
			t.Errorf("the ground was taken from a pair: %v", err)
		}
		if err := withdraw(pair.Entry); err != nil {
			t.Fatal(err)
		}
		if err := withdraw(id); err != nil {
			t.Fatal(err)
		}
		if err := withdraw(id); !fault.Is(err, fault.Conflict) {
			t.Errorf("taken back twice: %v", err)
		}
		k, err := safety.SeeHazards(ctx, known(t, g), lead, g.Scope, "Cantharellus cibarius")
		if err != nil || len(k.Rows) != 0 || len(k.Entries) != 2 || k.Entries[0].Withdrawn == nil || k.Entries[1].Withdrawn.Reason != "found out" {
			t.Errorf("%+v, %v", k, err)
		}
	})
}

func TestOnlyTheSafetyLeadWritesAndSees(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		for _, right := range access.Rights {
			_, write := safety.AddHazard(ctx, known(t, g), g.As[right], g.Scope, g.Command(t), slippery)
			_, see := safety.SeeHazards(ctx, known(t, g), g.As[right], g.Scope, "")
			if may := right == access.SafetyLead; (write == nil) != may || (see == nil) != may {
				t.Errorf("%s: writes %v, sees %v", right, write, see)
			}
		}
	})
}

func TestASentAgainEntryIsOneEntry(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		cmd := g.Command(t)
		for range 2 {
			if _, err := safety.AddHazard(ctx, known(t, g), g.As[access.SafetyLead], g.Scope, cmd, slippery); err != nil {
				t.Fatal(err)
			}
		}
		k, err := safety.SeeHazards(ctx, known(t, g), g.As[access.SafetyLead], g.Scope, "Suillus luteus")
		if err != nil || len(k.Entries) != 1 || k.Entries[0].Severity < hazard.Dangerous {
			t.Errorf("%+v, %v", k.Entries, err)
		}
	})
}

// A stored row that no longer fits what ships takes nothing else down, and the safety lead is told of it.
func TestARowThatNoLongerFitsIsShownAndTakesNothingDown(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		suggest(t, g, g.As[access.Identifier], logged(t, g, 1, "bolete"), "Suillus luteus")
		addHazard(t, g, slippery)
		old := hall.OwnEntry{SocietyID: g.Scope.Society, ID: g.Command(t).ID, Kind: "hazard", Name: "Boletus edulis", Scope: "all", Syndrome: "of-last-year",
			Exposure: "meal", Evidence: "reported", Source: "minutes", WrittenBy: g.As[access.SafetyLead].Person}
		keepEntry(t, g, old)
		if worst, _ := warned(ownSheet(t, g), "0001"); worst < hazard.Dangerous {
			t.Errorf("the entry that fits fires with severity %d", worst)
		}
		k, err := safety.SeeHazards(ctx, known(t, g), g.As[access.SafetyLead], g.Scope, "")
		left := 0
		for _, e := range k.Entries {
			if !e.Left.IsZero() && e.ID == old.ID {
				left++
			}
		}
		if err != nil || len(k.Entries) != 2 || left != 1 {
			t.Errorf("%d left of %d, %v", left, len(k.Entries), err)
		}
	})
}

func TestASpreadsheetIsTakenWholeOrNotAtAll(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		send := func(file string) (safety.Imported, error) {
			in, err := safety.ReadEntries(strings.NewReader(file), "own.csv")
			if err != nil {
				t.Fatal(err)
			}
			return safety.Import(ctx, known(t, g), g.As[access.SafetyLead], g.Scope, g.Command(t), in)
		}
		const header = "source;region;Taxon;who asked;syndrome;note;exposure;evidence\n"
		good := header + "minutes, page 4;EU;Suillus luteus;Ines;gut-severe;;meal;reported\nminutes, page 5;Europe;Boletus edulis;;Gut;after a large meal;raw;\n"
		_, err := send(good + "minutes;EU;Suilus luteus;;gut;;;\n;EU;Suillus luteus;;dizzy;;;\n")
		f := fault.From(err)
		refused, _ := f.Other.([]safety.RefusedLine)
		if f.Kind != fault.Invalid || len(refused) != 3 || refused[0].Line != 4 || refused[0].Column != "taxon" || refused[1].Line != 5 || refused[1].Column != "source" ||
			refused[2].Column != "syndrome" || !strings.Contains(refused[0].Reason, "Suillus luteus") {
			t.Fatalf("%v, refused %+v", err, refused)
		}
		if k := known(t, g).Knowledge; k != g.Knowledge {
			t.Error("a part of what was refused is there")
		}
		if done, err := send(good); err != nil || done.Added != 2 || done.Already != 0 {
			t.Errorf("%+v, %v", done, err)
		}
		if done, err := send(good); err != nil || done.Added != 0 || done.Already != 2 {
			t.Errorf("again: %+v, %v", done, err)
		}
		pairs := "differences,gathered,poisonous,source\nGathered: pores white. Poisonous: a ring.,Boletus edulis,Suillus luteus,minutes\n"
		if done, err := send(pairs); err != nil || done.Added != 1 {
			t.Errorf("pairs: %+v, %v", done, err)
		}
	})
}

func TestASpreadsheetOfEitherKindIsReadTheSame(t *testing.T) {
	f := excelize.NewFile()
	for i, row := range [][]any{{"Taxon", "Syndrome", "Source"}, {"Suillus luteus", "gut", "minutes"}} {
		if err := f.SetSheetRow("Sheet1", fmt.Sprintf("A%d", i+1), &row); err != nil {
			t.Fatal(err)
		}
	}
	var file bytes.Buffer
	if err := f.Write(&file); err != nil {
		t.Fatal(err)
	}
	sheet, err := safety.ReadEntries(&file, "own.xlsx")
	if err != nil {
		t.Fatal(err)
	}
	text, err := safety.ReadEntries(strings.NewReader("taxon,syndrome,source\nSuillus luteus,gut,minutes\n"), "own.csv")
	if err != nil || len(sheet.Hazards) != 1 || sheet.Hazards[0] != text.Hazards[0] || text.Hazards[0].Line != 2 {
		t.Errorf("%+v, %+v, %v", sheet, text, err)
	}
	for name, wrong := range map[string]string{"no source": "taxon,syndrome\nSuillus luteus,gut\n", "neither table": "name of it,what\na,b\n", "no rows": "taxon,syndrome,source\n", "nothing": ""} {
		if _, err := safety.ReadEntries(strings.NewReader(wrong), "own.csv"); !fault.Is(err, fault.Invalid) || fault.From(err).Fields["file"].IsZero() {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// secondEvent is another open event of the society.
func secondEvent(t testing.TB, g *halltest.Ground) access.Scope {
	t.Helper()
	made, err := setup.AddEvent(ctx, g.Hall, g.Machine, access.Scope{Society: g.Scope.Society}, g.Command(t), setup.Event{Code: "HB27", Name: "Spring foray",
		Place: "Hollinbeck Hall", StartsOn: "2026-10-24", EndsOn: "2026-10-25", TimeZone: "Europe/London", Region: "EU"})
	if err != nil {
		t.Fatal(err)
	}
	return access.Scope{Society: g.Scope.Society, Event: made.ID}
}

// keepEntry stores an entry as an earlier version of the knowledge would have taken it.
func keepEntry(t testing.TB, g *halltest.Ground, e hall.OwnEntry) {
	t.Helper()
	e.HappenedAt, e.RecordedAt = store.At(halltest.Saturday), store.At(halltest.Saturday)
	if err := g.Store.Write(ctx, func(tx *store.Tx) error { return tx.AddOwnEntries([]hall.OwnEntry{e}) }); err != nil {
		t.Fatal(err)
	}
}
