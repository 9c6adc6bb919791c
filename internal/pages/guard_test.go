package pages_test

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/message"
	"forayhall/internal/pages"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
	"forayhall/web"
)

// onSQLite runs what does not depend on the database on the one that needs no server.
func onSQLite(t *testing.T) *floor {
	t.Helper()
	return newFloor(t, newSite(t, halltest.New(t, storetest.New(t, store.SQLite))))
}

// ask sends one request as it is, with the cookies of the browser, and follows no redirect.
func (b *browser) ask(method, path string, body io.Reader, headers ...string) *http.Response {
	b.t.Helper()
	req, err := http.NewRequestWithContext(b.t.Context(), method, b.s.server.URL+path, body)
	if err != nil {
		b.t.Fatal(err)
	}
	for i := 0; i < len(headers); i += 2 {
		if headers[i] == "Host" {
			req.Host = headers[i+1]
			continue
		}
		req.Header.Set(headers[i], headers[i+1])
	}
	client := *b.client
	client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	res, err := client.Do(req)
	if err != nil {
		b.t.Fatal(err)
	}
	b.take(res)
	return res
}

const asForm = "application/x-www-form-urlencoded"

func (b *browser) askForm(path string, values url.Values, headers ...string) *http.Response {
	b.t.Helper()
	return b.ask(http.MethodPost, path, strings.NewReader(values.Encode()), append([]string{"Content-Type", asForm}, headers...)...)
}

func TestEveryAnswerCarriesTheSecurityHeaders(t *testing.T) {
	f := onSQLite(t)
	nobody, organiser := f.at[access.Visitor], f.at[access.Organiser]
	for name, answer := range map[string]*http.Response{
		"public page":      nobody.ask("GET", event+"/list", nil),
		"page":             organiser.ask("GET", event+"/setup", nil),
		"redirect":         organiser.askForm(event+"/setup/table", url.Values{"command": {f.s.Command(t).ID.String()}, "number": {"50"}}),
		"form with error":  organiser.askForm(event+"/setup/table", url.Values{"command": {f.s.Command(t).ID.String()}, "number": {"x"}}),
		"not signed in":    nobody.ask("GET", event+"/hall", nil),
		"not allowed":      organiser.ask("GET", event+"/publish", nil),
		"not found":        nobody.ask("GET", "/nowhere/at/all", nil),
		"no such event":    nobody.ask("GET", "/hollinbeck/HB99", nil),
		"no such method":   nobody.ask("DELETE", event+"/list", nil),
		"cross-site":       organiser.askForm(event+"/intake", url.Values{}, "Sec-Fetch-Site", "cross-site"),
		"static":           nobody.ask("GET", web.Asset("hall.css"), nil),
		"static not there": nobody.ask("GET", "/static/hall.css", nil),
		"data":             nobody.ask("GET", event+"/list.csv", nil),
		"frozen data":      nobody.ask("GET", event+"/list/1/json", nil),
		"health":           nobody.ask("GET", "/healthz", nil),
	} {
		h := answer.Header
		for header, want := range map[string]string{
			"X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "Referrer-Policy": "same-origin",
			"Cross-Origin-Opener-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin",
		} {
			if got := h.Get(header); got != want {
				t.Errorf("%s (%d): %s is %q, want %q", name, answer.StatusCode, header, got, want)
			}
		}
		checkPolicy(t, name, h.Get("Content-Security-Policy"))
		if kept := h.Get("Cache-Control"); answer.StatusCode >= 300 && kept != "no-store" {
			t.Errorf("%s (%d): Cache-Control is %q, want that it is not kept", name, answer.StatusCode, kept)
		}
		if answer.StatusCode != http.StatusSeeOther && h.Get("Content-Type") == "" {
			t.Errorf("%s (%d): no Content-Type", name, answer.StatusCode)
		}
	}
}

