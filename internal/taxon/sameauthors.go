package taxon

import "strings"

// What two writings of one author citation are worth to each other, judged by hand on how mycologists cite; they order
// homonyms and are no probabilities.
const (
	unknownAuthor   = 0.5  // one of them does not say
	leftOut         = 0.95 // a part that may be left out is written once: the basionym's author, "ex", "& al."
	olderUse        = 0.95 // "Bull. ex Fr." until 1981 for what was then "Bull. : Fr."
	ascribed        = 0.9  // only the author before "ex" is cited (Art. 46.5)
	onlyBasionym    = 0.85 // the author in brackets is all that both say
	onlySanction    = 0.7  // only the sanctioning author is cited
	bracketsLeft    = 0.6  // the basionym's author is cited as if he had made the combination
	otherPerson     = 0.15
	otherYear       = 0.8
	otherBasionym   = 0.5
	nearlyTheSame   = 0.9
	fatherOrSon     = 0.5
	oneOfTheSeveral = 0.7
)

// SameAuthors says how likely two author citations are one, from 0 to 1, and 0.5 where one of them is missing: initials,
// accents, abbreviation (Rec. 46A), "ex" and "in", the sanctioning author and the order of names may differ. It is made
// for homonyms: of two names spelt alike the one with the higher value is meant, if it is clearly higher.
func SameAuthors(a, b string) float64 {
	x, y := ReadAuthors(a), ReadAuthors(b)
	switch {
	case x.Registered != "" && x.Registered == y.Registered:
		return 1
	case x.IsZero() || y.IsZero():
		return unknownAuthor
	}
	return x.like(y)
}

func (a Authorship) like(b Authorship) float64 {
	score := a.Combination.like(b.Combination)
	basionyms := a.Basionym.like(b.Basionym)
	switch noneA, noneB := a.Combination.isZero(), b.Combination.isZero(); {
	case noneA && noneB:
		return basionyms
	case noneA || noneB: // "(Bull.)" for "(Bull.) Fr.", or for "Bull."
		return max(onlyBasionym*basionyms, bracketsLeft*a.crossed(b))
	}
	switch noneA, noneB := a.Basionym.isZero(), b.Basionym.isZero(); {
	case noneA && noneB:
		return score
	case noneA || noneB:
		return max(leftOut*score, bracketsLeft*a.crossed(b))
	}
	return score * (otherBasionym + (1-otherBasionym)*basionyms)
}

// crossed compares the basionym's author of one with the other's own author.
func (a Authorship) crossed(b Authorship) float64 {
	return max(a.Basionym.like(b.Combination), a.Combination.like(b.Basionym))
}

// like compares two sets of authors, each of which may cite more or less of the whole.
func (c Citation) like(d Citation) float64 {
	if c.isZero() || d.isZero() {
		return 0
	}
	best := max(samePeople(c, d), c.partly(d), d.partly(c))
	if c.Year != "" && d.Year != "" && c.Year != d.Year {
		best *= otherYear
	}
	return best
}

// partly compares what may stand for the whole of a citation with the other's authors.
func (c Citation) partly(d Citation) float64 {
	best := 0.0
	if len(c.Ex) > 0 {
		earlier := Citation{Authors: c.Ex}
		best = ascribed * samePeople(earlier, d)
		if d.SanctionedBy != "" {
			later := samePeople(c, Citation{Authors: []string{d.SanctionedBy}})
			best = max(best, olderUse*min(samePeople(earlier, d), later))
		}
	}
	if c.SanctionedBy != "" {
		best = max(best, onlySanction*samePeople(Citation{Authors: []string{c.SanctionedBy}}, d))
	}
	return best
}

// samePeople compares the authors proper: all of them in any order, or the first with "& al.".
func samePeople(c, d Citation) float64 {
	if len(c.Authors) == 0 || len(d.Authors) == 0 {
		return 0
	}
	if c.Others || d.Others {
		return leftOut * samePerson(c.Authors[0], d.Authors[0])
	}
	if len(c.Authors) < len(d.Authors) {
		return oneOfTheSeveral * pairUp(c.Authors, d.Authors)
	}
	if len(c.Authors) > len(d.Authors) {
		return oneOfTheSeveral * pairUp(d.Authors, c.Authors)
	}
	return max(pairUp(c.Authors, d.Authors), pairUp(d.Authors, c.Authors))
}

