package printing

import "slices"

// told keeps what a sheet tells where, so that nothing is told twice.
type told struct {
	doubles map[string]bool // differences that stand among the doubles
	above   map[string]Name // those that stand in block A, with the fungus under which they stand
}

// difference is by what a difference is known: the same words about the same gathered species are the same.
func difference(gathered Name, words string) string {
	return gathered.withoutAuthor().String() + "|" + words
}

// hereEntry is a line of block A with what of it is told in place.
type hereEntry struct {
	HereLine
	told   []Taken
	others []Taken // by name only, each once
}

// dangerous is the severity from which a fungus has an entry of its own and is told apart.
const dangerous = 3

// entries chooses what is told in place, and remembers it.
func (s *setter) entries(lines []HereLine) []hereEntry {
	entries := make([]hereEntry, len(lines))
	for i, l := range lines {
		e, room := hereEntry{HereLine: l}, s.stage.room(l.Severity)
		for _, t := range l.Taken {
			_, before := s.told.above[difference(t.Gathered, t.Differences)]
			switch {
			case t.Differences != "" && !before && len(e.told) < room && !has(e.told, t.Gathered):
				e.told = append(e.told, t)
				s.told.above[difference(t.Gathered, t.Differences)] = l.Name.withoutAuthor()
			case !has(e.others, t.Gathered):
				e.others = append(e.others, t)
			}
		}
		e.others = slices.DeleteFunc(e.others, func(t Taken) bool { return has(e.told, t.Gathered) })
		entries[i] = e
	}
	return entries
}

func has(list []Taken, gathered Name) bool {
	return slices.ContainsFunc(list, func(t Taken) bool {
		return t.Gathered.withoutAuthor().String() == gathered.withoutAuthor().String()
	})
}

// elsewhere reports whether this sheet tells a difference in another place than the line that bears it.
func (s *setter) elsewhere(severity int, t Taken) bool {
	return t.Differences != "" && (severity >= dangerous || s.told.doubles[difference(t.Gathered, t.Differences)])
}

func doublesTold(lines []DoubleLine) map[string]bool {
	stand := map[string]bool{}
	for _, d := range lines {
		if d.Differences != "" {
			stand[difference(d.Gathered, d.Differences)] = true
		}
	}
	return stand
}
