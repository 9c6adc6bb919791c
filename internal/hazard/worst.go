package hazard

import (
	"cmp"
	"slices"
	"strings"

	"forayhall/internal/taxon"
)

// NoEntryWeight puts what nobody has an entry for above severity 2 and below severity 3.
const NoEntryWeight = 25

// Dangerous is the severity from which a plate stands apart and is bagged first when the hall is cleared.
const Dangerous = 3

// Question is one name in question, as written with its qualifier; or the form group while there is no name.
type Question struct {
	Text  string
	Group string
}

// Asked is a finding with the question that brought it.
type Asked struct {
	Finding
	Question int // its place in the list that was asked
}

// Assessment is what a collection may bring over all its names in question.
type Assessment struct {
	Findings []Asked // worst first; findings alike in syndrome, row and rule once
	Severity int     // of the worst finding, 0 for none
	NoEntry  bool    // at least one name is not spoken of by any row, or there is no name
	Weight   int     // for sorting and placing: ten a degree of severity, NoEntryWeight where there is no entry
}

// Worst assesses a collection: the worst over its names. With no name and no group it is treated as a name
// without entry.
func (b *Base) Worst(questions []Question, region string) Assessment {
	var out Assessment
	asked := false
	for i, q := range questions {
		a, ok := b.ask(q)
		if !ok {
			continue
		}
		asked = true
		out.NoEntry = out.NoEntry || a.unlisted
		if len(a.hits) > 0 {
			out.take(i, a.findings(region))
		}
	}
	out.NoEntry = out.NoEntry || !asked
	if out.Weight = out.Severity * 10; out.NoEntry {
		out.Weight = max(out.Weight, NoEntryWeight)
	}
	slices.SortStableFunc(out.Findings, func(x, y Asked) int {
		return cmp.Or(worstFirst(x.Finding, y.Finding), cmp.Compare(x.Question, y.Question))
	})
	return out
}

// ask answers a question; a text that no list can read adds what the form group could be.
func (b *Base) ask(q Question) (*answer, bool) { return b.recall.ask(q, b.askAnew) }

func (b *Base) askAnew(q Question) (*answer, bool) {
	if b.own == nil {
		return b.askAlone(q, nil)
	}
	heard := map[string]taxon.Match{}
	a, ok := b.askAlone(q, heard)
	if ok {
		own, _ := b.own.askAlone(q, heard)
		a.lay(own)
	}
	return a, ok
}

// askAlone answers without what a society laid over.
func (b *Base) askAlone(q Question, heard map[string]taxon.Match) (*answer, bool) {
	text, group := strings.TrimSpace(q.Text), strings.TrimSpace(q.Group)
	if text == "" && group == "" {
		return nil, false
	}
	if text == "" {
		a := &answer{b: b, unlisted: true, matched: group}
		if _, known := b.Group(group); known {
			a.form(group)
		}
		return a, true
	}
	a := b.readAlone(text, heard)
	if _, known := b.Group(group); known && a.unread {
		a.form(group)
	}
	return a, true
}

func (out *Assessment) take(question int, findings []Finding) {
	for _, f := range findings {
		out.Severity = max(out.Severity, f.Severity)
		same := func(x Asked) bool { return x.Entry == f.Entry && x.Via == f.Via && x.Matched == f.Matched }
		if !slices.ContainsFunc(out.Findings, same) {
			out.Findings = append(out.Findings, Asked{f, question})
		}
	}
}
