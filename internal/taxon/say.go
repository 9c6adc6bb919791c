package taxon

import "strings"

// Say respells a scientific name for people who read English aloud, as botanists of English tongue mostly say them:
// "Amanita" is "am-uh-NYE-tuh". Others say it in another way, and are as right. Syllables are parted by hyphens, and the
// stressed one is in capitals: the last but one where that is long or closed, else the one before it. The rules are the
// traditional English ones: Stearn, Botanical Latin, 4th ed. 1992, on pronunciation (citation from memory), and common
// practice. Spelling does not show which vowels are long, so that a list of endings stands in for the dictionary. "" where
// there is no word to say.
func Say(name string) string {
	var said []string
	for _, word := range strings.Fields(Fold(strings.ReplaceAll(name, "-", " "))) {
		if saidRank := ranksSaid[word]; saidRank != "" {
			said = append(said, saidRank)
			continue
		}
		if s := sayWord(word); s != "" {
			said = append(said, s)
		}
	}
	return strings.Join(said, " ")
}

// ranksSaid are the parts of a name that are no Latin words to be spelt out.
var ranksSaid = map[string]string{"var.": "variety", "subsp.": "subspecies", "f.": "forma", "sect.": "section", "subg.": "subgenus",
	"subsect.": "subsection", "ser.": "series"}

// syllable is what stands before its vowel, the vowel as written, and what closes it.
type syllable struct{ onset, vowel, coda string }

func sayWord(word string) string {
	word = onlyLetters(word)
	if word == "" {
		return ""
	}
	parts := syllables(word)
	if len(parts) == 0 { // a code, or a word without a vowel, is spelt
		return word
	}
	stress := stressed(word, parts)
	said := make([]string, len(parts))
	for i := range parts {
		said[i] = sayPart(parts, i, stress)
		if i == stress {
			said[i] = strings.ToUpper(said[i])
		}
	}
	return strings.Join(said, "-")
}

func onlyLetters(word string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' {
			return r
		}
		return -1
	}, word)
}

// twoVowels are written with two letters and said as one (Stearn: ae and oe as ee, au as aw, eu as you; ou only in the names of
// people).
var twoVowels = []string{"ae", "oe", "au", "eu", "ei", "ou"}

func vowelAt(word string, i int) string {
	if i >= len(word) || !isVowel(word, i) {
		return ""
	}
	for _, two := range twoVowels {
		if strings.HasPrefix(word[i:], two) && !partedAfter(word, i, two) {
			return two
		}
	}
	return word[i : i+1]
}

// partedAfter are vowels that only stand side by side: "ei" and "eu" at a word's end ("luteus", "carnei") and in "luteum".
func partedAfter(word string, i int, two string) bool {
	rest := word[i+len(two):]
	switch two {
	case "eu":
		return rest == "s" || rest == "m"
	case "ei":
		return rest == ""
	}
	return false
}

// isVowel takes y for one, but not where it begins a word before another, and not the u of qu, nor of gu before a vowel
// after n ("sanguineus", said "gw").
func isVowel(word string, i int) bool {
	switch word[i] {
	case 'a', 'e', 'i', 'o':
		return true
	case 'y':
		return i > 0 || len(word) > 1 && !strings.ContainsRune("aeiou", rune(word[1]))
	case 'u':
		before := byte(0)
		if i > 0 {
			before = word[i-1]
		}
		glides := i+1 < len(word) && strings.ContainsRune("aeio", rune(word[i+1]))
		return !(before == 'q' || before == 'g' && i > 1 && word[i-2] == 'n' && glides)
	}
	return false
}

// joined are consonants that begin a syllable together: a mute with a liquid, and the digraphs.
var joined = []string{"chl", "chr", "phl", "phr", "thr", "bl", "br", "ch", "cl", "cr", "dr", "fl", "fr", "gl", "gr", "ph", "pl", "pr", "qu", "rh", "sch", "th", "tr"}

// syllables cuts a word before the last consonant, or the last that are joined, between two vowels. x closes its syllable.
func syllables(word string) []syllable {
	var parts []syllable
	at := 0
	for at < len(word) {
		next := at
		for next < len(word) && !isVowel(word, next) {
			next++
		}
		between := word[at:next]
		if next == len(word) {
			if len(parts) > 0 {
				parts[len(parts)-1].coda += between
			}
			return parts
		}
		v := vowelAt(word, next)
		if len(parts) > 0 {
			cut := onsetFrom(between)
			parts[len(parts)-1].coda, between = between[:cut], between[cut:]
		}
		parts = append(parts, syllable{onset: between, vowel: v})
		at = next + len(v)
	}
	return parts
}

// onsetFrom is where, among the consonants between two vowels, the next syllable begins.
func onsetFrom(between string) int {
	if strings.HasSuffix(between, "ngu") {
		return len(between) - 2
	}
	for _, j := range joined {
		if strings.HasSuffix(between, j) {
			return len(between) - len(j)
		}
	}
	if between == "" || strings.HasSuffix(between, "x") {
		return len(between)
	}
	return len(between) - 1
}

// longEndings have a last vowel but one that is long by its Latin or Greek, which its letters do not show (from memory).
var longEndings = []string{"ota", "otus", "otum", "oti", "otis", "ata", "atus", "atum", "ati", "atae", "osa", "osus", "osum", "osae", "osi", "ina", "inus", "inum", "inae", "ini",
	"ales", "alis", "ale", "aris", "are", "ares", "ites", "iva", "ivus", "ivum", "ana", "anus", "anum", "ani", "ura", "urus", "uta", "utus", "utum", "odes", "oides", "oma", "eta",
	"etes", "etus", "etum", "ena", "yces", "orum", "arum", "edulis", "mitra", "ita", "itus", "itum", "ona", "ema", "igo", "ago",
	"procera", "procerus"}

// shortEndings end like long ones and are short (from memory).
var shortEndings = []string{"stoma", "coma", "gena", "lamina", "fraxinus", "fraxini", "coccinus", "acinus", "leccinum"}

// stressed is the syllable with the stress (Stearn's two rules): of two syllables the first; of more the last but one
// where it is long or closed, else the one before it. A mute with a liquid does not close.
func stressed(word string, parts []syllable) int {
	last := len(parts) - 1
	if last < 2 {
		return 0
	}
	p, end := parts[last-1], parts[last]
	switch {
	case p.coda != "", len(p.vowel) == 2:
		return last - 1
	case end.onset == "": // a vowel before a vowel is short
		return last - 2
	case endsIn(word, longEndings) > endsIn(word, shortEndings):
		return last - 1
	}
	return last - 2
}

func endsIn(word string, endings []string) (n int) {
	for _, e := range endings {
		if strings.HasSuffix(word, e) {
			n = max(n, len(e))
		}
	}
	return n
}
