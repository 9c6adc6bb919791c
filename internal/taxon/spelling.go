package taxon

import "strings"

// sounds are spellings that are heard alike in Latin as mycologists speak it (common practice). The letter h is
// silent but in ph.
var sounds = strings.NewReplacer("ph", "f", "ae", "e", "oe", "e", "h", "", "y", "i", "j", "i", "k", "c", "w", "v")

// sound is a folded word as it is heard: those letters, and no letter twice in a row.
func sound(word string) string {
	heard := sounds.Replace(word)
	b := make([]byte, 0, len(heard))
	for i := 0; i < len(heard); i++ {
		if i == 0 || heard[i] != heard[i-1] {
			b = append(b, heard[i])
		}
	}
	if len(b) > 0 && b[0] == 'x' {
		b[0] = 'z'
	}
	return string(b)
}

// genders are endings that an epithet changes with the gender of its genus, and those commonly mistaken for them.
var genders = []string{"us", "um", "is", "es", "as", "os", "on", "a", "e"}

// stem is an epithet without its ending: niger, nigra and nigrum are one, so are campester and campestris.
func stem(word string) string {
	word = strings.NewReplacer("eous", "eus", "ious", "ius").Replace(word)
	if strings.HasSuffix(word, "ae") {
		return word // the genitive of a name: bresadolae
	}
	for _, ending := range genders {
		if cut, ok := strings.CutSuffix(word, ending); ok && len(cut) >= 3 {
			word = cut
			break
		}
	}
	if cut, ok := strings.CutSuffix(word, "er"); ok && len(cut) >= 2 {
		word = cut + "r"
	}
	return word
}

// genderless cuts only the endings of adjectives in -us, -a, -um.
func genderless(word string) string {
	for _, ending := range []string{"us", "um", "a"} {
		if cut, ok := strings.CutSuffix(word, ending); ok {
			return cut
		}
	}
	return word
}

// opposed are beginnings one or two letters apart that say different things; no slip of the pen joins them.
var opposed = [][]string{{"micro", "macro", "mega"}, {"uni", "bi", "tri", "tetra"}, {"hypo", "hyper", "epi"},
	{"intra", "inter", "infra"}, {"leio", "lei"}}

func areOpposed(a, b string) bool {
	for _, set := range opposed {
		i, j := beginning(a, set), beginning(b, set)
		if i != "" && j != "" && i != j {
			return true
		}
	}
	return false
}

func beginning(word string, set []string) string {
	for _, s := range set {
		if strings.HasPrefix(word, s) {
			return s
		}
	}
	return ""
}

// softened are spellings that are heard alike where c, g, x and q are said as English, German and French do (common
// practice; W. T. Stearn, Botanical Latin, 4th ed. 1992, has both ways). What a word sounds like went through sounds
// before, so that there is one letter for i, y and j, one for c and k, and one for v and w.
var softened = strings.NewReplacer("scs", "cs", "xce", "cse", "xci", "csi", "xc", "csc", "x", "cs", "qu", "cv", "sce", "se", "sci", "si",
	"ce", "se", "ci", "si", "ge", "ie", "gi", "i", "z", "s", "pf", "f")

// soft is a sound as softer tongues say it. At the start ps and pt lose their p.
func soft(heard string) string {
	if rest, ok := strings.CutPrefix(heard, "p"); ok && rest != "" && (rest[0] == 's' || rest[0] == 't') {
		heard = rest
	}
	said := softened.Replace(heard)
	b := make([]byte, 0, len(said))
	for i := 0; i < len(said); i++ {
		if i == 0 || said[i] != said[i-1] {
			b = append(b, said[i])
		}
	}
	return string(b)
}

// shapes are letters that a pencil, or a machine that reads, takes for each other (common practice).
var shapes = strings.NewReplacer("rn", "m", "cl", "d", "u", "n", "c", "e", "i", "l", "1", "l", "0", "o")

// shape is a folded word as it looks.
func shape(word string) string { return shapes.Replace(word) }

// heardAlike is what a difference costs that cannot be heard, softly what one costs that only some hear, looksAlike what
// one costs that cannot be seen in pencil.
const (
	heardAlike = 0.3
	softly     = 0.4
	looksAlike = 0.5
)

// far is more than any difference that is taken for a misspelling.
const far = 9.0

// cost says how much must have gone wrong to write one word for the other: 0 nothing, 1 a letter.
func (f form) cost(target form) float64 {
	switch {
	case f.word == target.word:
		return 0
	case f.sound == target.sound && len(f.sound) >= 2:
		return heardAlike
	case f.soft == target.soft && len(f.soft) >= 4:
		return softly
	case f.shape == target.shape && len(f.shape) >= 4:
		return looksAlike
	}
	room := slips(min(len(f.word), len(target.word)))
	if room == 0 || !f.mayBe(target, room) || areOpposed(f.word, target.word) {
		return far
	}
	n := min(Edits(f.word, target.word, room), Edits(f.sound, target.sound, room))
	if n > room {
		return far
	}
	return float64(n)
}

// mayBe rules out most words cheaply. People hear how a word begins, so that a slip there is no slip.
func (f form) mayBe(target form, room int) bool {
	if f.sound == "" || target.sound == "" || f.sound[0] != target.sound[0] {
		return false
	}
	return mayBeWithin(f.wordSet, target.wordSet, room) || mayBeWithin(f.soundSet, target.soundSet, room)
}

// slips is how many letters may be wrong in a word of a length: short words have too many neighbours.
func slips(length int) int {
	switch {
	case length < 5:
		return 0
	case length < 10:
		return 1
	}
	return 2
}
