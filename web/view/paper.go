package view

import "time"

// Paper is a printed card or sheet as whoever reads its code sees it.
type Paper struct {
	Layout   Layout
	Sheet    bool // a warning sheet, else a card
	Right    bool // it says what is so
	Gone     bool // it was taken away
	MadeAt   time.Time
	Number   Number
	Plate    string  // address of the plate
	Was      SciName // what the card says
	Is       SciName // what the plate is called now
	Table    string  // on which it stands
	Warnings string
}

// verdict is why a paper is not to be believed.
func (p Paper) verdict() string {
	switch {
	case p.Gone:
		return "paper.gone"
	case p.Sheet:
		return "paper.sheet.wrong"
	}
	return "paper.card.wrong"
}
