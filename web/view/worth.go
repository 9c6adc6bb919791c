package view

import "forayhall/internal/message"

// Worth is the address of the page of what the day was worth.
func (e Event) Worth() string { return e.Path + "/worth" }

// FormRain is the form of the rain in the set-up.
const FormRain = "rain"

// WorthPage is what the day was worth.
type WorthPage struct {
	Layout   Layout
	Lead     []message.Text
	Final    bool // the event is closed
	Facts    []WorthFact
	Sections []WorthSection
}

// WorthFact is a figure in large.
type WorthFact struct {
	Label message.Text
	Value string
}

// WorthSection is some figures under a heading.
type WorthSection struct {
	Key     string
	Figures []WorthFigure
}

// WorthFigure is one figure: what it says in words, its drawing, when it means anything, its table and its data.
type WorthFigure struct {
	Key       string
	Says      []message.Text
	None      message.Text // why there is no figure
	When      message.Text
	Plots     []Plot
	Strips    *Strips
	Shares    *Shares
	Matrix    *Matrix
	Table     WorthTable
	Open      bool // the table is what there is to see
	CSV, JSON string
}

// WorthTable is a figure's table.
type WorthTable struct {
	Columns []string
	Rows    [][]WorthCell
}

// WorthCell is a cell: a text, a name, or data.
type WorthCell struct {
	Text   message.Text
	Name   *SciName
	Data   string
	Number bool
}

// Matrix compares each with each; a cell says how much two have in common, of a hundred.
type Matrix struct {
	Labels []WorthCell
	Cells  [][]MatrixCell
}

// MatrixCell is two compared; Same is one beside itself.
type MatrixCell struct {
	Same   bool
	None   bool
	Share  int
	Shared int
}

// SetupRain is the rain of the set-up.
type SetupRain struct {
	Part
	Edit  *RainForm
	Days  []RainLine
	Worth string
}

// RainForm posts day, mm, back, lines and source.
type RainForm struct {
	Form                   Form
	Day, MM, Lines, Source string
	Back                   bool
	Sources                []string
}

// RainLine is a day as it was entered.
type RainLine struct {
	Day     message.Text
	MM      message.Text
	Source  string
	History []message.Text // what was entered before, with who and when
	By      message.Text
}
