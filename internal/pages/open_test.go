package pages_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"forayhall/internal/access"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/message"
)

// asksWho are the routes that answer everybody and still ask who is there, or have no end, and why.
var asksWho = map[string]string{
	"/sign-in":                         "is about who asks",
	"/:society/:event/live/stream":     "has no end",
	"/:society/invited/:secret":        "opens to one secret, is kept nowhere, and says who is signed in here already",
	"/:society/:event/correct":         "is a form, which is made anew for each who asks",
	"/:society/:event/correct/:secret": "opens to one secret, with a form of its own",
	"/:society/:event/list.xlsx":       "bears the time at which it was written",
	"/:society/:event/records.zip":     "is refused until the society chose a licence, and bears the time",
	"/:society/:event/pass/:secret":    "opens to one secret, is kept nowhere, and says who is signed in here already",
}

// openRoutes are the routes that answer everybody, by the server's own list and the plan's table, but for those.
func (f *floor) openRoutes() []row {
	f.t.Helper()
	var open []row
	for _, line := range allRows() {
		r := f.row(line)
		if r.method == http.MethodGet && r.variant == "" && may(line[r.width:], access.Visitor) && asksWho[r.route] == "" {
			open = append(open, r)
		}
	}
	return open
}

// TestAnOpenPageIsTheSameForEverybody would catch a name, a sign-out or a staff link on a page that a store on the way
// hands to the next reader, a page that reads the cookie at all, and one that sets it.
func TestAnOpenPageIsTheSameForEverybody(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		f := newFloor(t, newSite(t, g)).furnish()
		tried := 0
		for _, r := range f.openRoutes() {
			path := strings.NewReplacer("/n/:number", "/n/0213").Replace(r.route)
			if path == r.route {
				path = f.path(r, access.Visitor)
			} else {
				path = strings.Replace(path, "/:society/:event", event, 1)
			}
			if r.route == "/:society/:event/find" {
				path += "?number=x"
			}
			for _, language := range []string{message.English, message.Pseudo} {
				f.at[access.Visitor].ask("GET", path, nil, "Accept-Language", language)
				want := f.at[access.Visitor].body
				for _, who := range append([]access.Right{"broken"}, personas...) {
					tried++
					b := f.at[who]
					headers := []string{"Accept-Language", language}
					if b == nil {
						b, headers = f.s.browser(t), append(headers, "Cookie", "foray=not.a.token")
					}
					h := b.ask("GET", path, nil, headers...).Header
					if b.body != want {
						t.Errorf("%s: %s is another page than a visitor's", who, path)
					}
					if h.Get("Set-Cookie") != "" || strings.Contains(h.Get("Vary"), "Cookie") || strings.Contains(h.Get("Cache-Control"), "private") {
						t.Errorf("%s: %s: Set-Cookie %q, Vary %q, Cache-Control %q", who, path, h.Get("Set-Cookie"), h.Get("Vary"), h.Get("Cache-Control"))
					}
				}
			}
		}
		if tried < 15*2*len(personas) {
			t.Errorf("only %d answers were compared", tried)
		}
	})
}

// TestAnOpenPageMayBeKeptByAnybodyWhoAsksAgain: the pages of an event carry the tag of its change log.
func TestAnOpenPageMayBeKeptByAnybodyWhoAsksAgain(t *testing.T) {
	f := onSQLite(t).furnish()
	for _, path := range []string{"/", "/hollinbeck", event, event + "/list", event + "/list/1", event + "/tables", event + "/tables/3", event + "/n/0213",
		event + "/t/Amanita_phalloides", event + "/warnings"} {
		res := f.at[access.Visitor].ask("GET", path, nil)
		tag := res.Header.Get("ETag")
		if res.Header.Get("Cache-Control") != "public, no-cache" || res.Header.Get("Vary") != "Accept-Language, Accept-Encoding" || tag == "" {
			t.Errorf("%s: Cache-Control %q, Vary %q, ETag %q", path, res.Header.Get("Cache-Control"), res.Header.Get("Vary"), tag)
		}
		if res := f.at[access.Organiser].ask("GET", path, nil, "If-None-Match", tag); res.StatusCode != http.StatusNotModified || f.at[access.Organiser].body != "" {
			t.Errorf("%s again: %d", path, res.StatusCode)
		}
	}
	for path, want := range map[string]int{"/nowhere": 404, event + "/n/0999": 404, event + "/n/x": 404, event + "/t/Nowhere_atall": 404, event + "/tables/99": 404,
		event + "/tables/x": 404, event + "/list/9": 404, event + "/find?number=": 422, event + "/find?number=0999": 404, event + "/find?number=0213": 303} {
		if res := f.at[access.Visitor].ask("GET", path, nil); res.StatusCode != want || res.Header.Get("Cache-Control") != "no-store" || res.Header.Get("ETag") != "" {
			t.Errorf("%s: %d, Cache-Control %q, ETag %q", path, res.StatusCode, res.Header.Get("Cache-Control"), res.Header.Get("ETag"))
		}
	}
}