// checkPolicy wants nothing allowed by default and nothing inline.
func checkPolicy(t *testing.T, name, policy string) {
	t.Helper()
	for _, part := range []string{"default-src 'none'", "frame-ancestors 'none'", "base-uri 'none'", "form-action 'self'", "script-src 'self'", "style-src 'self'"} {
		if !strings.Contains(policy, part+";") && !strings.HasSuffix(policy, part) {
			t.Errorf("%s: the content policy %q lacks %s", name, policy, part)
		}
	}
	for _, part := range []string{"unsafe", "http:", "https:", "*"} {
		if strings.Contains(policy, part) {
			t.Errorf("%s: the content policy %q allows %s", name, policy, part)
		}
	}
}

// TestNoOtherSitesPageCanWrite sends every form there is as another site's page would make a browser send it. The
// route list is the server's own, so a form that is added is tried too.
func TestNoOtherSitesPageCanWrite(t *testing.T) {
	f := onSQLite(t)
	refused := message.For(message.English).Say("pages-guard.cross-origin")
	tried := 0
	for _, line := range allRows() {
		r := f.row(line)
		if r.method != http.MethodPost {
			continue
		}
		tried++
		for _, who := range []access.Right{access.Organiser, access.ChiefIdentifier, access.ListKeeper, access.SafetyLead} {
			path := f.path(r, who)
			form := f.form(r, who, path)
			before := f.seq()
			for _, headers := range [][]string{{"Sec-Fetch-Site", "cross-site"}, {"Sec-Fetch-Site", "same-site"},
				{"Origin", "https://elsewhere.example"}, {"Origin", "null"}, {"Origin", strings.Replace(f.s.server.URL, "127.0.0.1", "localhost", 1)}} {
				if res := f.at[who].askForm(path, form, headers...); res.StatusCode != http.StatusForbidden || !contains(f.at[who].text(), refused) {
					t.Errorf("POST %s with %v answered %d", path, headers, res.StatusCode)
				}
			}
			if f.seq() != before {
				t.Errorf("POST %s from elsewhere changed something", path)
			}
		}
	}
	posts := map[string]bool{}
	for _, r := range f.s.echo.Routes() {
		if r.Method != http.MethodGet && r.Method != http.MethodHead {
			posts[r.Path] = true
		}
	}
	if tried < len(posts) {
		t.Errorf("%d rows tried, there are %d routes that write", tried, len(posts))
	}
}

func TestTheSitesOwnPageCanWrite(t *testing.T) {
	f := onSQLite(t)
	for _, headers := range [][]string{{"Sec-Fetch-Site", "same-origin", "Origin", f.s.server.URL}, {"Origin", f.s.server.URL}, {}} {
		f.number++
		form := url.Values{"command": {f.s.Command(t).ID.String()}, "number": {fmt.Sprint(f.number)}, "group": {"bolete"}}
		if res := f.at[access.Desk].askForm(event+"/intake", form, headers...); res.StatusCode != http.StatusSeeOther {
			t.Errorf("with %v: %d %s", headers, res.StatusCode, f.at[access.Desk].text())
		}
	}
}

func TestTheSessionCookieIsForThisSiteAndNoScript(t *testing.T) {
	g := halltest.New(t, storetest.New(t, store.SQLite))
	for _, secure := range []bool{false, true} {
		e := pages.New(pages.Config{Hall: g.Hall, Desk: g.Desk, Secure: secure})
		req := httptest.NewRequest("POST", "/sign-in", strings.NewReader(url.Values{"name": {"desk"}, "password": {halltest.Password}, "next": {event}}.Encode()))
		req.Header.Set("Content-Type", asForm)
		rec := httptest.NewRecorder()
		e.ServeHTTP(rec, req)
		cookies := rec.Result().Cookies()
		if len(cookies) != 1 {
			t.Fatalf("secure %v: %d cookies with %d", secure, len(cookies), rec.Code)
		}
		c := cookies[0]
		if c.Name != pages.CookieName(secure) || !c.HttpOnly || c.SameSite != http.SameSiteLaxMode || c.Path != "/" || c.Domain != "" || c.Secure != secure || c.MaxAge <= 0 {
			t.Errorf("secure %v: %+v", secure, c)
		}
		if secure && !strings.HasPrefix(c.Name, "__Host-") {
			t.Errorf("the cookie %s is not bound to the host", c.Name)
		}
	}
}

