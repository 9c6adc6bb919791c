package pages

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"forayhall/internal/hall"
	"forayhall/internal/hall/desk"
	"forayhall/internal/message"
	"forayhall/web/view"
)

// deskCookie keeps what the desk carries from one find to the next, for as long as this browser is open.
const deskCookie = "desk"

// carriedNames are the fields that the next find most likely shares with the last: the same basket is still being
// emptied.
var carriedNames = []string{"team", "site", "collector", "picked", "cooled", "outside"}

// carried is what the form keeps of the last find: what the address says, where it says anything, else what this browser
// logged last for the same person.
func (r *request) carried() (t typedIntake, open []string, last int) {
	q := r.echo.QueryParams()
	kept := r.keptAtDesk()
	open = strings.Fields(kept.Get("open"))
	last, _ = strconv.Atoi(kept.Get("last"))
	if q.Get("keep") == "" && q.Get("team") == "" {
		q = kept
	}
	return typedIntake{team: q.Get("team"), site: q.Get("site"), collector: q.Get("collector"), picked: q.Get("picked"),
		cooled: q.Get("cooled") != "", outside: q.Get("outside") != ""}, open, last
}

func (r *request) keptAtDesk() url.Values {
	cookie, err := r.echo.Cookie(deskCookie)
	if err != nil {
		return url.Values{}
	}
	kept, err := url.ParseQuery(cookie.Value)
	if err != nil || kept.Get("who") != r.actor.Person.String() {
		return url.Values{} // somebody else sits at the desk now
	}
	return kept
}

// keepAtDesk remembers what the next find shares, and which folds this one needed.
func (r *request) keepAtDesk(t typedIntake, number string) {
	kept := t.shared()
	kept.Set("who", r.actor.Person.String())
	kept.Set("last", strings.TrimRight(number, "abcdefghijklmnopqrstuvwxyz"))
	kept.Set("open", strings.Join(t.used(), " "))
	r.echo.SetCookie(&http.Cookie{Name: deskCookie, Value: kept.Encode(), Path: r.event().Intake(), HttpOnly: true, Secure: r.site.Secure,
		SameSite: http.SameSiteStrictMode})
}

// shared is what the next find shares with this one.
func (t typedIntake) shared() url.Values {
	v := url.Values{}
	for name, value := range map[string]string{"team": t.team, "site": t.site, "collector": t.collector, "picked": t.picked,
		"cooled": yes(t.cooled), "outside": yes(t.outside)} {
		if value != "" {
			v.Set(name, value)
		}
	}
	return v
}

func yes(on bool) string {
	if on {
		return "yes"
	}
	return ""
}

// used is the folds in which something was written that is not carried anyway.
func (t typedIntake) used() []string {
	var open []string
	for _, f := range []struct{ fold, written string }{
		{view.FoldFades, t.latex + t.latexChange + t.cutChange + t.stickiness + t.texture},
		{view.FoldGrew, t.substrate + t.habitat + t.growth},
		{view.FoldPlate, t.plate + t.fruitbodies + t.weight + t.remarks},
		{view.FoldName, t.name},
	} {
		if f.written != "" {
			open = append(open, f.fold)
		}
	}
	return open
}

// chips are the carried things in words, each with the address of the form without it.
func (r *request) chips(t typedIntake, ready desk.Ready) []view.Carried {
	shared := t.shared()
	var chips []view.Carried
	for _, name := range carriedNames {
		value := shared.Get(name)
		if value == "" {
			continue
		}
		without := url.Values{"keep": {"yes"}}
		for other := range shared {
			if other != name {
				without.Set(other, shared.Get(other))
			}
		}
		chips = append(chips, view.Carried{Field: name, Text: carriedText(name, value, ready), Clear: r.event().Intake() + "?" + without.Encode()})
	}
	return chips
}

func carriedText(name, value string, ready desk.Ready) message.Text {
	switch name {
	case "team":
		for _, t := range ready.Teams {
			if t.ID.String() == value {
				return view.T("intake.team-option", "number", t.Number, "name", t.Name)
			}
		}
	case "site":
		for _, s := range ready.Sites {
			if s.ID.String() == value {
				return message.T("data.as-is", "text", s.Name)
			}
		}
	case "picked":
		return view.T("intake.carried.picked", "time", strings.Replace(value, "T", " ", 1))
	case "cooled", "outside":
		return view.T("fact." + name)
	}
	return message.T("data.as-is", "text", value)
}

// countNeeded reports whether the permit of the site, or of the team's where none is said, asks how many were taken.
func countNeeded(t typedIntake, ready desk.Ready) bool {
	site := t.site
	for _, m := range ready.Teams {
		if site == "" && m.ID.String() == t.team {
			site = m.SiteID.String()
		}
	}
	for _, s := range ready.Sites {
		if s.ID.String() == site {
			return s.CountNeeded
		}
	}
	return false
}

// siteOption is a site to choose, with what its permit asks for.
func siteOption(s hall.Site, chosen string) view.Option {
	o := view.Option{Value: s.ID.String(), Label: s.Code + " " + s.Name, Chosen: s.ID.String() == chosen}
	if s.CountNeeded {
		o.Text = view.T("site.counts", "site", o.Label)
	}
	return o
}
