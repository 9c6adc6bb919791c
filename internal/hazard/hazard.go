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
	Key         string // short, for files and styles: amatoxin
	Name        string
	Plain       string // in words a visitor understands
	Toxin       string
	OnsetMin    *float64 // hours; nil where not established
	OnsetMax    *float64
	CountedFrom string // what the hours are counted from: meal, alcohol, exposure
	Organs      string
	Severity    int // 1..5
	SeverityWhy string
	Source      string
}

// Scope says which names under a wide row the row speaks of.
type Scope string

const (
	AllOfIt Scope = "all"     // every species of it, named or not
	Unnamed Scope = "unnamed" // only what stops at this rank, or whose epithet is not known
)

// Evidence says how firm a row is. It never weakens a warning.
const (
	Reported  = "reported"
	Suspected = "suspected"
	InDispute = "disputed" // experts say so and others deny it in print; the note of the row says who
)

// Row is one hazardous taxon as it stands in a file.
type Row struct {
	Taxon    string
	Rank     taxon.Rank
	Scope    Scope
	Syndrome string // key
	Exposure Exposure
	Region   string   // EU, NA, Asia, Australasia, both (EU and NA), world; several with ";"; empty: world
	Former   []string // other names of the row's own, former or newer
	Evidence string
	Source   string
	Note     string
	Own      string // id of the society's row; empty: it ships
}

// Entry is a row of the knowledge, joined with its syndrome.
type Entry struct {
	Row
	ID       string // "taxon / syndrome" and the exposure unless it is a meal; unique
	Syndrome *Syndrome
}

// Pair is a mistake that happens: somebody looks for Gathered and picks Poisonous.
type Pair struct {
	Gathered    string
	Poisonous   string
	Region      string
	Differences string // characters that can be checked on a plate
	Source      string
	Own         string // id of the society's pair; empty: it ships
}

// Group is a form group: what is known of a collection before it has a name.
type Group struct {
	Key     string
	Name    string
	SpoilsH int      // hours that it stays usable on a table of 18-22 °C
	Members []string // genera and families that it could be
	Source  string
}

// Finding is one syndrome that a name may bring, and why.
type Finding struct {
	Matched     string // the name of the knowledge that the asked name was taken for
	Severity    int    // 1..5; 0 for NoEntry
	Syndrome    *Syndrome
	Via         Via
	Entry       *Entry    // the row that fired; nil for NoEntry
	Wide        bool      // the asked name leaves open which species it is, and this is one it could be
	OutOfRegion bool      // the row is of another region than the event's: shown, not hidden
	Beside      []*Entry  // other rows that say the same syndrome of it, where some are the society's
	Contests    []Contest // of the society, about Entry and Beside; they lower nothing
}
