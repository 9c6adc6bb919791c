// Package hazard says what harm is known of the names that a collection may bear, and makes the warning sheet as
// data. It fails safe: doubt widens a warning, a former name hits like the current one, and a name that is not in
// the knowledge is never called harmless. It never states or implies that anything may be eaten.
package hazard

import "forayhall/internal/taxon"

// Via says which rule made an entry fire.
type Via string

const (
	Listed     Via = "listed"
	FormerName Via = "former name"
	Misspelt   Via = "spelling" // within two edits of a hazardous name
	ByGroup    Via = "group"
	BySection  Via = "section"
	ByGenus    Via = "genus"
	ByFamily   Via = "family"
	ByOrder    Via = "order"
	ByForm     Via = "form"
	ByMembers  Via = "members" // the worst of what a wide name could turn out to be
	NoEntry    Via = "no entry"
)

// Exposure says by what contact harm comes.
type Exposure string

const (
	Meal    Exposure = "meal"
	Raw     Exposure = "raw"
	Alcohol Exposure = "alcohol"
	Spores  Exposure = "spores"
	Touch   Exposure = "touch"
	Some    Exposure = "some people"
	Soil    Exposure = "taken up from soil"
)

// Syndrome is a published pattern of poisoning.
type Syndrome struct {
	Key          string
	Name         string
	Plain        string   // in words a visitor understands
	Toxin        string
	OnsetMin     *float64 // hours; nil where not established
	OnsetMax     *float64
	CountedFrom  string // what the hours are counted from: meal, alcohol, exposure
	Organs       string
	Severity     int // 1..5
	SeverityWhy  string
	Source       string
}

// Entry is one hazardous taxon: a row of the knowledge.
type Entry struct {
	ID       string // "taxon / syndrome", unique
	Taxon    string
	Rank     taxon.Rank
	Syndrome *Syndrome
	Exposure Exposure
	Region   string   // EU, NA, Asia, Australasia, both, world; empty: world
	Former   []string // former names of the row's own
	Evidence string   // reported, suspected
	Source   string
	Note     string
}

// Pair is a mistake that happens: somebody looks for Gathered and picks Poisonous.
type Pair struct {
	Gathered    string
	Poisonous   string
	Region      string
	Differences string // characters that can be checked on a plate
	Source      string
}

// Finding is one syndrome that a name may bring, and why.
type Finding struct {
	Matched  string // the name of the knowledge that the asked name was taken for
	Severity int    // 1..5; 0 for NoEntry
	Syndrome *Syndrome
	Via      Via
	Entry    *Entry // the row that fired; nil for NoEntry
	OutOfRegion bool // the row is of another region than the event's: shown, not hidden
}
