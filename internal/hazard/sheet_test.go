package hazard_test

import (
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"forayhall/internal/hazard"
	"forayhall/internal/message"
)

var typed = time.Date(2026, 9, 26, 9, 0, 0, 0, time.UTC)

func testedContact() hazard.Contact {
	return hazard.Contact{Name: "Poison centre", Phone: "000 111", TypedBy: "Ada", TypedAt: typed, TestedBy: "Ben",
		TestedAt: typed.Add(time.Hour)}
}

func hallSheet(t *testing.T) hazard.Sheet {
	return smallBase(t).MakeSheet(hazard.SheetInput{Region: "EU", Contact: testedContact(), Version: "knowledge 1", Plates: []hazard.Plate{
		{Number: "0417", Table: "10", State: hazard.Provisional, Names: []string{"Galerina cf. marginata", "Kuehneromyces mutabilis"}},
		{Number: "0012", Table: "7", State: hazard.Confirmed, Names: []string{"Amanita muscaria"}, Accepted: []string{"Amanita muscaria"}},
		{Number: "0013", Table: "9", State: hazard.Confirmed, Names: []string{"Galerina marginata"}, Accepted: []string{"Galerina marginata"}},
		{Number: "0100", Table: "2", State: hazard.Confirmed, Names: []string{"Boletus edulis"}, Accepted: []string{"Boletus edulis"}},
		{Number: "0101", Table: "3", State: hazard.Disputed, Names: []string{"Russula sp."}},
		{Number: "0102", State: hazard.BroughtIn, Group: "small_brown"},
		{Number: "0103", State: hazard.BroughtIn},
	}})
}

func numbers(list []hazard.Standing) string {
	var out []string
	for _, s := range list {
		out = append(out, s.Number)
	}
	return strings.Join(out, " ")
}

func TestSheetListsWhatIsHereBySeverityThenTable(t *testing.T) {
	s := hallSheet(t)
	if len(s.Here) != 2 || s.Here[0].Taxon != "Galerina marginata" || s.Here[1].Taxon != "Amanita muscaria" {
		t.Fatalf("here: %+v", s.Here)
	}
	deadly := s.Here[0]
	if got := numbers(deadly.Plates); got != "0013 0417" {
		t.Errorf("plates %s, want table 9 before table 10", got)
	}
	if deadly.Plates[1].State != hazard.Provisional {
		t.Errorf("state %s of a plate that is not confirmed", deadly.Plates[1].State)
	}
	if got := message.For(message.English).Text(deadly.Onset); got != "First signs 6 hours to 24 hours after the meal" {
		t.Errorf("onset %q", got)
	}
	mistaken := slices.ContainsFunc(deadly.MistakenFor, func(d hazard.Double) bool { return d.Other == "Kuehneromyces mutabilis" })
	if !mistaken {
		t.Error("what it is mistaken for does not stand beside it")
	}
}

func TestSheetListsWideNamesWithTheirWorstMember(t *testing.T) {
	s := hallSheet(t)
	i := slices.IndexFunc(s.Wide, func(l hazard.WideLine) bool { return l.Name == "Russula" })
	if i < 0 {
		t.Fatalf("wide: %+v", s.Wide)
	}
	line := s.Wide[i]
	if line.Worst.Entry.Taxon != "Russula subnigricans" || !line.Worst.OutOfRegion {
		t.Errorf("worst member %s, out of region %t", line.Worst.Entry.Taxon, line.Worst.OutOfRegion)
	}
	if line.Nearer == nil || line.Nearer.Syndrome.Key != "gut" {
		t.Errorf("worst member of the region %+v", line.Nearer)
	}
	last := s.Wide[len(s.Wide)-1]
	if last.Name != "Small brown agaric" || numbers(last.Plates) != "0102" || last.Worst.Severity != 5 {
		t.Errorf("a form group without name, on no table: %+v", last)
	}
}

func TestSheetCountsPlatesWithoutName(t *testing.T) {
	if got := numbers(hallSheet(t).Nameless); got != "0102 0103" {
		t.Errorf("plates without name %q", got)
	}
}

func TestSheetListsDoublesOfWhatIsGathered(t *testing.T) {
	s := hallSheet(t)
	find := func(gathered, poisonous string) *hazard.DoubleLine {
		for i, l := range s.Doubles {
			if l.Matched == gathered && l.Other == poisonous {
				return &s.Doubles[i]
			}
		}
		return nil
	}
	if l := find("Boletus edulis", "Rubroboletus satanas"); l == nil || numbers(l.Plates) != "0100" || l.PoisonousHere {
		t.Errorf("Boletus edulis: %+v", l)
	}
	if l := find("Kuehneromyces mutabilis", "Galerina marginata"); l == nil || !l.PoisonousHere {
		t.Errorf("a double that stands in the hall: %+v", l)
	}
}

func TestSheetListsPlatesWithoutEntry(t *testing.T) {
	if got := numbers(hallSheet(t).NoEntry); got != "0100" {
		t.Errorf("plates without entry %q", got)
	}
}

