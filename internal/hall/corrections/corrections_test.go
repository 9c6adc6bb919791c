package corrections_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/corrections"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

var ctx = context.Background()

func must[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// found is a find that was signed, and a version of the list with it.
func found(t testing.TB, g *halltest.Ground) desk.Logged {
	t.Helper()
	c := must[desk.Logged](t)(desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: "1", Field: desk.Field{Group: "bolete", Outside: false, Collector: "Ines Halloway"}}))
	sign(t, g, g.As[access.Identifier], c.ID, 0, "Suillus luteus")
	publish(t, g)
	return c
}

func sign(t testing.TB, g *halltest.Ground, by access.Actor, find foray.ID, version int, name string) bench.Done {
	t.Helper()
	return must[bench.Done](t)(bench.SignOff(ctx, g.Hall, by, g.Scope, g.On(t, version), bench.Word{Collection: find, Name: hall.NameInput{Text: name}, Basis: "microscopy"}))
}

func publish(t testing.TB, g *halltest.Ground) list.Published {
	t.Helper()
	r := must[list.Running](t)(list.See(ctx, g.Hall, g.As[access.ListKeeper], g.Scope))
	return must[list.Published](t)(list.Publish(ctx, g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), list.Sign{Seq: r.Seq}))
}

func ask(t testing.TB, g *halltest.Ground, who access.Actor, in corrections.Ask) corrections.Asked {
	t.Helper()
	if in.Words == "" {
		in.Words = "the pores were yellow"
	}
	return must[corrections.Asked](t)(corrections.SendRequest(ctx, g.Hall, who, g.Scope, g.Command(t), in))
}

func own(t testing.TB, g *halltest.Ground, a corrections.Asked) corrections.Own {
	t.Helper()
	return must[corrections.Own](t)(corrections.SeeOwn(ctx, g.Hall, g.Scope, secretOf(a)))
}

func secretOf(a corrections.Asked) string { return a.Path[strings.LastIndex(a.Path, "/")+1:] }

func room(t testing.TB, g *halltest.Ground, who access.Right) corrections.Room {
	t.Helper()
	return must[corrections.Room](t)(corrections.See(ctx, g.Hall, g.As[who], g.Scope))
}

func TestARequestIsAnsweredByASlipAndItsSenderReadsIt(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := found(t, g)
		g.Pass(time.Hour)
		asked := ask(t, g, access.Nobody, corrections.Ask{About: "0001", Kind: "name", Name: "Suillus grevilei", Evidence: "under larch", From: "Dora Vale", Reach: "01632 960099", ShowName: true})
		if asked.Seq != 1 || len(secretOf(asked)) < 27 {
			t.Fatalf("%+v", asked)
		}
		if o := own(t, g, asked); o.Request.State != hall.CorrectionOpen || o.Subject.Number != "0001" || o.Contact == nil || o.Request.Name != "Suillus grevillei" || *o.Request.Version != 1 {
			t.Errorf("the sender sees %+v %+v", o.Request.Correction, o.Contact)
		}
		keeper := g.As[access.ListKeeper]
		if r := room(t, g, access.Identifier); r.Keeper || len(r.Open) != 0 {
			t.Error("an identifier sees what was not passed on")
		}
		must[corrections.Done](t)(corrections.PassOn(ctx, g.Hall, keeper, g.Scope, g.Command(t), corrections.Pass{Request: asked.Request, To: g.Second.Person, Words: "please look"}))
		if r := room(t, g, access.Identifier); len(r.Open) != 0 {
			t.Error("an identifier sees what was passed to another")
		}
		if r := must[corrections.Room](t)(corrections.See(ctx, g.Hall, g.Second, g.Scope)); len(r.Open) != 1 {
			t.Error("an identifier does not see what was passed to them")
		}
		answer := func(changed string, slip foray.ID) error {
			_, err := corrections.AnswerRequest(ctx, g.Hall, keeper, g.Scope, g.Command(t), corrections.Answer{Request: asked.Request, Changed: changed, Slip: slip, Words: "It has the ring of the larch bolete."})
			return err
		}
		old := room(t, g, access.ListKeeper).Open[0].Plate.Slips[0].ID
		for name, err := range map[string]error{"no slip": answer("slip", foray.ID{}), "a slip that was there": answer("slip", old), "field data that nobody changed": answer("field", foray.ID{}), "a kind that is none": answer("all", foray.ID{})} {
			if !fault.Is(err, fault.Invalid) {
				t.Errorf("%s: %v", name, err)
			}
		}
		g.Pass(time.Hour)
		done := sign(t, g, g.As[access.Identifier], c.ID, 1, "Suillus grevillei")
		if r := room(t, g, access.ListKeeper); len(r.Open) != 1 || len(r.Open[0].Slips) != 1 || r.Open[0].Slips[0].Slip.ID != done.Slip {
			t.Fatalf("slips since: %+v", r.Open)
		}
		from := g.Now()
		g.Pass(time.Hour)
		if err := answer("slip", done.Slip); err != nil {
			t.Fatal(err)
		}
		if err := answer("other", foray.ID{}); !fault.Is(err, fault.Refused) {
			t.Errorf("answered twice: %v", err)
		}
		o := own(t, g, asked)
		if o.Request.State != hall.CorrectionDone || o.Slip == nil || o.Slip.Slip.Name().Name != "Suillus grevillei" || len(o.Request.Acts) != 2 {
			t.Errorf("the sender sees %+v %+v", o.Request.Acts, o.Slip)
		}
		g.Pass(time.Hour)
		publish(t, g)
		if err := g.View(ctx, access.Nobody, access.ReadPublic, g.Scope, func(l *hall.Look) error {
			between, err := hall.Answered(l, from, l.Now)
			after, err2 := hall.Answered(l, l.Now, time.Time{})
			if len(between) != 1 || between[0].Number != "0001" || between[0].Changed != "slip" || len(after) != 0 {
				t.Errorf("answered between versions: %+v, after: %+v %v", between, after, err2)
			}
			return err
		}); err != nil {
			t.Fatal(err)
		}
	})
}

