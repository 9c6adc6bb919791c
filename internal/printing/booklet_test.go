package printing

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"forayhall/internal/message"
)

// aBooklet has one of everything that stands in one, and a list of many families.
func aBooklet() Booklet {
	b := Booklet{Society: "Hollinbeck Fungus Society", Event: "Autumn foray", Code: "HB26", Place: "Hollinbeck Hall", Days: "24–25 October 2026", Heading: "List of fungi, draft",
		Draft: true, Figures: []Figure{{"99", "taxa"}, {"211", "collections"}}, Facts: []string{"All of this is of 24 October 2026."}, Digest: "SHA-256: 0123",
		Link: "https://hall.example.org/hollinbeck/HB26/list", LinkWhy: "The list as it is now:", Contents: "In this booklet", At: made}
	list := Chapter{Title: "The list", Why: "Current names.", Items: []Item{Row{Label: "V", Text: "kept"}, Heading{"Basidiomycetes", 1}}}
	for f := range 40 {
		list.Items = append(list.Items, Heading{fmt.Sprintf("Family%02d", f), 3})
		for i := range 1 + f%5 {
			list.Items = append(list.Items, Entry{Name: Name{{fmt.Sprintf("Genus%02d species%d", f, i), true}, {" (Wójcik) Müll. & Høiland", false}}, Common: "Żółty Fungus", Severity: f % 6,
				Marks: []string{"V", "F"}, Determined: []Name{Italic("Agaricus prior")}, As: "as", Details: "2 collections · Beck Clough · det. Zofia Wojcikowska", Note: "Adds nothing."})
		}
	}
	b.Chapters = []Chapter{{Title: "Programme", Items: []Item{Row{Label: "09:00", Text: "Walk 1"}}}, list, {Title: "Apart", Items: []Item{Heading{"Disputed", 1},
		Paragraph("Two stand against each other."), Entry{Name: Italic("Boletus edulis")}}}, {Title: "Cautions", Items: []Item{Paragraph("Wash your hands.")}}}
	return b
}

func drawnBooklet(t fatal, b Booklet, p Paper) []mark {
	c, err := newCanvas(p.Size.mm())
	if err != nil {
		t.Fatal(err)
	}
	marks := watch(c)
	if err := drawBooklet(c, b, p); err != nil {
		t.Fatal(err)
	}
	return *marks
}

type fatal interface{ Fatal(args ...any) }

// Would catch a heading that nothing stands beneath, in any column of any paper.
func TestBookletLeavesNoHeadingAlone(t *testing.T) {
	for _, p := range papers {
		s := bookSetter(mustRuler(t), p, 80)
		blocks := chapterBlocks(s, aBooklet().Chapters)
		for height := 60.0; height < 90; height += 3 {
			spots, _ := flowInto(blocks, func(int) []column { return []column{{0, 0, 80, height}, {84, 0, 80, height}} })
			for i, spot := range spots[:len(spots)-1] {
				next := spots[i+1]
				if spot.block.keep && (next.page != spot.page || next.x != spot.x) {
					t.Errorf("%s, columns of %.0f mm: a heading stands alone at the foot of page %d", p, height, spot.page+1)
				}
			}
		}
	}
}

func mustRuler(t *testing.T) *ruler {
	t.Helper()
	c, err := newCanvas(A4.mm())
	if err != nil {
		t.Fatal(err)
	}
	return &c.ruler
}

// Would catch contents that lead to other pages, a draft that is not stamped on each, and pages without a head.
func TestBookletTellsOnWhichPagesItsChaptersBegin(t *testing.T) {
	for _, p := range papers[:3] {
		var b bytes.Buffer
		if err := WriteBooklet(&b, aBooklet(), p); err != nil {
			t.Fatal(err)
		}
		pages := pagesOf(t, b.Bytes())
		for _, chapter := range aBooklet().Chapters {
			found := 0
			for i, page := range pages[1:] {
				if strings.Contains(page, chapter.Title) && strings.Contains(pages[0], fmt.Sprintf("%s %d", chapter.Title, i+2)) {
					found++
				}
			}
			if found == 0 {
				t.Errorf("%s: the contents do not lead to %q: %s", p, chapter.Title, pages[0])
			}
		}
		for i, page := range pages {
			if !strings.Contains(page, p.Say.Say("booklet.not-final")) || !strings.Contains(page, p.Say.Say("printing.page", "page", i+1, "pages", len(pages))) {
				t.Errorf("%s: page %d says %s", p, i+1, page)
			}
		}
		if found := scanned(t, stored(t, b.Bytes()), 0, 0, 0, 210, 270); len(found) != 1 || found[0] != aBooklet().Link {
			t.Errorf("%s: the code says %q", p, found)
		}
	}
}

