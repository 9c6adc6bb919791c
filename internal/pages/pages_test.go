package pages_test

import (
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"
	"golang.org/x/net/html"

	"forayhall/internal/access"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
	"forayhall/internal/pages"
)

// site is a hall behind a real HTTP server.
type site struct {
	*halltest.Ground
	echo   *echo.Echo
	server *httptest.Server
}

const event = "/hollinbeck/HB26"

func newSite(t *testing.T, g *halltest.Ground) *site {
	t.Helper()
	quiet := slog.New(slog.NewTextHandler(io.Discard, nil))
	e := pages.New(pages.Config{Hall: g.Hall, Desk: g.Desk, Log: quiet})
	server := httptest.NewServer(e)
	t.Cleanup(server.Close)
	for n, title := range []string{"Boletes", "Small brown ones", "Hazards"} {
		if _, err := setup.AddTable(t.Context(), g.Hall, g.Machine, g.Scope, g.Command(t), setup.Table{Number: n + 1, Title: title, Hazards: n == 2}); err != nil {
			t.Fatal(err)
		}
	}
	return &site{g, e, server}
}

// browser is one person's: it keeps cookies, follows redirects and sends forms as they stand on the page.
type browser struct {
	t      *testing.T
	s      *site
	client *http.Client
	status int
	path   string
	// location is where a redirect that was not followed leads.
	location string
	body     string
	header   http.Header
	page     *html.Node
}

func (s *site) browser(t *testing.T) *browser {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return &browser{t: t, s: s, client: &http.Client{Jar: jar}}
}

// as signs somebody in; a visitor stays without a session.
func (s *site) as(t *testing.T, right access.Right) *browser {
	t.Helper()
	return s.named(t, string(right))
}

func (s *site) named(t *testing.T, login string) *browser {
	t.Helper()
	b := s.browser(t)
	if login == string(access.Visitor) {
		return b
	}
	b.get("/sign-in?next=" + event)
	b.send("/sign-in", "name", login, "password", halltest.Password)
	b.want(http.StatusOK)
	return b
}

func (b *browser) get(path string) *browser {
	b.t.Helper()
	res, err := b.client.Get(b.s.server.URL + path)
	if err != nil {
		b.t.Fatal(err)
	}
	return b.take(res)
}

func (b *browser) take(res *http.Response) *browser {
	b.t.Helper()
	defer res.Body.Close()
	data, err := whole(res)
	if err != nil {
		b.t.Fatal(err)
	}
	b.status, b.body, b.path = res.StatusCode, string(data), res.Request.URL.Path
	b.location, b.header = res.Header.Get("Location"), res.Header
	if b.page, err = html.Parse(strings.NewReader(b.body)); err != nil {
		b.t.Fatal(err)
	}
	return b
}

// whole reads an answer; a stream has no end.
func whole(res *http.Response) ([]byte, error) {
	if res.Header.Get("Content-Type") == "text/event-stream" {
		return nil, nil
	}
	return io.ReadAll(res.Body)
}

// fields are the hidden fields of the form that goes to action, as they stand on the page.
func (b *browser) fields(action string) url.Values {
	b.t.Helper()
	form := b.formTo(action)
	if form == nil {
		b.t.Fatalf("no form to %s on %s (%d)", action, b.path, b.status)
	}
	values := url.Values{}
	each(form, func(n *html.Node) {
		if n.Data == "input" && attr(n, "type") == "hidden" {
			values.Add(attr(n, "name"), attr(n, "value"))
		}
	})
	return values
}

// formTo is the form to action with the most to fill in: beside it there may be short ways to send the same.
func (b *browser) formTo(action string) (fullest *html.Node) {
	most := -1
	each(b.page, func(n *html.Node) {
		if n.Data != "form" || attr(n, "action") != action {
			return
		}
		names := map[string]bool{}
		each(n, func(c *html.Node) {
			if attr(c, "type") != "hidden" {
				names[attr(c, "name")] = true
			}
		})
		if len(names) > most {
			most, fullest = len(names), n
		}
	})
	return fullest
}

