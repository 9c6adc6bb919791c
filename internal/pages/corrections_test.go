package pages_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/hall/corrections"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/keeping"
	"forayhall/internal/hall/setup"
	"forayhall/internal/store"
)

func init() {
	areaRows = append(areaRows, `
GET  ⋯/correct                         x x x x x x x x x x x x
POST ⋯/correct                         x x x x x x x x x x x x
GET  ⋯/correct/:secret                 x x x x x x x x x x x x
POST ⋯/correct/:secret                 x x x x x x x x x x x x
GET  ⋯/corrections                     . . . . . . x x . x . .
POST ⋯/corrections/ask                 . . . . . . . . . x . .
POST ⋯/corrections/pass                . . . . . . . . . x . .
POST ⋯/corrections/answer              . . . . . . . . . x . .
POST ⋯/corrections/again               . . . . . . . . . x . .
POST ⋯/corrections/release             . . . . . . . . . x . .
POST ⋯/corrections/forget              . . . . . . . . . x . .
`)
	// What is sent from outside must not make a keeper's list look changed.
	areaQuiet["/:society/:event/correct"], areaQuiet["/:society/:event/correct/:secret"] = true, true
	areaForms["/correct"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		return set("kind", "other", "words", "the title is wrong", "secret", f.newSecret())
	}
	areaForms["/correct/:secret"] = func(_ *floor, _ access.Right, set func(...string) url.Values) url.Values {
		return set("act", "reply", "words", "it was a larch")
	}
	areaPaths["/correct/:secret"] = func(f *floor, _ row) string { return f.request().Path }
	for _, act := range []string{"ask", "pass", "answer", "release", "forget"} {
		areaForms["/corrections/"+act] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
			return set("request", f.request().Request.String(), "words", "looked at again")
		}
	}
	areaForms["/corrections/again"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		r := f.request()
		if _, err := corrections.AnswerRequest(f.t.Context(), f.s.Hall, f.s.As[access.ListKeeper], f.s.Scope, f.s.Command(f.t), corrections.Answer{Request: r.Request, Words: "stays"}); err != nil {
			f.t.Fatal(err)
		}
		return set("request", r.Request.String(), "words", "a photograph came")
	}
}

func (f *floor) newSecret() string {
	f.t.Helper()
	secret, err := corrections.NewSecret(f.s.Random)
	if err != nil {
		f.t.Fatal(err)
	}
	return secret
}

// request is one that somebody sent: each time another member, so that no limit is met.
func (f *floor) request() corrections.Asked {
	f.t.Helper()
	f.requests++
	by := f.s.As[access.Rights[1+f.requests%(len(access.Rights)-1)]]
	asked, err := corrections.SendRequest(f.t.Context(), f.s.Hall, by, f.s.Scope, f.s.Command(f.t), corrections.Ask{Kind: "other", Words: "the title", Reach: "01632 960099"})
	if err != nil {
		f.t.Fatal(err)
	}
	return asked
}

