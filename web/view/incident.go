package view

import (
	"strings"
	"time"

	"forayhall/internal/message"
)

// EatenPage is one button away from everywhere: whom to call comes before anything is typed.
type Eaten struct {
	Layout  Layout
	Contact Contact
	Eaten   []message.Text
	Form    Form
	Values  EatenValues
	Open    []IncidentRow
	Others  int
}

// EatenValues is what was typed.
type EatenValues struct {
	Number, What, Who, At, When, HowMuch, Signs string
}

// IncidentRow is an incident in a list.
type IncidentRow struct {
	Path   string
	Number Number
	Who    string
	At     time.Time
	Closed bool
}

// Incident is an incident with what whoever is on the telephone may ask.
type Incident struct {
	Layout      Layout
	Contact     Contact
	Eaten       []message.Text
	Who         string
	At          time.Time
	EatenAt     time.Time
	EatenText   string
	HowMuch     string
	Signs       string
	What        string
	Plate       *IncidentPlate
	Notes       []IncidentNote
	Identifiers []NearBy
	Closed      time.Time
	ClosedBy    string
	Note        *Form
	Close       *Form
	Words       string
}

// IncidentPlate is the plate with its doubt.
type IncidentPlate struct {
	PlanPlate
	Names   []InQuestion
	Worst   []SheetLine
	Doubles []message.Text
	Parts   []PlanPlate // what was split off it, or what it was put together with
}

// IncidentNote is what was said or done.
type IncidentNote struct {
	At    time.Time
	By    string
	Words string
}

// NearBy is an identifier and when they last wrote a slip here.
type NearBy struct {
	Name string
	Last time.Time
}

var eaters = []string{"adult", "child", "animal"}

func joinNames(names []string) string { return strings.Join(names, ", ") }
