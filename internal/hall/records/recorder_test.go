package records_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/records"
	"forayhall/internal/store"
)

func recorder(t *testing.T) *archive.Table {
	t.Helper()
	data, err := os.ReadFile("../../archive/testdata/recorder.csv")
	if err != nil {
		t.Fatal(err)
	}
	read, err := archive.ReadTable(bytes.NewReader(data), "recorder.csv")
	if err != nil {
		t.Fatal(err)
	}
	return read
}

// The lines of the list that a keeper would look for: merged under current names, misspellings found, doubts apart.
var recorderLines = []struct{ name, qualifier, apart, as, numbers, determiners string }{
	{"Amanita muscaria", "", "", "", "0018 0166", "M. Pugh"}, // 0018 is written "muscara"
	{"Amanita fulva", "", "", "", "0053 0076", "W. Stubbs"},  // written "A. fulva"
	{"Amanita phalloides", "", "", "", "0027 0090 0140", "Begoña Itz M. Pugh W. Stubbs"},
	{"Amanita citrina", "", "", "", "0004", "M. Pugh"}, // its second choice was not confirmed
	{"Apioperdon pyriforme", "", "", "Lycoperdon pyriforme", "0077 0148", "Begoña Itz J. Pohl"},
	{"Collybia nuda", "", "", "Lepista nuda", "0013 0136", "Begoña Itz M. Pugh"},
	{"Fomitopsis betulina", "", "", "Piptoporus betulinus", "0036", "M. Pugh"},
	{"Imleria badia", "", "", "Boletus badius", "0017 0128 0157", "Begoña Itz W. Stubbs"}, // one under the former name
	{"Mucidula mucida", "", "", "Oudemansiella mucida", "0034", "J. Pohl"},
	{"Rhodocollybia butyracea", "", "", "Collybia butyracea", "0050 0135", "Begoña Itz M. Pugh"},
	{"Xerocomellus chrysenteron", "", "", "Boletus chrysenteron", "0087 0170", "Begoña Itz W. Stubbs"},
	{"Galerina marginata", "", "", "", "0008 0130 0152", "Begoña Itz W. Stubbs"},
	{"Fuligo septica", "", "", "", "0161", "J. Pohl"},
	{"Russula emetica", "cf.", "aff", "", "0047 0059", "Begoña Itz"},
	{"Cortinarius anomalus", "aff.", "aff", "", "0098 0113 0156", "M. Pugh W. Stubbs"},
	{"Lactarius deliciosus", "?", "aff", "", "0038 0081 0097", "J. Pohl M. Pugh W. Stubbs"},
	{"Laccaria laccata", "", "unconfirmed", "", "0069", ""}, // written "lacata"
	{"Clitocybe nebularis", "", "unconfirmed", "", "0094 0417a", ""},
	{"Armillaria mellea", "s.l.", "unconfirmed", "", "0080", ""},
}

// Would catch: a row lost without a word, a name merged wrongly, columns that differ from the slips, a table counted twice.
func TestARecordersTableGoesInWithEveryRowTakenOrExplained(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		scope := past(t, g)
		out := bring(t, g, scope, recorder(t), records.Options{})
		if out.Taken != 146 || len(out.Lines) != 146 {
			t.Errorf("%d rows are taken, want 146 of 150", out.Taken)
		}
		var refused []string
		for _, r := range out.Refused {
			refused = append(refused, fmt.Sprint(r.Line, " ", r.Reason.Key))
		}
		want := "60 archive.number-twice, 84 archive.date-bad, 108 archive.number-unreadable, 132 archive.name-missing"
		if got := strings.Join(refused, ", "); got != want {
			t.Errorf("refused: %s\nwant:    %s", got, want)
		}
		checkColumns(t, g, scope)
		checkLines(t, g, scope)
		for _, part := range []string{"Amanita muscara → Amanita muscaria", "6 sites were added", "4 identifiers", "Windows-1252"} {
			if !strings.Contains(said(out.Notes), part) {
				t.Errorf("the notes do not say %q:\n%s", part, said(out.Notes))
			}
		}
		before := mark(t, g, scope)
		again := bring(t, g, scope, recorder(t), records.Options{})
		if again.Taken != 0 || len(again.Refused) != 4 || mark(t, g, scope) != before {
			t.Errorf("brought again: %d taken, %d refused, mark %s after %s", again.Taken, len(again.Refused), mark(t, g, scope), before)
		}
	})
}

func checkColumns(t *testing.T, g *halltest.Ground, scope access.Scope) {
	t.Helper()
	all := plates(t, g, scope)
	if len(all) != 146 {
		t.Errorf("the event has %d collections", len(all))
	}
	var history []store.NamingHistory
	err := g.View(context.Background(), g.Machine, access.ReadPublic, scope, func(l *hall.Look) (err error) {
		history, err = l.Tx.NamingHistories(scope.Society, scope.Event)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	last := map[foray.ID]store.NamingHistory{}
	for _, h := range history {
		last[h.CollectionID] = h
	}
	for number, p := range all {
		st := p.Standing
		if p.Naming != st.Naming || p.Disputed != st.Disputed || p.Version != st.Version || len(p.Slips) != p.Version {
			t.Errorf("%s: columns %s %v, slips %s %v", number, p.Naming, p.Version, st.Naming, st.Version)
		}
		if last[p.ID].Naming != p.Naming {
			t.Errorf("%s: history ends %q, column %q", number, last[p.ID].Naming, p.Naming)
		}
	}
}

func checkLines(t *testing.T, g *halltest.Ground, scope access.Scope) {
	t.Helper()
	running, err := list.See(context.Background(), g.Hall, access.Nobody, scope)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range recorderLines {
		found := false
		for _, l := range running.List.Lines {
			if l.Name != want.name || string(l.Qualifier) != want.qualifier || string(l.Apart) != want.apart {
				continue
			}
			found = true
			var as, numbers []string
			for _, d := range l.Determined {
				as = append(as, d.Name)
			}
			for _, f := range l.Finds {
				numbers = append(numbers, f.Number)
			}
			got := fmt.Sprint(strings.Join(as, " "), " | ", strings.Join(numbers, " "), " | ", strings.Join(l.Determiners, " "))
			if exp := fmt.Sprint(want.as, " | ", want.numbers, " | ", want.determiners); got != exp {
				t.Errorf("%s %s: %s\nwant %s", want.name, want.qualifier, got, exp)
			}
		}
		if !found {
			t.Errorf("the list has no line %s %s %s", want.name, want.qualifier, want.apart)
		}
	}
}