// TestAVisitorAsksAndReadsTheAnswerUnderAnAddressOfTheirOwn goes the way of the pages, without scripts.
func TestAVisitorAsksAndReadsTheAnswerUnderAnAddressOfTheirOwn(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		number := f.collection("Mei Adeyemi")
		b := f.s.as(t, access.Visitor)
		b.get(event + "/n/" + number).want(http.StatusOK)
		if !strings.Contains(b.body, event+"/correct?about=") {
			t.Fatal("the find's page leads to no request")
		}
		b.get(event+"/correct?about="+number).send(event+"/correct", "about", number, "words", " ", "kind", "name").want(http.StatusUnprocessableEntity)
		b.send(event+"/correct", "about", number, "words", "had a ring", "kind", "name", "name", "Suillus grevillei", "from", "Dora Vale", "reach", "01632 960099").want(http.StatusOK)
		own := b.path
		if !strings.Contains(own, "/correct/") || !strings.Contains(b.body, "had a ring") || !strings.Contains(b.body, "01632 960099") {
			t.Fatalf("the sender's page %s", own)
		}
		if b.get(event + "/correct?about=" + number); strings.Contains(b.body, "had a ring") || strings.Contains(b.body, "Dora Vale") || !strings.Contains(b.body, "Request 1") {
			t.Errorf("everybody reads who asked, or what, or not that it was asked: %s", b.text())
		}
		keeper := f.s.as(t, access.ListKeeper)
		if keeper.get(event + "/publish"); !strings.Contains(keeper.body, event+"/corrections") {
			t.Error("the publish page does not say that a request waits")
		}
		if keeper.get(event + "/corrections"); strings.Contains(keeper.body, "01632 960099") || !strings.Contains(keeper.body, "had a ring") {
			t.Error("the keeper sees how to reach the sender without asking, or not what was asked")
		}
		keeper.send(event+"/corrections/answer", "words", "", "changed", "").want(http.StatusUnprocessableEntity)
		keeper.send(event+"/corrections/answer", "words", "It had none.", "changed", "").want(http.StatusOK)
		if b.get(own); !strings.Contains(b.body, "It had none.") {
			t.Error("the sender does not read the answer")
		}
		b.send(own, "act", "forget").want(http.StatusOK)
		if strings.Contains(b.body, "01632 960099") {
			t.Error("the sender is not forgotten")
		}
		b.get(event + "/correct/" + strings.Repeat("A", 27)).want(http.StatusNotFound)
	})
}

// TestTheClosingPageTellsWhatGoesAndWhatWent would catch an organiser who is not told.
func TestTheClosingPageTellsWhatGoesAndWhatWent(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		f.request()
		if _, err := setup.IssueBlock(t.Context(), g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), setup.Block{From: 901, To: 905, Person: "Dora Vale"}); err != nil {
			t.Fatal(err)
		}
		if err := g.Store.Write(t.Context(), func(tx *store.Tx) error {
			e, err := tx.EventByID(g.Scope.Society, g.Scope.Event)
			e.DeletePersonalOn = "2026-11-30"
			if err != nil {
				return err
			}
			return tx.SetEvent(e)
		}); err != nil {
			t.Fatal(err)
		}
		g.Pass(25 * 24 * time.Hour)
		b := f.s.as(t, access.Organiser)
		for _, page := range []string{"/close", "/setup/event"} {
			if b.get(event + page); !strings.Contains(b.body, "30 November 2026") || !strings.Contains(b.body, "ackups") || !strings.Contains(b.body, "personal-soon") {
				t.Errorf("%s does not tell what goes", page)
			}
		}
		g.Pass(30 * 24 * time.Hour)
		if _, err := keeping.DeleteDue(t.Context(), g.Hall); err != nil {
			t.Fatal(err)
		}
		b = f.s.as(t, access.Organiser)
		if b.get(event + "/close"); !strings.Contains(b.body, "Installation") {
			t.Error("the closing page does not say who deleted it")
		}
	})
}

// TestAPageSignsTheLinesItShowed: what is written beside an event, as how somebody wishes to be named, changes its list too.
func TestAPageSignsTheLinesItShowed(t *testing.T) {
	f := onSQLite(t)
	f.signed(f.collection("Mei Adeyemi"), f.s.Second, "Boletus edulis", "")
	keeper := f.enter(access.ListKeeper).get(event + "/publish")
	f.must(f.s.Store.Write(t.Context(), func(tx *store.Tx) error { return tx.SetCredit(f.s.Scope.Society, f.s.Second.Person, "none") }))
	keeper.fill(event+"/publish", "sign", "yes").want(http.StatusConflict, "The list changed since you opened this page")
	keeper.fill(event+"/publish", "sign", "yes").want(http.StatusSeeOther)
	keeper.get(event+"/list/2").want(http.StatusOK, "Boletus edulis")
}
