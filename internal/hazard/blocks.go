package hazard

import (
	"cmp"
	"slices"
	"strings"

	"forayhall/internal/taxon"
)

// sheetMaker sorts plates into the blocks of a sheet. Plates come in the order in which they stand.
type sheetMaker struct {
	b        *Base
	region   string
	here     map[string]*HereLine
	wide     map[string]*WideLine
	doubles  map[string]*DoubleLine
	species  map[string]bool // names as written that are of species
	nameless []Standing
	noEntry  []Standing
}

func (m *sheetMaker) take(p Plate) {
	names := named(p.Names)
	if len(names) == 0 {
		m.takeNameless(p)
		return
	}
	found := false
	for _, name := range names {
		a, _ := m.b.ask(Question{Text: name, Group: p.Group})
		if len(a.hits) > 0 {
			found = true
			m.takeFindings(p, a, name)
		}
	}
	if !found {
		m.noEntry = append(m.noEntry, standing(p))
	}
	m.takeDoubles(p, names)
}

func named(names []string) []string {
	return slices.DeleteFunc(slices.Clone(names), func(s string) bool { return strings.TrimSpace(s) == "" })
}

// takeNameless lists the plate as one to treat as poisonous, and its form group with what it could be.
func (m *sheetMaker) takeNameless(p Plate) {
	m.nameless = append(m.nameless, standing(p))
	if a, ok := m.b.ask(Question{Group: p.Group}); ok && len(a.hits) > 0 {
		m.takeFindings(p, a, p.Group)
	}
}

func (m *sheetMaker) takeFindings(p Plate, a *answer, written string) {
	var wide []Finding
	for _, f := range a.findings(m.region) {
		if f.Wide {
			wide = append(wide, f)
			continue
		}
		m.takeHere(p, f)
	}
	if len(wide) > 0 {
		m.takeWide(p, wide, cmp.Or(a.matched, wide[0].Matched, written))
	}
}

func (m *sheetMaker) takeHere(p Plate, f Finding) {
	name := f.Entry.Taxon
	if f.Via == ByGenus {
		name = f.Matched
	}
	key := taxon.Key(name) + "|" + f.Syndrome.Key
	line := m.here[key]
	if line == nil {
		line = &HereLine{Taxon: name, Finding: f, Onset: Onset(f.Syndrome), MistakenFor: m.mistakenFor(f.Entry.Taxon)}
		m.here[key] = line
	}
	if bySurest(f, line.Finding) < 0 {
		line.Finding = f
	}
	line.Plates = stand(line.Plates, p)
}

func (m *sheetMaker) mistakenFor(name string) []Double {
	return slices.DeleteFunc(m.b.DoublesIn(name, m.region), func(d Double) bool { return d.Role != Poisonous })
}

// mostTold is for how many of those that a poisonous one is taken for a sheet tells the differences, beside those that
// stand in the hall; the others are named.
const mostTold = 2

// tell puts what stands in the hall first among what a line is mistaken for.
func (m *sheetMaker) tell(line *HereLine) {
	displayed := func(d Double) bool { return m.doubles[d.Other+"|"+d.Matched+"|"+d.Own] != nil }
	slices.SortStableFunc(line.MistakenFor, func(x, y Double) int { return compareBool(displayed(y), displayed(x)) })
	told := 0
	for i, d := range line.MistakenFor {
		switch {
		case displayed(d):
		case told < mostTold:
			told++
		default:
			line.MistakenFor[i].Differences = ""
		}
	}
}

func (m *sheetMaker) takeWide(p Plate, findings []Finding, name string) {
	line := m.wide[taxon.Key(name)]
	if line == nil {
		line = &WideLine{Name: name}
		m.wide[taxon.Key(name)] = line
	}
	line.Plates = stand(line.Plates, p)
	all := line.Others
	if line.Worst.Entry != nil {
		all = append(all, line.Worst)
	}
	for _, f := range findings {
		if !slices.ContainsFunc(all, func(x Finding) bool { return x.Syndrome == f.Syndrome }) {
			all = append(all, f)
		}
	}
	slices.SortStableFunc(all, worstFirst)
	line.Worst, line.Others = all[0], all[1:]
	line.Nearer = nearer(all)
}