// mostAuthors is above the number of authors that any fungal name has; more are not compared.
const mostAuthors = 30

// pairUp takes each of the first people with whom of the others he is most like, and the mean of that.
func pairUp(a, b []string) float64 {
	a, b = a[:min(len(a), mostAuthors)], b[:min(len(b), mostAuthors)]
	sum, used := 0.0, make([]bool, len(b))
	for _, one := range a {
		best, at := 0.0, -1
		for j, other := range b {
			if s := samePerson(one, other); !used[j] && s > best {
				best, at = s, j
			}
		}
		if at >= 0 {
			used[at] = true
		}
		sum += best
	}
	return sum / float64(len(a))
}

// person is one author's name in parts.
type person struct {
	family   string // folded, without dots and particles
	short    bool   // the family name is abbreviated
	initials string
	son      bool
}

// otherForms are abbreviations that are no beginnings of the name, and other forms of one name (Brummitt and Powell 1992,
// from memory).
var otherForms = map[string]string{
	"l": "linnaeus", "lin": "linnaeus", "linn": "linnaeus", "linne": "linnaeus", "dc": "decandolle", "candolle": "decandolle",
	"fr": "fries", "pers": "persoon",
}

// particles may be written or not.
var particles = map[string]bool{"de": true, "van": true, "von": true, "der": true, "den": true, "du": true, "la": true, "le": true, "da": true}

func readPerson(s string) person {
	var p person
	for _, field := range strings.Fields(s) {
		word := squeeze(field)
		switch {
		case isSon(field) && p.family != "":
			p.son = true
		case isInitial(field):
			p.initials += Fold(strings.ReplaceAll(word, "-", ""))
		case particles[field]:
		default:
			p.family += letters(word)
			p.short = strings.HasSuffix(field, ".")
		}
	}
	if p.family == "" { // "L.", and the "B. & C." of Berkeley and Curtis
		n := max(0, len(p.initials)-1)
		p.family, p.initials, p.short = p.initials[n:], p.initials[:n], true
	}
	if whole, ok := otherForms[p.family]; ok {
		p.family, p.short = whole, false
	}
	p.family = plainVowels.Replace(p.family)
	p.short = p.short || len(p.family) <= 3
	return p
}

// plainVowels make one of Müller and Mueller.
var plainVowels = strings.NewReplacer("ae", "a", "oe", "o", "ue", "u")

func samePerson(a, b string) float64 {
	p, q := readPerson(a), readPerson(b)
	score := sameFamily(p, q)
	switch {
	case score == 0 || p.initials != "" && q.initials != "" && !strings.ContainsAny(p.initials, q.initials):
		return min(score, otherPerson)
	case p.son != q.son:
		return fatherOrSon * score
	}
	return score
}

// sameFamily takes equal names, an abbreviation and its name, and one slip in a long name.
func sameFamily(p, q person) float64 {
	a, b := p.family, q.family
	switch {
	case a == "" || b == "":
		return 0
	case a == b:
		return 1
	case p.short && abbreviates(a, b) || q.short && abbreviates(b, a):
		return leftOut
	case len(a) >= 6 && len(b) >= 6 && Edits(a, b, 1) <= 1:
		return nearlyTheSame
	}
	return 0
}

// abbreviates says whether the letters of one word stand in another in their order, from the first: Fr in Fries, Cke in
// Cooke, Schw in Schweinitz.
func abbreviates(short, long string) bool {
	if len(short) >= len(long) || short[0] != long[0] {
		return false
	}
	if len(short) > 4 { // long abbreviations are beginnings
		return strings.HasPrefix(long, short)
	}
	rest := long
	for i := range len(short) {
		at := strings.IndexByte(rest, short[i])
		if at < 0 {
			return false
		}
		rest = rest[at+1:]
	}
	return true
}
