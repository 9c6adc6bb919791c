package taxon

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Read takes a name apart as it was written. It knows no list of names: whether the name exists is for Match.
// Any text is taken; what does not read as one scientific name comes back with an empty Rank.
func Read(s string) Written {
	w, _ := read(s)
	return w
}

// longestName is far above any name with its authors, in bytes; a longer text is kept and not taken apart.
const longestName = 1000

// read also gives the words without the marks of doubt, for common names.
func read(s string) (Written, []string) {
	if len(s) > longestName {
		words := strings.Fields(tidy(s))
		return Written{Verbatim: s, Canonical: strings.Join(words, " ")}, words
	}
	r := reader{tokens: tokens(s)}
	r.caps = allCaps(r.tokens)
	r.takeDoubts()
	r.w = Written{Verbatim: s}
	if !r.takeName() {
		r.w = Written{Verbatim: s, Canonical: strings.Join(r.words, " ")}
	}
	r.w.Qualifier, r.w.Position = r.widest()
	return r.w, r.words
}

// doubt is a mark with the number of words that stand before it.
type doubt struct {
	mark Qualifier
	at   int
}

// reader walks over the words of one name. The word numbers of the parts decide where a doubt stands.
type reader struct {
	tokens  []string
	words   []string // tokens without doubts
	doubts  []doubt
	caps    bool
	at      int // next word
	epithet int // number of the epithet's word, 0 when there is none
	infra   int // number of the rank word below species, 0 when there is none
	w       Written
}

func (r *reader) takeDoubts() {
	r.words = make([]string, 0, len(r.tokens))
	for i := 0; i < len(r.tokens); {
		if q, n := doubtAt(r.tokens, i, r.caps); n > 0 && !r.isForma(i) {
			r.doubts = append(r.doubts, doubt{q, len(r.words)})
			i += n
			continue
		}
		r.words = append(r.words, r.tokens[i])
		i++
	}
}

// isForma keeps the "sp." of "f. sp." from being read as a doubt; it is dropped in takeInfra.
func (r *reader) isForma(i int) bool {
	return i > 1 && squeeze(r.tokens[i]) == "sp" && squeeze(r.tokens[i-1]) == "f"
}

func (r *reader) takeName() bool {
	hybrid := r.takeHybrid()
	if !r.takeGenus() {
		return false
	}
	r.takeGroup()
	hybrid = r.takeHybrid() || hybrid
	r.takeEpithet()
	r.takeTail()
	if r.isSeveral() || hybrid && r.w.Epithet == "" && r.w.Author != "" {
		return false
	}
	r.w.Rank, r.w.Canonical = r.rank(), r.canonical(hybrid)
	return r.w.Rank != ""
}

// isSeveral finds what names two: a hybrid formula, or "this or that".
func (r *reader) isSeveral() bool {
	for _, word := range r.words {
		if word == "or" || word == "vs" || word == "vs." || strings.Contains(word, "/") {
			return true
		}
	}
	return strings.Contains(" "+r.w.Author+" ", " × ")
}

// takeHybrid steps over the hybrid sign; a letter x stands for it between two words.
func (r *reader) takeHybrid() bool {
	if r.peek() != "×" && !(r.peek() == "x" && r.at+1 < len(r.words)) {
		return false
	}
	r.at++
	return true
}

func (r *reader) peek() string {
	if r.at < len(r.words) {
		return r.words[r.at]
	}
	return ""
}

// takeGenus takes the first word; a dot or a length of one or two letters make it an abbreviation.
func (r *reader) takeGenus() bool {
	word := strings.TrimRight(strings.Trim(r.peek(), `"“”'‘’`), ",;:")
	bare := strings.TrimSuffix(word, ".")
	if !isWord(bare) {
		return false
	}
	r.at++
	dot := ""
	if bare != word || utf8.RuneCountInString(bare) < 3 {
		dot = "."
	}
	r.w.Genus = capital(bare) + dot
	return true
}

func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + strings.ToLower(s[n:])
}

// takeGroup takes "sect. Phalloideae", and steps over a subgenus in brackets before an epithet.
func (r *reader) takeGroup() {
	for r.at+1 < len(r.words) && groupWords[squeeze(r.peek())] != "" && isWord(strings.Trim(r.words[r.at+1], ",;()")) {
		r.w.Section = capital(strings.Trim(r.words[r.at+1], ",;()"))
		r.at += 2
	}
	word := r.peek()
	inside := strings.TrimSuffix(strings.TrimPrefix(word, "("), ")")
	if len(inside) == len(word)-2 && isWord(inside) && r.at+1 < len(r.words) && r.isEpithet(r.words[r.at+1]) {
		r.at++
	}
}

func (r *reader) takeEpithet() {
	word := strings.TrimRight(r.peek(), ",;:")
	if !r.isEpithet(word) && !r.isCapitalEpithet(word) {
		return
	}
	r.w.Epithet = strings.ToLower(word)
	r.at++
	r.epithet = r.at
}

// isEpithet says whether a word stands where an epithet may: small letters, or capitals among capitals.
func (r *reader) isEpithet(word string) bool {
	if !isWord(word) || utf8.RuneCountInString(word) < 2 || authorWords[strings.ToLower(word)] {
		return false
	}
	return !startsUpper(word) || r.caps
}

// isCapitalEpithet takes "Boletus Satanas" for what it is and leaves "Boletus Fries" a genus with its author.
func (r *reader) isCapitalEpithet(word string) bool {
	lower := strings.ToLower(word)
	if !isWord(word) || utf8.RuneCountInString(word) < 4 || authorNames[lower] {
		return false
	}
	for _, ending := range []string{"us", "a", "um", "is", "ii", "ae", "ens", "ans", "oides", "as"} {
		if strings.HasSuffix(lower, ending) {
			return true
		}
	}
	return false
}

// takeTail takes ranks below species wherever they stand and leaves the rest to the author.
func (r *reader) takeTail() {
	r.takeThirdWord()
	for r.at < len(r.words) {
		if r.takeInfra() {
			if r.at < len(r.words) {
				r.w.Author = "" // of the species; the name's own follows
			}
			continue
		}
		r.w.Author = strings.TrimSpace(r.w.Author + " " + r.words[r.at])
		r.at++
	}
	r.w.Author = strings.Trim(r.w.Author, " ,;")
}

// takeInfra takes "var. alba". In "Hook. f. ex Berk." the letter is a son, not a form.
func (r *reader) takeInfra() bool {
	rank, known := infraWords[squeeze(r.peek())]
	if !known || r.w.Epithet == "" || startsUpper(r.peek()) && !r.caps {
		return false
	}
	next := r.at + 1
	if next+1 < len(r.words) && squeeze(r.words[next]) == "sp" {
		next++
	}
	if next >= len(r.words) || !r.isEpithet(strings.TrimRight(r.words[next], ",;:")) {
		return false
	}
	r.w.InfraRank, r.w.Infra = rank, strings.ToLower(strings.TrimRight(r.words[next], ",;:"))
	r.infra, r.at = r.at+1, next+1
	return true
}

// takeThirdWord takes "Amanita muscaria formosa", in which the rank was left out.
func (r *reader) takeThirdWord() {
	word := strings.TrimRight(r.peek(), ",;:")
	_, rank := infraWords[squeeze(word)]
	if r.w.Epithet == "" || r.caps || rank || !r.isEpithet(word) {
		return
	}
	r.w.Infra = strings.ToLower(word)
	r.at++
	r.infra = r.at
}
