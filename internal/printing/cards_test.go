package printing

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"forayhall/internal/fault"
	"forayhall/internal/message"
)

func cardBytes(t testing.TB, cards []Card, run CardRun) ([]byte, Report) {
	t.Helper()
	var b bytes.Buffer
	report, err := Cards(&b, cards, run)
	if err != nil {
		t.Fatal(err)
	}
	return b.Bytes(), report
}

func runOn(s Stock) CardRun {
	return CardRun{Stock: s, Title: "Cards", Owner: "Hollinbeck Fungus Society", At: made}
}

func everyStock() []Stock { return append(Stocks(), smallest) }

// Would catch a line that is left out without being told, and a letter that the type has not.
func TestCards_say_everything_that_is_not_reported_as_left_out(t *testing.T) {
	cards := sampleCards()
	for _, s := range everyStock() {
		pdf, report := cardBytes(t, cards, runOn(s))
		text := strings.Join(pagesOf(t, pdf), " ")
		for _, c := range cards {
			for _, want := range textsOf(c, dropped(report, c)) {
				if !strings.Contains(text, oneSpace(want)) {
					t.Errorf("%s: card %s does not say %q", s.Name, c.Number, want)
				}
			}
		}
	}
}

func dropped(report Report, c Card) []Line {
	for _, r := range report.Cards {
		if r.Number == c.Number {
			if r.Unfit {
				return slices.Concat(r.Dropped, []Line{"unfit"})
			}
			return r.Dropped
		}
	}
	return nil
}

func textsOf(c Card, without []Line) []string {
	say := message.For(message.English)
	texts := []string{c.Number, c.State.say(say)}
	add := func(l Line, list ...string) {
		if !slices.Contains(without, l) {
			texts = append(texts, list...)
		}
	}
	for i, n := range c.Names {
		line, name := AuthorLine, n
		if slices.Contains(without, line) {
			name = n.withoutAuthor()
		}
		if i < c.kept() {
			add("unfit", name.String())
		} else {
			add(MoreNamesLine, name.String())
		}
	}
	if c.Hazard != nil && c.Hazard.Severity > 0 {
		texts = append(texts, severityWord(say, c.Hazard.Severity))
		add(SyndromeLine, c.Hazard.Syndrome)
	} else if c.Hazard != nil {
		texts = append(texts, "No entry: treat as poisonous")
	}
	add(FamilyLine, c.Family)
	add(HostLine, c.Host, c.Substrate)
	add(PlaceLine, c.Place)
	add(CollectorLine, c.Collector)
	add(DeterminerLine, c.Determiner)
	add(CommonLine, c.Common)
	add(CurrentLine, c.Current.String())
	add(NoticeLine, c.Notice)
	for _, d := range c.Doubles {
		add(DoublesLine, d.Name.String())
	}
	add(CautionLine, "This card is no reason to eat anything.")
	return texts
}

func TestCards_plain_paper_leaves_nothing_out(t *testing.T) {
	for _, s := range Stocks() {
		if s.CutMarks {
			if _, report := cardBytes(t, sampleCards(), runOn(s)); len(report.Cards) > 0 {
				t.Errorf("%s: %+v", s.Name, report.Cards)
			}
		}
	}
}

func TestCards_leave_out_the_least_important_first_and_say_so(t *testing.T) {
	card := sampleCards()[0]
	_, report := cardBytes(t, []Card{card}, runOn(smallest))
	if len(report.Cards) != 1 || report.Cards[0].Unfit {
		t.Fatalf("got %+v", report)
	}
	got := report.Cards[0].Dropped
	if got[0] != FamilyLine || !slices.IsSortedFunc(got, func(a, b Line) int { return slices.Index(dropOrder, a) - slices.Index(dropOrder, b) }) {
		t.Errorf("left out in the order %v", got)
	}
	if report.Cards[0].Size != smallestPrint {
		t.Errorf("something was left out although the print is %.1f points", report.Cards[0].Size)
	}
}

