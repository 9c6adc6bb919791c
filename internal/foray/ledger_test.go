package foray_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"forayhall/internal/foray"
)

var clerk = foray.Word{By: foray.ID{9}, At: time.Date(2026, 10, 24, 13, 0, 0, 0, time.UTC)}

func bears(base int, suffix string, fate foray.Fate, where foray.Whereabouts) foray.Borne {
	return foray.Borne{Number: foray.Number{Base: base, Suffix: suffix}, Fate: fate, Where: where, Word: clerk}
}

func saidOf(base int, fate string) foray.Said {
	return foray.Said{Number: foray.Number{Base: base}, Fate: fate, Word: clerk}
}

// written is a ledger in one line: numbers with their fates, ! for what is in no block.
func written(entries []foray.Entry) string {
	var words []string
	for _, e := range entries {
		text := e.From.String()
		if e.To != e.From {
			text += "-" + e.To.String()
		}
		text += " " + string(e.Fate)
		if e.Outside {
			text += "!"
		}
		words = append(words, text)
	}
	return strings.Join(words, ", ")
}

func TestTheLedgerSaysOfEveryNumberWhatItIs(t *testing.T) {
	block := foray.Block{From: 1, To: 9}
	for name, c := range map[string]struct {
		blocks []foray.Block
		borne  []foray.Borne
		said   []foray.Said
		want   string
	}{
		"nothing handed out, nothing borne":          {nil, nil, nil, ""},
		"a block of which nothing is known":          {[]foray.Block{block}, nil, nil, "0001-0009 open"},
		"a live one in the middle":                   {[]foray.Block{block}, []foray.Borne{bears(4, "", foray.LiveNumber, foray.OnTable)}, nil, "0001-0003 open, 0004 live, 0005-0009 open"},
		"both ends":                                  {[]foray.Block{{From: 1, To: 3}}, []foray.Borne{bears(1, "", foray.LiveNumber, ""), bears(3, "", foray.LiveNumber, "")}, nil, "0001 live, 0002 open, 0003 live"},
		"spoilt, unused and lost labels":             {[]foray.Block{{From: 1, To: 3}}, nil, []foray.Said{saidOf(1, "spoilt"), saidOf(2, "unused"), saidOf(3, "lost")}, "0001 spoilt, 0002 unused, 0003 lost"},
		"lost, then found: open again":               {[]foray.Block{{From: 1, To: 1}}, nil, []foray.Said{saidOf(1, "lost"), saidOf(1, "found")}, "0001 open"},
		"said unused, then logged: the plate counts": {[]foray.Block{{From: 1, To: 1}}, []foray.Borne{bears(1, "", foray.LiveNumber, "")}, []foray.Said{saidOf(1, "unused")}, "0001 live"},
		"a plate thrown away":                        {[]foray.Block{{From: 1, To: 1}}, []foray.Borne{bears(1, "", foray.LiveNumber, foray.Discarded)}, nil, "0001 discarded"},
		"a plate lost":                               {[]foray.Block{{From: 1, To: 1}}, []foray.Borne{bears(1, "", foray.LiveNumber, foray.Lost)}, nil, "0001 lost"},
		"a plate in the dryer is live":               {[]foray.Block{{From: 1, To: 1}}, []foray.Borne{bears(1, "", foray.LiveNumber, foray.InDryer)}, nil, "0001 live"},
		"split where it was thrown away: split":      {[]foray.Block{{From: 1, To: 1}}, []foray.Borne{bears(1, "", foray.SplitNumber, foray.Discarded), bears(1, "a", foray.LiveNumber, ""), bears(1, "b", foray.LiveNumber, "")}, nil, "0001 split, 0001a live, 0001b live"},
		"parts alone: the label was used":            {[]foray.Block{{From: 1, To: 2}}, []foray.Borne{bears(1, "a", foray.LiveNumber, "")}, nil, "0001a live, 0002 open"},
		"a number of no block":                       {[]foray.Block{{From: 1, To: 1}}, []foray.Borne{bears(7, "", foray.LiveNumber, "")}, nil, "0001 open, 0007 live!"},
		"blocks that overlap and touch":              {[]foray.Block{{From: 3, To: 6}, {From: 1, To: 4}, {From: 7, To: 8}}, nil, nil, "0001-0008 open"},
		"no block: gaps between the numbers borne":   {nil, []foray.Borne{bears(3, "", foray.LiveNumber, ""), bears(6, "", foray.MergedNumber, "")}, nil, "0003 live, 0004-0005 open, 0006 merged"},
		"no block and a number far off: no run":      {nil, []foray.Borne{bears(3, "", foray.LiveNumber, ""), bears(900000, "", foray.LiveNumber, "")}, nil, "0003 live, 900000 live"},
	} {
		t.Run(name, func(t *testing.T) {
			if got := written(foray.Ledger(c.blocks, c.borne, c.said)); got != c.want {
				t.Errorf("\n got %s\nwant %s", got, c.want)
			}
		})
	}
}

