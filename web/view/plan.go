package view

import (
	"fmt"
	"time"

	"forayhall/internal/message"
)

// HallPlan is the hall from above.
type HallPlan struct {
	Layout Layout
	AsOf   time.Time
	Find   string
	Width  int // millimetres
	Height int
	Tables []PlanTable
	Back   int
	Place  string // addresses; empty where the person may not
	Clear  string
	Papers string
	Here   string
}

// PlanTable is a table as it is drawn and as a line of the list.
type PlanTable struct {
	Number              int
	Name                string
	Path                string
	Sweep               string
	X, Y, Width, Height int // millimetres
	Plates, Slots       int
	Unnamed             int
	Hazards             bool // stands out of a child's reach
	Worst               bool
	Found               bool
	SweptAt             time.Time
}

func (p HallPlan) viewBox() string { return fmt.Sprintf("0 0 %d %d", p.Width, p.Height) }

func (p HallPlan) found() int {
	n := 0
	for _, t := range p.Tables {
		if t.Found {
			n++
		}
	}
	return n
}

func (t PlanTable) class() string {
	class := "plan-table"
	if t.Hazards {
		class += " plan-reach"
	}
	if t.Found {
		class += " plan-found"
	}
	return class
}

// fill is the text on a table: how many of how many.
func (t PlanTable) fill() message.Text {
	key := "plan.of"
	if t.Plates > t.Slots {
		key = "plan.of.full"
	}
	return T(key, "plates", t.Plates, "slots", t.Slots)
}

// size of the text on a table, in millimetres of the hall.
func (t PlanTable) size() int { return max(180, min(t.Width, t.Height)/3) }

// PutPlates puts plates somewhere, by their numbers.
type PutPlates struct {
	Layout  Layout
	Form    Form
	Numbers string
	Places  []Option
	Tables  []Option
}

// Sweep is somebody who stands before a table.
type Sweep struct {
	Layout  Layout
	Form    Form
	Table   string
	Numbers string
	Thought []PlanPlate
	Tables  []Link // to choose from, where none is chosen
}

// PlanPlate is a plate in a list of plates.
type PlanPlate struct {
	Number   Number
	Path     string
	Name     SciName
	Group    string
	State    Naming
	Hazard   *Hazard
	Where    Where
	Kept     bool
	Position string
}

// Clearing is what is left in the hall.
type Clearing struct {
	Layout  Layout
	Form    Form
	Plates  []PlanPlate
	Hazards int
	Places  []Option
	With    string
	Tray    string
	Ticked  map[string]bool
}

// Papers is what is written in the hall against what is so.
type Papers struct {
	Layout   Layout
	May      bool // make and swap
	Jobs     []PaperJob
	Lacking  []Number
	Standing int
	Cards    Form
	Tables   []Option
	Sheet    Form
	Print    []Link // of a sheet that was just registered
	Digest   string
	Warnings string
}

// PaperJob is one paper that says what is no longer so.
type PaperJob struct {
	Form    Form
	Paper   string
	Kind    string // swap_card, away_card, swap_sheet
	Number  Number
	Table   string
	Was     string
	Is      string
	Differs []string // in what the card does, by "papers.differs.KEY"
	Ready   bool
}

// Text is the job in one line.
func (j PaperJob) Text() message.Text {
	what := T("papers." + j.Kind)
	if j.Kind == "swap_sheet" {
		return what
	}
	return T("papers.line", "table", j.Table, "number", j.Number.Digits+j.Number.Suffix, "what", what)
}

// Cards is a page of cards to be printed.
type Cards struct {
	Layout Layout
	Cards  []Card
	Stocks []Option
	Papers []string // their ids
}

// Card stands beside a plate.
type Card struct {
	Number     Number
	Names      []SciName
	Common     string
	Family     string
	Group      string
	Current    string
	State      Naming
	Hazard     *Hazard
	Doubles    []message.Text
	Determiner string
	Collector  string
	Place      string
	Host       string
	Substrate  string
}

func or(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}