// nearer is the worst finding of the event's region, unless the worst of all is one.
func nearer(all []Finding) *Finding {
	if !all[0].OutOfRegion {
		return nil
	}
	for _, f := range all {
		if !f.OutOfRegion {
			return &f
		}
	}
	return nil
}

// takeDoubles lists what people have picked when they looked for what stands on this plate.
func (m *sheetMaker) takeDoubles(p Plate, names []string) {
	for _, name := range append(named(p.Accepted), names...) {
		if !m.isSpecies(name) {
			continue
		}
		for _, d := range m.b.Doubles(name) {
			if d.Role != Gathered {
				continue
			}
			key := d.Matched + "|" + d.Other + "|" + d.Own
			if m.doubles[key] == nil {
				m.doubles[key] = &DoubleLine{Double: d}
			}
			m.doubles[key].Plates = stand(m.doubles[key].Plates, p)
		}
	}
}

// isSpecies keeps what it read: hundreds of plates bear the same name.
func (m *sheetMaker) isSpecies(name string) bool {
	species, known := m.species[name]
	if !known {
		species = taxon.Read(name).Epithet != ""
		m.species[name] = species
	}
	return species
}

// tellDoubles leaves the differences to the worst doubles of each that people look for, and to those that stand in the
// hall; the others are only named. A sheet that tells everything is read by nobody.
func tellDoubles(lines []DoubleLine) {
	told := map[string]int{}
	for i, d := range lines {
		switch {
		case d.PoisonousHere && d.Severity >= Dangerous:
		case told[d.Matched] < mostTold:
			told[d.Matched]++
		default:
			lines[i].Differences = ""
		}
	}
}

func stand(list []Standing, p Plate) []Standing {
	if n := len(list); n > 0 && list[n-1].Number == p.Number { // plates are taken one after the other
		return list
	}
	return append(list, standing(p))
}

// write puts the blocks into the sheet, each by severity, then as one walks, then by name.
func (m *sheetMaker) write(s *Sheet) {
	s.Nameless, s.NoEntry = m.nameless, m.noEntry
	here := map[string]bool{}
	for _, line := range m.here {
		here[taxon.Key(line.Finding.Entry.Taxon)] = true
		m.tell(line)
		s.Here = append(s.Here, *line)
	}
	for _, line := range m.wide {
		s.Wide = append(s.Wide, *line)
	}
	for _, line := range m.doubles {
		for _, k := range m.b.alike(taxon.Key(line.Other)) {
			line.PoisonousHere = line.PoisonousHere || here[k]
		}
		if !line.PoisonousHere && !inRegion(line.Region, m.region) {
			continue // a mistake of elsewhere, and its poisonous side is not in the hall
		}
		s.Doubles = append(s.Doubles, *line)
	}
	slices.SortFunc(s.Here, func(x, y HereLine) int {
		return cmp.Or(cmp.Compare(y.Finding.Severity, x.Finding.Severity), standFirst(x.Plates[0], y.Plates[0]),
			strings.Compare(x.Taxon, y.Taxon), strings.Compare(x.Finding.Syndrome.Key, y.Finding.Syndrome.Key))
	})
	slices.SortFunc(s.Wide, func(x, y WideLine) int {
		return cmp.Or(cmp.Compare(y.Worst.Severity, x.Worst.Severity), standFirst(x.Plates[0], y.Plates[0]),
			strings.Compare(x.Name, y.Name))
	})
	slices.SortFunc(s.Doubles, func(x, y DoubleLine) int {
		return cmp.Or(cmp.Compare(y.Severity, x.Severity), standFirst(x.Plates[0], y.Plates[0]),
			strings.Compare(x.Matched, y.Matched), strings.Compare(x.Other, y.Other))
	})
	tellDoubles(s.Doubles)
}
