package pages

import (
	"net/url"
	"strconv"

	"github.com/a-h/templ"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/bench"
	"forayhall/web/view"
)

// walk is a round along a table as its address has it: nothing of it is kept anywhere else.
type walk struct {
	foray.Round
	number int
	name   string
	forID  string // whom a scribe writes for
}

func (r *request) walk() (walk, error) {
	number, err := strconv.Atoi(r.echo.Param("table"))
	if err != nil {
		return walk{}, fault.Missing()
	}
	table, err := bench.WalkTable(r.ctx, r.hall(), r.actor, r.scope(), number)
	w := walk{number: number, name: tableName(table.Table), forID: r.value("for"),
		Round: foray.Round{Seen: r.numbersIn("seen"), Skipped: r.numbersIn("skip")}}
	for _, p := range table.Plates {
		w.Order = append(w.Order, p.Plate.Number())
	}
	return w, err
}

// at is the address of the round as it is after something.
func (w walk) at(e view.Event, round foray.Round, done string) string {
	v := url.Values{}
	for name, value := range map[string]string{"seen": joinNumbers(round.Seen), "skip": joinNumbers(round.Skipped), "done": done, "for": w.forID} {
		if value != "" {
			v.Set(name, value)
		}
	}
	if len(v) == 0 {
		return e.Walk(w.number)
	}
	return e.Walk(w.number) + "?" + v.Encode()
}

// walkPage shows the plates of a table one after the other.
func walkPage(r *request) (templ.Component, error) {
	w, err := r.walk()
	if err != nil {
		return nil, err
	}
	undo, err := r.undoOnWalk(w)
	if err != nil {
		return nil, err
	}
	n, more := w.Next()
	if !more {
		return r.walkDone(w, undo)
	}
	s, err := benchSight(r, n)
	if err != nil {
		return nil, err
	}
	e := r.event()
	bar := &view.Bar{Where: view.T("bar.on-table", "at", min(w.Done()+1, len(w.Order)), "of", len(w.Order), "table", w.name), Later: true,
		Next: w.at(e, w.Skip(n), ""), Looked: w.at(e, w.Look(n), ""), Back: e.Tables(), BackTo: view.T("bar.to-tables")}
	if last := len(w.Seen) - 1; last >= 0 {
		back := w.Round
		back.Seen = w.Seen[:last]
		bar.Before = w.at(e, back, "")
	}
	return r.collectionOn(s, typedAct{}, nil, way{then: w.at(e, w.Look(n), n.String()), bar: bar}, undo)
}

// undoOnWalk takes back what was written at the plate before; then that plate comes again.
func (r *request) undoOnWalk(w walk) (*view.UndoForm, error) {
	done := r.numbersIn("done")
	if len(done) != 1 {
		return nil, nil
	}
	s, err := benchSight(r, done[0])
	if fault.Is(err, fault.NotFound) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	round := w.Skip(done[0])
	round.Skipped = w.Skipped
	r.flash = view.T("walk.signed", "number", done[0].String(), "state", view.T("state."+s.Plate.StateWord()))
	return r.undoForm(s, w.at(r.event(), round, ""))
}

func (r *request) walkDone(w walk, undo *view.UndoForm) (templ.Component, error) {
	l, err := r.layout(view.T("walk.title", "table", w.name), false)
	again := walk{number: w.number, forID: w.forID}
	return view.WalkDonePage(view.WalkDone{Layout: l, Table: w.name, Seen: w.Done(), Again: again.at(r.event(), foray.Round{}, ""), Back: r.event().Tables(), Undo: undo}), err
}