func TestCards_a_name_too_long_is_to_be_written_by_hand(t *testing.T) {
	card := Card{Number: "HB26 0417", Names: []Name{Italic(strings.Repeat("Paralepistopsis amoenolens ", 12))}, State: Confirmed, Hazard: &Hazard{5, "Amatoxin hepatotoxicity"}}
	marks, report := drawnCards(t, []Card{card}, runOn(smallest))
	text := textOf(marks)
	if len(report.Cards) != 1 || !report.Cards[0].Unfit {
		t.Fatalf("got %+v", report)
	}
	for _, want := range []string{"HB26\u00A00417", "Deadly", "confirmed", "write it by hand"} {
		if !strings.Contains(text, oneSpace(want)) {
			t.Errorf("the card does not say %q: %s", want, text)
		}
	}
	if strings.Contains(text, "Paralepistopsis") {
		t.Error("the card bears a name that is cut off")
	}
}

func TestCards_nothing_overlaps_or_leaves_its_card(t *testing.T) {
	for _, lang := range []string{message.English, message.Pseudo} {
		for _, s := range everyStock() {
			run := runOn(s)
			run.Say = message.For(lang)
			marks, _ := drawnCards(t, sampleCards(), run)
			nothingOverlaps(t, marks)
			insideCards(t, marks, s)
		}
	}
}

// A code is read from each card as it is cut, at the resolution of a hall's printer.
func TestCards_codes_are_read_from_each_cut_card(t *testing.T) {
	cards := sampleCards()
	for _, s := range []Stock{stocks[0], stocks[3]} {
		pdf, report := cardBytes(t, cards, runOn(s))
		file := stored(t, pdf)
		for i, c := range cards {
			if slices.Contains(dropped(report, c), CodeLine) {
				continue
			}
			x, y := s.place(i % s.PerPage())
			if got := scanned(t, file, i/s.PerPage(), x, y, s.CardW, s.CardH); len(got) != 1 || got[0] != c.Link {
				t.Errorf("%s: the code of %s says %q", s.Name, c.Number, got)
			}
		}
	}
}

func TestCards_codes_are_never_smaller_than_a_telephone_reads(t *testing.T) {
	for _, s := range everyStock() {
		marks, _ := drawnCards(t, sampleCards(), runOn(s))
		for _, m := range marks {
			if m.kind == "code" && m.w < smallestCode {
				t.Errorf("%s: a code of %.1f mm", s.Name, m.w)
			}
		}
	}
}

func TestCards_states_look_different_on_paper(t *testing.T) {
	drawnAs := map[State]string{}
	for _, state := range []State{BroughtIn, Provisional, Confirmed, Disputed} {
		marks, _ := drawnCards(t, []Card{{Number: "HB26 0417", Names: []Name{Italic("Mycena pura")}, State: state}}, runOn(stocks[2]))
		var shapes []string
		for _, m := range marks {
			if m.kind == "shape" {
				shapes = append(shapes, m.text)
			}
		}
		drawnAs[state] = strings.Join(shapes, ", ")
	}
	for a, x := range drawnAs {
		for b, y := range drawnAs {
			if a != b && x == y {
				t.Errorf("%s and %s are both drawn with %s", a, b, x)
			}
		}
	}
	if !strings.Contains(drawnAs[Provisional], "broken frame") || !strings.Contains(drawnAs[Disputed], "slips") {
		t.Errorf("got %v", drawnAs)
	}
}

func TestCards_fill_pages_and_skip_used_labels(t *testing.T) {
	run := runOn(stocks[2])
	for _, c := range []struct{ cards, skip, pages int }{{0, 0, 1}, {1, 0, 1}, {8, 0, 1}, {9, 0, 2}, {8, 1, 2}, {1, 7, 1}, {2, 7, 2}, {1, -3, 1}, {1, 8, 1}} {
		run.Skip = c.skip
		cards := slices.Repeat(sampleCards()[:1], c.cards)
		pdf, report := cardBytes(t, cards, run)
		if got := bytes.Count(pdf, []byte("/Type /Page\n")); report.Pages != c.pages || got != c.pages {
			t.Errorf("%d cards after %d: %d pages, %d in the file, not %d", c.cards, c.skip, report.Pages, got, c.pages)
		}
	}
}

