package foray

import (
	"strings"
	"time"
)

// SlipKind says what a slip does.
type SlipKind string

const (
	FieldName   SlipKind = "field_name"   // a tentative determination: one to five ranked names
	SignOff     SlipKind = "sign_off"     // one name that its determiner stands behind
	NotNameable SlipKind = "not_nameable" // too old, immature
	NotFungus   SlipKind = "not_fungus"
	Strike      SlipKind = "strike" // takes back a slip of one's own; the slip stays to be read
)

// SlipKinds lists the kinds.
var SlipKinds = []SlipKind{FieldName, SignOff, NotNameable, NotFungus, Strike}

// Basis says what a determination rests on.
type Basis string

// Bases lists the bases of a determination in the order in which a bench meets them.
var Bases = []Basis{"macroscopic", "microscopy", "reagent", "spore_print", "comparison", "sequence",
	"photograph_only", "in_the_field"}

// NotStated is the basis of a record of the past that says nothing of what it rests on. No form offers it.
const NotStated Basis = "not_stated"

// Known reports whether b is one of Bases.
func (b Basis) Known() bool {
	for _, k := range Bases {
		if b == k {
			return true
		}
	}
	return false
}

// MostNames is how many names one field name may rank.
const MostNames = 5

// SlipName is one name on a slip. Names as determined are never altered; CurrentKey is what the name meant under
// the classification of ChecklistRev when it was written.
type SlipName struct {
	Rank         int    // 1..5
	Verbatim     string // as written
	Key          string // folded canonical name; "" where it could not be read as a known name
	CurrentKey   string // key of the accepted name at the time; "" where not known
	Name         string // canonical; Verbatim where not known
	Author       string
	NameRank     string // taxon rank of Name
	Qualifier    string
	Position     string // the part the qualifier stands at
	Reason       string
	ChecklistRev string
}

// SameAs reports whether two names say the same: one taxon under the classification they were written with, or one name
// by one author though the classification changed in between; and one qualifier.
func (n SlipName) SameAs(m SlipName) bool {
	one := n.Key != "" && n.Key == m.Key && n.Author == m.Author
	return (one || n.sense() == m.sense()) && n.Qualifier == m.Qualifier
}

func (n SlipName) sense() string {
	switch {
	case n.CurrentKey != "":
		return n.CurrentKey
	case n.Key != "":
		return n.Key
	}
	return strings.ToLower(strings.TrimSpace(n.Verbatim))
}

// Slip is a row added to a collection's history; none is ever changed or removed.
type Slip struct {
	ID           ID
	CollectionID ID
	Seq          int // the collection's version once the slip was added: 1, 2, …
	Kind         SlipKind
	Determiner   ID // who says so
	Writer       ID // who wrote it down
	HappenedAt   time.Time
	RecordedAt   time.Time
	Basis        Basis
	Strikes      ID // for Strike: the slip taken back
	Remarks      string
	Names        []SlipName // by rank; empty but for FieldName and SignOff
	Looked       []Look     // for what was looked before the name was signed
	CarriedFrom  ID         // the plate of which it was said, where that was split or merged; zero for what was said here
}

// Carried reports whether a slip brings on what somebody had said of another plate. Its writer only split or merged.
func (s Slip) Carried() bool { return !s.CarriedFrom.IsZero() }

// Name is the first name, for a sign-off the only one.
func (s *Slip) Name() SlipName {
	if len(s.Names) == 0 {
		return SlipName{}
	}
	return s.Names[0]
}
