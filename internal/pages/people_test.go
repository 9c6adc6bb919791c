package pages_test

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"image/png"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/people"
	"forayhall/internal/pages"
)

func init() {
	areaRows = append(areaRows, `
GET  /me                               . x x x x x x x x x x x
GET  /me/data.json                     . x x x x x x x x x x x
POST /me/credit                        . x x x x x x x x x x x
POST /me/password                      . x x x x x x x x x x x
POST /me/token                         . x x x x x x x x x x x
POST /me/session                       . x x x x x x x x x x x
POST /me/everywhere                    . x x x x x x x x x x x
POST /me/erase                         . x x x x x x x x x x x
GET  /:society/invited/:secret         x x x x x x x x x x x x
POST /:society/invited/:secret         x x x x x x x x x x x x
GET  ⋯/pass/:secret                    x x x x x x x x x x x x
POST ⋯/pass/:secret                    x x x x x x x x x x x x
GET  ⋯/people                          . . x x x x x x x x x .
POST ⋯/people/invitation               . . . . . . . . . . x .
POST ⋯/people/take-back                . . . . . . . . . . x .
POST ⋯/people/pass                     . . . . . . . . . . x .
POST ⋯/people/end-pass                 . . . . . . . . . . x .
`)
	fill := func(pairs ...string) func(*floor, access.Right, func(...string) url.Values) url.Values {
		return func(_ *floor, _ access.Right, set func(...string) url.Values) url.Values { return set(pairs...) }
	}
	areaForms["/me/credit"] = fill("credit", "initials")
	areaForms["/me/password"] = fill("old", halltest.Password, "password", halltest.Password)
	areaForms["/me/token"] = fill("label", "printer", "rights", "member", "days", "2")
	areaForms["/me/session"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		return set("session", f.spareSession().String())
	}
	areaForms["/me/everywhere"] = fill()
	areaForms["/me/erase"] = fill("sure", "yes", "credit", "full")
	areaForms["/people/invitation"] = fill("name", "Dora Vale", "rights", "desk", "days", "7")
	areaForms["/people/take-back"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		return set("invitation", f.invitation("Dora Vale").ID.String())
	}
	areaForms["/people/pass"] = fill("right", "steward", "label", "Tables")
	areaForms["/people/end-pass"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		return set("pass", f.pass(access.Desk).ID.String())
	}
	areaForms["/:society/invited/:secret"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		return set("login", "guest"+f.one(), "password", halltest.Password)
	}
	areaForms["/pass/:secret"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		return set("name", "Walk In "+f.one())
	}
}

// one is a word that nobody used before.
func (f *floor) one() string {
	f.number++
	return f.word()
}

func (f *floor) word() string {
	return strings.Map(func(r rune) rune { return 'a' + r - '0' }, foray.Number{Base: f.number}.String())
}

func (f *floor) invitation(name string) people.Link {
	f.t.Helper()
	link, err := people.MakeInvitation(f.t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope, f.s.Command(f.t),
		people.Invitation{Name: name, Rights: []access.Right{access.Desk}})
	if err != nil {
		f.t.Fatal(err)
	}
	return link
}

func (f *floor) pass(right access.Right) people.Link {
	f.t.Helper()
	link, err := people.MakePass(f.t.Context(), f.s.Hall, f.s.As[access.Organiser], f.s.Scope, f.s.Command(f.t), people.Pass{Right: right, Label: "Saturday"})
	if err != nil {
		f.t.Fatal(err)
	}
	return link
}

// asks is the browser that asks for a row. What changes who is signed in, or their sign-in, is done by somebody else, so
// that the rows behind find everybody as they were.
func (f *floor) asks(r row, who access.Right) *browser {
	f.t.Helper()
	switch {
	case strings.HasPrefix(r.route, "/sign-"), r.method == http.MethodPost && strings.HasSuffix(r.route, "/:secret"):
		return f.enter(who)
	case r.method == http.MethodPost && strings.HasPrefix(r.route, "/me/") && who != access.Visitor:
		return f.newcomer()
	}
	return f.at[who]
}

// link is a fresh address that opens by itself.
func (f *floor) link(route string) string {
	f.t.Helper()
	if strings.Contains(route, "/pass/") {
		return f.pass(access.Desk).Path
	}
	return f.invitation("Guest Of Ours").Path
}