func TestWhoAskedIsNobodysBusinessAndTheirWordsWaitForAKeeper(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		found(t, g)
		hidden := ask(t, g, access.Nobody, corrections.Ask{About: "1", Kind: "place", Words: "secret words", From: "Dora Vale", Reach: "01632 960099"})
		claimed := ask(t, g, access.Nobody, corrections.Ask{About: "1", Kind: "date", From: "Somebody Else", Reach: "01632 960098", ShowName: true})
		ask(t, g, g.As[access.Member], corrections.Ask{About: "1", Kind: "date", ShowName: true})
		ask(t, g, g.As[access.Member], corrections.Ask{About: "1", Kind: "private", Words: "my garden"})
		public := func() string {
			f := must[corrections.Form](t)(corrections.SeeForm(ctx, g.Hall, access.Nobody, g.Scope, "1", 0))
			return fmt.Sprintf("%+v", f.Asked)
		}
		if p := public(); strings.Contains(p, "secret words") || strings.Contains(p, "Dora") || strings.Contains(p, "garden") || strings.Contains(p, "private") || strings.Contains(p, "Somebody Else") || !strings.Contains(p, "Person member") || !strings.Contains(p, "place") {
			t.Errorf("everybody reads %s", p)
		}
		keeper := g.As[access.ListKeeper]
		must[corrections.Done](t)(corrections.Release(ctx, g.Hall, keeper, g.Scope, g.Command(t), corrections.Showing{Request: hidden.Request}))
		must[corrections.Done](t)(corrections.Release(ctx, g.Hall, keeper, g.Scope, g.Command(t), corrections.Showing{Request: claimed.Request}))
		if p := public(); !strings.Contains(p, "secret words") || strings.Contains(p, "Dora") || !strings.Contains(p, "Somebody Else") {
			t.Errorf("after the release everybody reads %s", p)
		}
		must[corrections.Done](t)(corrections.Release(ctx, g.Hall, keeper, g.Scope, g.Command(t), corrections.Showing{Request: hidden.Request, Back: true}))
		if p := public(); strings.Contains(p, "secret words") || !strings.Contains(p, "Somebody Else") {
			t.Errorf("kept back again, and everybody reads %s", p)
		}
		if _, err := corrections.Release(ctx, g.Hall, keeper, g.Scope, g.Command(t), corrections.Showing{Request: hidden.Request, Back: true}); !fault.Is(err, fault.Refused) {
			t.Errorf("kept back twice: %v", err)
		}
		r := room(t, g, access.ListKeeper)
		if _, err := corrections.Release(ctx, g.Hall, keeper, g.Scope, g.Command(t), corrections.Showing{Request: r.Open[3].Request.ID}); !fault.Is(err, fault.Refused) {
			t.Errorf("what should not be public is released: %v", err)
		}
		if _, err := corrections.PassOn(ctx, g.Hall, keeper, g.Scope, g.Command(t), corrections.Pass{Request: r.Open[3].Request.ID}); !fault.Is(err, fault.Refused) {
			t.Errorf("what should not be public is passed on: %v", err)
		}
		for right, who := range g.As {
			_, err := corrections.SeeContact(ctx, g.Hall, who, g.Scope, hidden.Request)
			if (err == nil) != (right == access.ListKeeper) {
				t.Errorf("%s looks who asked: %v", right, err)
			}
		}
		var reads []store.PrivateRead
		if err := g.Store.Read(ctx, func(tx *store.Tx) (err error) {
			reads, err = tx.PrivateReads(g.Scope.Society, g.Scope.Event)
			return err
		}); err != nil || len(reads) != 1 || reads[0].Subject != hidden.Request {
			t.Errorf("that a keeper looked is not on record: %+v, %v", reads, err)
		}
		if _, err := corrections.SeeOwn(ctx, g.Hall, g.Scope, strings.Repeat("A", 27)); !fault.Is(err, fault.NotFound) {
			t.Errorf("a secret that is none: %v", err)
		}
	})
}

