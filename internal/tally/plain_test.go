package tally

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"forayhall/internal/taxon"
)

// The rule in plain words, each line held against every other: what the index of held lines must agree with.
func (l *Line) plainlyHolds(other *Line) bool {
	if l.sense() == other.sense() {
		return l.wide() && !other.wide()
	}
	if l.Rank == taxon.Species || l.Rank == taxon.Genus {
		return strings.HasPrefix(other.Name, l.Name+" ")
	}
	n := other.Current
	if n == nil || l.Current == nil {
		return false
	}
	switch l.Rank {
	case taxon.Section:
		genus, section, _ := strings.Cut(l.Name, " sect. ")
		return n.Section == section && strings.HasPrefix(n.Name, genus+" ") && n.Rank != taxon.Section
	case taxon.Family:
		return n.Family == l.Name
	case taxon.Order:
		return n.Order == l.Name
	case taxon.Class:
		return n.Class == l.Name
	}
	return false
}

func (l *List) plainly(i int) string {
	line := &l.Lines[i]
	if line.Apart != Counted || line.Rank == taxon.Form {
		return "apart"
	}
	for j := range l.Lines {
		other := &l.Lines[j]
		switch {
		case j == i || other.Apart != Counted:
		case line.plainlyHolds(other):
			return "narrower " + other.Name
		case line.sense() == other.sense() && line.wide() == other.wide() && other.Qualifier < line.Qualifier:
			return "repeated " + other.Name
		}
	}
	return "counts"
}

func TestTheRuleIsTheSameAsLineAgainstLine(t *testing.T) {
	sp := func(name, section, family string, rank taxon.Rank) *taxon.Name {
		return &taxon.Name{Name: name, Key: taxon.Key(name), Section: section, Family: family, Order: "Agaricales", Class: "Agaricomycetes", Rank: rank}
	}
	var pool []*taxon.Name
	for _, genus := range []string{"Amanita", "Russula"} {
		family := genus + "ceae"
		pool = append(pool, sp(genus, "", family, taxon.Genus), sp(genus+" sect. Prima", "Prima", family, taxon.Section), sp(family, "", family, taxon.Family))
		for _, epithet := range []string{"alba", "nigra"} {
			pool = append(pool, sp(genus+" "+epithet, "Prima", family, taxon.Species), sp(genus+" "+epithet+" var. minor", "Prima", family, taxon.Variety))
		}
	}
	pool = append(pool, sp("Agaricales", "", "", taxon.Order), sp("Agaricomycetes", "", "", taxon.Class))
	qualifiers := []taxon.Qualifier{"", taxon.SensuLato, taxon.Group, taxon.SensuStrict, taxon.Confer}
	rapid.Check(t, func(t *rapid.T) {
		var finds []Find
		for i := range rapid.IntRange(0, 14).Draw(t, "finds") {
			n := rapid.SampledFrom(pool).Draw(t, "name")
			named := Named{Name: n.Name, Rank: n.Rank, Key: n.Key, Current: n, Qualifier: rapid.SampledFrom(qualifiers).Draw(t, "qualifier")}
			if rapid.IntRange(0, 5).Draw(t, "unknown") == 0 {
				named.Current = nil
			}
			finds = append(finds, Find{ID: string(rune('a' + i)), Number: string(rune('a' + i)), State: Confirmed, Names: []Named{named}})
		}
		list := Make(finds)
		for i, line := range list.Lines {
			want := list.plainly(i)
			if got := line.Counts; got != (want == "counts") {
				t.Fatalf("%s %s counts: %v; line against line says %s", line.Name, line.Qualifier, got, want)
			}
			if name, ok := strings.CutPrefix(want, "narrower "); ok && line.Why.Args["name"] != name {
				t.Fatalf("%s: %v; line against line says %s", line.Name, line.Why, want)
			}
		}
	})
}
