package view

import (
	"strconv"

	"forayhall/internal/message"
)

// TaxonRecord is what all events of the society know of a taxon.
type TaxonRecord struct {
	Sure, Unsure int
	Tables       []TaxonCounts
	Used         []NameUsed
}

// Finds is all of them.
func (r TaxonRecord) Finds() int { return r.Sure + r.Unsure }

// TaxonCounts is one small table; Key names its texts.
type TaxonCounts struct {
	Key  string // year, site, host
	Rows []CountRow
}

// CountRow is one line of it.
type CountRow struct {
	Label        string
	Text         message.Text // instead of Label, where there is none to be told
	Sure, Unsure int
}

// NameUsed is a name under which plates were determined, with the years of its first and last use.
type NameUsed struct {
	Name        SciName
	First, Last int
	Finds       int
}

// years is how long a name was used.
func (u NameUsed) years() message.Text {
	if u.First == u.Last {
		return T("taxon.used.once", "year", strconv.Itoa(u.First))
	}
	return T("taxon.used.span", "first", strconv.Itoa(u.First), "last", strconv.Itoa(u.Last))
}

// FormerName is a name that the list has as a former one, with why and by whose word.
type FormerName struct {
	Name     SciName
	Reason   string // its text is "taxon.reason." and this; empty: not said
	Disputed string
	Source   string
}

// GlossaryWord is a word of the trade with what it means.
type GlossaryWord struct{ Word, Plain string }

// Glossary is the words of a page's texts.
type Glossary struct {
	Words  []GlossaryWord
	Source string
}