func TestBookletIsTheSameBytesOfTheSameInput(t *testing.T) {
	var a, b bytes.Buffer
	for _, w := range []*bytes.Buffer{&a, &b} {
		if err := WriteBooklet(w, aBooklet(), Paper{}); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two prints differ")
	}
}

func anyItems(t *rapid.T) (items []Item) {
	text := func() string { return anyText.Draw(t, "text") }
	for range rapid.IntRange(0, 12).Draw(t, "items") {
		switch rapid.IntRange(0, 3).Draw(t, "kind") {
		case 0:
			items = append(items, Heading{text(), rapid.IntRange(0, 4).Draw(t, "level")})
		case 1:
			items = append(items, Paragraph(strings.Repeat(text()+" ", rapid.IntRange(1, 30).Draw(t, "times"))))
		case 2:
			items = append(items, Row{text(), anyName.Draw(t, "name"), text()})
		case 3:
			items = append(items, Entry{anyName.Draw(t, "name"), text(), max(anyDegree.Draw(t, "severity"), 0), []string{anyWord.Draw(t, "mark")},
				[]Name{anyName.Draw(t, "determined")}, text(), text(), text()})
		}
	}
	return items
}

func anyChapters(t *rapid.T) (chapters []Chapter) {
	for range rapid.IntRange(0, 4).Draw(t, "chapters") {
		chapters = append(chapters, Chapter{anyText.Draw(t, "title"), anyText.Draw(t, "why"), anyItems(t)})
	}
	return chapters
}

func anyPaper(t *rapid.T) Paper {
	return Paper{Size: rapid.SampledFrom([]Size{A4, Letter}).Draw(t, "size"), Large: rapid.Bool().Draw(t, "large"), Say: message.For(anyTongue.Draw(t, "language"))}
}

func TestBooklet_of_any_texts_stays_on_its_pages(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := func() string { return anyText.Draw(t, "text") }
		b := Booklet{Society: text(), Event: text(), Code: anyWord.Draw(t, "code"), Place: text(), Days: text(), Heading: text(), Draft: rapid.Bool().Draw(t, "draft"),
			Figures: []Figure{{text(), text()}}, Facts: []string{text(), text()}, Digest: text(), Link: rapid.SampledFrom([]string{"", "https://hall.example.org/a/b"}).Draw(t, "link"),
			LinkWhy: text(), Contents: text(), Chapters: anyChapters(t), At: made}
		p := anyPaper(t)
		marks := drawnBooklet(t, b, p)
		w, h := p.Size.mm()
		inside(t, marks, edge, edge-1, w-2*edge, h-2*edge+2)
		nothingOverlaps(t, marks)
	})
}

func TestLetter_of_any_texts_stays_on_its_pages(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := func() string { return anyText.Draw(t, "text") }
		l := SiteLetter{Society: text(), From: []string{text(), text()}, Date: text(), Subject: text(), Greeting: text(), Parts: anyChapters(t), Closing: []string{text(), text()},
			Caution: text(), At: made}
		p := anyPaper(t)
		c, err := newCanvas(p.Size.mm())
		if err != nil {
			t.Fatal(err)
		}
		marks := watch(c)
		if err := drawLetter(c, l, p); err != nil {
			t.Fatal(err)
		}
		w, h := p.Size.mm()
		inside(t, *marks, letterMargin-1, edge-1, w-2*letterMargin+2, h-2*edge+2)
		nothingOverlaps(t, *marks)
	})
}