func TestSheetIsFinalOnlyWithATestedPoisonContact(t *testing.T) {
	changed := testedContact()
	changed.TypedAt = changed.TestedAt.Add(time.Minute)
	untested := testedContact()
	untested.TestedBy = ""
	nameless := testedContact()
	nameless.Phone = ""
	tests := map[string]struct {
		contact hazard.Contact
		lacks   string
	}{
		"tested":                      {testedContact(), ""},
		"none":                        {hazard.Contact{}, "hazard.sheet.no-contact"},
		"without number":              {nameless, "hazard.sheet.no-contact"},
		"never called":                {untested, "hazard.sheet.untested"},
		"changed since it was called": {changed, "hazard.sheet.untested"},
	}
	base := smallBase(t)
	for name, test := range tests {
		s := base.MakeSheet(hazard.SheetInput{Contact: test.contact})
		lacks := ""
		if len(s.Lacks) > 0 {
			lacks = s.Lacks[0].Key
		}
		if s.Final != (test.lacks == "") || lacks != test.lacks {
			t.Errorf("%s: final %t, lacks %q, want %q", name, s.Final, lacks, test.lacks)
		}
	}
}

// What every sheet says is in "Something was eaten" of the plan; the course of amatoxin poisoning after
// Wennig et al. 2020, Dtsch Arztebl Int 117:701-708.
func TestEverySheetSaysWhatToDoWhenSomethingWasEaten(t *testing.T) {
	s := hallSheet(t)
	say := message.For(message.English)
	var all strings.Builder
	for _, text := range append(s.Eaten, s.Caution) {
		if !message.Has(text.Key) {
			t.Errorf("%s has no text", text.Key)
		}
		all.WriteString(say.Text(text) + "\n")
	}
	for _, want := range []string{"Call the poison contact now", "Do not wait for signs", "Do not make them vomit", "any vomit",
		"plate number", "later than six hours", "Early vomiting does not rule that out", "call a vet",
		"usually 6 to 24 hours after the meal", "ease for about a day", "from day 2 to 4", "not a field guide"} {
		if !strings.Contains(all.String(), want) {
			t.Errorf("%q is not said", want)
		}
	}
}

func TestEveryPlateStandsInABlock(t *testing.T) {
	base := smallBase(t)
	rapid.Check(t, func(t *rapid.T) {
		names := rapid.SliceOfN(rapid.SampledFrom(append([]string{" "}, someNames...)), 0, 4).Draw(t, "names")
		group := rapid.SampledFrom([]string{"", "bolete", "nothing we know", "small_brown"}).Draw(t, "group")
		s := base.MakeSheet(hazard.SheetInput{Region: "EU", Plates: []hazard.Plate{{Number: "1", Names: names, Group: group}}})
		if len(s.Here)+len(s.Wide)+len(s.Nameless)+len(s.NoEntry) == 0 {
			t.Fatalf("%q of the group %q is in no block", names, group)
		}
		got := base.Worst([]hazard.Question{}, "EU")
		for _, name := range names {
			got = base.Worst([]hazard.Question{{Text: name, Group: group}}, "EU")
			for _, f := range got.Findings {
				if strings.TrimSpace(name) != "" && !onSheet(s, f.Syndrome.Key) {
					t.Fatalf("%q brings %s, which is not on the sheet", name, f.Syndrome.Key)
				}
			}
		}
	})
}

func onSheet(s hazard.Sheet, syndrome string) bool {
	for _, l := range s.Here {
		if l.Finding.Syndrome.Key == syndrome {
			return true
		}
	}
	for _, l := range s.Wide {
		for _, f := range append(l.Others, l.Worst) {
			if f.Syndrome.Key == syndrome {
				return true
			}
		}
	}
	return false
}

func TestOnsetIsSaidInMinutesHoursOrDays(t *testing.T) {
	base := smallBase(t)
	want := map[string]string{
		"muscarine":    "First signs 15 minutes to 5 hours after the meal",
		"orellanine":   "First signs 24 hours to 21 days after the meal",
		"coprine":      "First signs 6 minutes to 2 hours after drinking alcohol",
		"spores":       "First signs 6 hours to 7 days after breathing it in",
		"pancytopenic": "When first signs come is not established",
	}
	for key, text := range want {
		s, _ := base.Syndrome(key)
		if got := message.For(message.English).Text(hazard.Onset(s)); got != text {
			t.Errorf("%s: %q, want %q", key, got, text)
		}
	}
}

// BenchmarkMakeSheet is the sheet of a national foray, 1,500 plates with two names each. The first look at a base reads
// every name; the looks after it know them.
func BenchmarkMakeSheet(b *testing.B) {
	in := hazard.SheetInput{Region: "EU"}
	for i := range 1500 {
		in.Plates = append(in.Plates, hazard.Plate{Number: strconv.Itoa(i), Table: strconv.Itoa(i % 40),
			Names: []string{someNames[i%len(someNames)], someNames[(i*7+3)%len(someNames)]}})
	}
	b.Run("first look", func(b *testing.B) {
		for b.Loop() {
			b.StopTimer()
			base := smallBase(b)
			b.StartTimer()
			base.MakeSheet(in)
		}
	})
	b.Run("looks after it", func(b *testing.B) {
		base := smallBase(b)
		base.MakeSheet(in)
		for b.Loop() {
			base.MakeSheet(in)
		}
	})
}
