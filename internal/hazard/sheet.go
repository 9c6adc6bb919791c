package hazard

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"forayhall/internal/message"
)

// State is how a plate is named, as the sheet has to show it.
type State string

const (
	Provisional State = "provisional"
	Confirmed   State = "confirmed"
	Disputed    State = "disputed"
	BroughtIn   State = "brought in"
)

// Plate is one collection in the hall with its names in question.
type Plate struct {
	Number   string
	Table    string // empty: not on a table
	State    State
	Names    []string // in question, as written with their qualifiers
	Group    string   // form group
	Accepted []string // the current names of those
}

// Contact is the poison contact with who typed it in and who made a test call to it.
type Contact struct {
	Name, Phone string
	TypedBy     string
	TypedAt     time.Time
	TestedBy    string
	TestedAt    time.Time
}

// Tested says whether somebody has called this very number since it was typed in.
func (c Contact) Tested() bool {
	return c.Phone != "" && c.Name != "" && c.TypedBy != "" && c.TestedBy != "" &&
		!c.TestedAt.IsZero() && !c.TestedAt.Before(c.TypedAt)
}

// SheetInput is what a warning sheet is made of.
type SheetInput struct {
	Plates  []Plate
	Region  string
	Contact Contact
	Version string
}

// Sheet is the warning sheet as data. Every plate stands in at least one of its blocks, whatever is or is not known
// of it: in Here, Wide, Nameless or NoEntry.
type Sheet struct {
	Version  string
	Contact  Contact
	Final    bool           // only with a tested poison contact
	Lacks    []message.Text // what keeps it from being final
	Here     []HereLine     // A: what is here or may be here
	Wide     []WideLine     // B: named too widely to rule out
	Nameless []Standing     // C: no name yet, treat as poisonous
	Doubles  []DoubleLine   // D: doubles of commonly gathered species on display
	NoEntry  []Standing     // plates of whose names the knowledge says nothing
	Eaten    []message.Text // what to do when something was eaten
	Caution  message.Text
}

// Standing is a plate where it stands.
type Standing struct {
	Number string
	Table  string
	State  State
	Names  []string // as written
}

// HereLine is one taxon and syndrome with the plates that are or may be it.
type HereLine struct {
	Taxon       string
	Finding     Finding
	Onset       message.Text
	Plates      []Standing
	MistakenFor []Double // what people of the region take it for, what stands in the hall first; without differences: only named
}

// WideLine is one wide name or group with the plates that bear it.
type WideLine struct {
	Name   string
	Worst  Finding   // the worst member; may be out of region
	Nearer *Finding  // the worst member of the event's region, where Worst is not one
	Others []Finding // the other syndromes, worst first
	Plates []Standing
}

// DoubleLine says: people looking for Gathered have picked Poisonous. Without differences it is only named.
type DoubleLine struct {
	Double
	Plates        []Standing // of the gathered one
	PoisonousHere bool       // the double stands in the hall too
}

// MakeSheet makes the warning sheet from what stands in the hall.
func (b *Base) MakeSheet(in SheetInput) Sheet {
	s := Sheet{Version: in.Version, Contact: in.Contact, Final: in.Contact.Tested(), Eaten: eaten(),
		Caution: message.T("hazard.caution")}
	if !s.Final {
		s.Lacks = []message.Text{lack(in.Contact)}
	}
	plates := slices.Clone(in.Plates)
	slices.SortStableFunc(plates, func(x, y Plate) int { return standFirst(standing(x), standing(y)) })
	m := sheetMaker{b: b, region: in.Region, here: map[string]*HereLine{}, wide: map[string]*WideLine{},
		doubles: map[string]*DoubleLine{}, species: map[string]bool{}}
	for _, p := range plates {
		m.take(p)
	}
	m.write(&s)
	return s
}

func lack(c Contact) message.Text {
	if c.Phone == "" || c.Name == "" || c.TypedBy == "" {
		return message.T("hazard.sheet.no-contact")
	}
	return message.T("hazard.sheet.untested")
}

func eaten() []message.Text {
	var texts []message.Text
	for _, key := range []string{"call-now", "no-vomiting", "keep", "note", "late", "amatoxin", "dog"} {
		texts = append(texts, message.T("hazard.eaten."+key))
	}
	return texts
}

// Onset says when first signs come, in minutes, hours or days.
func Onset(s *Syndrome) message.Text {
	if s == nil || s.OnsetMin == nil || s.OnsetMax == nil {
		return message.T("hazard.onset.unknown")
	}
	return message.T("hazard.onset", "from", span(*s.OnsetMin), "to", span(*s.OnsetMax),
		"after", message.T("hazard.after."+s.CountedFrom))
}

// span says hours as people do: minutes below one hour, days from two days on.
func span(hours float64) message.Text {
	switch {
	case hours < 1:
		return message.T("hazard.minutes", "n", int(hours*60+0.5))
	case hours >= 48:
		return message.T("hazard.days", "n", int(hours/24+0.5))
	}
	return message.T("hazard.hours", "n", int(hours+0.5))
}

func standing(p Plate) Standing {
	return Standing{Number: p.Number, Table: p.Table, State: p.State, Names: p.Names}
}

// standFirst orders plates as one walks: by table, then number; those on no table last.
func standFirst(x, y Standing) int {
	return cmp.Or(compareBool(x.Table == "", y.Table == ""), humanOrder(x.Table, y.Table), humanOrder(x.Number, y.Number))
}

// humanOrder puts table 9 before table 10.
func humanOrder(a, b string) int {
	x, y := strings.TrimLeft(a, "0"), strings.TrimLeft(b, "0")
	if digits(x) > 0 && digits(y) > 0 {
		return cmp.Or(cmp.Compare(digits(x), digits(y)), strings.Compare(x, y))
	}
	return strings.Compare(a, b)
}

func digits(s string) int {
	n := 0
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return n
}
