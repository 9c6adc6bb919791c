// Package taxon reads the names of fungi as people write them and finds the name meant and its current name.
// It keeps what was written, follows synonyms, and says so when it is not sure; it never guesses between two
// names and never alters a name as determined.
package taxon

import "strings"

// Rank is a rank of a name. Form is a rank of our own: a form group such as "small brown agaric".
type Rank string

const (
	Form       Rank = "form"
	Kingdom    Rank = "kingdom"
	Phylum     Rank = "phylum"
	Class      Rank = "class"
	Order      Rank = "order"
	Family     Rank = "family"
	Genus      Rank = "genus"
	Section    Rank = "section"
	Species    Rank = "species"
	Subspecies Rank = "subspecies"
	Variety    Rank = "variety"
	FormaRank  Rank = "forma"
)

// Qualifier is a doubt or a width written with a name, in one spelling each.
type Qualifier string

const (
	None        Qualifier = ""
	Confer      Qualifier = "cf."    // probably this, to be compared
	Affinis     Qualifier = "aff."   // near to it but not it
	SensuLato   Qualifier = "s.l."   // in the wide sense
	SensuStrict Qualifier = "s.str." // in the narrow sense
	Group       Qualifier = "group"  // one of a complex
	OnlyGenus   Qualifier = "sp."    // named to genus
	Doubt       Qualifier = "?"      // a question mark before or after a name
	Ineditus    Qualifier = "ined."  // unpublished
	SensuAuct   Qualifier = "auct."  // as misused by authors
)

// Written is a name as read from what somebody wrote.
type Written struct {
	Verbatim  string    // exactly as written
	Canonical string    // without authors and qualifiers, ranks spelt "sect.", "subsp.", "var.", "f."
	Genus     string    // as written, capital first; may be an abbreviation such as "A."
	Section   string    // for Amanita sect. Phalloideae
	Epithet   string    // species epithet, lower case
	InfraRank Rank      // Subspecies, Variety or FormaRank, or ""
	Infra     string    // infraspecific epithet
	Author    string    // what follows the name, as written, tidied of double spaces
	Rank      Rank      // "" when it does not read as a scientific name
	Qualifier Qualifier // the widest doubt written
	Position  Rank      // which part the qualifier stands before (or after): Genus, Species, Variety

	SectionRank string // how the rank of Section is spelt: "sect.", "subg.", "subsect.", "ser.", "stirps"
	Label       string // what tells one unnamed species from the next: the 1 of "sp. 1", the code "sp-AUS02"
	Provisional bool   // not a published name: in quotation marks, a code, ined., nom. prov., sp. nov.
	SenseOf     string // the author in whose sense the name is used: Lange in "sensu Lange"
	NotOf       string // the author whose name is not meant: Fr. in "auct. non Fr."
	Note        string // what was written behind the name and is no part of it
}

// Authorship takes the author's part of the name apart.
func (w Written) Authorship() Authorship { return ReadAuthors(w.Author) }

// Name is one name of the index, accepted or not.
type Name struct {
	Key      string // folded canonical name, the key that slips store: "amanita phalloides"
	Name     string // canonical: "Amanita phalloides"
	Author   string
	Rank     Rank
	Accepted *Name  // nil when this is the current name itself
	Reason   string // why a former name is former: moved, merged, split, misapplied, spelling, alternative
	Family   string // of the accepted classification; "" where not known or not applicable
	Order    string
	Class    string
	Phylum   string
	Kingdom  string
	Section  string // of the genus, where known
	Common   []Common
	Disputed string // what experts disagree about, or ""
	Source   string
}

// Common is a common name in one language (BCP 47 tag).
type Common struct {
	Name     string
	Language string
	Source   string
}

// Current is the accepted name: itself, or where a synonym points.
func (n *Name) Current() *Name {
	if n.Accepted != nil {
		return n.Accepted
	}
	return n
}

// How says how a written name was matched.
type How string

const (
	Same      How = "same"       // exactly, but for authors, qualifiers, case and accents
	Short     How = "short"      // abbreviated genus
	Spelling  How = "spelling"   // a misspelling that has one reading
	GenusOnly How = "genus only" // the last part is not known, the next wider name is: the genus, or the species of an unknown variety
	Several   How = "several"    // more than one name could be meant
	Nothing   How = "nothing"    // not there
)

// Match is what a written name was found to be.
type Match struct {
	Written    Written
	How        How
	Found      *Name       // nil for Several and Nothing
	Score      float64     // 0..1
	Slips      float64     // what must have gone wrong for Found to be meant: 0 nothing, 1 a letter
	Candidates []Candidate // for Several, at most five, best first
}

// Candidate is a name that could be meant.
type Candidate struct {
	Name  *Name
	Score float64
}

// LiesWithin reports whether an accepted name is of a wider one: by its first words, or by its classification.
func (n *Name) LiesWithin(wider *Name) bool {
	switch wider.Rank {
	case Family:
		return n.Family == wider.Name
	case Order:
		return n.Order == wider.Name
	case Class:
		return n.Class == wider.Name
	case Section:
		in := Read(wider.Name)
		return n.Section != "" && Fold(n.Section) == Fold(in.Section) && strings.HasPrefix(n.Key, Key(in.Genus)+" ")
	}
	return strings.HasPrefix(n.Key, wider.Key+" ")
}
