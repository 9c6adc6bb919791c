package taxon

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// doubtWords are the spellings of each qualifier, without dots and blanks. The signs of open nomenclature and what they
// say follow Sigovini, Keppel and Tagliapietra 2016, Methods in Ecology and Evolution 7: 1217-1225 (its list from
// memory); the German, French and Italian ones and the spellings are common practice. Workers differ, so the verbatim
// text is always kept.
var doubtWords = map[string]Qualifier{
	"cf": Confer, "cfr": Confer, "confer": Confer, "vgl": Confer, "spcf": Confer,
	"aff": Affinis, "spaff": Affinis, "exaff": Affinis, "spnr": Affinis, "spnear": Affinis, "spprox": Affinis,
	"sp": OnlyGenus, "spp": OnlyGenus, "spec": OnlyGenus, "species": OnlyGenus, "indet": OnlyGenus, "spindet": OnlyGenus,
	"stet": OnlyGenus, "gensp": OnlyGenus, "genspp": OnlyGenus, "genetsp": OnlyGenus, "genindet": OnlyGenus,
	"spinc": OnlyGenus, "spinq": OnlyGenus, "questionmark": Doubt,
	"group": Group, "grp": Group, "gr": Group, "gp": Group, "agg": Group, "aggr": Group, "aggregate": Group,
	"complex": Group, "cplx": Group, "exgr": Group, "exgrege": Group, "exgroup": Group, "sammelart": Group, "artengruppe": Group,
	"aggregat": Group, "groupe": Group, "gruppe": Group, "gruppo": Group, "speciesgroup": Group, "speciescomplex": Group, "spgroup": Group, "spcomplex": Group,
	"sl": SensuLato, "slat": SensuLato, "slato": SensuLato, "sensulato": SensuLato, "senslat": SensuLato,
	"sensul": SensuLato, "sslat": SensuLato, "sslato": SensuLato, "sensulat": SensuLato,
	"sampl": SensuLato, "sensuamplo": SensuLato, "iws": SensuLato, "ies": SensuStrict, "senslato": SensuLato, "sensstricto": SensuStrict,
	"ss": SensuStrict, "sstr": SensuStrict, "sensustricto": SensuStrict, "sensstr": SensuStrict,
	"sensustr": SensuStrict, "ssstr": SensuStrict, "ssstricto": SensuStrict, "sstricto": SensuStrict,
	"?":    Doubt,
	"ined": Ineditus, "inedit": Ineditus, "nomined": Ineditus, "nomprov": Ineditus, "adint": Ineditus,
	"prov": Ineditus, "spnov": Ineditus, "nsp": Ineditus, "spn": Ineditus, "novsp": Ineditus, "nomenprovisorium": Ineditus,
	"nomprovis": Ineditus, "spined": Ineditus, "adinterim": Ineditus,
	"auct": SensuAuct, "auctt": SensuAuct, "sensuauct": SensuAuct, "sensuauctt": SensuAuct, "ssauct": SensuAuct,
	"sensuauctorum": SensuAuct, "auctorum": SensuAuct,
}

// width orders doubts: of two that are written the one that leaves more names open is kept.
var width = map[Qualifier]int{
	OnlyGenus: 9, Affinis: 8, Group: 7, SensuLato: 6, Doubt: 5, Confer: 4, SensuAuct: 3, Ineditus: 2, SensuStrict: 1,
}

// infraWords are the spellings of ranks below species.
// The hybrid ranks ("nothovar.", Art. H.3.1) are read as the ranks they answer to.
var infraWords = map[string]Rank{
	"nothosubsp": Subspecies, "nothovar": Variety, "nothof": FormaRank,
	"subsp": Subspecies, "ssp": Subspecies, "subspecies": Subspecies, "subspec": Subspecies,
	"var": Variety, "v": Variety, "varietas": Variety, "variety": Variety,
	"f": FormaRank, "fo": FormaRank, "fma": FormaRank, "forma": FormaRank, "form": FormaRank, "fsp": FormaRank,
}

var infraSpelt = map[Rank]string{Subspecies: "subsp.", Variety: "var.", FormaRank: "f."}

// unranked mark an epithet below species to which no rank was given (Art. 37.3), in older works by a letter or a star.
var unranked = map[string]bool{"α": true, "β": true, "γ": true, "δ": true, "ε": true, "*": true, "unranked": true}

// groupWords are the spellings of ranks between genus and species (Art. 4, 21), in one spelling each; the stirps is no
// rank of the code and was used by Singer and others for a group of related species.
var groupWords = map[string]string{
	"ser": "ser.", "series": "ser.", "subser": "subser.", "subseries": "subser.", "stirps": "stirps",
	"sect": "sect.", "section": "sect.", "sectio": "sect.",
	"subg": "subg.", "subgen": "subg.", "subgenus": "subg.",
	"subsect": "subsect.", "subsection": "subsect.",
}

