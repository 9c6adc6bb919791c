package list_test

import (
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/fieldwork"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/message"
	"forayhall/internal/tally"
)

var signedAt = [2]time.Time{time.Date(2026, 10, 24, 18, 0, 0, 0, time.UTC), time.Date(2026, 11, 30, 9, 0, 0, 0, time.UTC)}

// versions makes two lists; a line is "name/apart: finds".
func versions(before, after []string) (from, to list.Canonical) {
	for i, lines := range [][]string{before, after} {
		c := list.Canonical{Version: i + 1, SignedAt: signedAt[i]}
		for _, text := range lines {
			head, finds, _ := strings.Cut(text, ": ")
			name, apart, _ := strings.Cut(head, "/")
			l := list.CanonicalLine{Written: name, Apart: apart, Counts: apart == ""}
			for _, f := range strings.Fields(finds) {
				if strings.HasPrefix(f, "urn:") {
					l.FieldRecords = append(l.FieldRecords, f)
					continue
				}
				l.Numbers = append(l.Numbers, f)
			}
			c.Lines = append(c.Lines, l)
		}
		if i == 0 {
			from = c
		} else {
			to = c
		}
	}
	return from, to
}

// today is what the classification of these tests calls names.
func today(name string) string {
	if name == "Xerocomus badius" {
		return "Imleria badia"
	}
	return name
}

func TestADifferenceHasItsReason(t *testing.T) {
	then, between, later := signedAt[0].Add(-time.Hour), signedAt[0].Add(time.Hour), signedAt[1].Add(time.Hour)
	said := func(at time.Time, what list.Reason) list.Trail {
		return list.Trail{WrittenAt: then, Fate: "live", Said: []list.Said{{At: at, What: what}}}
	}
	gone := func(fate string, into ...string) list.Trail {
		return list.Trail{WrittenAt: then, Fate: fate, Into: into}
	}
	for name, c := range map[string]struct {
		before, after []string
		trail         list.Trail // of find 0001, or of the field record
		reason        list.Reason
		added, gone   string
		renamed       int
	}{
		"another determination":                   {[]string{"A b: 0001"}, []string{"A c: 0001"}, said(between, list.Determined), list.Determined, "A c", "A b", 0},
		"the name moved":                          {[]string{"Xerocomus badius: 0001"}, []string{"Imleria badia: 0001"}, said(then, list.Determined), list.Classified, "", "", 1},
		"moved and determined: somebody looked":   {[]string{"Xerocomus badius: 0001"}, []string{"Imleria badia: 0001"}, said(between, list.Determined), list.Determined, "Imleria badia", "Xerocomus badius", 0},
		"field data put right":                    {[]string{"A b/outside: 0001"}, []string{"A b: 0001"}, said(then, list.Determined), list.Corrected, "A b", "", 0},
		"a dispute settled":                       {[]string{"A b/disputed: 0001", "A c/disputed: 0001"}, []string{"A b: 0001"}, said(between, list.Determined), list.Determined, "A b", "", 0},
		"a word taken back":                       {[]string{"A b: 0001"}, []string{"A b/unconfirmed: 0001"}, said(between, list.Struck), list.Struck, "", "A b", 0},
		"found to be no fungus":                   {[]string{"A b: 0001"}, nil, said(between, list.Nameless), list.Nameless, "", "A b", 0},
		"split":                                   {[]string{"A b: 0001"}, []string{"A b: 0001a"}, gone("split", "0001a", "0001b"), list.Split, "", "", 0},
		"merged":                                  {[]string{"A b: 0001 0002"}, []string{"A b: 0002"}, gone("merged", "0002"), list.Merged, "", "", 0},
		"logged since":                            {nil, []string{"A b: 0001"}, list.Trail{WrittenAt: between, Fate: "live", Said: []list.Said{{At: between, What: list.Determined}}}, list.New, "A b", "", 0},
		"named since, logged before":              {nil, []string{"A b: 0001"}, said(between, list.Determined), list.Determined, "A b", "", 0},
		"a field record that somebody stands for": {[]string{"A b/unconfirmed: urn:uuid:1"}, []string{"A b: urn:uuid:1"}, said(between, list.Stood), list.Stood, "A b", "", 0},
		"a field record taken back":               {[]string{"A b: urn:uuid:1"}, nil, gone("struck"), list.Struck, "", "A b", 0},
		"what nothing explains":                   {[]string{"A b: 0001"}, []string{"A c: 0001"}, said(later, list.Determined), list.Unknown, "A c", "A b", 0},
	} {
		t.Run(name, func(t *testing.T) {
			from, to := versions(c.before, c.after)
			d := list.Compare(from, to, map[string]list.Trail{"0001": c.trail, "urn:uuid:1": c.trail, "0001a": {WrittenAt: between, Fate: "live"}}, today)
			if len(d.Moves) == 0 || d.Moves[0].Reason != c.reason || strings.Join(d.Added, ";") != c.added || strings.Join(d.Gone, ";") != c.gone || len(d.Renamed) != c.renamed {
				t.Errorf("%+v", d)
			}
			if text := d.Moves[0].Text(); !message.Has(text.Key) {
				t.Errorf("there is no text %s", text.Key)
			}
		})
	}
}

