package printing

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"forayhall/internal/fault"
	"forayhall/internal/message"
)

var papers = []Paper{{}, {Size: Letter}, {Size: A4, Large: true}, {Size: Letter, Large: true, Say: message.For(message.Pseudo)}}

func (p Paper) String() string {
	return fmt.Sprintf("%s large=%t %s", p.Size, p.Large, p.Say.Language())
}

func sheetBytes(t testing.TB, s WarningSheet, p Paper) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Sheet(&b, s, p); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// foots stand between what a page ends with and what the next begins with.
var foots = regexp.MustCompile(`HB26 Warning sheet · .*?children do not touch\.( Page \d+ of \d+)?`)

// Would catch a font without a letter, a line that is left out and a text that is cut.
func TestSheet_says_every_line_in_full(t *testing.T) {
	s := sampleSheet(t, inHall)
	s.Here[0].Signs = "a sac at the base; white gills"
	s.Here[0].Contested = "Wójcik holds the plate for a Volvariella."
	s.Here[0].Name = Name{{"Amanita phalloides", true}, {" (Vaill. ex Fr.) Link; čěłøßæþđőșț Ωμέγα Жук ạ ≥ − × → ↔ § ½ ° µ “”", false}}
	for _, p := range papers[:3] {
		text := strings.Join(pagesOf(t, sheetBytes(t, s, p)), " ")
		text = oneSpace(foots.ReplaceAllString(text, ""))
		for _, want := range everyText(s) {
			if !found(text, oneSpace(want)) {
				t.Errorf("%s: %q is not on the sheet", p, want)
			}
		}
	}
}

// again is how much is set again above what goes on in the next column, in letters.
const again = 260

// found reports whether a text stands there in one piece, or in two with the head of a column between them.
func found(text, want string) bool {
	if strings.Contains(text, want) {
		return true
	}
	words := strings.Fields(want)
	for n := 1; n < len(words); n++ {
		head, tail := strings.Join(words[:n], " "), strings.Join(words[n:], " ")
		for at := strings.Index(text, head); at >= 0; {
			after := text[at+len(head):]
			if strings.Contains(after[:min(len(after), again+len(tail))], tail) {
				return true
			}
			next := strings.Index(after, head)
			if next < 0 {
				break
			}
			at += len(head) + next
		}
	}
	return false
}

// everyText is each piece of a sheet that has to be found, whatever stands around it.
func everyText(s WarningSheet) []string {
	english := message.For(message.English)
	texts := []string{s.Society, s.Event, s.Code, s.Place, s.Made, s.Version, s.Contact.Name, s.Contact.Phone, s.Contact.Hours,
		s.Contact.TypedBy, s.Contact.Typed, s.Contact.TestedBy}
	for _, e := range s.Eaten {
		texts = append(texts, english.Text(e))
	}
	for _, p := range s.allPlates() {
		texts = append(texts, p.Number, p.State.say(english), p.Table)
	}
	for _, l := range s.Here {
		texts = append(texts, ofLine(l, english)...)
	}
	for _, l := range s.Wide {
		texts = append(texts, l.Name.withoutAuthor().String(), l.Worst.Name.withoutAuthor().String(), firstSentence(l.Worst.Plain))
	}
	for _, d := range s.Doubles {
		texts = append(texts, d.Gathered.withoutAuthor().String(), d.Poisonous.withoutAuthor().String(), d.Differences)
	}
	for _, u := range s.NoEntry {
		texts = append(texts, u.Name.withoutAuthor().String())
	}
	return texts
}

// ofLine is what has to be said of a line of block A: of a dangerous one everything, of another all but its author and
// the differences.
func ofLine(l HereLine, say message.Printer) []string {
	texts := []string{l.Name.withoutAuthor().String(), l.Common, l.Plain, say.Text(l.Onset), severityWord(say, l.Severity), l.Syndrome, l.Contested}
	for _, t := range l.Taken {
		if l.Severity >= dangerous {
			texts = append(texts, t.Differences)
		}
		if t.Common == "" {
			texts = append(texts, t.Gathered.withoutAuthor().String())
		}
		texts = append(texts, t.Common)
	}
	if l.Severity >= dangerous {
		texts = append(texts, l.Name.String(), l.Signs)
	}
	return texts
}

func TestSheet_is_known_from_a_loose_page(t *testing.T) {
	s := sampleSheet(t, inHall)
	for _, p := range papers[:3] {
		pages := pagesOf(t, sheetBytes(t, s, p))
		for i, page := range pages {
			for _, want := range []string{"HB26", fmt.Sprintf("Page %d of %d", i+1, len(pages)), s.Made, s.Contact.Phone, "nothing here is a reason to eat any fungus"} {
				if !strings.Contains(page, want) {
					t.Errorf("%s: page %d does not say %q", p, i+1, want)
				}
			}
		}
	}
}

func TestSheet_is_not_final_without_a_tested_contact(t *testing.T) {
	final := sampleSheet(t, inHall[:3])
	for name, spoil := range map[string]func(*WarningSheet){
		"it says so itself": func(s *WarningSheet) { s.Final = false },
		"something lacks":   func(s *WarningSheet) { s.Lacks = []message.Text{message.T("hazard.sheet.untested")} },
		"nobody is to call": func(s *WarningSheet) { s.Contact.Phone = "" },
		"nobody has called": func(s *WarningSheet) { s.Contact.TestedBy = "" },
		"nothing is known":  func(s *WarningSheet) { *s = WarningSheet{Code: "HB26"} },
	} {
		s := final
		spoil(&s)
		marks := drawnSheet(t, s, Paper{})
		if said, pages := strings.Count(textOf(marks), "Not final"), marks[len(marks)-1].page; said != pages+1 {
			t.Errorf("%s: the sheet says %d times that it is not final, and not at its head and at each of %d feet", name, said, pages)
		}
	}
	if strings.Contains(textOf(drawnSheet(t, final, Paper{})), "Not final") {
		t.Error("a final sheet says that it is not")
	}
}

