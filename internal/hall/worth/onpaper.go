package worth

import (
	"math"

	"forayhall/internal/message"
	"forayhall/internal/printing"
	"forayhall/internal/tally/richness"
)

// OnPaper is what a booklet tells of the day: how much of what was there the list is likely to hold, and when that means
// anything.
func (d Day) OnPaper(say message.Printer) printing.Worth {
	if d.Taxa == 0 {
		return printing.Worth{Sentences: []string{say.Say("pages.worth.nothing")}}
	}
	w := printing.Worth{Sentences: []string{say.Text(d.least())}}
	if coverage := Of(d.Estimates, "coverage"); coverage.OK {
		w.Sentences = append(w.Sentences, say.Say("pages.worth.coverage", "n", int(math.Round(100*coverage.Value))))
	}
	if d.Units.Stray > 0 {
		w.Sentences = append(w.Sentences, say.Say("pages.worth.stray-team", "n", d.Units.Stray))
	}
	if d.Units.Lost > 0 {
		w.Sentences = append(w.Sentences, say.Say("pages.worth.lost", "n", d.Units.Lost))
	}
	w.Sentences = append(w.Sentences, say.Say("pages.worth.when.estimates"))
	return w
}

// least is how many were there at the least, with its interval where there is one, or why that cannot be said.
func (d Day) least() message.Text {
	whole := func(e richness.Estimate) int { return int(math.Round(e.Value)) }
	n, chao := whole(Of(d.Estimates, "observed").Estimate), Of(d.Estimates, "chao2")
	units := message.T("pages.worth.units."+string(d.Units.Kind), "n", len(d.Units.Units))
	switch {
	case !chao.OK:
		return message.T("pages.worth.estimate-none", "n", n, "units", units, "why", message.T("richness.why."+string(chao.Why)))
	case chao.Low.OK && chao.High.OK:
		return message.T("pages.worth.estimate", "n", n, "units", units, "least", whole(chao.Estimate), "low", whole(chao.Low), "high", whole(chao.High))
	}
	return message.T("pages.worth.estimate-bare", "n", n, "units", units, "least", whole(chao.Estimate))
}