func TestTheSenderIsForgottenAndTheRequestStays(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		found(t, g)
		asked := ask(t, g, access.Nobody, corrections.Ask{Kind: "other", From: "Dora Vale", Reach: "01632 960099"})
		for range 2 { // the same as once
			if _, err := corrections.ForgetSender(ctx, g.Hall, access.Nobody, g.Scope, g.Command(t), corrections.Forget{Secret: secretOf(asked)}); err != nil {
				t.Fatal(err)
			}
		}
		o := own(t, g, asked)
		if o.Contact != nil || len(o.Request.Acts) != 1 || o.Request.Acts[0].Kind != store.CorrectionErased || o.Request.Words == "" {
			t.Errorf("%+v %+v", o.Contact, o.Request.Acts)
		}
	})
}

func TestASenderAnswersWhenAskedBack(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		found(t, g)
		asked := ask(t, g, access.Nobody, corrections.Ask{About: "Suillus luteus", Kind: "name"})
		state := func() string { return own(t, g, asked).Request.State }
		must[corrections.Done](t)(corrections.AskSender(ctx, g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), corrections.AskBack{Request: asked.Request, Words: "Which tree?"}))
		if state() != hall.CorrectionAskedBack {
			t.Error(state())
		}
		cmd := g.Command(t)
		for range 2 {
			must[corrections.Done](t)(corrections.ReplyAsSender(ctx, g.Hall, access.Nobody, g.Scope, cmd, corrections.Reply{Secret: secretOf(asked), Words: "A larch."}))
		}
		if o := own(t, g, asked); o.Request.State != hall.CorrectionOpen || len(o.Request.Acts) != 2 {
			t.Errorf("%+v", o.Request.Acts)
		}
		must[corrections.Done](t)(corrections.AnswerRequest(ctx, g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), corrections.Answer{Request: asked.Request, Words: "It had no ring."}))
		if _, err := corrections.ReplyAsSender(ctx, g.Hall, access.Nobody, g.Scope, g.Command(t), corrections.Reply{Secret: secretOf(asked), Words: "But."}); !fault.Is(err, fault.Refused) {
			t.Errorf("after the answer: %v", err)
		}
		must[corrections.Done](t)(corrections.TakeUpAgain(ctx, g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), corrections.Again{Request: asked.Request, Words: "A photograph came."}))
		if state() != hall.CorrectionOpen {
			t.Error(state())
		}
	})
}

func TestAHallIsOneAddressAndARequestSentTwiceIsOne(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		found(t, g)
		before := seq(t, g)
		secret := must[string](t)(corrections.NewSecret(g.Random))
		cmd := g.Command(t)
		in := corrections.Ask{Kind: "other", Words: "the title", Secret: secret}
		first := must[corrections.Asked](t)(corrections.SendRequest(ctx, g.Hall, access.Nobody, g.Scope, cmd, in))
		if again := must[corrections.Asked](t)(corrections.SendRequest(ctx, g.Hall, access.Nobody, g.Scope, cmd, in)); again != first || first.Path == "" {
			t.Errorf("%+v, then %+v", first, again)
		}
		if _, err := corrections.SendRequest(ctx, g.Hall, access.Nobody, g.Scope, g.Command(t), in); !fault.Is(err, fault.Refused) {
			t.Errorf("another request with the same secret: %v", err)
		}
		for range 19 {
			ask(t, g, access.Nobody, corrections.Ask{Kind: "other"})
		}
		send := func(who access.Actor) error {
			_, err := corrections.SendRequest(ctx, g.Hall, who, g.Scope, g.Command(t), corrections.Ask{Kind: "other", Words: "one more"})
			return err
		}
		if err := send(access.Nobody); !fault.Is(err, fault.TooMany) || !strings.Contains(err.Error(), "minute") {
			t.Errorf("the twenty-first: %v", err)
		}
		if err := send(g.As[access.Member]); err != nil {
			t.Errorf("a member is held up by visitors: %v", err)
		}
		if seq(t, g) != before {
			t.Error("somebody outside makes a keeper's list look changed")
		}
		g.Pass(61 * time.Minute)
		if err := send(access.Nobody); err != nil {
			t.Errorf("an hour later: %v", err)
		}
	})
}

