package main

import (
	"archive/zip"
	"bytes"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"os/exec"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"forayhall/internal/demo"
	"forayhall/internal/hall/people"
	"forayhall/internal/message"
)

// leaves are words that read as leave to eat, in the languages of which common names ship. Epithets such as esculenta and
// deliciosus are names and say nothing.
var leaves = regexp.MustCompile(`(?i)\b(edib\w*|comestib\w*|commestib\w*|essbar\w*|genießbar\w*|speise\w*|eetbar\w*|mangiabil\w*|jadaln\w*|jedl[ýáé]\w*|spiselig\w*|ätlig\w*|matsvamp\w*|ehet[őo]\w*|harmless\w*|delicious|tasty|choice (edible|fung\w+|mushroom\w*)|safe (to|for)|good to eat|(can|may|could) be eaten|for the (table|pot|kitchen)|not poisonous|non-?poisonous|non-?toxic)\b`)

// mostOfAKind is how many pages of one kind are read: plates, names and tables differ in what the tables of knowledge say,
// and those are read whole by a test of their own.
const mostOfAKind = 1

// readers are who sees every page between them; the first is a visitor.
var readers = []string{"", "organiser", "safety", "chief", "member"}

// demoHall is the demo behind a server, and its installation.
func demoHall(t *testing.T) (*installation, *httptest.Server) {
	t.Helper()
	e := &env{stdout: io.Discard, stderr: io.Discard, say: message.For(message.English)}
	dir, noURL := t.TempDir(), ""
	in, err := place{dir: &dir, url: &noURL}.openOrMake(t.Context(), e)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = in.close() })
	in.Desk.Cost = people.Cost{TimePasses: 1, MemoryKiB: 8, Lanes: 1}
	if _, err := demo.Fill(t.Context(), in.Hall, in.Desk); err != nil {
		t.Fatal(err)
	}
	in.Now = demo.NewClock(time.Now)
	server := httptest.NewServer(newServer(in, serving{log: slog.New(slog.NewTextHandler(io.Discard, nil))}, nil))
	t.Cleanup(server.Close)
	return in, server
}

func TestNoPagePaperOrExportOfTheDemoReadsAsLeaveToEat(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a while: not with -short")
	}
	in, server := demoHall(t)
	signs, err := demo.SignIns()
	if err != nil {
		t.Fatal(err)
	}
	pages := 0
	for _, who := range append(demo.Signs{{}}, signs...) {
		if _, right, _ := strings.Cut(who.Login, "."); slices.Contains(readers, right) {
			pages += newReader(t, server.URL, who).readAll()
		}
	}
	t.Logf("%d pages", pages)
	if pages < 150 {
		t.Errorf("only %d pages were read", pages)
	}
	for _, kind := range exports() {
		if kind.kind == "event" { // its texts are those of records-csv and the pages
			continue
		}
		for _, event := range []string{"HB25", "HB26"} {
			at, actor, err := in.event(t.Context(), "", event)
			if err != nil {
				t.Fatal(err)
			}
			var out bytes.Buffer
			x := exportCall{installation: in, env: &env{stdout: io.Discard, stderr: io.Discard, say: message.For(message.English)}, at: at, actor: actor, size: "A4",
				site: "HW", licence: "CC-BY-4.0", labels: labelFlags{new(int), new(int), new(int), new(bool)}}
			if err := kind.write(t.Context(), x, &out); err != nil {
				t.Errorf("%s of %s: %v", kind.kind, event, err)
				continue
			}
			readsAsLeave(t, kind.kind+" of "+event, textOf(t, out.Bytes()))
		}
	}
}

// denied are the cautions that speak of eating in order to say that nothing here is leave for it.
var denied = regexp.MustCompile(`no list or photograph shows whether a fungus may be eaten`)

func readsAsLeave(t *testing.T, where, text string) {
	t.Helper()
	text = denied.ReplaceAllString(strings.Join(strings.Fields(text), " "), "")
	for _, word := range leaves.FindAllStringIndex(text, 3) {
		t.Errorf("%s: …%s…", where, strings.Join(strings.Fields(text[max(0, word[0]-60):min(len(text), word[1]+40)]), " "))
	}
}

// textOf is what a file says: of a PDF by pdftotext, of a zip its members, else the file.
func textOf(t *testing.T, data []byte) string {
	t.Helper()
	if z, err := zip.NewReader(bytes.NewReader(data), int64(len(data))); err == nil {
		var all strings.Builder
		for _, f := range z.File {
			r, err := f.Open()
			if err != nil {
				t.Fatal(err)
			}
			if _, err := io.Copy(&all, r); err != nil {
				t.Fatal(err)
			}
		}
		return all.String()
	}
	if !bytes.HasPrefix(data, []byte("%PDF")) {
		return string(data)
	}
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext is not installed: poppler-utils has it")
	}
	cmd := exec.CommandContext(t.Context(), tool, "-", "-")
	cmd.Stdin = bytes.NewReader(data)
	text, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// reader walks the pages that somebody may open, a few of each kind.