func TestWhatStaysIsNoDifference(t *testing.T) {
	from, to := versions([]string{"A b: 0001", "A: 0002"}, []string{"A b: 0001", "A: 0002"})
	to.Lines[1].Counts, to.Lines[1].Why = false, "narrower"
	d := list.Compare(from, to, nil, today)
	if len(d.Moves)+len(d.Added)+len(d.Gone)+len(d.Renamed) != 0 {
		t.Errorf("nothing moved: %+v", d)
	}
	if len(d.Turned) != 1 || d.Turned[0].Name != "A" || d.Turned[0].Counts {
		t.Errorf("the genus that no longer counts: %+v", d.Turned)
	}
}

func TestVersionsAreComparedFromTheirBytesAndTheSlips(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := logged(t, g, 1, desk.Field{})
		sign(t, g, 0, g.As[access.Identifier], c, "Boletus edulis")
		if d, err := list.SeeDifferences(ctx, g.Hall, access.Nobody, g.Scope, 0, 0); err != nil || !d.First {
			t.Errorf("before the first version: %+v %v", d, err)
		}
		if _, err := publish(g, g.Command(t), see(t, g).Seq); err != nil {
			t.Fatal(err)
		}
		if d, err := list.SeeDifferences(ctx, g.Hall, access.Nobody, g.Scope, 0, 1); err != nil || !d.First {
			t.Errorf("the first version: %+v %v", d, err)
		}
		g.Pass(time.Hour)
		sign(t, g, 1, g.As[access.Identifier], c, "Imleria badia")
		running, err := list.SeeDifferences(ctx, g.Hall, access.Nobody, g.Scope, 0, 0)
		if err != nil || running.From != 1 || len(running.Moves) != 1 || running.Moves[0].Reason != list.Determined || strings.Join(running.Added, "") != "Imleria badia" {
			t.Errorf("what the next version will say: %+v %v", running, err)
		}
		if _, err := publish(g, g.Command(t), see(t, g).Seq); err != nil {
			t.Fatal(err)
		}
		g.Pass(time.Hour)
		sign(t, g, 2, g.As[access.Identifier], c, "Boletus edulis") // says nothing of what was signed before
		d, err := list.SeeDifferences(ctx, g.Hall, access.Nobody, g.Scope, 1, 2)
		if err != nil || d.To != 2 || len(d.Moves) != 1 || d.Moves[0].Find != "0001" || d.Moves[0].To[0].Name != "Imleria badia" || strings.Join(d.Gone, "") != "Boletus edulis" {
			t.Errorf("version 2: %+v %v", d, err)
		}
		for _, pair := range [][2]int{{2, 1}, {1, 1}, {1, 9}, {9, 2}} {
			if _, err := list.SeeDifferences(ctx, g.Hall, access.Nobody, g.Scope, pair[0], pair[1]); !fault.Is(err, fault.NotFound) {
				t.Errorf("%v: %v", pair, err)
			}
		}
	})
}

func TestAFieldRecordIsListedWhileItStandsAndCountsWhileSomebodyStandsBehindIt(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		made, err := fieldwork.AddRecord(ctx, g.Hall, g.As[access.TeamLeader], g.Scope, g.Command(t), fieldwork.Record{Name: "Xerocomus badius", Count: 7})
		if err != nil {
			t.Fatal(err)
		}
		if l, ok := lineOf(see(t, g), "Imleria badia", tally.Unconfirmed); !ok || l.Counts || l.Why.Key != "tally.apart.unconfirmed-field" || see(t, g).List.Total != 0 {
			t.Errorf("nobody stands behind it: %+v", see(t, g).List)
		}
		if _, err := fieldwork.StandBehind(ctx, g.Hall, g.Second, g.Scope, g.Command(t), fieldwork.Stand{Record: made.Record}); err != nil {
			t.Fatal(err)
		}
		sign(t, g, 0, g.As[access.Identifier], logged(t, g, 1, desk.Field{}), "Imleria badia")
		l, ok := lineOf(see(t, g), "Imleria badia", tally.Counted)
		if !ok || l.Plates() != 1 || l.Fields() != 1 || l.Seen() != 7 || len(l.Determiners) != 2 || len(l.Determined) != 1 {
			t.Fatalf("plate and record on one line: %+v", l)
		}
		if got := message.For(message.English).Text(l.Why); got != "Counts as one: 1 confirmed find, and 1 field record that an identifier stands behind (7 seen)." {
			t.Errorf("why: %q", got)
		}
		draft, err := list.Draft(ctx, g.Hall, access.Nobody, g.Scope)
		if err != nil || draft.Finds != 2 || draft.FieldRecords != 1 || len(draft.Lines[0].Numbers) != 1 || strings.Join(draft.Lines[0].FieldRecords, "") != made.Record.URN() || draft.Lines[0].Seen != 7 {
			t.Errorf("canonical: %+v %v", draft, err)
		}
		sheet, err := list.CSV(draft)
		if rows := strings.Split(string(sheet), "\n"); err != nil || !strings.Contains(rows[0], ",field_records,seen_in_the_field,") || !strings.Contains(rows[1], ",yes,1,7,") {
			t.Errorf("CSV: %s %v", sheet, err)
		}
		if _, err := fieldwork.StrikeRecord(ctx, g.Hall, g.Second, g.Scope, g.Command(t), fieldwork.Strike{Record: made.Record, Reason: "not seen close"}); err != nil {
			t.Fatal(err)
		}
		if l, _ := lineOf(see(t, g), "Imleria badia", tally.Counted); l.Fields() != 0 || see(t, g).List.Finds != 1 {
			t.Errorf("taken back: %+v", l)
		}
	})
}
