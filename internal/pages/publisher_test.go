package pages_test

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
	"forayhall/internal/message"
)

// The licence is chosen in the first of these rows, so that the archive can be had in the last.
func init() {
	areaRows = append(areaRows, `
GET  ⋯/setup/publisher                 . . x x x x x x x x x .
POST ⋯/setup/publisher                 . . . . . . . . . . x .
GET  ⋯/records.csv                     x x x x x x x x x x x x
GET  ⋯/records.geojson                 x x x x x x x x x x x x
GET  ⋯/records.zip                     x x x x x x x x x x x x
`)
	areaForms["/setup/publisher"] = func(_ *floor, _ access.Right, set func(...string) url.Values) url.Values {
		return set("licence", "CC-BY-4.0", "contact", "Recorder")
	}
}

// Would catch a form that forgets what was typed, an archive without a licence, an answer that is kept after the licence
// changed, and facts shown to whoever may not change them as if they could.
func TestASocietySaysOnWhichTermsItsRecordsGoOut(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		say := message.For(message.English).Say
		visitor := f.s.browser(t)
		visitor.get(event+"/records.zip").want(http.StatusUnprocessableEntity, say("publisher.licence-missing"))
		b := f.s.browser(t)
		b.get("/sign-in").send("/sign-in", "name", string(access.Organiser), "password", halltest.Password).want(http.StatusOK)
		b.get(event+"/setup/publisher").want(http.StatusOK, say("pages.publisher.public"))
		b.fill(event+"/setup/publisher", "licence", "CC-BY-4.0", "contact", "Recorder of the society", "mail", "not a mail").want(http.StatusUnprocessableEntity, say("publisher.mail"))
		b.fill(event+"/setup/publisher", "mail", "records@society.example", "web", "gopher://society").want(http.StatusUnprocessableEntity, say("publisher.web"))
		b.fill(event+"/setup/publisher", "web", "https://society.example/").want(http.StatusOK, say("pages.setup.done"))
		stands, err := setup.SeePublisher(t.Context(), g.Hall, g.As[access.Desk], g.Scope)
		if err != nil || stands.Licence != "CC-BY-4.0" || stands.Contact != "Recorder of the society" || stands.Mail != "records@society.example" {
			t.Errorf("what stands is %+v, %v", stands, err)
		}
		desk := f.s.browser(t)
		desk.get("/sign-in").send("/sign-in", "name", string(access.Desk), "password", halltest.Password).want(http.StatusOK)
		if desk.get(event+"/setup/publisher").want(http.StatusOK, "records@society.example", "Creative Commons"); desk.has(event + "/setup/publisher") {
			t.Error("the desk is offered a form that it may not send")
		}
		visitor.get(event + "/records.zip").want(http.StatusOK)
		if !strings.Contains(member(t, []byte(visitor.body), "eml.xml"), "http://creativecommons.org/licenses/by/4.0/legalcode") {
			t.Error("the archive does not bear the licence")
		}
		tag := visitor.header.Get("ETag")
		b.get(event+"/setup/publisher").fill(event+"/setup/publisher", "licence", "CC0-1.0").want(http.StatusOK)
		if visitor.get(event + "/records.zip").want(http.StatusOK); visitor.header.Get("ETag") == tag {
			t.Error("the archive with another licence has the same tag")
		}
	})
}

func member(t *testing.T, data []byte, name string) string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	r, err := z.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestRecordsCanBeHadByAnybodyInThreeForms(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		done, err := desk.LogCollection(t.Context(), g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: "417", Field: desk.Field{Group: "bolete", Remarks: "=1+1"}})
		if err != nil {
			t.Fatal(err)
		}
		word := bench.Word{Collection: done.ID, Basis: "macroscopic"}
		word.Name.Text = "Boletus edulis"
		if _, err := bench.SignOff(t.Context(), g.Hall, g.As[access.Identifier], g.Scope, g.On(t, 0), word); err != nil {
			t.Fatal(err)
		}
		if _, err := setup.SetPublisher(t.Context(), g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), setup.Publisher{Licence: "CC0-1.0"}); err != nil {
			t.Fatal(err)
		}
		b := f.s.browser(t)
		b.get(event + "/records.csv")
		if kind := b.header.Get("Content-Type"); !strings.HasPrefix(kind, "text/csv") || !strings.Contains(b.body, "Boletus edulis") || !strings.Contains(b.body, ",=1+1,") {
			t.Errorf("as %s: %s", kind, b.body)
		}
		b.get(event + "/records.geojson")
		var made struct {
			Type     string
			Features []struct{ Properties map[string]any }
		}
		if err := json.Unmarshal([]byte(b.body), &made); err != nil || b.header.Get("Content-Type") != "application/geo+json" || made.Type != "FeatureCollection" || len(made.Features) != 1 {
			t.Errorf("%v: %s", err, b.body)
		}
		b.get(event + "/records.zip")
		if !strings.Contains(member(t, []byte(b.body), "occurrence.txt"), "Boletus edulis") || !strings.Contains(b.header.Get("Content-Disposition"), "HB26-records.zip") {
			t.Errorf("%v", b.header)
		}
	})
}