func TestEveryNumberOfABlockHasExactlyOneFate(t *testing.T) {
	bases := rapid.IntRange(1, 40)
	rapid.Check(t, func(t *rapid.T) {
		blocks := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) foray.Block {
			from := bases.Draw(t, "from")
			return foray.Block{From: from, To: from + rapid.IntRange(0, 12).Draw(t, "length")}
		}), 1, 4).Draw(t, "blocks")
		var borne []foray.Borne
		for _, n := range rapid.SliceOfNDistinct(numbersTo(60), 0, 20, rapid.ID).Draw(t, "borne") {
			borne = append(borne, foray.Borne{Number: n, Fate: rapid.SampledFrom([]foray.Fate{foray.LiveNumber, foray.SplitNumber, foray.MergedNumber, foray.Spoilt}).Draw(t, "fate"),
				Where: rapid.SampledFrom(foray.AllWhereabouts).Draw(t, "where"), Word: clerk})
		}
		var said []foray.Said
		for _, base := range rapid.SliceOfN(bases, 0, 20).Draw(t, "said") {
			said = append(said, saidOf(base, rapid.SampledFrom([]string{"unused", "spoilt", "lost", "found"}).Draw(t, "word")))
		}
		entries := foray.Ledger(blocks, borne, said)
		times := map[foray.Number]int{}
		for _, e := range entries {
			if !slices.Contains(foray.Fates, e.Fate) || e.Fate != foray.Open && (e.By.IsZero() || e.At.IsZero()) {
				t.Fatalf("%s is %q by %v at %v", e.From, e.Fate, e.By, e.At)
			}
			if e.From.Suffix != "" || e.To.Suffix != "" {
				times[e.From]++
				continue
			}
			for base := e.From.Base; base <= e.To.Base; base++ {
				times[foray.Number{Base: base}]++
			}
		}
		for n, count := range times {
			if count != 1 {
				t.Fatalf("%s has %d fates: %s", n, count, written(entries))
			}
		}
		for _, b := range borne {
			if times[b.Number] != 1 {
				t.Fatalf("%s is borne and not in %s", b.Number, written(entries))
			}
		}
		for _, b := range blocks {
			for base := b.From; base <= b.To; base++ {
				part := slices.ContainsFunc(borne, func(p foray.Borne) bool { return p.Base == base })
				if times[foray.Number{Base: base}] != 1 && !part {
					t.Fatalf("%04d was handed out and is not in %s", base, written(entries))
				}
			}
		}
		if !slices.IsSortedFunc(entries, func(a, b foray.Entry) int { return a.From.Compare(b.From) }) {
			t.Fatalf("out of order: %s", written(entries))
		}
	})
}

func numbersTo(most int) *rapid.Generator[foray.Number] {
	return rapid.Custom(func(t *rapid.T) foray.Number {
		return foray.Number{Base: rapid.IntRange(1, most).Draw(t, "base"), Suffix: rapid.SampledFrom([]string{"", "", "a", "b"}).Draw(t, "suffix")}
	})
}

func TestTheNextNumberIsTheNextFreeOneOfThePadInHand(t *testing.T) {
	otters, newts := foray.ID{1}, foray.ID{2}
	blocks := []foray.Block{{From: 100, To: 149, Team: otters}, {From: 150, To: 199, Team: newts}, {From: 200, To: 249}}
	set := func(bases ...int) map[int]bool {
		m := map[int]bool{}
		for _, b := range bases {
			m[b] = true
		}
		return m
	}
	for name, c := range map[string]struct {
		blocks []foray.Block
		taken  map[int]bool
		team   foray.ID
		last   int
		want   int
	}{
		"nothing at all: 1":                              {nil, nil, foray.ID{}, 0, 1},
		"no blocks: after the highest":                   {nil, set(3, 7), foray.ID{}, 3, 8},
		"a team's own block, from its beginning":         {blocks, nil, newts, 0, 150},
		"behind the last that was used there":            {blocks, set(150, 151, 160), newts, 160, 161},
		"another team's numbers change nothing":          {blocks, set(100, 160), otters, 160, 101},
		"its end is used: the last gap":                  {blocks, set(append(span(100, 140), span(143, 149)...)...), otters, 0, 141},
		"its block is full: the open block":              {blocks, set(span(100, 149)...), otters, 210, 200},
		"no team: the block that the last one came from": {blocks, set(200, 201), foray.ID{}, 201, 202},
		"no team, in no open block: after the highest":   {blocks, set(120), foray.ID{}, 120, 200},
		"the largest label":                              {nil, set(foray.MaxNumber), foray.ID{}, 0, foray.MaxNumber},
	} {
		t.Run(name, func(t *testing.T) {
			if got := foray.NextNumber(c.blocks, c.taken, c.team, c.last); got != c.want {
				t.Errorf("offers %d, want %d", got, c.want)
			}
		})
	}
}

func span(from, to int) (all []int) {
	for n := from; n <= to; n++ {
		all = append(all, n)
	}
	return all
}

func TestPartsTakeTheNextLettersOfTheirNumber(t *testing.T) {
	all, err := foray.NextParts(137, nil, foray.MostParts)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range map[int]string{0: "0137a", 1: "0137b", 25: "0137z", 26: "0137aa", 27: "0137ab", 51: "0137az", 52: "0137ba", foray.MostParts - 1: "0137zz"} {
		if all[i].String() != want {
			t.Errorf("part %d is %s, want %s", i, all[i], want)
		}
	}
	if !slices.IsSortedFunc(all, foray.Number.Compare) || len(slices.Compact(slices.Clone(all))) != len(all) {
		t.Error("parts are not in order, or one is there twice")
	}
	for _, n := range all {
		if back, err := foray.ParseNumber(n.String(), "HB26"); err != nil || back != n {
			t.Fatalf("%s is read as %v, %v", n, back, err)
		}
	}
	used := []foray.Number{{Base: 137}, {Base: 137, Suffix: "a"}, {Base: 137, Suffix: "c"}}
	if got, err := foray.NextParts(137, used, 2); err != nil || fmt.Sprint(got) != "[0137b 0137d]" {
		t.Errorf("beside a and c: %v %v", got, err)
	}
	if _, err := foray.NextParts(137, all, 1); err == nil {
		t.Error("there is a letter behind zz")
	}
}