// spareSession is a session of the newest newcomer that no test signs in by.
func (f *floor) spareSession() (id foray.ID) {
	f.t.Helper()
	token, _, err := f.s.Desk.SignIn(f.t.Context(), "newcomer"+f.word(), halltest.Password)
	if fault.Is(err, fault.Refused) { // nobody is new: a visitor asks
		return f.s.Command(f.t).ID
	}
	actor, _, err2 := f.s.Desk.Who(f.t.Context(), token, "browser")
	if err != nil || err2 != nil {
		f.t.Fatal(err, err2)
	}
	return actor.Session
}

// newcomer signs somebody in who was invited just now: what they do to their own sign-in touches nobody else's.
func (f *floor) newcomer() *browser {
	f.t.Helper()
	b := f.s.browser(f.t)
	login := "newcomer" + f.one()
	b.get(f.invitation("New "+login).Path).send(b.path, "login", login, "password", halltest.Password).want(http.StatusOK)
	b.client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	return b
}

func TestAnInvitationIsMadeOpenedAndUsedOnPages(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		organiser := f.at[access.Organiser]
		organiser.get(event+"/people").want(http.StatusOK).send(event+"/people/invitation", "name", "Dora Vale", "rights", "scribe", "days", "3").want(http.StatusOK, "Dora Vale", "scribe")
		link := shownLink(t, organiser)
		organiser.get(event+"/people").want(http.StatusOK, "Dora Vale")
		dora := f.s.browser(t)
		dora.get(link).want(http.StatusOK, "Person organiser", "Autumn foray", "scribe", "Dora Vale")
		dora.send(link, "login", "dora", "password", "short").want(http.StatusUnprocessableEntity)
		if dora.typed(link, "login") != "dora" {
			t.Error("the sign-in name is not kept")
		}
		dora.send(link, "login", "dora", "password", "spindle-and-cap").want(http.StatusOK)
		if dora.path != event+"/hall" {
			t.Errorf("landed on %s", dora.path)
		}
		dora.get("/me").want(http.StatusOK, "Dora Vale", "dora")
		other := f.s.browser(t)
		if other.get(link).want(http.StatusOK); other.has(link) {
			t.Error("a used link still asks for a sign-in name")
		}
	})
}

// shownLink is the path of the link on a page that shows it once, and holds its picture against it.
func shownLink(t *testing.T, b *browser) string {
	t.Helper()
	n := find(b.page, func(n *node) bool { return attr(n, "class") == "poster-link" })
	if n == nil || n.FirstChild == nil {
		t.Fatalf("no link on %s", b.text())
	}
	img := find(b.page, func(n *node) bool { return attr(n, "class") == "poster-code" })
	data, err := base64.StdEncoding.DecodeString(strings.TrimPrefix(attr(img, "src"), "data:image/png;base64,"))
	if err != nil {
		t.Fatal(err)
	}
	picture, err := png.Decode(bytes.NewReader(data))
	if err != nil || picture.Bounds().Dx() < 200 {
		t.Errorf("the code: %v", err)
	}
	u, err := url.Parse(strings.TrimSpace(n.FirstChild.Data))
	if err != nil || u.Host == "" {
		t.Fatalf("%v %v", u, err)
	}
	return u.Path
}

func TestAWalkInComesInByAPassAndGoesWithIt(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		organiser := f.at[access.Organiser]
		organiser.get(event+"/people").send(event+"/people/pass", "right", "desk", "label", "Saturday").want(http.StatusOK, "Saturday")
		link := shownLink(t, organiser)
		ana := f.s.browser(t)
		ana.get(link).want(http.StatusOK, "desk", "Saturday").send(link, "name", "person organiser").want(http.StatusUnprocessableEntity, "person organiser")
		ana.send(link, "name", "Ana Ferreira").want(http.StatusOK)
		ana.get(event + "/intake").want(http.StatusOK)
		ana.get(event + "/publish").want(http.StatusForbidden)
		ana.get("/me").want(http.StatusOK, "Ana Ferreira").not("/me/token")
		f.at[access.Scribe].get(event+"/people").want(http.StatusOK, "Ana Ferreira", "Saturday")
		organiser.get(event + "/people").send(event + "/people/end-pass").want(http.StatusSeeOther)
		ana.get(event + "/intake").want(http.StatusUnauthorized)
	})
}

