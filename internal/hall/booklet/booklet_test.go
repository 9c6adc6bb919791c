package booklet_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/text/unicode/norm"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/booklet"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/safety"
	"forayhall/internal/printing"
)

func itoa(n int) string { return strconv.Itoa(n) }

// textOf is a PDF as another program reads it, spaces made one.
func textOf(t *testing.T, pdf []byte) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "paper.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := command(t, tool(t, "pdftotext"), "-raw", "-enc", "UTF-8", file, "-")
	if err != nil {
		t.Fatal(err)
	}
	return oneSpace(out)
}

func oneSpace(s string) string { return norm.NFC.String(strings.Join(strings.Fields(s), " ")) }

// Would catch a letter that the type does not have, a line that is left out, a name that is cut, a draft that looks like
// a list, and a paper that is another each time.
func TestBookletHasEveryNameWithItsAccentsOnBothPapers(t *testing.T) {
	eachDemo(t, func(t *testing.T, d played) {
		for _, code := range []string{"HB25", "HB26"} {
			for _, size := range []printing.Size{printing.A4, printing.Letter} {
				a := d.at(t, code)
				in := d.chosen(t, a, size)
				pdf := d.pdf(t, a, in)
				if !bytes.Equal(pdf, d.pdf(t, a, in)) {
					t.Errorf("%s: the same list is another paper", code)
				}
				text := textOf(t, pdf)
				var c list.Canonical
				if err := json.Unmarshal(in.List.Canonical, &c); err != nil {
					t.Fatal(err)
				}
				accents := 0
				for _, l := range c.Lines {
					accents += len(l.Author) - len([]rune(l.Author))
					if l.Rank == "genus" {
						l.Author = "" // it stands as "sp."
					}
					for _, want := range append([]string{l.Name, l.Author, l.Common}, l.Determiners...) {
						if !wordsIn(text, want) {
							t.Errorf("%s on %s: %q of %s is not there", code, size, want, l.Name)
						}
					}
				}
				if accents == 0 {
					t.Error("no author has an accent, so that nothing was tried")
				}
				if draft := strings.Contains(text, english.Say("booklet.not-final")); draft != (code == "HB26") {
					t.Errorf("%s says that it is not final: %v", code, draft)
				}
				if code == "HB25" && (!strings.Contains(text, in.List.CanonicalSha256) || !strings.Contains(text, "signed by "+c.SignedBy)) {
					t.Error("neither who signed it nor its SHA-256 is there")
				}
			}
		}
	})
}

// wordsIn reports whether every word of a text stands there; what is wider than a line is broken between words.
func wordsIn(text, want string) bool {
	for _, word := range strings.Fields(oneSpace(want)) {
		if !strings.Contains(text, word) {
			return false
		}
	}
	return true
}

// Would catch a poison contact that nobody called, the name of a site that is kept back, people otherwise than they chose,
// and a list that was signed and moves with the day.
func TestBookletKeepsToWhatMayBeSaid(t *testing.T) {
	eachDemo(t, func(t *testing.T, d played) {
		a := d.at(t, "HB26")
		in := d.chosen(t, a, printing.A4)
		text := textOf(t, d.pdf(t, a, in))
		if !strings.Contains(text, "01632 960418") {
			t.Error("the contact that was tested is not there")
		}
		people := d.persons(t, a)
		for _, p := range people {
			switch {
			case p.Credit == "full":
			case strings.Contains(text, p.Name):
				t.Errorf("%s chose %s and is named", p.Name, p.Credit)
			}
		}
		for _, s := range d.sites(t, a) {
			if s.Sensitive && strings.Contains(strings.ReplaceAll(text, "Pasture and churchyard", ""), s.Name) {
				t.Errorf("%s is named", s.Name)
			}
		}
	})
}

