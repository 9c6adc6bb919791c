package pages_test

import (
	"bytes"
	"fmt"
	"mime/multipart"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/safety"
)

func init() {
	areaRows = append(areaRows, `
GET  ⋯/hazards                         . . . . . . . . x . . .
POST ⋯/hazards/hazard                  . . . . . . . . x . . .
POST ⋯/hazards/pair                    . . . . . . . . x . . .
POST ⋯/hazards/contest                 . . . . . . . . x . . .
POST ⋯/hazards/withdraw                . . . . . . . . x . . .
POST ⋯/hazards/import                  . . . . . . . . x . . .
`)
	fill := func(pairs ...string) func(*floor, access.Right, func(...string) url.Values) url.Values {
		return func(_ *floor, _ access.Right, set func(...string) url.Values) url.Values { return set(pairs...) }
	}
	areaForms["/hazards/hazard"] = fill("taxon", "Suillus luteus", "syndrome", "gut", "source", "minutes")
	areaForms["/hazards/pair"] = fill("gathered", "Boletus edulis", "poisonous", "Amanita phalloides", "differences", "pores", "source", "minutes")
	areaForms["/hazards/contest"] = fill("about", "Amanita phalloides / amatoxin", "reason", "another was meant", "source", "minutes")
	areaForms["/hazards/import"] = fill("lines", "taxon\tsyndrome\tsource\nSuillus grevillei\tgut\tminutes\n")
	areaForms["/hazards/withdraw"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		return set("entry", f.ownPair(), "reason", "another was meant")
	}
	examples["/hazards"] = []string{"/hazards", "/hazards?name=Suilus+luteus", "/hazards?name=Amanita",
		"/hazards?name=Amanita+phalloides&contest=Amanita+phalloides+%2F+amatoxin"}
}

// ownPair writes a pair of the society, another one each time.
func (f *floor) ownPair() string {
	f.t.Helper()
	f.number++
	done, err := safety.AddPair(f.t.Context(), f.s.Hall, f.s.As[access.SafetyLead], f.s.Scope, f.s.Command(f.t), safety.Lookalike{Gathered: "Boletus edulis",
		Poisonous: "Amanita phalloides", Differences: fmt.Sprint("pores, case ", f.number), Source: "minutes"})
	if err != nil {
		f.t.Fatal(err)
	}
	return done.Entry.String()
}

// TestOwnHazardsByForms: the safety lead looks a name up, adds, contests and takes back by forms alone; the sheet and the
// taxon's page say so at once; and what cannot be taken comes back with what was typed and what to do.
func TestOwnHazardsByForms(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		b, at := f.s.browser(t), event+"/hazards"
		b.get("/sign-in").send("/sign-in", "name", string(access.SafetyLead), "password", halltest.Password).want(http.StatusOK)
		f.signed(f.collection("Mei Adeyemi"), g.Second, "Suillus luteus", "")

		b.get(at+"?name=Amanita+phalloides").want(http.StatusOK, "listed under this name: Amanita phalloides", "Source:", "Contest this")
		b.get(at+"?name=Suilus+luteus").want(http.StatusOK, "No list that is installed knows Suilus luteus", "Suillus luteus")
		b.fill(at+"/hazard", "syndrome", "gut-severe", "source", "minutes of 3 October").want(http.StatusUnprocessableEntity, "The nearest are: Suillus luteus")
		if b.typed(at+"/hazard", "source") != "minutes of 3 October" {
			t.Error("what was typed is lost")
		}
		b.fill(at+"/hazard", "taxon", "Suillus luteus").want(http.StatusOK, "The hazard is added and holds now.", "Written by Person safety_lead")
		b.get(event+"/warnings").want(http.StatusOK, "Suillus luteus", "minutes of 3 October")

		b.get(at + "?name=Suillus+luteus")
		b.get(b.link("Contest this")).fill(at+"/contest", "reason", "nobody fell ill here", "source", "").want(http.StatusUnprocessableEntity, "Say whose word it is")
		b.fill(at+"/contest", "source", "letter of 2 May").want(http.StatusOK, "Contested by the society: nobody fell ill here (letter of 2 May). The warning stands.")
		b.get(event+"/t/Suillus_luteus").want(http.StatusOK, "Contested by the society: nobody fell ill here (letter of 2 May). The warning stands.")

		b.get(at+"?name=Suillus+luteus").fill(at+"/pair", "gathered", "Boletus edulis", "poisonous", "Suillus luteus", "differences", "Gathered: no ring. Poisonous: a ring.",
			"source", "minutes").want(http.StatusOK, "The pair is added and shows now.")
		b.get(event+"/t/Boletus_edulis").want(http.StatusOK, "Gathered: no ring. Poisonous: a ring.")

		b.get(at + "?name=Suillus+luteus")
		b.get(b.link("Take back")).fill(at+"/withdraw", "reason", "").want(http.StatusUnprocessableEntity, "Write the reason")
		b.fill(at+"/withdraw", "reason", "another was meant").want(http.StatusOK, "It is taken back.", "Taken back by Person safety_lead", "another was meant")
		if wrong := append(identities(b.page), inlined(b.page)...); len(wrong) > 0 {
			t.Errorf("the page with every kind of entry: %v", wrong)
		}
	})
}

func TestOwnHazardsFromASpreadsheet(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		b, at := f.s.browser(t), event+"/hazards"
		b.get("/sign-in").send("/sign-in", "name", string(access.SafetyLead), "password", halltest.Password).want(http.StatusOK)
		send := func(file string) *browser {
			values := b.get(at).fields(at + "/import")
			return b.postSheet(at+"/import", values, file)
		}
		const good = "source,taxon,syndrome,region\nminutes,Suillus luteus,gut,EU\nminutes,Boletus edulis,gut,EU\n"
		send(good+"minutes,Suilus luteus,dizzy,EU\n").want(http.StatusUnprocessableEntity, "Nothing was taken", "taxon", "Suillus luteus", "There is no syndrome", "amatoxin")
		if strings.Contains(b.text(), "Written by") {
			t.Error("a part of the file was taken")
		}
		send("what,is,this\n1,2,3\n").want(http.StatusUnprocessableEntity, "names no column")
		send(good).want(http.StatusOK, "2 lines were added; 0 were there before.")
		send(good).want(http.StatusOK, "0 lines were added; 2 were there before.")
		b.get(at).send(at+"/import", "lines", "gathered\tpoisonous\tdifferences\tsource\nBoletus edulis\tSuillus luteus\ta ring\tminutes\n").
			want(http.StatusOK, "1 line was added")
		b.get(at).send(at+"/import", "lines", "").want(http.StatusUnprocessableEntity, "Choose a spreadsheet")
	})
}

// postSheet sends a form with a spreadsheet as a browser does.
func (b *browser) postSheet(action string, values url.Values, file string) *browser {
	b.t.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	for name := range values {
		if err := w.WriteField(name, values.Get(name)); err != nil {
			b.t.Fatal(err)
		}
	}
	part, err := w.CreateFormFile("file", "own.csv")
	if err == nil {
		_, err = part.Write([]byte(file))
	}
	if err == nil {
		err = w.Close()
	}
	if err != nil {
		b.t.Fatal(err)
	}
	res, err := b.client.Post(b.s.server.URL+action, w.FormDataContentType(), &body)
	if err != nil {
		b.t.Fatal(err)
	}
	return b.take(res)
}