// TestSignedOutIsSignedOut: the token that the browser forgot is no good for whoever copied it.
func TestSignedOutIsSignedOut(t *testing.T) {
	f := onSQLite(t)
	b := f.at[access.Desk]
	home, err := url.Parse(f.s.server.URL)
	if err != nil {
		t.Fatal(err)
	}
	token := b.client.Jar.Cookies(home)[0]
	b.get(event + "/intake").want(http.StatusOK).send("/sign-out").want(http.StatusSeeOther)
	if left := b.client.Jar.Cookies(home); len(left) != 0 {
		t.Errorf("the browser keeps %v", left)
	}
	thief := f.s.browser(t)
	thief.ask("GET", event+"/intake", nil, "Cookie", token.Name+"="+token.Value)
	thief.want(http.StatusUnauthorized)
}

func TestABodyOverTheLimitIsRefusedWithAPageThatSaysSo(t *testing.T) {
	f := onSQLite(t)
	b, before := f.at[access.Desk], f.seq()
	says := message.For(message.English).Say("fault.too-large")
	body := "command=" + f.s.Command(t).ID.String() + "&number=901&group=bolete&remarks=" + strings.Repeat("a", 1<<20)
	for name, r := range map[string]io.Reader{
		"with its length": strings.NewReader(body),
		"without":         io.MultiReader(strings.NewReader(body)), // chunked: the length is not known ahead
	} {
		if res := b.ask("POST", event+"/intake", r, "Content-Type", asForm); res.StatusCode != http.StatusRequestEntityTooLarge || !contains(b.text(), says) {
			t.Errorf("%s: %d %s", name, res.StatusCode, b.text())
		}
	}
	if f.seq() != before {
		t.Error("a form that was cut off was taken")
	}
	fits := strings.NewReader("command=" + f.s.Command(t).ID.String() + "&number=902&group=bolete&habitat=" + strings.Repeat("a", 400))
	b.ask("POST", event+"/intake", fits, "Content-Type", asForm)
	b.want(http.StatusSeeOther)
	b.ask("POST", event+"/intake", bytes.NewReader([]byte("command=%zz")), "Content-Type", asForm)
	b.want(http.StatusUnprocessableEntity)
}

func TestTheClientsAddressIsNotWhatTheClientWrites(t *testing.T) {
	g := halltest.New(t, storetest.New(t, store.SQLite))
	for _, c := range []struct {
		rule         string
		trust        bool
		remote, want string
	}{
		{"a header from anybody is ignored", false, "198.51.100.7:4000", "198.51.100.7"},
		{"a header from a proxy nobody announced is ignored", false, "127.0.0.1:4000", "127.0.0.1"},
		{"an announced proxy is believed", true, "127.0.0.1:4000", "203.0.113.9"},
		{"a stranger who plays proxy is not", true, "198.51.100.7:4000", "198.51.100.7"},
	} {
		e := pages.New(pages.Config{Hall: g.Hall, Desk: g.Desk, TrustProxy: c.trust})
		req := httptest.NewRequest("GET", "/", nil)
		req.RemoteAddr = c.remote
		req.Header.Set("X-Forwarded-For", "192.0.2.66, 203.0.113.9")
		req.Header.Set("X-Real-Ip", "192.0.2.66")
		if got := e.IPExtractor(req); got != c.want {
			t.Errorf("%s: %s, want %s", c.rule, got, c.want)
		}
	}
}

