package taxon

import (
	"strings"
	"unicode"
)

// doubtWords are the spellings of each qualifier, without dots and blanks. Which word is used for what is common
// practice; workers differ, so the verbatim text is always kept.
var doubtWords = map[string]Qualifier{
	"cf": Confer, "cfr": Confer, "confer": Confer,
	"aff": Affinis,
	"sp":  OnlyGenus, "spp": OnlyGenus, "spec": OnlyGenus, "species": OnlyGenus,
	"group": Group, "grp": Group, "gr": Group, "gp": Group, "agg": Group, "aggr": Group, "aggregate": Group,
	"complex": Group, "speciesgroup": Group, "speciescomplex": Group, "spgroup": Group, "spcomplex": Group,
	"sl": SensuLato, "slat": SensuLato, "slato": SensuLato, "sensulato": SensuLato, "senslat": SensuLato,
	"sensul": SensuLato, "sslat": SensuLato, "sslato": SensuLato, "sensulat": SensuLato,
	"ss": SensuStrict, "sstr": SensuStrict, "sensustricto": SensuStrict, "sensstr": SensuStrict,
	"sensustr": SensuStrict, "ssstr": SensuStrict, "ssstricto": SensuStrict, "sstricto": SensuStrict,
	"?":    Doubt,
	"ined": Ineditus, "inedit": Ineditus, "nomined": Ineditus, "nomprov": Ineditus, "adint": Ineditus,
	"prov": Ineditus, "spnov": Ineditus, "nomenprovisorium": Ineditus,
	"auct": SensuAuct, "auctt": SensuAuct, "sensuauct": SensuAuct, "sensuauctt": SensuAuct, "ssauct": SensuAuct,
	"sensuauctorum": SensuAuct, "auctorum": SensuAuct,
}

// width orders doubts: of two that are written the one that leaves more names open is kept.
var width = map[Qualifier]int{
	OnlyGenus: 9, Affinis: 8, Group: 7, SensuLato: 6, Doubt: 5, Confer: 4, SensuAuct: 3, Ineditus: 2, SensuStrict: 1,
}

// infraWords are the spellings of ranks below species.
var infraWords = map[string]Rank{
	"subsp": Subspecies, "ssp": Subspecies, "subspecies": Subspecies, "subspec": Subspecies,
	"var": Variety, "v": Variety, "varietas": Variety, "variety": Variety,
	"f": FormaRank, "fo": FormaRank, "fma": FormaRank, "forma": FormaRank, "form": FormaRank, "fsp": FormaRank,
}

var infraSpelt = map[Rank]string{Subspecies: "subsp.", Variety: "var.", FormaRank: "f."}

// groupWords are the spellings of ranks between genus and species, in one spelling each.
var groupWords = map[string]string{
	"sect": "sect.", "section": "sect.", "sectio": "sect.",
	"subg": "subg.", "subgen": "subg.", "subgenus": "subg.",
	"subsect": "subsect.", "subsection": "subsect.",
}

// authorWords are lower-case words that belong to the author's part and are never epithets.
var authorWords = map[string]bool{
	"ex": true, "in": true, "et": true, "and": true, "non": true, "nec": true, "not": true, "apud": true, "emend": true,
	"de": true, "der": true, "den": true, "van": true, "von": true, "du": true, "da": true, "do": true, "dos": true,
	"la": true, "le": true, "sensu": true, "ss": true, "al": true, "fil": true, "bis": true, "pp": true, "nom": true,
	"or": true, "vs": true, "with": true, "on": true, "under": true, "at": true, "from": true, "near": true,
}

// proseWords tell a sentence from a name with its author.
var proseWords = map[string]bool{"with": true, "on": true, "under": true, "at": true, "from": true, "near": true}

// authorNames end as an epithet does but are people, written out after a genus.
var authorNames = map[string]bool{
	"corda": true, "bresadola": true, "battarra": true, "linnaeus": true, "dillenius": true, "montagne": true,
}

// squeeze brings a mark to the spelling of the tables: no dots, commas, brackets or blanks, lower case.
func squeeze(s string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune(".,;:()[]", r) || unicode.IsSpace(r) {
			return -1
		}
		return unicode.ToLower(r)
	}, s)
}

// doubtAt finds the longest mark of doubt that starts at a token, and how many tokens it takes.
func doubtAt(tokens []string, i int, caps bool) (Qualifier, int) {
	for n := min(3, len(tokens)-i); n > 0; n-- {
		phrase := squeeze(strings.Join(tokens[i:i+n], ""))
		q, known := doubtWords[phrase]
		if known && !isPersons(tokens, i, n, phrase, caps) {
			return q, n
		}
	}
	if numbered := squeeze(tokens[i]); len(numbered) > 2 && strings.HasPrefix(numbered, "sp") && onlyDigits(numbered[2:]) {
		return OnlyGenus, 1
	}
	return None, 0
}

// isPersons tells the initials "S. L." and the "ss" of "ss Lange" from marks.
func isPersons(tokens []string, i, n int, phrase string, caps bool) bool {
	if phrase == "ss" && !caps && i+n < len(tokens) && startsUpper(tokens[i+n]) {
		return true
	}
	short := phrase == "sl" || phrase == "ss" || phrase == "gr" || phrase == "slat"
	return short && startsUpper(tokens[i]) && !caps
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

// isWord says whether a token could be a part of a name: letters, with hyphens or an apostrophe inside.
func isWord(s string) bool {
	for i, r := range s {
		if !unicode.IsLetter(r) && (i == 0 || r != '-' && r != '\'' && r != '’' && !unicode.IsMark(r)) {
			return false
		}
	}
	return s != ""
}