func TestSheet_keeps_its_blocks_in_order(t *testing.T) {
	s := sampleSheet(t, inHall)
	text := textOf(drawnSheet(t, s, Paper{}))
	last := -1
	for _, key := range []string{"pages.sheet.contact", "pages.eaten.heading", "pages.sheet.block.a.why", "pages.sheet.nameless", "pages.sheet.block.b.why",
		"printing.differences.why", "pages.sheet.doubles.why", "pages.sheet.no-entry.why"} {
		said := message.For(message.English).Say(key, "n", len(s.Nameless))
		first := strings.Join(strings.Fields(said)[:min(5, len(strings.Fields(said)))], " ") // a line holds so much
		at := strings.Index(text, first)
		if at <= last {
			t.Errorf("%q stands at %d, before what it should follow", first, at)
		}
		last = at
	}
}

func TestSheet_stands_within_its_page_and_nothing_overlaps(t *testing.T) {
	for _, s := range []WarningSheet{sampleSheet(t, inHall), fullHall(t)} {
		for _, p := range papers {
			marks := drawnSheet(t, s, p)
			w, h := p.Size.mm()
			inside(t, marks, edge, edge-1, w-2*edge, h-2*edge+2)
			nothingOverlaps(t, marks)
		}
	}
}

func TestSheet_code_opens_the_live_sheet(t *testing.T) {
	s := sampleSheet(t, inHall)
	for _, p := range papers {
		file := stored(t, sheetBytes(t, s, p))
		w, _ := p.Size.mm()
		if got := scanned(t, file, 0, w/2, 0, w/2, 60); len(got) != 1 || got[0] != s.Live {
			t.Errorf("%s: the code says %q", p, got)
		}
	}
}

func TestSheet_is_the_same_bytes_for_the_same_hall(t *testing.T) {
	s := sampleSheet(t, inHall)
	if !bytes.Equal(sheetBytes(t, s, Paper{}), sheetBytes(t, s, Paper{})) {
		t.Error("two sheets of one hall differ")
	}
}

// leave matches what could be read as leave to eat.
var leave = regexp.MustCompile(`(?i)\b(edible|safe to eat|good to eat|harmless)\b`)

func TestSheet_never_gives_leave_to_eat(t *testing.T) {
	for _, page := range pagesOf(t, sheetBytes(t, sampleSheet(t, inHall), Paper{})) {
		if found := leave.FindString(page); found != "" {
			t.Errorf("the sheet says %q", found)
		}
	}
}

// asciiVowel is in no text of the pseudo-language; everything else on these papers is digits.
var asciiVowel = regexp.MustCompile(`[aeiouAEIOU]`)

func TestSheet_says_nothing_that_is_not_in_the_catalogue(t *testing.T) {
	text := message.T("hazard.sheet.untested")
	plates := []Plate{{"1", "2", Confirmed}, {"2", "", Disputed}}
	s := WarningSheet{Society: "1", Event: "2", Code: "3", Made: "4", Version: "5", Knowledge: "6", Lacks: []message.Text{text},
		Contact: Contact{"1", "2", "3", "4", "5", "6", "7"}, Live: "1/2", Eaten: []message.Text{text}, Nameless: plates,
		Here: []HereLine{{Name: Italic("1"), Severity: 5, Plain: "2", Onset: text, Exposure: text, Plates: plates, Signs: "3", Via: text, Matched: "4", OutOfRegion: true, Contested: "5",
			Taken: []Taken{{Italic("1"), "2", "3"}, {Italic("2"), "2", ""}}}},
		Wide:    []WideLine{{Name: Italic("1"), Plates: plates, Worst: Member{Italic("2"), 4, "3"}, OutOfRegion: true, Nearer: &Member{Italic("2"), 3, "3"}, Contested: "1"}},
		Doubles: []DoubleLine{{Gathered: Italic("1"), Poisonous: Italic("2"), Plates: plates, Severity: 2, Differences: "4"}},
		NoEntry: []Unlisted{{Italic("1"), plates}}}
	said := textOf(drawnSheet(t, s, Paper{Say: message.For(message.Pseudo)}))
	if at := asciiVowel.FindStringIndex(said); at != nil {
		t.Errorf("not from the catalogue: …%s…", said[max(at[0]-40, 0):min(at[1]+40, len(said))])
	}
}

func TestSheet_with_a_head_longer_than_a_page_is_refused(t *testing.T) {
	s := sampleSheet(t, inHall[:3])
	s.Contact.Hours = strings.Repeat("at any hour of the day ", 2000)
	if err := Sheet(&bytes.Buffer{}, s, Paper{}); !fault.Is(err, fault.Refused) {
		t.Errorf("got %v", err)
	}
}

func TestReadSize_knows_two_papers(t *testing.T) {
	for written, ok := range map[string]bool{"A4": true, "Letter": true, "a4": false, "": false, "A3": false} {
		if _, err := ReadSize(written); ok != (err == nil) {
			t.Errorf("%q: %v", written, err)
		}
	}
}

func BenchmarkSheet_of_40_lines(b *testing.B) {
	s := sampleSheet(b, inHall)
	for len(s.Here) < 40 {
		s.Here = append(s.Here, s.Here[len(s.Here)-20])
	}
	s.Here = s.Here[:40]
	for b.Loop() {
		if err := Sheet(&bytes.Buffer{}, s, Paper{}); err != nil {
			b.Fatal(err)
		}
	}
}