func TestALinkIsShownOnceAlsoWhereItsFormIsSentTwice(t *testing.T) {
	f := onSQLite(t)
	for action, form := range map[string]url.Values{"/people/invitation": {"name": {"Dora Vale"}, "days": {"3"}}, "/people/pass": {"right": {"desk"}}} {
		form.Set("command", f.s.Command(t).ID.String())
		first := f.at[access.Organiser].post(event+action, form).want(http.StatusOK)
		shownLink(t, first)
		after := f.seq()
		again := f.at[access.Organiser].post(event+action, form).want(http.StatusOK)
		if find(again.page, func(n *node) bool { return attr(n, "class") == "poster-link" }) != nil || f.seq() != after {
			t.Errorf("%s: shown or made twice", action)
		}
	}
}

// What opens by itself must not be read from a log.
func TestTheRequestLogHoldsNoSecret(t *testing.T) {
	f := onSQLite(t)
	var log bytes.Buffer
	e := pages.New(pages.Config{Hall: f.s.Hall, Desk: f.s.Desk, Log: slog.New(slog.NewTextHandler(&log, &slog.HandlerOptions{Level: slog.LevelDebug}))})
	server := httptest.NewServer(e)
	t.Cleanup(server.Close)
	for _, path := range []string{f.invitation("Dora Vale").Path, f.pass(access.Desk).Path} {
		res, err := http.Get(server.URL + path)
		if err != nil {
			t.Fatal(err)
		}
		body, _ := io.ReadAll(res.Body)
		res.Body.Close()
		secret := path[strings.LastIndexByte(path, '/')+1:]
		if res.StatusCode != http.StatusOK || strings.Contains(log.String(), secret) {
			t.Errorf("%d; logged: %s", res.StatusCode, log.String())
		}
		if strings.Contains(string(body), "next=") || res.Header.Get("Cache-Control") != "no-store" || res.Header.Get("Referrer-Policy") != "same-origin" {
			t.Errorf("the secret goes on: %v", res.Header)
		}
	}
	if !strings.Contains(log.String(), "/:society/invited/:secret") {
		t.Errorf("nothing was logged: %s", log.String())
	}
}

func TestOnesOwnPageDoesWhatItSays(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g))
		b := f.newcomer()
		b.get("/me").want(http.StatusOK).send("/me/credit", "credit", "none").want(http.StatusSeeOther)
		if b.get("/me"); b.typed("/me/credit", "credit") != "none" {
			t.Error("the choice is not kept")
		}
		b.send("/me/password", "old", "wrong-password", "password", "spindle-and-cap").want(http.StatusUnprocessableEntity)
		if strings.Contains(b.body, "spindle-and-cap") || strings.Contains(b.body, "wrong-password") {
			t.Error("a password is on the page")
		}
		b.get("/me").send("/me/password", "old", halltest.Password, "password", "spindle-and-cap").want(http.StatusSeeOther)
		b.get("/me").send("/me/token", "label", "printer", "rights", "", "days", "2").want(http.StatusUnprocessableEntity)
		b.get("/me").send("/me/token", "label", "printer", "rights", "member", "days", "2").want(http.StatusOK, "printer", "eyJ")
		b.get("/me").want(http.StatusOK, "printer").not("eyJ")
		b.get("/me/data.json").want(http.StatusOK)
		var told people.Told
		if err := json.Unmarshal([]byte(b.body), &told); err != nil || len(told.Rows["session"]) < 2 || strings.Contains(b.body, "argon2id") {
			t.Errorf("%v", err)
		}
		b.get("/me").send("/me/erase", "credit", "none").want(http.StatusUnprocessableEntity)
		b.get("/me").send("/me/erase", "credit", "none", "sure", "yes").want(http.StatusSeeOther)
		b.get("/me").want(http.StatusUnauthorized)
		f.at[access.Organiser].get("/me").want(http.StatusOK, "HB26")
		if f.at[access.Organiser].has("/me/erase") {
			t.Error("the last organiser may leave")
		}
	})
}
