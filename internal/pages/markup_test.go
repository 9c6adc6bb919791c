package pages_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"forayhall/internal/access"
	"forayhall/internal/message"
)

// TestEveryPageIsWellMadeHTML would catch what a browser mends silently and a screen reader does not.
func TestEveryPageIsWellMadeHTML(t *testing.T) {
	f := onSQLite(t).whole()
	pages := 0
	f.everyPage(t, func(t *testing.T, p shown) {
		pages++
		for _, wrong := range append(append(headings(p.page), identities(p.page)...), inlined(p.page)...) {
			t.Errorf("%s: %s: %s", p.who, p.path, wrong)
		}
		if !strings.HasPrefix(p.body, "<!doctype html>") && !strings.HasPrefix(p.body, "<!DOCTYPE html>") {
			t.Errorf("%s: %s has no doctype", p.who, p.path)
		}
	})
	if pages < 800 {
		t.Errorf("only %d pages were read", pages)
	}
}

// headings wants one h1 and no level left out on the way down (WCAG 2.2, technique G141).
func headings(page *node) (wrong []string) {
	ones, level := 0, 0
	each(page, func(n *node) {
		if n.Type != html.ElementNode || len(n.Data) != 2 || n.Data[0] != 'h' || n.Data[1] < '1' || n.Data[1] > '6' {
			return
		}
		here := int(n.Data[1] - '0')
		if here == 1 {
			ones++
		}
		// The summary of mistakes stands before the page's own heading.
		if level > 0 && here > level+1 {
			wrong = append(wrong, "h"+string(n.Data[1])+" "+textOf(n)+" skips a level")
		}
		if textOf(n) == "" {
			wrong = append(wrong, n.Data+" is empty")
		}
		level = here
	})
	if ones != 1 {
		wrong = append(wrong, "not one h1")
	}
	if titles := count(page, "title"); titles < 1 || count(page, "main") != 1 {
		wrong = append(wrong, "no title, or not one main")
	}
	return wrong
}

func count(page *node, tag string) (n int) {
	each(page, func(m *node) {
		if m.Type == html.ElementNode && m.Data == tag {
			n++
		}
	})
	return n
}

// altOf is what the first picture in an element says to those who do not see it.
func altOf(n *node) string {
	img := find(n, func(m *node) bool { return m.Data == "img" })
	if img == nil {
		return ""
	}
	return attr(img, "alt")
}

func textOf(n *node) string {
	var words []string
	each(n, func(m *node) {
		if m.Type == html.TextNode {
			words = append(words, strings.Fields(m.Data)...)
		}
	})
	return strings.Join(words, " ")
}

// identities wants every id once, every reference to one answered, and a label on every control.
func identities(page *node) (wrong []string) {
	ids, labelled := map[string]bool{}, map[string]bool{}
	each(page, func(n *node) {
		if id := attr(n, "id"); id != "" {
			if ids[id] {
				wrong = append(wrong, "the id "+id+" is there twice")
			}
			ids[id] = true
		}
		if n.Data == "label" && attr(n, "for") != "" {
			labelled[attr(n, "for")] = true
		}
	})
	each(page, func(n *node) {
		if n.Type != html.ElementNode {
			return
		}
		for _, name := range []string{"for", "aria-labelledby", "aria-describedby", "aria-controls", "list", "data-chooses"} {
			for _, id := range strings.Fields(attr(n, name)) {
				if !ids[id] {
					wrong = append(wrong, n.Data+" points with "+name+" to "+id+", which is not there")
				}
			}
		}
		if to, ok := strings.CutPrefix(attr(n, "href"), "#"); n.Data == "a" && ok && !ids[to] {
			wrong = append(wrong, "a link leads to #"+to+", which is not there")
		}
		control := n.Data == "select" || n.Data == "textarea" || n.Data == "input" && attr(n, "type") != "hidden"
		if control && !labelled[attr(n, "id")] {
			wrong = append(wrong, n.Data+" "+attr(n, "name")+" has no label")
		}
		if n.Data == "button" && textOf(n) == "" || n.Data == "a" && textOf(n) == "" && attr(n, "aria-label") == "" && altOf(n) == "" {
			wrong = append(wrong, "a "+n.Data+" without a word")
		}
	})
	return wrong
}

// inlined wants nothing that the content policy would have to be loosened for.
func inlined(page *node) (wrong []string) {
	each(page, func(n *node) {
		if n.Type != html.ElementNode {
			return
		}
		for _, a := range n.Attr {
			if a.Key == "style" || strings.HasPrefix(a.Key, "on") || strings.HasPrefix(strings.ToLower(a.Val), "javascript:") {
				wrong = append(wrong, n.Data+" carries "+a.Key)
			}
		}
		data := attr(n, "type") == "application/ld+json" // a block of data: nothing in it is run
		if n.Data == "style" || n.Data == "script" && !data && (attr(n, "src") == "" || n.FirstChild != nil) {
			wrong = append(wrong, "a "+n.Data+" in the page")
		}
	})
	return wrong
}