// TestSignInLeadsNowhereElse: the address after signing in comes from a link that anybody can send.
func TestSignInLeadsNowhereElse(t *testing.T) {
	f := onSQLite(t)
	home, err := url.Parse(f.s.server.URL)
	if err != nil {
		t.Fatal(err)
	}
	for next, want := range map[string]string{
		"https://elsewhere.example/":        "/",
		"//elsewhere.example/":              "/",
		"///elsewhere.example/":             "/",
		"////elsewhere.example":             "/",
		`/\elsewhere.example`:               "/",
		`\\elsewhere.example`:               "/",
		`/\/elsewhere.example`:              "/",
		"/\t/elsewhere.example":             "/",
		"/\n/elsewhere.example":             "/",
		" //elsewhere.example":              "/",
		"\x00//elsewhere.example":           "/",
		"javascript:alert(1)":               "/",
		"data:text/html,x":                  "/",
		"elsewhere.example":                 "/",
		"@elsewhere.example":                "/",
		"http:elsewhere.example":            "/",
		"http:///elsewhere.example":         "/",
		"?//elsewhere.example":              "/",
		"":                                  "/",
		"/%2f%2felsewhere.example":          "",
		"/.//elsewhere.example":             "",
		"/..//elsewhere.example":            "",
		"/%09/elsewhere.example":            "",
		"/hollinbeck/HB26/list?a=//b":       "/hollinbeck/HB26/list?a=//b",
		"/hollinbeck/HB26":                  "/hollinbeck/HB26/hall",
		"/hollinbeck/HB26/":                 "/hollinbeck/HB26/hall",
		"/hollinbeck/HB26/c/0001#form-sign": "/hollinbeck/HB26/c/0001#form-sign",
	} {
		b := f.s.browser(t)
		res := b.askForm("/sign-in", url.Values{"name": {"desk"}, "password": {halltest.Password}, "next": {next}})
		got := res.Header.Get("Location")
		there, err := url.Parse(got)
		if want == "/" {
			want = event + "/hall" // whoever comes from nowhere lands in their newest event
		}
		if res.StatusCode != http.StatusSeeOther || err != nil || want != "" && got != want {
			t.Errorf("next %q led with %d to %q, want %q", next, res.StatusCode, got, want)
			continue
		}
		// Browsers take a backslash for a slash, and drop tabs and line ends (WHATWG URL Standard, 4.4).
		if strings.HasPrefix(got, "//") || strings.ContainsAny(got, "\\\t\r\n") || home.ResolveReference(there).Host != home.Host {
			t.Errorf("next %q led away: %q", next, got)
		}
		page := f.s.browser(t)
		page.get("/sign-in?" + url.Values{"next": {next}}.Encode())
		if kept := page.fields("/sign-in").Get("next"); !strings.HasPrefix(kept, "/") || strings.HasPrefix(kept, "//") || strings.ContainsAny(kept, "\\\t\n") {
			t.Errorf("the sign-in form keeps next %q as %q", next, kept)
		}
	}
}

func TestHeadIsGetWithoutItsBodyAndNothingElseIsTaken(t *testing.T) {
	f := onSQLite(t)
	b := f.at[access.Visitor]
	for _, path := range []string{"/", "/healthz", event, event + "/list", event + "/list.csv", event + "/hall", "/nowhere", web.Asset("hall.css")} {
		get, head := b.ask("GET", path, nil), b.ask("HEAD", path, nil)
		if head.StatusCode != get.StatusCode || head.Header.Get("Content-Type") != get.Header.Get("Content-Type") || b.body != "" {
			t.Errorf("HEAD %s: %d %q with %d bytes, GET: %d %q", path, head.StatusCode, head.Header.Get("Content-Type"), len(b.body), get.StatusCode, get.Header.Get("Content-Type"))
		}
	}
	for path, allowed := range map[string]string{event + "/list": "GET", event + "/setup/table": "POST"} {
		res := b.ask("OPTIONS", path, nil, "Origin", "https://elsewhere.example", "Access-Control-Request-Method", "POST")
		if res.StatusCode != http.StatusNoContent || !strings.Contains(res.Header.Get("Allow"), allowed) {
			t.Errorf("OPTIONS %s: %d, Allow %q", path, res.StatusCode, res.Header.Get("Allow"))
		}
		for header := range res.Header {
			if strings.HasPrefix(header, "Access-Control-") {
				t.Errorf("OPTIONS %s allows other sites: %s", path, header)
			}
		}
	}
	for _, method := range []string{"PUT", "DELETE", "PATCH", "TRACE", "CONNECT-ME"} {
		res := b.ask(method, event+"/list", nil)
		if res.StatusCode != http.StatusMethodNotAllowed || !strings.Contains(res.Header.Get("Allow"), "GET") {
			t.Errorf("%s: %d, Allow %q", method, res.StatusCode, res.Header.Get("Allow"))
		}
	}
}
