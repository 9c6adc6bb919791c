package pages_test

import (
	"encoding/json"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/worth"
	"forayhall/internal/message"
)

func init() {
	areaRows = append(areaRows, `
GET  ⋯/worth                           x x x x x x x x x x x x
GET  ⋯/worth/:figure                   x x x x x x x x x x x x
GET  ⋯/setup/rain                      . . x x x x x x x x x .
POST ⋯/setup/rain                      . . . . . . . . . x x .
`)
	mm := 0
	areaForms["/setup/rain"] = func(_ *floor, _ access.Right, set func(...string) url.Values) url.Values {
		mm++
		return set("day", "2026-10-20", "mm", strings.Repeat("1", mm%3+1))
	}
	areaPaths["/worth/:figure"] = func(*floor, row) string { return event + "/worth/sites.csv" }
}

// Would catch a page that draws a curve of nothing, and one that leaves out why there is none.
func TestTheDaysWorthIsDrawnOrSaysWhyNot(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		say := message.For(message.English).Say
		visitor := f.s.browser(t)
		visitor.get(event+"/worth").want(http.StatusOK, say("pages.worth.nothing"), say("pages.worth.no-curve"), say("pages.worth.rain-none"), say("pages.worth.years-none"))
		f.ground()
		f.brought(210, desk.Field{Group: "bolete", Team: "1", Host: "Fagus"}, "")
		f.signed("210", f.s.Second, "Boletus edulis", "")
		visitor.get(event+"/worth").want(http.StatusOK, "from one walk", say("pages.worth.not-everything"), "Fagus")
		if !strings.Contains(visitor.body, say("pages.caution.heading")) {
			t.Error("the caution does not stand on a page that names fungi")
		}
		if strings.Contains(visitor.body, "plot-curve") {
			t.Error("one team has a curve")
		}
		organiser := f.s.browser(t)
		organiser.get("/sign-in").send("/sign-in", "name", string(access.Organiser), "password", halltest.Password).want(http.StatusOK)
		organiser.get(event+"/setup/rain").fill(event+"/setup/rain", "lines", "2026-10-20,4\n2026-10-21,much").want(http.StatusUnprocessableEntity, "Line 2", "2026-10-21,much")
		organiser.fill(event+"/setup/rain", "lines", "2026-10-20,4\n2026-10-21,0.5").want(http.StatusOK, "0.5 mm")
		visitor.get(event+"/worth").want(http.StatusOK, say("pages.worth.key.gap"))
		if !strings.Contains(visitor.body, `class="plot-gap"`) || strings.Contains(visitor.body, "style=") {
			t.Error("a day without rain is not drawn as such, or a style is written in line")
		}
		for _, key := range worth.FigureKeys {
			visitor.get(event+"/worth/"+key+".csv").want(http.StatusOK, "")
			visitor.get(event+"/worth/"+key+".json").want(http.StatusOK, "")
			var rows []map[string]any
			if err := json.Unmarshal([]byte(visitor.body), &rows); err != nil {
				t.Errorf("%s: %v", key, err)
			}
		}
		visitor.get(event + "/worth/nothing.csv").want(http.StatusNotFound)
		visitor.get(event + "/worth/sites.exe").want(http.StatusNotFound)
	})
}
