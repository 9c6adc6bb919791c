package foray

import (
	"slices"

	"forayhall/internal/fault"
)

// MostParts is how many parts a base number can have: a to z, then aa to zz.
const MostParts = 26 + 26*26

// suffix is the letters of the i-th part, from 0: a, b, … z, aa, ab, …
func suffix(i int) string {
	if i < 26 {
		return string(rune('a' + i))
	}
	i -= 26
	return string([]rune{rune('a' + i/26), rune('a' + i%26)})
}

// NextParts gives n numbers for the parts of a number that is split: the next letters of its base that nothing bears.
// A part that is split again takes letters of the same base, since a label has no room for letters behind letters.
func NextParts(base int, used []Number, n int) ([]Number, error) {
	var parts []Number
	for i := 0; i < MostParts && len(parts) < n; i++ {
		part := Number{Base: base, Suffix: suffix(i)}
		if !slices.Contains(used, part) {
			parts = append(parts, part)
		}
	}
	if len(parts) < n {
		return nil, fault.New(fault.Refused, "number.no-letters", "number", Number{Base: base}.String())
	}
	return parts, nil
}

// CarryOver gives the field names that bring the names in question of one plate onto another, each by who said it:
// onto the parts of one that is split, and onto the plate that another is merged into. Somebody's newest slip is the
// one that counts, so that it repeats what they said of the plate already: doubt never narrows. A name for which
// nobody's slip has room is refused rather than left out.
func CarryOver(from, onto Standing) ([]Slip, error) {
	var slips []Slip
	for _, asked := range from.Question {
		i := slices.IndexFunc(slips, func(s Slip) bool { return s.Determiner == asked.By })
		if i < 0 {
			i = len(slips)
			slips = append(slips, Slip{Kind: FieldName, Determiner: asked.By, Names: said(onto, asked.By)})
		}
		slips[i].Names = withName(slips[i].Names, asked.SlipName)
		if len(slips[i].Names) > MostNames {
			return nil, fault.New(fault.Refused, "merge.too-many-names", "most", MostNames)
		}
	}
	return slips, nil
}

// said is the names in question that a person's word put there.
func said(s Standing, by ID) []SlipName {
	var names []SlipName
	for _, asked := range s.Question {
		if asked.By == by {
			names = withName(names, asked.SlipName)
		}
	}
	return names
}

func withName(names []SlipName, n SlipName) []SlipName {
	if slices.ContainsFunc(names, n.SameAs) {
		return names
	}
	n.Rank = len(names) + 1
	return append(names, n)
}