// TestNoOpenPageLinksToWhatAsksWhoIsThere: but for the sign-in page, every link answers a visitor.
func TestNoOpenPageLinksToWhatAsksWhoIsThere(t *testing.T) {
	f := onSQLite(t).furnish()
	f.publish()
	b := f.at[access.Visitor]
	seen := map[string]bool{"/": true}
	for queue := []string{"/"}; len(queue) > 0; {
		path := queue[0]
		queue = queue[1:]
		b.get(path)
		if b.status != http.StatusOK {
			t.Errorf("%s answers a visitor %d", path, b.status)
			continue
		}
		if path == "/sign-in" || strings.HasPrefix(path, "/sign-in?") || strings.HasPrefix(path, "/static/") || b.page == nil {
			continue
		}
		for _, next := range f.links(t, b, path) {
			u, err := url.Parse(next)
			if err != nil {
				t.Fatal(err)
			}
			for _, behind := range []string{"/hall", "/mine", "/c/", "/queue", "/intake", "/collections", "/setup", "/publish"} {
				if rest, in := strings.CutPrefix(u.Path, event); in && strings.HasPrefix(rest, behind) {
					t.Errorf("%s links to %s", path, next)
				}
			}
			if !seen[next] {
				seen[next] = true
				queue = append(queue, next)
			}
		}
	}
	if len(seen) < 60 {
		t.Errorf("only %d addresses were found", len(seen))
	}
}

// TestEachOpenPageThatNamesAFungusCarriesTheCaution: wherever a scientific name is drawn.
func TestEachOpenPageThatNamesAFungusCarriesTheCaution(t *testing.T) {
	f := onSQLite(t).furnish()
	f.publish()
	named := 0
	for _, path := range f.pagesFor(access.Visitor) {
		b := f.at[access.Visitor].get(path)
		sci := find(b.page, func(n *html.Node) bool { return attr(n, "class") == "sci" })
		caution := find(b.page, func(n *html.Node) bool { return attr(n, "class") == "caution" })
		if sci != nil {
			named++
			if caution == nil {
				t.Errorf("%s names a fungus without the standing caution", path)
			}
		}
	}
	if named < 15 {
		t.Errorf("only %d pages name a fungus", named)
	}
}

func TestHelpersComeFromAnOpenPageToTheirPlace(t *testing.T) {
	f := onSQLite(t).furnish()
	for who, lands := range map[access.Right]string{access.Desk: event + "/hall", access.Organiser: event + "/hall", access.Member: event + "/mine", stranger: event} {
		way := find(f.at[who].get(event+"/tables").page, func(n *html.Node) bool { return strings.HasPrefix(attr(n, "href"), "/sign-in?") })
		if way == nil {
			t.Fatal("no way for helpers")
		}
		if got := f.at[who].get(attr(way, "href")).location; got != lands {
			t.Errorf("%s, who is known already, is led to %q, want %q", who, got, lands)
		}
		fresh := f.s.browser(t)
		fresh.client.CheckRedirect = func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
		if got := fresh.get(attr(way, "href")).send("/sign-in", "name", string(who), "password", halltest.Password).location; got != lands {
			t.Errorf("%s, who signs in, is led to %q, want %q", who, got, lands)
		}
	}
	f.at[access.Desk].get("/sign-in?next=" + url.QueryEscape("https://elsewhere.example/")).want(http.StatusSeeOther)
	if got := f.at[access.Desk].location; got != event+"/hall" {
		t.Errorf("a link to elsewhere led to %q", got)
	}
}