func (b *browser) has(action string) bool {
	return find(b.page, func(n *html.Node) bool { return n.Data == "form" && attr(n, "action") == action }) != nil
}

// send fills in the form to action and sends it.
func (b *browser) send(action string, pairs ...string) *browser {
	b.t.Helper()
	values := b.fields(action)
	for i := 0; i < len(pairs); i += 2 {
		values.Set(pairs[i], pairs[i+1])
	}
	return b.post(action, values)
}

func (b *browser) post(action string, values url.Values) *browser {
	b.t.Helper()
	if values.Has(withPicture) {
		return b.postPicture(action, values)
	}
	res, err := b.client.PostForm(b.s.server.URL+action, values)
	if err != nil {
		b.t.Fatal(err)
	}
	return b.take(res)
}

func (b *browser) want(status int, texts ...string) *browser {
	b.t.Helper()
	if b.status != status {
		b.t.Fatalf("%s answered %d, want %d: %s", b.path, b.status, status, b.text())
	}
	for _, text := range texts {
		if !strings.Contains(b.text(), text) {
			b.t.Errorf("%s does not say %q: %s", b.path, text, b.text())
		}
	}
	return b
}

func (b *browser) not(texts ...string) *browser {
	b.t.Helper()
	for _, text := range texts {
		if strings.Contains(b.text(), text) {
			b.t.Errorf("%s says %q", b.path, text)
		}
	}
	return b
}

// text is what the page's main part says, with single spaces.
func (b *browser) text() string {
	root := find(b.page, func(n *html.Node) bool { return n.Data == "main" })
	if root == nil {
		root = b.page
	}
	var words []string
	each(root, func(n *html.Node) {
		if n.Type == html.TextNode {
			words = append(words, strings.Fields(n.Data)...)
		}
	})
	return strings.Join(words, " ")
}

func find(n *html.Node, is func(*html.Node) bool) *html.Node {
	if n.Type == html.ElementNode && is(n) {
		return n
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		if found := find(c, is); found != nil {
			return found
		}
	}
	return nil
}

func each(n *html.Node, fn func(*html.Node)) {
	fn(n)
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		each(c, fn)
	}
}

func attr(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

// section is what the section labelled so says; "" where there is none.
func (b *browser) section(label string) string {
	n := find(b.page, func(n *html.Node) bool { return attr(n, "aria-labelledby") == label })
	if n == nil {
		return ""
	}
	var words []string
	each(n, func(n *html.Node) {
		if n.Type == html.TextNode {
			words = append(words, strings.Fields(n.Data)...)
		}
	})
	return strings.Join(words, " ")
}

func contains(text, part string) bool { return strings.Contains(text, part) }

// table is the id of a table by its number.
func (s *site) table(t *testing.T, number int) string {
	t.Helper()
	room, err := setup.See(t.Context(), s.Hall, s.As[access.Organiser], s.Scope)
	if err != nil {
		t.Fatal(err)
	}
	return room.Tables[number-1].ID.String()
}

type node = html.Node

// seeOther is where a form led, for a browser that follows no redirects.
func (b *browser) seeOther() string { return b.location }

// typed is what a form on the page holds in a field: its text, or the chosen value.
func (b *browser) typed(action, name string) string {
	form := b.formTo(action)
	value := ""
	each(form, func(n *html.Node) {
		switch {
		case n.Type != html.ElementNode:
		case n.Data == "option" && has(n, "selected") && attr(n.Parent, "name") == name:
			value = attr(n, "value")
		case attr(n, "name") != name:
		case n.Data == "textarea" && n.FirstChild != nil:
			value = n.FirstChild.Data
		case n.Data == "input" && (attr(n, "type") == "radio" || attr(n, "type") == "checkbox"):
			if has(n, "checked") {
				value = attr(n, "value")
			}
		case n.Data == "input":
			value = attr(n, "value")
		}
	})
	return value
}

func has(n *html.Node, name string) bool {
	for _, a := range n.Attr {
		if a.Key == name {
			return true
		}
	}
	return false
}