// Would catch a booklet of a signed version that says of a name what was known when it was signed, and no worse.
func TestAPaperOfASignedVersionWarnsByWhatIsKnownToday(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ctx := t.Context()
		c, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: "1", Field: desk.Field{Group: "bolete"}})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := bench.SignOff(ctx, g.Hall, g.Second, g.Scope, g.On(t, 0), bench.Word{Collection: c.ID, Name: hall.NameInput{Text: "Suillus luteus"}, Basis: "macroscopic"}); err != nil {
			t.Fatal(err)
		}
		seq, err := g.ChangeSeq(ctx, g.Scope)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := list.Publish(ctx, g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), list.Sign{Seq: seq}); err != nil {
			t.Fatal(err)
		}
		word := english.Say("pages.hazard.5")
		said := func(h *hall.Hall) string {
			p, err := list.Chosen(ctx, h, access.Nobody, g.Scope, 1)
			if err != nil {
				t.Fatal(err)
			}
			var b bytes.Buffer
			if err := booklet.WriteBooklet(ctx, h, access.Nobody, g.Scope, booklet.In{List: p, Paper: printing.Paper{Say: english}}, &b); err != nil {
				t.Fatal(err)
			}
			return textOf(t, b.Bytes())
		}
		if strings.Contains(said(g.Hall), word) {
			t.Error("it is called deadly before anybody said so")
		}
		if _, err := safety.AddHazard(ctx, g.Hall, g.As[access.SafetyLead], g.Scope, g.Command(t), safety.Hazard{Taxon: "Suillus luteus", Syndrome: "amatoxin", Source: "minutes"}); err != nil {
			t.Fatal(err)
		}
		own, err := g.For(ctx, g.Society.ID)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(said(own), word) {
			t.Error("what became known after the signature is not on the paper")
		}
	})
}

// Would catch a chapter that needs something to be there.
func TestPapersOfAnEmptyEventSayThatThereIsNothing(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		p, err := list.Chosen(t.Context(), g.Hall, access.Nobody, g.Scope, 0)
		if err != nil {
			t.Fatal(err)
		}
		in := booklet.In{List: p, Paper: printing.Paper{Say: english}}
		var b bytes.Buffer
		if err := booklet.WriteBooklet(t.Context(), g.Hall, access.Nobody, g.Scope, in, &b); err != nil {
			t.Fatal(err)
		}
		text := textOf(t, b.Bytes())
		if !strings.Contains(text, english.Say("booklet.species.none")) || strings.Contains(text, english.Say("pages.sheet.contact")) {
			t.Errorf("the booklet says %s", text)
		}
		if strings.Contains(text, "Person desk") {
			t.Error("somebody who holds a right and did nothing is named")
		}
		if err := booklet.WriteWorkbook(t.Context(), g.Hall, access.Nobody, g.Scope, in, &b); err != nil {
			t.Error(err)
		}
		if said, err := booklet.Newsletter(t.Context(), g.Hall, access.Nobody, g.Scope, in); err != nil || !strings.Contains(said, english.Say("booklet.species.none")) {
			t.Errorf("the newsletter says %q, %v", said, err)
		}
		if _, err := list.Chosen(t.Context(), g.Hall, access.Nobody, g.Scope, 7); !fault.Is(err, fault.NotFound) {
			t.Errorf("a version that is not there: %v", err)
		}
	})
}

// Would catch lines that a mail program breaks, markup, and a taxon that counts and is not told.
func TestNewsletterIsPlainTextOf72Columns(t *testing.T) {
	eachDemo(t, func(t *testing.T, d played) {
		a := d.at(t, "HB25")
		in := d.chosen(t, a, "")
		text, err := booklet.Newsletter(t.Context(), d.Hall, access.Nobody, a.Scope, in)
		if err != nil {
			t.Fatal(err)
		}
		keep(t, "newsletter.txt", []byte(text))
		narrow(t, text)
		var c list.Canonical
		if err := json.Unmarshal(in.List.Canonical, &c); err != nil {
			t.Fatal(err)
		}
		flat := oneSpace(text)
		for _, l := range c.Lines {
			if l.Counts && !strings.Contains(flat, oneSpace(l.Name)) {
				t.Errorf("%s is not told", l.Name)
			}
		}
		if !strings.Contains(flat, strconv.Itoa(c.Total)+" taxa stand on the list") || strings.ContainsAny(text, "*#<>|") {
			t.Errorf("the newsletter says\n%s", text)
		}
	})
}

