package taxon

import (
	"slices"
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
	r.w = Written{Verbatim: s}
	r.takeDoubts()
	if !r.takeName() {
		r.w = Written{Verbatim: s, Canonical: strings.Join(r.words, " ")}
	}
	r.w.Qualifier, r.w.Position = r.widest()
	r.w.Provisional = r.w.Provisional || slices.ContainsFunc(r.doubts, func(d doubt) bool { return d.mark == Ineditus })
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
	comma   int // number of words before a comma that stood with a mark of doubt, 0 when there is none
	noteAt  int // number of the word with which a note begins, 0 when there is none
	infra   int // number of the rank word below species, 0 when there is none
	w       Written
}

func (r *reader) takeDoubts() {
	r.words = make([]string, 0, len(r.tokens))
	for i := 0; i < len(r.tokens); {
		if r.isAside(i) { // "Inocybe sp. (cf. geophylla)"
			r.words = append(r.words, r.tokens[i:]...)
			return
		}
		q, n := doubtAt(r.tokens, i, r.caps)
		if n == 0 && r.isNear(i) {
			q, n = Affinis, 1
		}
		if n > 0 && !r.isForma(i) {
			if n > 1 && numberWord(r.tokens[i+n-1]) && i+n < len(r.tokens) && isDigits(r.tokens[i+n]) {
				q, n = OnlyGenus, 1 // "sp. Nr. 7"
			}
			r.labelOf(r.tokens[i])
			if strings.HasSuffix(r.tokens[i+n-1], ",") {
				r.comma = len(r.words)
			}
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

// isNear takes "near", "nr" and "prox." for "aff." between genus and epithet; elsewhere they begin a place.
func (r *reader) isNear(i int) bool {
	switch squeeze(r.tokens[i]) {
	case "near", "nr", "prox":
		return i == 1 && i+1 < len(r.tokens) && r.isEpithet(r.tokens[i+1]) && startsUpper(r.tokens[0]) &&
			(i+2 == len(r.tokens) || startsUpper(r.tokens[i+2]) || !isWord(r.tokens[i+2]))
	}
	return false
}

func (r *reader) takeName() bool {
	hybrid := r.takeHybrid()
	if !r.takeGenus() {
		return false
	}
	r.takeGroup()
	hybrid = r.takeHybrid() || hybrid
	if !r.takeQuoted() && !r.takeLabel() && !(r.isUnnamed() && strings.HasPrefix(r.peek(), "(")) && (r.comma == 0 || r.comma != r.at) {
		r.takeEpithet()
	}
	r.takeTail()
	r.takeSense()
	if r.isSeveral() || hybrid && r.w.Epithet == "" && r.w.Author != "" {
		return false
	}
	r.w.Rank, r.w.Canonical = r.rank(), r.canonical(hybrid)
	return r.w.Rank != ""
}

// isSeveral finds what names two: a hybrid formula, or "this or that".
func (r *reader) isSeveral() bool {
	words := r.words
	if r.noteAt > 0 && !r.notesAnother() { // "on oak or beech" is no other name
		words = words[:r.noteAt]
	}
	for _, word := range words {
		if word == "or" || word == "vs" || word == "vs." || strings.Contains(word, "/") {
			return true
		}
	}
	for i := max(r.epithet, 1); i+1 < len(words); i++ { // a hybrid formula (Art. H.2.1)
		if (words[i] == "×" || words[i] == "x") && r.epithet > 0 && isWord(strings.TrimRight(words[i+1], ".,;")) {
			return true
		}
	}
	return strings.Contains(" "+r.w.Author+" ", " × ")
}

// notesAnother finds a second name behind a comma: "Amanita phalloides, young, or A. virosa".
func (r *reader) notesAnother() bool {
	for i := r.noteAt; i+2 < len(r.words); i++ {
		if word := r.words[i]; (word == "or" || word == "vs" || word == "vs.") && startsUpper(r.words[i+1]) && !startsUpper(r.words[i+2]) {
			return true
		}
	}
	return false
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
	bare, dotted := strings.CutSuffix(word, ".")
	bare = mend(bare)
	short := utf8.RuneCountInString(bare) <= 3 && startsUpper(bare) || utf8.RuneCountInString(bare) == 1
	if !isWord(bare) || isReserved(squeeze(bare)) && !short {
		return false
	}
	r.at++
	dot := ""
	if dotted || utf8.RuneCountInString(bare) < 3 {
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
		r.w.SectionRank = groupWords[squeeze(r.peek())]
		r.w.Section = capital(strings.Trim(r.words[r.at+1], ",;()"))
		r.at += 2
	}
	word := r.peek()
	inside := strings.TrimSuffix(strings.TrimPrefix(word, "("), ")")
	if len(inside) != len(word)-2 || !isWord(strings.TrimSuffix(inside, ".")) {
		return
	}
	if r.at+1 < len(r.words) && r.isEpithet(strings.TrimRight(r.words[r.at+1], ",;:.!")) {
		r.at++
	}
}

func (r *reader) takeEpithet() {
	word := r.bareWord()
	if inside, ok := strings.CutPrefix(word, "("); ok && r.isEpithet(strings.TrimSuffix(inside, ")")) && strings.HasSuffix(inside, ")") {
		word = strings.TrimSuffix(inside, ")") // "Amanita (phalloides)": the writer was not sure
		r.doubts = append(r.doubts, doubt{Doubt, r.at})
	}
	if !r.isEpithet(word) && !r.isCapitalEpithet(word) {
		return
	}
	r.w.Epithet = strings.ToLower(word)
	r.at++
	r.epithet = r.at
}

// bareWord is the next word without what ends a sentence, and with its letters mended.
func (r *reader) bareWord() string {
	word := strings.TrimRight(r.peek(), ",;:!")
	if bare := strings.TrimRight(word, "."); !startsUpper(word) || r.caps {
		word = bare
	}
	return mend(word)
}

// isEpithet says whether a word stands where an epithet may: small letters, or capitals among capitals.
func (r *reader) isEpithet(word string) bool {
	if !isWord(word) || utf8.RuneCountInString(word) < 2 || isReserved(squeeze(word)) {
		return false
	}
	return !startsUpper(word) || r.caps
}

// isCapitalEpithet takes "Boletus Satanas" for what it is and leaves "Boletus Fries" a genus with its author.
func (r *reader) isCapitalEpithet(word string) bool {
	lower := strings.ToLower(word)
	if !isWord(word) || utf8.RuneCountInString(word) < 4 || authorNames[lower] || isReserved(lower) {
		return false
	}
	if word == strings.ToUpper(word) && r.words[0] == strings.ToUpper(r.words[0]) && len(r.words[0]) > 3 {
		return true // AMANITA VULGARE Fr.
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
			if r.at < len(r.words) && !r.startsNote() {
				r.w.Author = "" // of the species; the name's own follows
			}
			continue
		}
		if r.startsNote() {
			r.takeNote()
			break
		}
		r.w.Author = strings.TrimSpace(r.w.Author + " " + r.words[r.at])
		r.at++
	}
	r.w.Author = strings.Trim(r.w.Author, " ,;")
}

// takeInfra takes "var. alba". In "Hook. f. ex Berk." the letter is a son, not a form.
func (r *reader) takeInfra() bool {
	rank, known := infraWords[squeeze(r.peek())]
	if known = known || unranked[squeeze(r.peek())]; !known || r.w.Epithet == "" || startsUpper(r.peek()) && !r.caps {
		return false
	}
	next := r.at + 1
	if next+1 < len(r.words) && squeeze(r.words[next]) == "sp" {
		next++
	}
	if next >= len(r.words) || !r.isEpithet(strings.TrimRight(r.words[next], ",;:.!")) {
		return false
	}
	r.w.InfraRank, r.w.Infra = rank, strings.ToLower(strings.TrimRight(r.words[next], ",;:.!"))
	r.infra, r.at = r.at+1, next+1
	return true
}

// takeThirdWord takes "Amanita muscaria formosa", in which the rank was left out.
func (r *reader) takeThirdWord() {
	word := strings.TrimRight(r.peek(), ",;:")
	if r.w.Epithet == "" || r.caps || r.afterComma() || noteWords[squeeze(word)] || !r.isEpithet(word) {
		return
	}
	r.w.Infra = strings.ToLower(word)
	r.at++
	r.infra = r.at
}
