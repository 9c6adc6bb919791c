package pages

import (
	"fmt"
	"strconv"
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hazard"
	"forayhall/internal/message"
	"forayhall/internal/taxon"
	"forayhall/web/view"
)

// local is a moment in the event's zone.
func (r *request) local(t time.Time) time.Time {
	if t.IsZero() {
		return t
	}
	return t.In(hall.Zone(r.at.Event))
}

// when is a moment of the event in the reader's language, without its year.
func (r *request) when(t time.Time) message.Text {
	t = r.local(t)
	return view.T("fact.at", "day", t.Day(), "month", view.T("date.month."+strconv.Itoa(int(t.Month()))), "time", t.Format("15:04"))
}

func (r *request) number(n foray.Number) view.Number {
	return view.Number{Code: r.at.Event.Code, Digits: fmt.Sprintf("%04d", n.Base), Suffix: n.Suffix}
}

// hazardOf draws an assessment: the worst that is known, or that nothing is known where that sorts above it.
func hazardOf(a hazard.Assessment) *view.Hazard {
	switch {
	case a.Severity == 0 && !a.NoEntry:
		return nil
	case a.NoEntry && a.Weight == hazard.NoEntryWeight:
		return &view.Hazard{}
	}
	worst := a.Findings[0]
	return &view.Hazard{Severity: worst.Severity, Syndrome: worst.Syndrome.Name, Because: because(worst.Finding)}
}

func because(f hazard.Finding) (t message.Text) {
	if f.Via == hazard.Listed || f.Via == hazard.NoEntry {
		return t
	}
	return view.T("hazard.via", "via", f.Via.Text(), "matched", f.Matched)
}

func (r *request) hazardOfName(written string) *view.Hazard {
	return hazardOf(r.hall().Knowledge.Hazards.Worst([]hazard.Question{{Text: written}}, r.at.Event.Region))
}

func sciOf(n foray.SlipName) view.SciName {
	return view.SciName{Name: n.Name, Author: n.Author, Rank: taxon.Rank(n.NameRank), Qualifier: taxon.Qualifier(n.Qualifier),
		Position: taxon.Rank(n.Position)}
}

func sciOfTaxon(n *taxon.Name) view.SciName {
	return view.SciName{Name: n.Name, Author: n.Author, Rank: n.Rank}
}

// sciWritten is a name that is known as a text only.
func (r *request) sciWritten(text string) view.SciName {
	name := view.SciName(r.hall().Setting(text))
	name.Author = ""
	return name
}

func (r *request) commonOf(n foray.SlipName) view.Common {
	return r.printed(r.hall().Current(n))
}

// printed is the common name that the society of the address prints.
func (r *request) printed(current *taxon.Name) view.Common {
	return view.Common{Name: r.hall().Common(r.at.Society, current).Name}
}

// printedMarked is the same with the mark of a name that borrows, for lists and the set-up.
func (r *request) printedMarked(current *taxon.Name) view.Common {
	c := r.hall().Common(r.at.Society, current)
	return view.Common{Name: c.Name, Borrows: borrowOf(c.Borrows)}
}

func borrowOf(b taxon.Borrowing) *view.Borrow {
	if b.Relation == taxon.BorrowsNothing {
		return nil
	}
	return &view.Borrow{Part: b.Part, Genus: b.Taxon, Relation: string(b.Relation)}
}

func stateOf(p hall.Plate) view.Naming { return view.Naming(p.StateWord()) }

func (r *request) where(c hall.Collection, tables map[foray.ID]hall.Table) view.Where {
	w := view.Where{Place: string(c.Whereabouts), Position: c.Position, Detail: c.WithWhom}
	if c.Whereabouts == foray.OnTable {
		w.Detail = tableName(tables[c.TableID])
	}
	return w
}

func tableName(t hall.Table) string {
	if t.Title == "" {
		return fmt.Sprint(t.Number)
	}
	return fmt.Sprintf("%d %s", t.Number, t.Title)
}

func byID(tables []hall.Table) map[foray.ID]hall.Table {
	by := map[foray.ID]hall.Table{}
	for _, t := range tables {
		by[t.ID] = t
	}
	return by
}

// inQuestion groups the names in question: one line a name, with whoever asks it.
func (r *request) inQuestion(p hall.Plate, people map[foray.ID]hall.Person) []view.InQuestion {
	var lines []view.InQuestion
	for _, a := range p.Standing.Question {
		written := hall.Written(a.SlipName)
		line := view.InQuestion{Name: sciOf(a.SlipName), Common: r.commonOf(a.SlipName), Hazard: r.hazardOfName(written),
			By: []string{people[a.By].Name}, Kind: view.SlipKind(a.Kind), Key: written}
		if a.Kind == foray.FieldName { // a signed name has no second choice behind it
			line.Rank = a.Rank
		}
		lines = append(lines, line)
	}
	return lines
}

func marksOf(c hall.Collection) []view.Mark {
	var marks []view.Mark
	if c.Outside {
		marks = append(marks, view.Mark{Key: "outside"})
	}
	if c.Cultivated {
		marks = append(marks, view.Mark{Key: "cultivated"})
	}
	return marks
}

func (r *request) queueRow(w bench.Waiting, now time.Time, tables map[foray.ID]hall.Table, people map[foray.ID]hall.Person) view.QueueRow {
	p := w.Plate
	row := view.QueueRow{Number: r.number(p.Number()), Path: r.event().Collection(p.Number().String()), Group: p.FormGroup, State: stateOf(p),
		Names: r.inQuestion(p, people), Hazard: hazardOf(w.Assessment), Waiting: now.Sub(w.Since), Where: r.where(p.Collection, tables),
		Marks: marksOf(p.Collection)}
	if !w.SpoilsAt.IsZero() {
		left := w.SpoilsAt.Sub(now)
		row.SpoilsIn = &left
	}
	return row
}
