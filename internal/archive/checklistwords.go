package archive

import (
	_ "embed"
	"fmt"
	"strings"

	"golang.org/x/text/language"

	"forayhall/internal/taxon"
)

//go:embed checklist.txt
var checklistFile string

var checklistWords = mustReadWords(checklistFile)

// wordLists are the lines of checklist.txt: for a kind, the spellings of each meaning, folded.
type wordLists map[string]map[string][]string

func mustReadWords(data string) wordLists {
	all := wordLists{}
	for i, line := range strings.Split(data, "\n") {
		if line == "" || strings.HasPrefix(line, "//") {
			continue
		}
		head, list, ok := strings.Cut(line, ": ")
		kind, meaning, two := strings.Cut(head, " ")
		if !ok || !two || all[kind][meaning] != nil {
			panic(fmt.Sprintf("archive: checklist.txt line %d: no colon, or a meaning twice", i+1))
		}
		if all[kind] == nil {
			all[kind] = map[string][]string{}
		}
		for _, word := range strings.Split(list, ", ") {
			all[kind][meaning] = append(all[kind][meaning], fold(word))
		}
	}
	return all
}

// meanings turns a kind round: from the folded word to what it means.
func (w wordLists) meanings(kind string) map[string]string {
	by := map[string]string{}
	for meaning, words := range w[kind] {
		for _, word := range words {
			if by[word] != "" {
				panic(fmt.Sprintf("archive: checklist.txt: %s %q means two things", kind, word))
			}
			by[word] = meaning
		}
	}
	return by
}

var (
	statusWords   = checklistWords.meanings("status")
	rankWords     = checklistWords.meanings("rank")
	languageWords = checklistWords.meanings("language")
	nothingWords  = checklistWords.meanings("nothing")
)

// clean is a cell without what databases and statistics programs write for nothing (common practice).
func clean(cell string) string {
	switch cell = strings.TrimSpace(cell); cell {
	case `\N`, "/N", "NULL", "null", "N/A", "NA", "-", "--":
		return ""
	}
	return cell
}

// isNoTaxon tells what stands in a column of the classification for no taxon.
func isNoTaxon(word string) bool { return nothingWords[fold(word)] != "" }

// readStatus gives the meaning of a status word, "" for one that is not known.
func readStatus(word string) string { return statusWords[fold(word)] }

// readRank gives the rank of a word; false means that lists here do not keep it.
func readRank(word string) (taxon.Rank, bool) {
	rank, ok := rankWords[fold(word)]
	return taxon.Rank(rank), ok
}

// undetermined is the tag for a language that is not said (BCP 47, ISO 639-2 "und").
const undetermined = "und"

// readLanguage gives a BCP 47 tag for a code or an English name.
func readLanguage(word string) string {
	if tag := languageWords[fold(word)]; tag != "" {
		return tag
	}
	tag, err := language.Parse(word)
	if err != nil || word == "" || len(word) > 12 {
		return undetermined
	}
	return tag.String()
}

// The columns that a list of names may have, in the order of columnNames.
const (
	colID = iota
	colNameID
	colTaxonRef
	colName
	colAuthor
	colRank
	colStatus
	colAcceptedID
	colAccepted
	colParentID
	colParent
	colUninomial
	colGenericName
	colGenus
	colInfragenus
	colEpithet
	colInfra
	colCultivar
	colNotho
	colCombination
	colCombinationEx
	colBasionym
	colBasionymEx
	colKingdom
	colPhylum
	colClass
	colOrder
	colFamily
	colProvisional
	colCode
	colCommon
	colLanguage
	colFind
	columnCount
)

var columnNames = [columnCount]string{"id", "nameID", "taxonRef", "name", "author", "rank", "status", "acceptedID",
	"accepted", "parentID", "parent", "uninomial", "genericName", "genus", "infragenus", "epithet", "infra", "cultivar",
	"notho", "combination", "combinationEx", "basionym", "basionymEx", "kingdom", "phylum", "class", "order", "family",
	"provisional", "code", "common", "language", "find"}

// columnSet says where each column stands in a row and what it is where the cell is empty.
type columnSet [columnCount]columnAt

type columnAt struct {
	at       int // -1 where there is none
	fallback string
}

func (c columnAt) of(cells []string) string {
	if c.at >= 0 && c.at < len(cells) {
		if cell := clean(cells[c.at]); cell != "" {
			return cell
		}
	}
	return c.fallback
}

func (c columnAt) there() bool { return c.at >= 0 || c.fallback != "" }

// findColumnSet finds columns by their names or terms, of which only what follows the last sign counts:
// "http://rs.tdwg.org/dwc/terms/taxonID" and "dwc:taxonID" are taxonID. Fallbacks are by folded name.
func findColumnSet(names []string, fallbacks map[string]string) (c columnSet) {
	at := make(map[string]int, len(names))
	for i, name := range names {
		key := foldTerm(name)
		if _, twice := at[key]; !twice && key != "" {
			at[key] = i
		}
	}
	for i, name := range columnNames {
		c[i].at = -1
		for _, word := range checklistWords["column"][name] {
			if found, ok := at[word]; ok && c[i].at < 0 {
				c[i].at = found
			}
			if value, ok := fallbacks[word]; ok && c[i].fallback == "" {
				c[i].fallback = value
			}
		}
	}
	return c
}

func foldTerm(term string) string { return fold(term[strings.LastIndexAny(term, "/:#")+1:]) }
