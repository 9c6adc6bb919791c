package foray

import (
	"cmp"
	"slices"
	"time"
)

// Fate is what became of a number as a thing that was printed on a label.
type Fate string

const (
	// Open is a number that was handed out and of which nobody has said anything yet: it is unaccounted for.
	Open         Fate = "open"
	Unused       Fate = "unused" // the label came back
	Spoilt       Fate = "spoilt"
	LiveNumber   Fate = "live"
	SplitNumber  Fate = "split"
	MergedNumber Fate = "merged"
	ThrownAway   Fate = "discarded"
	LostNumber   Fate = "lost"
	FoundAgain        = "found" // said of a number, not a fate: what was said before holds no longer
	mostTyped         = 10000   // a block is longer than this only by a slip of the pen
)

// Fates lists them in the order of the ledger.
var Fates = []Fate{Open, Unused, Spoilt, LiveNumber, SplitNumber, MergedNumber, ThrownAway, LostNumber}

// Block is a run of numbers that was handed out.
type Block struct {
	From, To int
	Team     ID // zero: to no team
}

// Has reports whether a number's base lies in the block.
func (b Block) Has(base int) bool { return b.From <= base && base <= b.To }

// Word is who said a thing of a number, and when.
type Word struct {
	By     ID
	At     time.Time
	Reason string
}

// Borne is a collection that bears a number, with who made it what it is.
type Borne struct {
	Number
	Fate  Fate // LiveNumber, SplitNumber, MergedNumber or Spoilt
	Where Whereabouts
	Word
}

// Said is what somebody said of a number that has no plate; the newest holds.
type Said struct {
	Number
	Fate string // of unused, spoilt, lost, found
	Word
}

// Entry is one line of the ledger: a number, or a run of numbers that nobody has said anything of.
type Entry struct {
	From, To Number // the same but for a run
	Fate     Fate
	Word
	Outside bool // in no block that was handed out
}

// Len is how many numbers an entry stands for.
func (e Entry) Len() int { return e.To.Base - e.From.Base + 1 }

// Ledger gives every number that was handed out or is borne exactly one fate. Where no block was handed out, the run
// from the lowest to the highest number that is borne stands for one: pads begin somewhere and have gaps. What was said
// comes oldest first.
func Ledger(blocks []Block, borne []Borne, said []Said) []Entry {
	known := map[Number]Entry{}
	for _, s := range said {
		known[s.Number] = Entry{From: s.Number, To: s.Number, Fate: fateSaid(s.Fate), Word: s.Word}
	}
	lowest, highest := 0, 0
	for _, b := range borne {
		known[b.Number] = Entry{From: b.Number, To: b.Number, Fate: b.fate(), Word: b.Word}
		if lowest == 0 || b.Base < lowest {
			lowest = b.Base
		}
		highest = max(highest, b.Base)
	}
	bounded := len(blocks) > 0
	if !bounded && lowest > 0 && highest-lowest < mostTyped {
		blocks = []Block{{From: lowest, To: highest}}
	}
	runs := together(blocks)
	entries := make([]Entry, 0, len(known)+len(runs))
	bases := map[int]bool{}
	for n, e := range known {
		bases[n.Base] = true
		e.Outside = bounded && !slices.ContainsFunc(runs, func(b Block) bool { return b.Has(n.Base) })
		entries = append(entries, e)
	}
	entries = append(entries, gaps(runs, bases)...)
	slices.SortFunc(entries, func(a, b Entry) int { return a.From.Compare(b.From) })
	return entries
}

func fateSaid(said string) Fate {
	if said == FoundAgain {
		return Open
	}
	return Fate(said)
}

// fate is where the plate is gone to, for one that is no more.
func (b Borne) fate() Fate {
	switch {
	case b.Fate != LiveNumber:
		return b.Fate
	case b.Where == Discarded:
		return ThrownAway
	case b.Where == Lost:
		return LostNumber
	}
	return LiveNumber
}

// together joins blocks that overlap or touch, in order: a number handed out twice is one number.
func together(blocks []Block) []Block {
	sorted := slices.Clone(blocks)
	slices.SortFunc(sorted, func(a, b Block) int { return cmp.Compare(a.From, b.From) })
	var runs []Block
	for _, b := range sorted {
		if last := len(runs) - 1; last >= 0 && b.From <= runs[last].To+1 {
			runs[last].To = max(runs[last].To, b.To)
			continue
		}
		runs = append(runs, Block{From: b.From, To: b.To})
	}
	return runs
}

// gaps is the runs of numbers that nothing is known of. A base whose parts are borne is not open: the label was used.
func gaps(runs []Block, known map[int]bool) []Entry {
	bases := make([]int, 0, len(known))
	for base := range known {
		bases = append(bases, base)
	}
	slices.Sort(bases)
	var open []Entry
	for _, run := range runs {
		from := run.From
		first, _ := slices.BinarySearch(bases, from)
		for _, base := range bases[first:] {
			if base > run.To {
				break
			}
			open = appendRun(open, from, base-1)
			from = base + 1
		}
		open = appendRun(open, from, run.To)
	}
	return open
}

func appendRun(open []Entry, from, to int) []Entry {
	if from > to {
		return open
	}
	return append(open, Entry{From: Number{Base: from}, To: Number{Base: to}, Fate: Open})
}

// Counted is how many numbers met each fate.
func Counted(entries []Entry) map[Fate]int {
	n := map[Fate]int{}
	for _, e := range entries {
		n[e.Fate] += e.Len()
	}
	return n
}

// NextNumber is what the next label most likely bears: the next free one of a block of the team's, beginning behind
// the last that was used there; else of the block without a team that the last one came from; else the one after the
// highest that is in no other team's block. taken also holds what was said to be spoilt.
func NextNumber(blocks []Block, taken map[int]bool, team ID, last int) int {
	for _, b := range blocks {
		if n := b.next(taken); n > 0 && b.Team == team && !team.IsZero() {
			return n
		}
	}
	for _, b := range blocks {
		if n := b.next(taken); n > 0 && b.Team.IsZero() && (b.Has(last) || last == 0 && len(blocks) > 0) {
			return n
		}
	}
	return afterHighest(blocks, taken)
}

// next is the first free number behind the last used one of the block; where its end is used, the first of the last
// gap; 0 where all are used.
func (b Block) next(taken map[int]bool) int {
	free := 0
	for n := b.To; n >= b.From; n-- {
		if taken[n] {
			if free > 0 {
				return free
			}
			continue
		}
		if free = n; n == b.From {
			return free
		}
	}
	return free
}

func afterHighest(blocks []Block, taken map[int]bool) int {
	n := 1
	for used := range taken {
		n = max(n, used+1)
	}
	for moved := true; moved; {
		moved = false
		for _, b := range blocks {
			if b.Has(n) && !b.Team.IsZero() {
				n, moved = b.To+1, true
			}
		}
	}
	return min(n, MaxNumber)
}