type reader struct {
	t      *testing.T
	who    string
	base   *url.URL
	client *http.Client
	kinds  map[string]int
	seen   map[string]bool
	queue  []string
}

func newReader(t *testing.T, base string, who demo.Sign) *reader {
	t.Helper()
	u, err := url.Parse(base)
	if err != nil {
		t.Fatal(err)
	}
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	r := &reader{t: t, who: who.Login, base: u, client: &http.Client{Jar: jar}, kinds: map[string]int{}, seen: map[string]bool{}}
	r.queue = []string{"/", "/hollinbeck/HB26/warnings", "/hollinbeck/HB26/t/Amanita_phalloides",
		"/hollinbeck/HB26/t/Boletus_edulis", "/hollinbeck/HB26/t/Morchella_esculenta", "/hollinbeck/HB26/t/Gyromitra_esculenta"}
	if who.Login != "" {
		r.signIn(who)
		r.queue = append(r.queue, "/hollinbeck/HB26/hall", "/hollinbeck/HB26/hazards?q=Amanita+phalloides", "/hollinbeck/HB26/papers", "/me")
	}
	return r
}

func (r *reader) signIn(who demo.Sign) {
	res, err := r.client.Get(r.base.String() + "/sign-in")
	if err != nil {
		r.t.Fatal(err)
	}
	doc, err := html.Parse(res.Body)
	res.Body.Close()
	if err != nil {
		r.t.Fatal(err)
	}
	form := url.Values{"name": {who.Login}, "password": {who.Password}}
	for n := range doc.Descendants() {
		if n.Data == "input" && value(n, "type") == "hidden" && value(n, "value") != "" {
			form.Set(value(n, "name"), value(n, "value"))
		}
	}
	res, err = r.client.PostForm(r.base.String()+"/sign-in", form)
	if err != nil {
		r.t.Fatal(err)
	}
	res.Body.Close()
	if res.StatusCode != http.StatusOK {
		r.t.Fatalf("%s signs in: %s", who.Login, res.Status)
	}
}

func value(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

// kindOf is an address without what tells one plate, name or table from another.
var varying = regexp.MustCompile(`/(c|n|t|tables|walk|photo|photograph|p|mine|teams?|site|sites)/[^/?]+|[0-9a-f-]{36}|\d+|=[^&]*`)

func (r *reader) readAll() (read int) {
	for len(r.queue) > 0 {
		at := r.queue[0]
		r.queue = r.queue[1:]
		kind := varying.ReplaceAllString(at, "/*")
		if r.seen[at] || r.kinds[kind] >= mostOfAKind || strings.Contains(at, "stream") || strings.HasPrefix(at, "/static/") {
			continue
		}
		r.seen[at] = true
		r.kinds[kind]++
		if r.read(at) {
			read++
		}
	}
	return read
}

func (r *reader) read(at string) bool {
	res, err := r.client.Get(r.base.String() + at)
	if err != nil {
		r.t.Errorf("%s: %v", at, err)
		return false
	}
	data, err := io.ReadAll(res.Body)
	res.Body.Close()
	if err != nil || res.StatusCode >= http.StatusInternalServerError {
		r.t.Errorf("%s: %s %v", at, res.Status, err)
		return false
	}
	if strings.HasPrefix(res.Header.Get("Content-Type"), "image/") {
		return false
	}
	if !strings.HasPrefix(res.Header.Get("Content-Type"), "text/html") {
		readsAsLeave(r.t, r.who+" "+at, textOf(r.t, data))
		return true
	}
	doc, err := html.Parse(bytes.NewReader(data))
	if err != nil {
		r.t.Errorf("%s: %v", at, err)
		return false
	}
	var text strings.Builder
	for n := range doc.Descendants() {
		switch {
		case n.Type == html.TextNode && n.Parent.Data != "script" && n.Parent.Data != "style":
			text.WriteString(n.Data + " ")
		case n.Data == "a":
			r.follow(at, value(n, "href"))
		}
		for _, spoken := range []string{"alt", "title", "aria-label", "placeholder"} {
			text.WriteString(value(n, spoken) + " ")
		}
	}
	readsAsLeave(r.t, r.who+" "+at, text.String())
	return true
}

func (r *reader) follow(from, href string) {
	base, err := url.Parse(from)
	if err != nil {
		return
	}
	u, err := base.Parse(href)
	if err != nil || u.Host != "" || u.Scheme != "" && u.Scheme != "http" {
		return
	}
	u.Fragment = ""
	r.queue = append(r.queue, u.String())
}
