package hazard

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"forayhall/internal/taxon"
)

// Role says on which side of a mistake a name stands.
type Role string

const (
	Gathered  Role = "gathered"
	Poisonous Role = "poisonous"
)

// Double is a mistake that happens, seen from one of its two names.
type Double struct {
	Role        Role   // of the name asked
	Matched     string // the side of the pair that the asked name was taken for
	Other       string
	Severity    int // of the poisonous side
	Syndrome    *Syndrome
	Differences string
	Region      string
	Source      string
	Own         string    // of the society's pair; empty: it ships
	ID          string    // "gathered / poisonous", by which it is contested
	Contests    []Contest // of the society
}

// pair is a Pair with what its poisonous side brings.
type pair struct {
	Pair
	worst               Finding
	gathered, poisonous side
}

// side is one side of a pair with every key it may be filed under.
type side struct {
	keys   map[string]bool
	genera map[string]bool // of its species, for names that stop at genus
	wide   bool            // it is a genus itself, and stands for every species of it
}

func (b *Base) sideOf(name string) side {
	s := side{keys: map[string]bool{}, genera: map[string]bool{}}
	for _, k := range b.alike(taxon.Key(name)) {
		genus, _, isSpecies := strings.Cut(k, " ")
		s.keys[k], s.wide = true, s.wide || !isSpecies
		s.genera[genus] = true
	}
	return s
}

func (b *Base) takePairs(pairs []Pair) error {
	for _, p := range pairs {
		worst, err := b.checkPair(p)
		if err != nil {
			return fmt.Errorf("look-alike %q / %q: %w", p.Gathered, p.Poisonous, err)
		}
		b.pairs = append(b.pairs, &pair{p, worst, b.sideOf(p.Gathered), b.sideOf(p.Poisonous)})
	}
	return nil
}

func (b *Base) checkPair(p Pair) (Finding, error) {
	switch {
	case p.Source == "":
		return Finding{}, fmt.Errorf("has no source")
	case p.Differences == "":
		return Finding{}, fmt.Errorf("has no differences")
	}
	for _, name := range []string{p.Gathered, p.Poisonous} {
		if taxon.Read(name).Rank == "" {
			return Finding{}, fmt.Errorf("%q does not read as a name", name)
		}
	}
	if err := checkRegion(p.Region); err != nil {
		return Finding{}, err
	}
	worst := b.Assess(p.Poisonous)[0]
	if !b.direct(taxon.Key(p.Poisonous)) || worst.Via == NoEntry {
		return Finding{}, ErrNoEntry
	}
	return worst, nil
}

// Doubles lists the mistakes that a name takes part in, the most dangerous first. Former names and misspellings
// hit, and a genus takes part in those of its species.
func (b *Base) Doubles(written string) []Double {
	return slices.Clone(b.recall.doublesOf(written, b.doublesAnew))
}

// DoublesIn lists those of an event's region; a mistake of elsewhere is told only where none of the region is known.
func (b *Base) DoublesIn(written, region string) []Double {
	all := b.Doubles(written)
	elsewhere := func(d Double) bool { return !inRegion(d.Region, region) }
	near := slices.DeleteFunc(slices.Clone(all), elsewhere)
	if slices.ContainsFunc(near, func(d Double) bool { return d.Own == "" }) {
		return near
	}
	return all // what a society adds hides nothing that ships
}

func (b *Base) doublesAnew(written string) []Double {
	asked, pairs := b.askedOf(written), b.pairs
	if b.own != nil {
		asked, pairs = asked.and(b.own.askedOf(written)), slices.Concat(pairs, b.own.pairs)
	}
	var out []Double
	for _, p := range pairs {
		if asked.is(p.gathered) {
			out = append(out, b.seenFrom(p, Gathered))
		}
		if asked.is(p.poisonous) {
			out = append(out, b.seenFrom(p, Poisonous))
		}
	}
	slices.SortStableFunc(out, func(x, y Double) int {
		return cmp.Or(cmp.Compare(y.Severity, x.Severity), strings.Compare(string(x.Role), string(y.Role)),
			strings.Compare(x.Other, y.Other))
	})
	return out
}

// askedName is a written name with every key it may be filed under.
type askedName struct {
	keys   []string
	genera []string // of those keys
}

func (b *Base) askedOf(written string) askedName {
	w := taxon.Read(written)
	a := answer{b: b}
	keys := b.near(w)
	for _, r := range a.readings(w, b.names.Match(written)) {
		keys = append(keys, r.key)
	}
	var asked askedName
	for _, key := range keys {
		for _, k := range b.alike(key) {
			asked.keys = addKey(asked.keys, k)
			genus, _, _ := strings.Cut(k, " ")
			asked.genera = addKey(asked.genera, genus)
		}
	}
	return asked
}

func (a askedName) and(b askedName) askedName {
	for _, k := range b.keys {
		a.keys = addKey(a.keys, k)
	}
	for _, g := range b.genera {
		a.genera = addKey(a.genera, g)
	}
	return a
}

// is says whether the name may be the side: by a key, as a genus that holds its species, or as a species of it.
func (a askedName) is(s side) bool {
	for _, k := range a.keys {
		if s.keys[k] || s.genera[k] {
			return true
		}
	}
	return s.wide && slices.ContainsFunc(a.genera, func(g string) bool { return s.keys[g] })
}

func (p *pair) id() string {
	id := p.Gathered + " / " + p.Poisonous
	if p.Own != "" {
		id += " / " + p.Own
	}
	return id
}

func (b *Base) seenFrom(p *pair, role Role) Double {
	worst := p.worst
	if b.own != nil {
		if raised, ok := b.own.raised[p]; ok {
			worst = raised
		}
	}
	d := Double{Role: role, Matched: p.Gathered, Other: p.Poisonous, Severity: worst.Severity, Syndrome: worst.Syndrome,
		Differences: p.Differences, Region: p.Region, Source: p.Source, Own: p.Own, ID: p.id(), Contests: b.contests[p.id()]}
	if role == Poisonous {
		d.Matched, d.Other = p.Poisonous, p.Gathered
	}
	return d
}