func TestCards_are_the_same_bytes_for_the_same_plates(t *testing.T) {
	first, _ := cardBytes(t, sampleCards(), runOn(stocks[0]))
	second, _ := cardBytes(t, sampleCards(), runOn(stocks[0]))
	if !bytes.Equal(first, second) {
		t.Error("two printings of the same cards differ")
	}
}

func TestCards_never_give_leave_to_eat(t *testing.T) {
	pdf, _ := cardBytes(t, sampleCards(), runOn(stocks[0]))
	if found := leave.FindString(strings.Join(pagesOf(t, pdf), " ")); found != "" {
		t.Errorf("a card says %q", found)
	}
}

func TestCards_say_nothing_that_is_not_in_the_catalogue(t *testing.T) {
	run := runOn(stocks[0])
	run.Say = message.For(message.Pseudo)
	n := Italic("1")
	marks, _ := drawnCards(t, []Card{{Number: "2", Names: []Name{n, n, n}, Common: "3", Current: n, Family: "4", State: Provisional, Hazard: &Hazard{4, "5"}, Notice: "6",
		Doubles: []CardDouble{{n, "7"}, {n, ""}}, Collector: "8", Place: "9", Host: "10", Substrate: "11", Determiner: "12"}, {Number: "1", Hazard: &Hazard{}, State: Disputed}}, run)
	if said := textOf(marks); asciiVowel.MatchString(said) {
		t.Errorf("not from the catalogue: %s", said)
	}
}

func TestStock_that_does_not_fit_is_told_by_field(t *testing.T) {
	fits := Stock{"mine", 210, 297, 95, 67, 2, 4, 10, 14.5, 0, 0, true}
	for _, c := range []struct {
		why    string
		spoil  func(*Stock)
		fields string
	}{
		{"as it is", func(*Stock) {}, ""},
		{"too many columns", func(s *Stock) { s.Columns = 3 }, "columns"},
		{"too many rows", func(s *Stock) { s.Rows = 5 }, "rows"},
		{"gaps push it over", func(s *Stock) { s.GapX, s.GapY = 11, 6 }, "columns rows"},
		{"no column", func(s *Stock) { s.Columns = 0 }, "columns"},
		{"a negative margin", func(s *Stock) { s.Left = -1 }, "left"},
		{"a negative gap", func(s *Stock) { s.GapY = -0.1 }, "gap_y"},
		{"too narrow", func(s *Stock) { s.CardW = 39.9 }, "card_w"},
		{"too low", func(s *Stock) { s.CardH = 24 }, "card_h"},
		{"no name", func(s *Stock) { s.Name = "" }, "name"},
		{"not a number", func(s *Stock) { s.Top = nan() }, "top"},
		{"a page beyond any printer", func(s *Stock) { s.PageW = 1000 }, "page_w"},
	} {
		s := fits
		c.spoil(&s)
		err := s.Check()
		if c.fields == "" {
			if err != nil {
				t.Errorf("%s: %v", c.why, err)
			}
			continue
		}
		var fields []string
		for f := range fault.From(err).Fields {
			fields = append(fields, f)
		}
		slices.Sort(fields)
		if !fault.Is(err, fault.Invalid) || strings.Join(fields, " ") != c.fields {
			t.Errorf("%s: %v", c.why, err)
		}
		if _, err := Cards(&bytes.Buffer{}, nil, runOn(s)); err == nil {
			t.Errorf("%s: it was printed", c.why)
		}
	}
}

func nan() float64 { zero := 0.0; return zero / zero }

func TestStocks_that_come_with_the_hall_fit_their_pages(t *testing.T) {
	for _, s := range everyStock() {
		if err := s.Check(); err != nil {
			t.Errorf("%s: %v", s.Name, err)
		}
		if found, ok := StockNamed(s.Name); s.Name != smallest.Name && (!ok || found != s) {
			t.Errorf("%s is not found by its name", s.Name)
		}
	}
}

func BenchmarkCards_200(b *testing.B) {
	var cards []Card
	for i := range 200 {
		c := sampleCards()[i%8]
		c.Link = fmt.Sprintf("%s?%d", c.Link, i)
		cards = append(cards, c)
	}
	for b.Loop() {
		if _, err := Cards(&bytes.Buffer{}, cards, runOn(stocks[0])); err != nil {
			b.Fatal(err)
		}
	}
}
