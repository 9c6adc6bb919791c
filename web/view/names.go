package view

import (
	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

// SciName is a scientific name to be set: italics for genus and below, upright for authors, ranks and qualifiers.
// A name of rank taxon.Form is a group of the hall ("brittlegill") and is set upright.
type SciName struct {
	Name      string // canonical, or as written where nothing was matched
	Author    string
	Rank      taxon.Rank
	Qualifier taxon.Qualifier
	Position  taxon.Rank // which part the qualifier stands with
}

// Common is a common name. Borrows is set when it is built from a genus or family name.
type Common struct {
	Name     string
	Language string // BCP 47; empty: the page's
	Borrows  *Borrow
}

// Borrow says what a common name is built from.
type Borrow struct {
	Part     string // the part of the common name
	Genus    string // the genus or family it is taken from
	Relation string // current, former, unrelated
}

// Number is a collection's number, read aloud in the hall.
type Number struct {
	Code   string // "HB26"
	Digits string // "0417"
	Suffix string // "a" of a split
}

// Short is the number without the event's code, as addresses use it.
func (n Number) Short() string { return n.Digits + n.Suffix }

// Naming is how a collection is named just now, in foray's words; a dispute is drawn as a state of its own.
type Naming string

const (
	BroughtIn   Naming = "brought_in"
	Provisional Naming = "provisional"
	Confirmed   Naming = "confirmed"
	Disputed    Naming = "disputed"
	NotNameable Naming = "not_nameable"
	NotFungus   Naming = "not_fungus"
)

// Namings lists the states in the order in which a hall works them off.
var Namings = []Naming{BroughtIn, Provisional, Disputed, Confirmed, NotNameable, NotFungus}

// Hazard is the worst that is known of the names in question. The zero value is "no entry", which is never
// harmless: it is drawn as a hazard of its own. There is no value that draws nothing; leave out the pointer.
type Hazard struct {
	Severity int    // 1..5; 0: no entry
	Syndrome string // short name; empty for no entry
	Because  message.Text
}

// InQuestion is one of the names that a collection may bear.
type InQuestion struct {
	Name   SciName
	Common Common
	Hazard *Hazard
	By     []string // whose slips carry it
	Rank   int      // best rank on those slips: 1 is first choice
	Kind   SlipKind // what stands behind it
	Key    string   // what a sign-off posts to take this name: the name as text
	Act    Act      // what signing it would be; zero where this reader cannot sign
	Mixed  []Mixed  // what it is mistaken for
	Path   string   // of the taxon's page at this event; empty: no link
}