// TestEveryFieldHasAWordForWhatWasTyped: a form that cannot be taken shows what it held under the field's own name.
func TestEveryFieldHasAWordForWhatWasTyped(t *testing.T) {
	f := onSQLite(t).whole()
	known := map[string]bool{"password": true, "old": true} // passwords are not shown again
	f.everyPage(t, func(t *testing.T, p shown) {
		each(p.page, func(n *node) {
			name := attr(n, "name")
			if n.Data != "input" && n.Data != "select" && n.Data != "textarea" || attr(n, "type") == "hidden" || attr(n, "type") == "search" || known[name] || name == "" && shownByAScript(n) {
				return
			}
			known[name] = true
			if base := strings.TrimRight(name, "_0123456789"); message.Has("pages.fact." + base) {
				return
			}
			if !message.Has("pages.fact." + name) {
				t.Errorf("%s: %s: no word for the field %s", p.who, p.path, name)
			}
		})
	})
	f.at[access.Visitor].post(event+"/intake", url.Values{"command": {f.s.Command(t).ID.String()}, "number": {"0733"}, "substrate": {"stump"}, "cooled": {"yes"}, "password": {"not to be shown"}, "team": {f.team()}}).
		want(http.StatusUnauthorized, "0733", message.For(message.English).Say("pages.substrate.stump")).not("not to be shown", f.team())
}

// shownByAScript is true of a control that lies in a field which only a script shows, and works with: nothing of it is
// sent, and without scripts nobody sees it.
func shownByAScript(n *node) bool {
	for up := n; up != nil; up = up.Parent {
		if has(up, "data-group-find") {
			return has(up, "hidden")
		}
	}
	return false
}

// TestEveryLinkThatAVisitorSeesLeadsSomewhere walks from the start as nobody.
func TestEveryLinkThatAVisitorSeesLeadsSomewhere(t *testing.T) {
	f := onSQLite(t).furnish()
	f.publish()
	b := f.at[access.Visitor]
	found := map[string]string{"/": "the start"}
	for queue := []string{"/"}; len(queue) > 0; {
		path := queue[0]
		queue = queue[1:]
		b.get(path)
		if b.status != http.StatusOK {
			t.Errorf("%s, linked from %s, answers %d", path, found[path], b.status)
			continue
		}
		if !strings.HasPrefix(strings.TrimSpace(b.body), "<!") {
			continue
		}
		for _, next := range f.links(t, b, path) {
			if found[next] == "" {
				found[next] = path
				queue = append(queue, next)
			}
		}
	}
	for _, path := range []string{event, event + "/list", event + "/list/1", event + "/list/2", event + "/tables", event + "/tables/2", event + "/n/0213", event + "/t/Amanita_phalloides", "/hollinbeck", event + "/warnings", event + "/list.csv", event + "/list/1/json", "/fernhollow/HB26"} {
		if found[path] == "" {
			t.Errorf("no way leads a visitor to %s", path)
		}
	}
}

// links are the addresses on the page within the site, without what stands behind #.
func (f *floor) links(t *testing.T, b *browser, at string) (links []string) {
	t.Helper()
	base, err := url.Parse(at)
	if err != nil {
		t.Fatal(err)
	}
	each(b.page, func(n *node) {
		href := attr(n, "href")
		if src := attr(n, "src"); src != "" {
			href = src
		}
		if href == "" || strings.HasPrefix(href, "data:") || strings.HasPrefix(href, "tel:") || attr(n, "rel") == "canonical" {
			return
		}
		u, err := url.Parse(href)
		if err == nil && strings.HasPrefix(u.Host, "127.0.0.1:") && strings.HasSuffix(at, ".atom") { // a feed is read away from here
			u.Host, u.Scheme = "", ""
		}
		if err != nil || u.Host != "" || u.Scheme != "" {
			t.Errorf("%s links to %q, outside the site", at, href)
			return
		}
		u = base.ResolveReference(u)
		u.Fragment = ""
		if n.Data == "a" && !strings.HasPrefix(href, "/") && !strings.HasPrefix(href, "#") {
			t.Errorf("%s links to %q, which is another place from another page", at, href)
		}
		links = append(links, u.String())
	})
	return links
}

// TestTheSignInLinkLeadsBack: whoever signs in from a page comes back to it, and from a form to the event.
func TestTheSignInLinkLeadsBack(t *testing.T) {
	f := onSQLite(t).furnish()
	b := f.at[access.Visitor]
	for path, want := range map[string]string{event + "/list": event + "/hall", event + "/n/0213": event + "/hall", "/hollinbeck": "/hollinbeck", event + "/c/0213": event + "/c/0213",
		event + "/collections?state=disputed&find=a%26b": event + "/collections?state=disputed&find=a%26b", "/": "/"} {
		b.get(path)
		link := find(b.page, func(n *node) bool { return n.Data == "a" && strings.HasPrefix(attr(n, "href"), "/sign-in") })
		if link == nil {
			t.Errorf("%s has no way to sign in", path)
			continue
		}
		b.get(attr(link, "href"))
		if got := b.fields("/sign-in").Get("next"); got != want {
			t.Errorf("from %s signing in leads to %q, want %q", path, got, want)
		}
	}
	b.post(event+"/c/0213/sign", url.Values{"choice": {"other"}}).want(http.StatusUnauthorized)
	link := find(b.page, func(n *node) bool { return strings.HasPrefix(attr(n, "href"), "/sign-in") })
	b.get(attr(link, "href"))
	if got := b.fields("/sign-in").Get("next"); got != event {
		t.Errorf("from a form that was not taken signing in leads to %q", got)
	}
}