func narrow(t *testing.T, text string) {
	t.Helper()
	for i, l := range strings.Split(text, "\n") {
		if len([]rune(l)) > 72 && strings.Contains(strings.TrimSpace(l), " ") {
			t.Errorf("line %d is wider than 72 columns: %q", i+1, l)
		}
		if strings.TrimRight(l, " ") != l {
			t.Errorf("line %d ends with spaces: %q", i+1, l)
		}
	}
}

// Would catch a letter that names a sensitive site, that leaves out what is protected, that gives a point, or that
// somebody may read who does not keep the list.
func TestLetterTellsOfOneSiteAsThePublicMayKnowIt(t *testing.T) {
	eachDemo(t, func(t *testing.T, d played) {
		a := d.at(t, "HB26")
		machine := d.machine(t, a)
		hidden, firsts := 0, 0
		sites := d.sites(t, a)
		for _, s := range sites {
			p, err := list.AtSite(t.Context(), d.Hall, machine, a.Scope, s.Code)
			if err != nil {
				t.Fatal(err)
			}
			for _, other := range sites {
				switch told := strings.Count(string(p.CSV), "first for "+other.Name); {
				case other.Name == s.Name:
					firsts += told
				case told > 0:
					t.Errorf("the letter for %s tells of firsts for %s", s.Name, other.Name)
				}
			}
			in := booklet.ForSite{Site: s.Code, In: booklet.In{List: p, Paper: printing.Paper{Say: english}}}
			text, err := booklet.LetterText(t.Context(), d.Hall, machine, a.Scope, in)
			if err != nil {
				t.Fatal(err)
			}
			narrow(t, text)
			flat := oneSpace(text)
			named := strings.Contains(flat, "at "+s.Name)
			if s.Sensitive {
				hidden++
				if named || !strings.Contains(flat, english.Say("letter.agreed")) {
					t.Errorf("%s: the letter says\n%s", s.Name, text)
				}
			} else if !named {
				t.Errorf("%s is not named", s.Name)
			}
			if s.Permit != "" && !strings.Contains(flat, oneSpace(s.Permit)) {
				t.Errorf("%s: the terms of the permit are not there", s.Name)
			}
			if s.Latitude != nil && strings.Contains(flat, strconv.FormatFloat(*s.Latitude, 'f', 3, 64)) {
				t.Errorf("%s: the letter gives a point", s.Name)
			}
			var b bytes.Buffer
			if err := booklet.WriteLetter(t.Context(), d.Hall, machine, a.Scope, in, &b); err != nil {
				t.Fatal(err)
			}
			paper := textOf(t, b.Bytes())
			for _, word := range strings.Fields(flat) {
				if word = strings.Trim(word, ",.()·:"); !strings.Contains(strings.ToLower(paper), strings.ToLower(word)) {
					t.Errorf("%s: %q stands in the text and not on paper", s.Name, word)
				}
			}
		}
		if firsts == 0 {
			t.Error("nothing is a first for its site, so that nothing was tried")
		}
		if hidden == 0 {
			t.Error("no site is sensitive, so that nothing was tried")
		}
		if _, err := list.AtSite(t.Context(), d.Hall, access.Nobody, a.Scope, "HW"); !fault.Is(err, fault.NotSignedIn) {
			t.Errorf("anybody: %v", err)
		}
		if _, err := list.AtSite(t.Context(), d.Hall, machine, a.Scope, "nowhere"); !fault.Is(err, fault.Invalid) {
			t.Errorf("a site that is not there: %v", err)
		}
	})
}
