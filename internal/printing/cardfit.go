package printing

import (
	"math"
	"slices"
	"sort"
)

// Line is a part of a card that may be left out where there is no room.
type Line string

// What may be left out, the least important first. Name, state, hazard and number are never left out.
const (
	FamilyLine     Line = "family"
	HostLine       Line = "host"
	PlaceLine      Line = "place"
	CollectorLine  Line = "collector"
	DeterminerLine Line = "determiner"
	CommonLine     Line = "common"
	CurrentLine    Line = "current"
	NoticeLine     Line = "notice"
	CodeLine       Line = "code"
	AuthorLine     Line = "author"
	DoublesLine    Line = "doubles"
	CautionLine    Line = "caution"
	MoreNamesLine  Line = "more_names" // beyond the first, or the two of a dispute; the card says how many more there are
	SyndromeLine   Line = "syndrome"   // beside the hazard's word
)

var dropOrder = []Line{FamilyLine, HostLine, PlaceLine, CollectorLine, DeterminerLine, CommonLine, CurrentLine, NoticeLine,
	CodeLine, AuthorLine, DoublesLine, CautionLine, MoreNamesLine, SyndromeLine}

// DropOrder is the order in which lines are left out of cards that are too small for them.
func DropOrder() []Line { return slices.Clone(dropOrder) }

// Of a card's type: the smallest that is printed, and how much larger than usual and how fast smaller sizes are tried.
const (
	smallestPrint = 6.5
	largestGrowth = 2.2
	growthStep    = 0.94
	leastGrowth   = 0.3 // by then every size is at the smallest print
	growthSteps   = 32  // down to leastGrowth
)

// fit lays out a card: with everything on it at the largest size that fits, else without what matters least.
func fit(r *ruler, card Card, run CardRun) (*fitted, error) {
	q, err := card.code()
	if err != nil {
		return nil, err
	}
	try := trial{r, card, run, q}
	dropped := try.least()
	if f := try.largest(dropped); f != nil {
		return f, nil
	}
	return unfit(r, card, run, dropped), nil
}

// trial is a card that is tried in sizes and with parts left out.
type trial struct {
	r    *ruler
	card Card
	run  CardRun
	q    *code
}

// least is what has to be left out in the smallest print: from the least important on until the rest fits, and then
// each that still has room put back, the most important first.
func (t trial) least() []Line {
	var dropped []Line
	for _, l := range dropOrder {
		if t.at(leastGrowth, dropped).fits() {
			break
		}
		if t.card.has(l) {
			dropped = append(dropped, l)
		}
	}
	for i := len(dropped) - 1; i >= 0; i-- {
		if fewer := slices.Delete(slices.Clone(dropped), i, i+1); t.at(leastGrowth, fewer).fits() {
			dropped = fewer
		}
	}
	return dropped
}

// largest is the card in the largest of the sizes that fits, found by halving; nil where none does.
func (t trial) largest(dropped []Line) *fitted {
	best := t.at(leastGrowth, dropped)
	if !best.fits() {
		return nil
	}
	sort.Search(growthSteps, func(smaller int) bool {
		f := t.at(largestGrowth*math.Pow(growthStep, float64(smaller)), dropped)
		if f.fits() && f.growth > best.growth {
			best = f
		}
		return f.fits()
	})
	return best
}

func (t trial) at(growth float64, dropped []Line) *fitted {
	f := newFitted(t.r, t.card, t.run, t.q, dropped, growth)
	f.lay()
	return f
}

func (card Card) code() (*code, error) {
	if card.Link == "" {
		return nil, nil
	}
	return newCode(card.Link)
}

// kept is how many names a card keeps whatever happens.
func (card Card) kept() int {
	if card.State.plain() == Disputed {
		return min(2, len(card.Names))
	}
	return min(1, len(card.Names))
}

// has says whether a card has a line at all: what is not there is not reported as left out.
func (card Card) has(l Line) bool {
	switch l {
	case FamilyLine:
		return card.Family != ""
	case HostLine:
		return card.Host != "" || card.Substrate != ""
	case PlaceLine:
		return card.Place != ""
	case CollectorLine:
		return card.Collector != ""
	case DeterminerLine:
		return card.Determiner != ""
	case CommonLine:
		return card.Common != ""
	case CurrentLine:
		return !card.Current.IsZero()
	case NoticeLine:
		return card.Notice != ""
	case CodeLine:
		return card.Link != ""
	case AuthorLine:
		return slices.ContainsFunc(card.Names, Name.hasAuthor)
	case DoublesLine:
		return len(card.Doubles) > 0
	case SyndromeLine:
		return card.Hazard != nil && card.Hazard.Syndrome != ""
	case MoreNamesLine:
		return len(card.Names) > card.kept()
	}
	return true
}

// hasAuthor says whether something upright follows the name's last italic run.
func (n Name) hasAuthor() bool { return len(n.withoutAuthor()) < len(n) }

// withoutAuthor is the name up to its last italic run; a name that is upright throughout stays whole.
func (n Name) withoutAuthor() Name {
	for i := len(n) - 1; i >= 0; i-- {
		if n[i].Italic {
			return n[:i+1]
		}
	}
	return n
}

// unfit is the last resort for a card whose name alone is too long: number, state and hazard, and the plain word that
// the rest has to be written.
func unfit(r *ruler, card Card, run CardRun, dropped []Line) *fitted {
	bare := Card{Number: card.Number, Hazard: card.Hazard, State: card.State, Group: run.Say.Say("printing.card.unfit")}
	f := trial{r, bare, run, nil}.at(leastGrowth, dropOrder)
	if !f.fits() { // the state is the first to go: a card without a name has none to be sure of
		bare.State = ""
		f = trial{r, bare, run, nil}.at(leastGrowth, dropOrder)
	}
	if !f.fits() {
		bare.Group = ""
		f = trial{r, bare, run, nil}.at(leastGrowth, dropOrder)
	}
	f.unfit, f.dropped = true, dropped
	return f
}
