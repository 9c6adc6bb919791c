package pages

import (
	"net/url"
	"slices"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall/bench"
	"forayhall/web/view"
)

// way is how somebody came to a plate: where a good form leads, and the plates beside it.
type way struct {
	then string // empty: the plate's own page
	bar  *view.Bar
	undo string // where taking back leads
}

// then is where a form that was taken leads: an address within the event that the form brought, or the usual place.
func (r *request) then(usual string) string {
	if then := r.value("then"); strings.HasPrefix(then, r.event().Path+"/") {
		return then
	}
	return usual
}

// wayTo reads the way from the address, or from the form that came back.
func (r *request) wayTo(s bench.Sight) (way, error) {
	here := r.event().Collection(s.Plate.Number().String())
	kept, err := url.Parse(r.then(""))
	if err != nil {
		kept = &url.URL{}
	}
	switch {
	case strings.HasPrefix(kept.Path, r.event().Path+"/walk/"):
		return way{then: kept.String(), undo: here, bar: &view.Bar{Where: view.T("bar.walk"), Next: kept.String()}}, nil
	case (r.value("from") == "queue" || kept.Query().Get("from") == "queue") && s.Held.Can(access.NameAny):
		return r.wayInQueue(s, here)
	}
	bar := &view.Bar{Where: view.T("bar.number")}
	if s.Before.Base != 0 {
		bar.Before = r.withFor(r.event().Collection(s.Before.String()), nil)
	}
	if s.After.Base != 0 {
		bar.Next = r.withFor(r.event().Collection(s.After.String()), nil)
	}
	if !s.Held.Staff() {
		bar = nil // what lies beside one's own is somebody else's
	}
	return way{bar: bar, then: r.withFor(here, nil)}, nil
}

func (r *request) wayInQueue(s bench.Sight, here string) (way, error) {
	b, err := bench.Queue(r.ctx, r.hall(), r.actor, r.scope(), r.show())
	if err != nil {
		return way{}, err
	}
	back := r.event().Queue()
	if show := r.show(); show != bench.ForMe {
		back += "?show=" + string(show)
	}
	bar := &view.Bar{Back: back, BackTo: view.T("bar.to-queue")}
	at := slices.IndexFunc(b.Rows, func(w bench.Waiting) bool { return w.Plate.ID == s.Plate.ID })
	link := func(i int) string {
		if i < 0 || i >= len(b.Rows) {
			return ""
		}
		return r.withFor(r.event().Collection(b.Rows[i].Plate.Number().String()), r.fromQueue())
	}
	// One that waits no more was the first: what is first now comes next.
	bar.Where, bar.Next = view.T("bar.queue", "n", len(b.Rows)), link(at+1)
	if at >= 0 {
		bar.Where, bar.Before = view.T("bar.in-queue", "at", at+1, "n", len(b.Rows)), link(at-1)
	}
	return way{bar: bar, then: r.withFor(here, r.fromQueue())}, nil
}

// withFor carries on along an address for whom a scribe writes.
func (r *request) withFor(path string, v url.Values) string {
	if v == nil {
		v = url.Values{}
	}
	if id, err := optionalID(r.value("for")); err == nil && !id.IsZero() {
		v.Set("for", id.String())
	}
	if len(v) == 0 {
		return path
	}
	return path + "?" + v.Encode()
}

// numbersIn reads the numbers that an address carries, as "0012.0013a".
func (r *request) numbersIn(name string) (all []foray.Number) {
	for part := range strings.SplitSeq(r.echo.QueryParam(name), ".") {
		if n, err := foray.ParseNumber(part, r.at.Event.Code); err == nil {
			all = append(all, n)
		}
	}
	return all
}

func joinNumbers(all []foray.Number) string {
	words := make([]string, len(all))
	for i, n := range all {
		words[i] = n.String()
	}
	return strings.Join(words, ".")
}