// authorWords are lower-case words that belong to the author's part and are never epithets.
var authorWords = map[string]bool{
	"ex": true, "in": true, "et": true, "and": true, "non": true, "nec": true, "not": true, "apud": true, "emend": true,
	"de": true, "der": true, "den": true, "van": true, "von": true, "du": true, "da": true, "do": true, "dos": true,
	"la": true, "le": true, "sensu": true, "ss": true, "al": true, "fil": true, "bis": true, "pp": true, "nom": true,
	"nr": true, "prox": true, "or": true, "vs": true, "with": true, "on": true, "under": true, "at": true, "from": true, "near": true,
}

// proseWords tell a sentence from a name with its author.
var proseWords = map[string]bool{"with": true, "on": true, "under": true, "at": true, "from": true, "near": true}

// authorNames end as an epithet does but are people, written out after a genus.
var authorNames = map[string]bool{
	"corda": true, "bresadola": true, "battarra": true, "linnaeus": true, "dillenius": true, "montagne": true,
}

// squeeze brings a mark to the spelling of the tables: no dots, commas, brackets or blanks, lower case.
func squeeze(s string) string {
	if isSmallASCII(s) {
		return s
	}
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune(".,;:()[]", r) || unicode.IsSpace(r) {
			return -1
		}
		return unicode.ToLower(r)
	}, s)
}

// isNumbered finds "sp2".
func isNumbered(squeezed string) bool {
	return len(squeezed) > 2 && strings.HasPrefix(squeezed, "sp") && onlyDigits(squeezed[2:])
}

func isSmallASCII(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] < 'a' || s[i] > 'z' {
			return false
		}
	}
	return true
}

// doubtStarts are all beginnings of marks of doubt, by which most words are passed over.
var doubtStarts = func() map[string]bool {
	starts := map[string]bool{}
	for phrase := range doubtWords {
		for i := range phrase {
			starts[phrase[:i]] = true
		}
		starts[phrase] = true
	}
	return starts
}()

// doubtAt finds the longest mark of doubt that starts at a token, and how many tokens it takes.
func doubtAt(tokens []string, i int, caps bool) (Qualifier, int) {
	first := squeeze(tokens[i])
	longest := min(4, len(tokens)-i)
	if !doubtStarts[first] {
		longest = 0
	}
	for n := longest; n > 0; n-- {
		phrase := squeeze(strings.Join(tokens[i:i+n], ""))
		q, known := doubtWords[phrase]
		if known && !isPersons(tokens, i, n, phrase, caps) {
			return q, n
		}
	}
	if isNumbered(first) || isCode(tokens[i]) && strings.HasPrefix(first, "sp-") {
		return OnlyGenus, 1
	}
	return None, 0
}

// isPersons tells the initials "S. L.", "C.F." and the "ss" of "ss Lange" from marks.
func isPersons(tokens []string, i, n int, phrase string, caps bool) bool {
	if !caps && i > 0 && areInitials(tokens[i:i+n]) {
		return true
	}
	if n > 1 && len(squeeze(tokens[i])) == 1 && len(squeeze(tokens[i+1])) > 1 && startsUpper(tokens[i]) { // "A. ff"
		return true
	}
	if phrase == "ss" && !caps && i+n < len(tokens) && startsUpper(tokens[i+n]) {
		return true
	}
	short := phrase == "sl" || phrase == "ss" || phrase == "gr" || phrase == "slat"
	return short && startsUpper(tokens[i]) && !caps
}

// areInitials finds capitals with dots, two at least: "C. F.", "C.F.", "S.P.".
func areInitials(tokens []string) bool {
	capitals := 0
	for _, t := range tokens {
		for i, r := range t {
			if r == '.' {
				continue
			}
			if !unicode.IsUpper(r) || i+utf8.RuneLen(r) >= len(t) || t[i+utf8.RuneLen(r)] != '.' {
				return false
			}
			capitals++
		}
	}
	return capitals > 1
}

func onlyDigits(s string) bool {
	return strings.Trim(s, "0123456789") == ""
}

func startsUpper(s string) bool {
	for _, r := range strings.TrimLeft(s, "([") {
		return unicode.IsUpper(r)
	}
	return false
}

// isWord says whether a token could be a part of a name: Latin letters (Art. 16 to 23, 60), with hyphens or an
// apostrophe inside.
func isWord(s string) bool {
	last := ' '
	for i, r := range s {
		inside := r == '-' || r == '\'' || r == '’'
		if !unicode.Is(unicode.Latin, r) && (i == 0 || !inside && !unicode.IsMark(r)) {
			return false
		}
		last = r
	}
	return s != "" && last != '-' && last != '\'' && last != '’'
}

// isReserved finds words that say something of a name and are no part of one.
func isReserved(lower string) bool {
	_, doubt := doubtWords[lower]
	_, infra := infraWords[lower]
	_, group := groupWords[lower]
	return doubt || infra || group || authorWords[lower] || unranked[lower]
}
