package view

import "forayhall/internal/message"

// FormLaw is the form that takes rows of the law tables over.
const FormLaw = "law"

// LawOffer is what the law tables know under one jurisdiction, and the choice of another.
type LawOffer struct {
	Here    string // address of the page; the choice is sent there as law
	Choices []Option
	Known   string // the jurisdiction, as the tables call it; empty: they know nothing of the one that is meant
	Meant   string
	Rows    []LawRow
	Form    *Form // posts jurisdiction, taxa and, for everything, all; nil for who may not, or when nothing is left
}

// LawRow is one row of the tables.
type LawRow struct {
	Value  string // posted as taxa
	Name   SciName
	Flag   message.Text
	Source string
	Note   string
	Here   bool // a flag of the event already
	Ticked bool
}

// left is how many rows may be taken over.
func (o LawOffer) left() (n int) {
	for _, r := range o.Rows {
		if !r.Here {
			n++
		}
	}
	return n
}

func lawTick(i int) string { return fieldID(FormLaw, "taxa-"+itoa(i)) }
