package hazard

import (
	"cmp"
	"errors"
	"slices"
	"strings"
	"time"

	"forayhall/internal/taxon"
)

// Own is what a society lays over what ships: rows and pairs of its own, and what it contests.
type Own struct {
	Rows     []Row
	Pairs    []Pair
	Contests []Contest
}

// Contest says why a society does not agree with a row or a pair. It stands beside it and lowers nothing.
type Contest struct {
	About  string // Entry.ID or Double.ID
	Reason string
	Source string
	By     string // the id of the person who wrote it
	At     time.Time
}

// Unjoined is a row or pair of a society that the knowledge cannot use, and why. The rest stands without it.
type Unjoined struct {
	Own string // Row.Own or Pair.Own
	Err error
}

// WithOwn is the base with a society's entries over it, in place of any that lay there. What the base answers without
// them stays in every answer: entries add findings and pairs, and no entry takes one away or makes one weigh less.
func (b *Base) WithOwn(own Own) (*Base, []Unjoined) {
	bare := b.copied()
	bare.own, bare.contests = nil, nil
	with := bare.copied()
	with.contests = map[string][]Contest{}
	for _, c := range own.Contests {
		with.contests[c.About] = append(with.contests[c.About], c)
	}
	layer := newBase(b.names)
	layer.syndromes, layer.groups, layer.under = b.syndromes, b.groups, &bare
	with.own = layer
	left := layer.layRows(own.Rows)
	layer.raise(&bare)
	return &with, append(left, with.layPairs(own.Pairs)...)
}

func (b *Base) layRows(rows []Row) (left []Unjoined) {
	for _, row := range rows {
		e, err := b.entryOf(row)
		if err != nil {
			left = append(left, Unjoined{row.Own, err})
			continue
		}
		b.entries = append(b.entries, e)
		b.file(e)
	}
	b.loose = loosen(b.spelt)
	return left
}

// layPairs holds the society's pairs against everything: their poisonous side may be a row that ships.
func (b *Base) layPairs(pairs []Pair) (left []Unjoined) {
	for _, p := range pairs {
		worst, err := b.checkPair(p)
		if err != nil {
			left = append(left, Unjoined{p.Own, err})
			continue
		}
		b.own.pairs = append(b.own.pairs, &pair{p, worst, b.sideOf(p.Gathered), b.sideOf(p.Poisonous)})
	}
	return left
}

// raise remembers the pairs that ship whose poisonous side the society's rows know something worse of.
func (b *Base) raise(bare *Base) {
	b.raised = map[*pair]Finding{}
	for _, p := range bare.pairs {
		if worst := b.Assess(p.Poisonous)[0]; worst.Severity > p.worst.Severity {
			b.raised[p] = worst
		}
	}
}

// lay adds what the society's rows answer to what ships. Only a row that weighs more than no entry at all makes a name
// one that somebody has looked at.
func (a *answer) lay(own *answer) {
	a.hits = append(a.hits, own.hits...)
	a.unlisted = a.unlisted && own.unlisted
	a.matched = cmp.Or(a.matched, own.matched)
}

// choose takes, of what ships and what the society says of one syndrome, what says more: of the name itself before what
// it could be, of the event's region before another. Where they say the same it is what ships.
func choose(ships, own Finding) Finding {
	first := cmp.Or(compareBool(own.Wide, ships.Wide), compareBool(own.OutOfRegion, ships.OutOfRegion),
		cmp.Compare(surest[own.Via], surest[ships.Via]))
	if first < 0 {
		return own
	}
	return ships
}

// beside are the other rows that say the same syndrome of the name, where any of them is the society's.
func (a *answer) beside(told, ships Finding) []*Entry {
	var rows []*Entry
	add := func(e *Entry) {
		if e != nil && e != told.Entry && !slices.Contains(rows, e) {
			rows = append(rows, e)
		}
	}
	for _, f := range a.hits {
		if f.Entry.Own != "" && f.Syndrome == told.Syndrome {
			add(f.Entry)
		}
	}
	if told.Entry.Own != "" || len(rows) > 0 {
		add(ships.Entry)
	}
	slices.SortFunc(rows, func(x, y *Entry) int { return strings.Compare(x.ID, y.ID) })
	return rows
}

// Explain lists every row that speaks of a name as written, each once by the rule that is surest, the worst first. It
// is empty where none does.
func (b *Base) Explain(written, region string) []Finding {
	a := b.read(written)
	best := map[*Entry]Finding{}
	for _, f := range a.hits {
		f.OutOfRegion, f.Contests = !inRegion(f.Entry.Region, region), b.contests[f.Entry.ID]
		if old, ok := best[f.Entry]; !ok || bySurest(f, old) < 0 {
			best[f.Entry] = f
		}
	}
	rows := make([]Finding, 0, len(best))
	for _, f := range best {
		rows = append(rows, f)
	}
	slices.SortFunc(rows, func(x, y Finding) int {
		return cmp.Or(compareBool(x.Wide, y.Wide), worstFirst(x, y), strings.Compare(x.Entry.ID, y.Entry.ID))
	})
	return rows
}

// Speaks reports whether there is a row or a pair with this id, Entry.ID or Double.ID.
func (b *Base) Speaks(id string) bool {
	there := slices.ContainsFunc(b.entries, func(e *Entry) bool { return e.ID == id }) ||
		slices.ContainsFunc(b.pairs, func(p *pair) bool { return p.id() == id })
	return there || b.own != nil && b.own.Speaks(id)
}

// Knows reports whether a name is in any list, or in a row of the knowledge.
func (b *Base) Knows(written string) bool {
	return b.Listed(written) || b.direct(taxon.Key(taxon.Read(written).Canonical))
}

// Listed reports whether a list has a name.
func (b *Base) Listed(written string) bool {
	_, ok := b.names.Lookup(taxon.Key(taxon.Read(written).Canonical))
	return ok
}

// has says whether a row bears a name; one that is asked for a society's rows counts what they lie over, and never the
// other way round: what ships is read as if they were not there.
func (b *Base) has(key string) bool { return b.byKey[key] != nil || b.under != nil && b.under.has(key) }

// direct says whether any row bears a name.
func (b *Base) direct(key string) bool { return b.has(key) || b.own != nil && b.own.has(key) }

// Check says what is wrong with a row, apart from its name not being known; nil where nothing is.
func (b *Base) Check(row Row) error {
	_, err := b.entryOf(row)
	return err
}

// CheckPair does the same for a pair.
func (b *Base) CheckPair(p Pair) error {
	_, err := b.checkPair(p)
	return err
}

// ErrNoEntry is that nothing is known against the poisonous side of a pair.
var ErrNoEntry = errors.New("the poisonous side has no entry")

// Exposures, Evidences and Regions are the words that a row may have there. Syndromes are the keys of the syndromes,
// the worst first.
func Exposures() []Exposure { return slices.Clone(exposures) }

// Evidences are the words for how firm a row is.
func Evidences() []string { return slices.Clone(evidences) }

// Regions are the words for where a row holds, but for the empty one.
func Regions() []string { return slices.Clone(regions[1:]) }

// Syndromes lists the syndromes, the worst first.
func (b *Base) Syndromes() []*Syndrome {
	list := make([]*Syndrome, 0, len(b.syndromes))
	for _, s := range b.syndromes {
		list = append(list, s)
	}
	slices.SortFunc(list, func(x, y *Syndrome) int {
		return cmp.Or(cmp.Compare(y.Severity, x.Severity), strings.Compare(x.Name, y.Name))
	})
	return list
}