func seq(t testing.TB, g *halltest.Ground) int64 {
	t.Helper()
	return must[int64](t)(g.ChangeSeq(ctx, g.Scope))
}

func TestWhatIsMissingOrMeansNothingIsSaidByField(t *testing.T) {
	g := halltest.New(t, storetest.New(t, store.SQLite))
	found(t, g)
	for name, c := range map[string]struct {
		in    corrections.Ask
		field string
	}{
		"no kind":          {corrections.Ask{Words: "w"}, "kind"},
		"no words":         {corrections.Ask{Kind: "name", Words: " "}, "words"},
		"long words":       {corrections.Ask{Kind: "name", Words: strings.Repeat("w", 2001)}, "words"},
		"a long name":      {corrections.Ask{Kind: "name", Words: "w", Name: strings.Repeat("w", 201)}, "name"},
		"a nameless name":  {corrections.Ask{Kind: "name", Words: "w", ShowName: true}, "from"},
		"no such number":   {corrections.Ask{About: "99", Kind: "name", Words: "w"}, "about"},
		"no such record":   {corrections.Ask{About: "urn:uuid:0", Kind: "name", Words: "w"}, "about"},
		"not on the list":  {corrections.Ask{About: "Boletus edulis", Kind: "name", Words: "w"}, "about"},
		"no such version":  {corrections.Ask{Version: 9, Kind: "name", Words: "w"}, "about"},
		"another's secret": {corrections.Ask{Secret: "weak", Kind: "name", Words: "w"}, ""},
	} {
		_, err := corrections.SendRequest(ctx, g.Hall, access.Nobody, g.Scope, g.Command(t), c.in)
		f := fault.From(err)
		if c.field == "" && f.Kind == fault.Refused {
			continue
		}
		if _, said := f.Fields[c.field]; f.Kind != fault.Invalid || !said {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Would catch a way to put words before everybody that no keeper has read.
func TestALineThatSomebodyAsksAboutIsANameAndNothingElse(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ask(t, g, access.Nobody, corrections.Ask{About: "Boletus edulis Bull. call 01632 960098", Kind: "name", From: "Dora Vale", Reach: "01632 960099"})
		if open := room(t, g, access.ListKeeper).Open; len(open) != 1 || open[0].Request.Line != "Boletus edulis" {
			t.Errorf("everybody reads %+v", open)
		}
	})
}

func TestContactsGoByTheFirstOfTheirDates(t *testing.T) {
	at := func(day string) time.Time { d, _ := time.Parse(time.DateOnly, day); return d.Add(12 * time.Hour) }
	e := store.Event{TimeZone: "Europe/London", ContactMonths: 6, DeletePersonalOn: "2027-03-01"}
	for name, c := range map[string]struct {
		sent, answered, want string
		why                  hall.ContactReason
	}{
		"open, before the event's date":       {"2026-11-01", "", "2027-03-01", hall.ContactDate},
		"answered long before that date":      {"2026-11-01", "2026-08-01", "2027-02-01", hall.ContactAnswered},
		"sent on or after that date, open":    {"2027-03-01", "", "2028-03-01", hall.ContactOld},
		"sent after that date, then answered": {"2027-04-01", "2027-05-01", "2027-11-01", hall.ContactAnswered},
		"answered after almost a year":        {"2027-04-01", "2028-03-01", "2028-04-01", hall.ContactOld},
	} {
		var answered time.Time
		if c.answered != "" {
			answered = at(c.answered)
		}
		if day, why := hall.ContactUntil(e, at(c.sent), answered); day != c.want || why != c.why {
			t.Errorf("%s: %s %s", name, day, why)
		}
	}
}
