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

// CarryOver gives the field names that bring words in question of one plate onto another, each by who said it: onto the
// parts of one that is split, and onto the plate that another is merged into. Whoever said a name says it there too,
// also where somebody else did, so that one who takes a word back takes back nobody else's. Somebody's newest slip is
// the one that counts, so that it repeats what they said of the plate already: doubt never narrows. A name for which
// its slip has no room is refused rather than left out.
func CarryOver(words []Slip, onto Standing) ([]Slip, error) {
	var slips []Slip
	for _, word := range words {
		i := slices.IndexFunc(slips, func(s Slip) bool { return s.Determiner == word.Determiner })
		if i < 0 {
			i = len(slips)
			slips = append(slips, Slip{Kind: FieldName, Determiner: word.Determiner, Names: onto.namesOf(word.Determiner)})
		}
		for _, name := range word.Names {
			slips[i].Names = withName(slips[i].Names, name)
		}
		if len(slips[i].Names) > MostNames {
			return nil, fault.New(fault.Refused, "merge.too-many-names", "most", MostNames)
		}
	}
	return slips, nil
}

// namesOf is the names in question that a person said.
func (s Standing) namesOf(person ID) []SlipName {
	var names []SlipName
	for _, word := range s.Words {
		for _, name := range word.Names {
			if word.Determiner == person {
				names = withName(names, name)
			}
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
