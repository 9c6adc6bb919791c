package drill

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"html"
	"io"
	"log/slog"
	"math"
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

	"github.com/labstack/echo/v4"

	"forayhall/internal/access"
	"forayhall/internal/api"
	"forayhall/internal/archive"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/corrections"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/earlier"
	"forayhall/internal/hall/fieldwork"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/people"
	"forayhall/internal/hall/photographs"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/vouchers"
	"forayhall/internal/pages"
	"forayhall/internal/store"
)

// What must not get out. The first site is sensitive. The second is public and nothing was found there but a protected
// taxon, so that neither its name nor its point may stand with anything that was found.
const (
	secretCode, secretName, secretLat, secretLon = "QZX", "Quillwort Dingle", 54.318642, -2.417853
	openCode, openName, openLat, openLon         = "OTT", "Otterstone Hanger", 54.473519, -2.158264
	emptyName                                    = "Nettlefold Rise" // public too, and nothing was found there
	secretWords                                  = "behind the third sluice"
	protectedName                                = "Hericium erinaceus"
)

// TestAHiddenPointCannotBeHad lays a foray on which everything that holds a place holds a secret one, and asks every
// address of pages and API, with every name, number, code and id there is, as nobody and as a plain member: no page, no
// export, no photograph and no error may say where it was, in any form.
func TestAHiddenPointCannotBeHad(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		h := hide(t, g)
		for _, who := range []string{"", string(access.Member)} {
			p := h.prober(t, who)
			for _, path := range h.addresses() {
				p.ask(t, path)
			}
			if p.asked < 400 || p.good < 150 || p.opened < 8 {
				t.Errorf("as %q only %d answers, %d good, %d files in archives: the test does not look", who, p.asked, p.good, p.opened)
			}
			t.Logf("as %q: %d answers, %d of them good, %d bytes, %d files in archives, %d papers, %d pictures", who, p.asked, p.good, p.bytes, p.opened, p.papers, p.pictures)
			p.alike(t)
		}
		h.sameEverywhere(t)
	})
}

// hidden is a hall with secrets, behind the real server.
type hidden struct {
	*halltest.Ground
	echo    *echo.Echo
	url     string
	ids     []string // of whatever has one
	forbids []forbidden
	plate   foray.ID // at the sensitive site
	flagged foray.ID // of the protected taxon
}

func hide(t *testing.T, g *halltest.Ground) *hidden {
	t.Helper()
	h := &hidden{Ground: g}
	counter := &people.Desk{Hall: g.Hall, Cost: halltest.Cheap, Keys: g.Desk.Keys}
	closing := make(chan struct{})
	close(closing) // streams end as they begin
	a := &api.API{Hall: g.Hall, Desk: counter, Cookie: pages.CookieName(false), Closing: closing}
	h.echo = pages.New(pages.Config{Hall: g.Hall, Desk: counter, Closing: closing, Log: slog.New(slog.NewTextHandler(io.Discard, nil)),
		Elsewhere: map[string]func(echo.Context, error) error{api.Prefix + "/": a.Problem}})
	a.Register(h.echo.Group(api.Prefix))
	server := httptest.NewServer(h.echo)
	t.Cleanup(server.Close)
	h.url = server.URL
	h.lay(t)
	h.forbids = forbiddenForms()
	return h
}

func (h *hidden) must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func (h *hidden) lay(t *testing.T) {
	ctx, g := t.Context(), h.Ground
	point := func(v float64) *float64 { return &v }
	for _, s := range []setup.Site{
		{Code: secretCode, Name: secretName, Latitude: point(secretLat), Longitude: point(secretLon), UncertaintyM: 12, Sensitive: true, Permitted: true, Directions: secretWords, Permit: "gate " + secretWords},
		{Code: openCode, Name: openName, Latitude: point(openLat), Longitude: point(openLon), UncertaintyM: 12, Permitted: true, Directions: secretWords},
		{Code: "NIL", Name: emptyName, Latitude: point(54.35), Longitude: point(-2.25), Permitted: true},
		{Code: "ALD", Name: "Alder Carr", Latitude: point(54.401), Longitude: point(-2.301), Permitted: true}} {
		made, err := setup.AddSite(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), s)
		h.must(t, err)
		h.ids = append(h.ids, made.ID.String())
	}
	_, err := setup.AddFlag(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Flag{Name: protectedName, Flag: hall.Protected, Source: "Wildlife and Countryside Act 1981, Schedule 8"})
	h.must(t, err)
	_, err = setup.AddTable(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Table{Number: 1, Title: "Boletes"})
	h.must(t, err)
	_, err = setup.SetPublisher(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), setup.Publisher{Licence: "CC-BY-4.0"})
	h.must(t, err)
	_, err = setup.AddWalk(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), setup.Walk{Number: 1, Title: "The long one", Site: secretCode, StartsAt: g.Now().Add(time.Hour), DueAt: g.Now().Add(3 * time.Hour)})
	h.must(t, err)
	_, err = setup.AddTeam(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), setup.Team{Number: 1, Name: "Otters", Site: secretCode})
	h.must(t, err)
	h.plate = h.find(t, 1, secretCode, "Boletus edulis")
	h.flagged = h.find(t, 2, openCode, protectedName)
	h.find(t, 3, "ALD", "Hydnum repandum")
	h.find(t, 4, openCode, "Hericium cf. erinaceus")
	h.find(t, 5, secretCode, "Boletus edulis")
	_, err = fieldwork.AddRecord(ctx, g.Hall, g.As[access.TeamLeader], g.Scope, g.Command(t), fieldwork.Record{Site: secretCode, Name: "Amanita muscaria", Host: "Betula, " + secretWords, Remarks: secretWords, Observer: "Ines Okafor"})
	h.must(t, err)
	h.pastAndAfter(t)
}

// find is a collection with a secret in every field that takes words, signed, kept, and photographed by a camera that
// knows where it is.
func (h *hidden) find(t *testing.T, number int, site, name string) foray.ID {
	t.Helper()
	ctx, g, said, host := t.Context(), h.Ground, "", ""
	var odour []desk.Character
	if site != "ALD" {
		said, host, odour = secretWords, "Fagus, "+secretWords, []desk.Character{{Character: "odour", Words: "of wood " + secretWords}}
	}
	c, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: fmt.Sprint(number), Field: desk.Field{Group: "tooth", Site: site, Team: "1",
		Collector: "Ines Okafor", Habitat: said, Host: host, Substrate: said, Growth: said, PickedText: said, Remarks: said}, Characters: odour})
	h.must(t, err)
	_, err = bench.SignOff(ctx, g.Hall, g.Second, g.Scope, g.On(t, 0), bench.Word{Collection: c.ID, Name: hall.NameInput{Text: name, Reason: said}, Basis: "macroscopic", Remarks: said})
	h.must(t, err)
	if _, err = vouchers.ChooseVoucher(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), vouchers.Choose{Number: fmt.Sprint(number), Reason: foray.VoucherReasons[0], Words: said}); err != nil && name != protectedName && !strings.HasPrefix(name, "Hericium") {
		t.Fatal(err)
	}
	for i, kind := range []string{photographs.OfFind, photographs.OfSlip} {
		p, err := photographs.Add(ctx, g.Hall, g.Second, g.Scope, g.Command(t), photographs.Upload{Kind: kind, Subject: fmt.Sprint(number), Caption: said},
			bytes.NewReader(placed(halltest.Picture(t, number*2+i), secretLat, secretLon)))
		h.must(t, err)
		h.ids = append(h.ids, p.Photograph.String())
	}
	h.ids = append(h.ids, c.ID.String())
	return c.ID
}

// pastAndAfter is what comes before and after a foray: an earlier list, a signed version, a request for a correction.
func (h *hidden) pastAndAfter(t *testing.T) {
	ctx, g := t.Context(), h.Ground
	table, err := archive.ReadListTable(ctx, strings.NewReader("name,date,locality\nImleria badia,1999-10-02,"+secretName+"\n"), "list.csv")
	h.must(t, err)
	_, err = earlier.Import(ctx, g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), earlier.About{Scope: store.OfSite, Site: secretName, Title: "Fungi of " + secretName, Source: "card index"}, table, earlier.Options{})
	h.must(t, err)
	seq, err := g.ChangeSeq(ctx, g.Scope)
	h.must(t, err)
	_, err = list.Publish(ctx, g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), list.Sign{Seq: seq})
	h.must(t, err)
	asked, err := corrections.SendRequest(ctx, g.Hall, g.As[access.TeamLeader], g.Scope, g.Command(t), corrections.Ask{About: "0001", Kind: "place", Words: "it was " + secretWords + " in " + secretName, Evidence: secretName})
	h.must(t, err)
	_, err = corrections.AnswerRequest(ctx, g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), corrections.Answer{Request: asked.Request, Words: "stays"})
	h.must(t, err)
	h.ids = append(h.ids, asked.Request.String())
	h.Pass(time.Minute)
}

// placed puts a position into a picture, as a telephone does: EXIF with a GPS directory (CIPA DC-008-2019, 4.6.6).
func placed(picture []byte, lat, lon float64) []byte {
	big := binary.BigEndian
	field := func(tag, kind uint16, count, value uint32) []byte {
		b := big.AppendUint16(big.AppendUint16(nil, tag), kind)
		return big.AppendUint32(big.AppendUint32(b, count), value)
	}
	rationals := func(v float64) (b []byte) {
		d, m, s := sexagesimal(v)
		for _, part := range []uint32{uint32(d), 1, uint32(m), 1, uint32(s * 100), 100} {
			b = big.AppendUint32(b, part)
		}
		return b
	}
	tiff := slices.Concat([]byte("MM\x00\x2a\x00\x00\x00\x08"), []byte{0, 1}, field(34853, 4, 1, 26), []byte{0, 0, 0, 0})
	values := uint32(len(tiff) + 2 + 4*12 + 4)
	tiff = slices.Concat(tiff, []byte{0, 4}, field(1, 2, 2, 'N'<<24), field(2, 5, 3, values), field(3, 2, 2, 'W'<<24), field(4, 5, 3, values+24), []byte{0, 0, 0, 0}, rationals(lat), rationals(lon))
	body := append([]byte("Exif\x00\x00"), tiff...)
	return slices.Concat(picture[:2], big.AppendUint16([]byte{0xff, 0xe1}, uint16(len(body)+2)), body, picture[2:])
}

func sexagesimal(v float64) (d, m int, s float64) {
	v = math.Abs(v)
	d = int(v)
	m = int((v - float64(d)) * 60)
	return d, m, ((v-float64(d))*60 - float64(m)) * 60
}

// forbidden is a form in which a secret could be told. The public site's own may be told where sites are told, and nowhere
// else.
type forbidden struct {
	what   string
	word   string         // in small letters; or
	is     *regexp.Regexp // a form of a number
	public bool
}

// find gives where it stands in a text, which is given in small letters too.
func (f forbidden) find(text, small string) int {
	if f.is == nil {
		return strings.Index(small, f.word)
	}
	if at := f.is.FindStringIndex(text); at != nil {
		return at[0]
	}
	return -1
}

func forbiddenForms() (all []forbidden) {
	text := func(what, s string, public bool) {
		forms := []string{s, html.EscapeString(s), url.QueryEscape(s), url.PathEscape(s), strings.ReplaceAll(s, " ", "_"), strings.ReplaceAll(s, " ", "-"), strings.ReplaceAll(s, " ", "")}
		for shift := range 3 { // wherever in what was encoded it stands
			whole := base64.StdEncoding.EncodeToString(append(bytes.Repeat([]byte{0}, shift), s...))
			forms = append(forms, strings.TrimRight(whole, "=")[4:len(whole)-4])
		}
		for _, form := range forms {
			all = append(all, forbidden{what: what, word: strings.ToLower(form), public: public})
		}
	}
	number := func(what string, v float64, public bool) {
		v = math.Abs(v)
		d, m, s := sexagesimal(v)
		cut, rounded := fmt.Sprintf("%.3f", math.Floor(v*1000)/1000), fmt.Sprintf("%.3f", v)
		all = append(all,
			forbidden{what + " in decimals", "", regexp.MustCompile(`\b(` + regexp.QuoteMeta(cut) + `|` + regexp.QuoteMeta(rounded) + `)`), public},
			forbidden{what + " with a comma", "", regexp.MustCompile(`\b` + strings.Replace(cut, ".", ",", 1)), public},
			forbidden{what + " in degrees, minutes and seconds", "", regexp.MustCompile(fmt.Sprintf(`\b0?%d\D{1,6}0?%d\D{1,6}0?(%d|%.0f)\b`, d, m, int(s), s)), public},
			forbidden{what + " in degrees and minutes", "", regexp.MustCompile(fmt.Sprintf(`\b0?%d\D{1,6}0?%d\.%d`, d, m, int(s/6))), public},
			forbidden{what + " in base64", "", regexp.MustCompile(regexp.QuoteMeta(strings.TrimRight(base64.StdEncoding.EncodeToString([]byte(fmt.Sprint(v))), "=")[:8])), public})
	}
	text("the name of the sensitive site", secretName, false)
	all = append(all, forbidden{"its code", "", regexp.MustCompile(`\b` + secretCode + `\b`), false})
	text("what was written of the place", secretWords, false)
	number("its latitude", secretLat, false)
	number("its longitude", secretLon, false)
	text("the public site of the protected taxon", openName, true)
	number("the latitude of that", openLat, true)
	number("the longitude of that", openLon, true)
	return all
}

// tellsSites are the addresses that tell where sites are.
var tellsSites = regexp.MustCompile(`^(/api/v1)?/hollinbeck(/HB26)?/(sites|walks|events\.ics|season)`)

// addresses is every address of every route that is read, with all that can stand in it.
func (h *hidden) addresses() (paths []string) {
	values := map[string][]string{"society": {"hollinbeck"}, "event": {"HB26"}, "number": {"1", "2", "0003", "4", "0005", "7", "99999", "x'"}, "version": {"1", "2", "0", "x"},
		"name": {"Boletus_edulis", "Hericium_erinaceus", "Hericium", "Boletaceae", "Amanita_muscaria", "Imleria_badia", secretName, "x'"}, "table": {"1", "9"}, "year": {"2026", "1999"},
		"code": {secretCode, openCode, "NONE", strings.ToLower(secretCode)}, "size": {"small", "full", "original", "x"}, "file": {"hall.css"}, "paper": h.ids[:2], "incident": h.ids[:1],
		"secret": {"x", strings.Repeat("A", 27)}, "id": h.ids, "list": h.ids[:1], "kind": {"csv", "x"}, "part": {"1", "x"}, "drawing": {"1", "x"}, "chart": {"curve", "x"}, "table_name": {"x"}}
	queries := []string{"", "?site=" + secretCode, "?site=" + openCode, "?day=2026-10-24", "?find=quill", "?order=site", "?limit=-1&cursor=x&since=x&after=x", "?q=" + url.QueryEscape(secretName),
		"?number=1", "?kind=find&subject=1", "?show=all", "?about=1", "?size=A4", "?year=2026", "?from=1"}
	for _, r := range h.echo.Routes() {
		if r.Method != http.MethodGet || strings.HasSuffix(r.Path, "/*") {
			continue
		}
		for _, path := range filled([]string{r.Path}, values) {
			some := queries
			if strings.Contains(strings.NewReplacer(":society", "", ":event", "").Replace(r.Path), ":") {
				some = queries[:2]
			}
			for _, q := range some {
				paths = append(paths, path+q)
			}
		}
	}
	return paths
}

var parameter = regexp.MustCompile(`:[a-z_]+`)

func filled(paths []string, values map[string][]string) (out []string) {
	for _, p := range paths {
		name := parameter.FindString(p)
		if name == "" {
			out = append(out, p)
			continue
		}
		for _, v := range append([]string{}, valuesOf(values, name[1:])...) {
			out = append(out, filled([]string{strings.Replace(p, name, url.PathEscape(v), 1)}, values)...)
		}
	}
	return out
}

func valuesOf(values map[string][]string, name string) []string {
	if v, ok := values[name]; ok {
		return v
	}
	return []string{"1", "x"}
}

// prober asks as one person and looks at every answer.
type prober struct {
	h                                            *hidden
	client                                       *http.Client
	who                                          string
	seen                                         map[[32]byte]bool // texts that were looked at
	asked, good, bytes, opened, papers, pictures int
}

func (h *hidden) prober(t *testing.T, who string) *prober {
	t.Helper()
	jar, err := cookiejar.New(nil)
	h.must(t, err)
	p := &prober{h: h, who: who, seen: map[[32]byte]bool{}, client: &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
	if who == "" {
		return p
	}
	command := regexp.MustCompile(`name="command" value="([^"]+)"`)
	_, _, page := p.get(t, "/sign-in")
	res, err := p.client.PostForm(h.url+"/sign-in", url.Values{"name": {who}, "password": {halltest.Password}, "command": command.FindStringSubmatch(page)[1:2]})
	h.must(t, err)
	res.Body.Close()
	if res.StatusCode != http.StatusSeeOther {
		t.Fatalf("%s cannot sign in: %d", who, res.StatusCode)
	}
	return p
}

func (p *prober) get(t *testing.T, path string) (int, http.Header, string) {
	t.Helper()
	res, err := p.client.Get(p.h.url + path)
	p.h.must(t, err)
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	p.h.must(t, err)
	return res.StatusCode, res.Header, string(body)
}

func (p *prober) ask(t *testing.T, path string) {
	t.Helper()
	status, header, body := p.get(t, path)
	p.asked++
	p.bytes += len(body)
	if status == http.StatusOK {
		p.good++
	}
	if status >= 500 {
		t.Errorf("%s answers %d", path, status)
	}
	var head strings.Builder
	_ = header.Write(&head)
	where := fmt.Sprintf("as %q: %s (%d)", p.who, path, status)
	p.look(t, where, path, head.String(), true)
	p.open(t, where, path, header.Get("Content-Type"), lensDrawing.ReplaceAll([]byte(body), nil))
}

// lensDrawing is the drawing at the head of every page, whose many numbers are no place's.
var lensDrawing = regexp.MustCompile(`(?s)<svg class="lens".*?</svg>`)

// open looks into whatever an answer is made of.
func (p *prober) open(t *testing.T, where, path, kind string, data []byte) {
	t.Helper()
	switch {
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			t.Errorf("%s: %v", where, err)
			return
		}
		for _, f := range z.File {
			r, err := f.Open()
			p.h.must(t, err)
			inside, err := io.ReadAll(r)
			p.h.must(t, err)
			r.Close()
			p.opened++
			p.open(t, where+" "+f.Name, path, "", inside)
		}
	case bytes.HasPrefix(data, []byte("%PDF")):
		p.papers++
		read := exec.CommandContext(t.Context(), "pdftotext", "-layout", "-", "-")
		read.Stdin = bytes.NewReader(data)
		if text, err := read.Output(); err == nil {
			p.look(t, where, path, string(text), false)
		}
		p.look(t, where, path, string(data), false)
	case bytes.HasPrefix(data, []byte("\xff\xd8")):
		p.pictures++
		for _, trace := range []string{"Exif", "GPS", "MM\x00\x2a", "II\x2a\x00", "xmp", "Photoshop"} {
			if bytes.Contains(data, []byte(trace)) {
				t.Errorf("%s: the picture holds %q", where, trace)
			}
		}
	default:
		p.look(t, where, path, string(data), true)
		p.look(t, where, path, html.UnescapeString(string(data)), true)
	}
}

// look looks for every form of every secret. What somebody typed into the address themselves comes back in it.
func (p *prober) look(t *testing.T, where, path, text string, echoes bool) {
	t.Helper()
	if echoes {
		at, _ := url.QueryUnescape(path)
		for _, typed := range []string{path, html.EscapeString(path), at, html.EscapeString(at)} {
			text = strings.ReplaceAll(text, typed, "")
		}
		for _, typed := range typedIn(path) {
			text = strings.ReplaceAll(text, typed, "")
		}
	}
	key := sha256.Sum256(fmt.Append(nil, tellsSites.MatchString(path), strings.Contains(path, openCode), text))
	if p.seen[key] {
		return
	}
	p.seen[key] = true
	small := strings.ToLower(text)
	// Public sites may be listed: then the one where nothing was found stands there just as often.
	levelled := strings.Count(small, strings.ToLower(openName)) == strings.Count(small, strings.ToLower(emptyName))
	for _, f := range p.h.forbids {
		if f.public && (strings.Contains(path, openCode) || f.is != nil && tellsSites.MatchString(path) || f.is == nil && levelled) {
			continue
		}
		if at := f.find(text, small); at >= 0 {
			t.Errorf("%s tells %s: …%s…", where, f.what, strings.Join(strings.Fields(text[max(0, min(at, len(text))-60):min(len(text), at+80)]), " "))
		}
	}
}

// typedIn is what the address itself holds of the secrets.
func typedIn(path string) (all []string) {
	for _, s := range []string{secretCode, strings.ToLower(secretCode), secretName, "quill"} {
		for _, form := range []string{s, url.QueryEscape(s), url.PathEscape(s)} {
			if strings.Contains(path, form) {
				all = append(all, s, url.QueryEscape(s), url.PathEscape(s))
			}
		}
	}
	return all
}

// alike asks for what is secret and for what is not there: the answers must be the same, and the parts of a list must
// add up without it.
func (p *prober) alike(t *testing.T) {
	t.Helper()
	const nothing = "ZZZ"
	for _, path := range []string{"/hollinbeck/HB26/list?site=%s", "/hollinbeck/list?site=%s", "/hollinbeck/list.csv?site=%s", "/hollinbeck/sites/%s", "/hollinbeck/HB26/list?order=site&site=%s"} {
		status, _, secret := p.get(t, fmt.Sprintf(path, secretCode))
		unknown, _, other := p.get(t, fmt.Sprintf(path, nothing))
		if plain := strings.NewReplacer(secretCode, nothing); status != unknown || plain.Replace(anonymous(secret)) != plain.Replace(anonymous(other)) {
			t.Errorf("%s answers the secret site %d and one that is not there %d, or with other words", path, status, unknown)
		}
	}
}

// anonymous is a page without the ids that each form has of its own.
func anonymous(page string) string {
	return regexp.MustCompile(`[0-9a-f]{8}-[0-9a-f-]{27}`).ReplaceAllString(page, "")
}

// sameEverywhere compares what each output says of the same finds: the grid, the point of its cell, and how sure.
func (h *hidden) sameEverywhere(t *testing.T) {
	t.Helper()
	p := h.prober(t, "")
	for id, want := range map[foray.ID]struct {
		grid     int
		lat, lon float64
		page     string
	}{h.plate: {foray.FinestGridM, secretLat, secretLon, "/hollinbeck/t/Boletus_edulis"}, h.flagged: {hall.FlaggedGridM, openLat, openLon, "/hollinbeck/t/Hericium_erinaceus"}} {
		place := foray.ExactPlace{Latitude: &want.lat, Longitude: &want.lon, UncertaintyM: 12, GridM: want.grid, Sensitive: true}.Public()
		lat, lon, uncertainty, _ := place.Point()
		terms := map[string]string{"decimalLatitude": fmt.Sprint(lat), "decimalLongitude": fmt.Sprint(lon), "coordinateUncertaintyInMeters": fmt.Sprint(uncertainty), "locality": ""}
		csv := h.record(t, p, "/hollinbeck/HB26/records.csv", id)
		dwca := h.record(t, p, "/hollinbeck/HB26/records.zip", id)
		geo := h.feature(t, p, id)
		for term, value := range terms {
			if csv[term] != value || dwca[term] != value || geo[term] != value {
				t.Errorf("%s of %s: CSV %q, archive %q, GeoJSON %q, want %q", term, id, csv[term], dwca[term], geo[term], value)
			}
		}
		said := csv["dataGeneralizations"]
		if !strings.Contains(said, fmt.Sprint(want.grid)) || dwca["dataGeneralizations"] != said || geo["dataGeneralizations"] != said || geo["cellSizeInMeters"] != fmt.Sprint(want.grid) {
			t.Errorf("the grid of %s: %q, %q, %q, %q", id, said, dwca["dataGeneralizations"], geo["dataGeneralizations"], geo["cellSizeInMeters"])
		}
		if _, _, page := p.get(t, want.page); !strings.Contains(page, fmt.Sprintf("kept back on a %d km grid", want.grid/1000)) {
			t.Errorf("%s does not say the grid of %d m", want.page, want.grid)
		}
		for _, path := range []string{"/hollinbeck/HB26/list", "/hollinbeck/list"} {
			if south, west, north, east := h.box(t, p, path); lat < south || lat > north || lon < west || lon > east {
				t.Errorf("the box of %s leaves out the cell %v, %v", path, lat, lon)
			}
		}
	}
	south, west, north, east := h.box(t, p, "/hollinbeck/HB26/list")
	_, _, eml := p.get(t, "/hollinbeck/HB26/records.zip")
	var bounds struct {
		West  float64 `xml:"dataset>coverage>geographicCoverage>boundingCoordinates>westBoundingCoordinate"`
		East  float64 `xml:"dataset>coverage>geographicCoverage>boundingCoordinates>eastBoundingCoordinate"`
		North float64 `xml:"dataset>coverage>geographicCoverage>boundingCoordinates>northBoundingCoordinate"`
		South float64 `xml:"dataset>coverage>geographicCoverage>boundingCoordinates>southBoundingCoordinate"`
	}
	h.must(t, xml.Unmarshal([]byte(inZip(t, eml, "eml.xml")), &bounds))
	if bounds.West != west || bounds.East != east || bounds.North != north || bounds.South != south {
		t.Errorf("the page says %v %v %v %v, the archive %+v", south, west, north, east, bounds)
	}
}

func inZip(t *testing.T, data, name string) string {
	t.Helper()
	z, err := zip.NewReader(strings.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	f, err := z.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(f)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// record is the row of a find by term.
func (h *hidden) record(t *testing.T, p *prober, path string, id foray.ID) map[string]string {
	t.Helper()
	_, _, text := p.get(t, path)
	name := "records.csv"
	if strings.HasSuffix(path, ".zip") {
		text, name = inZip(t, text, "occurrence.txt"), "occurrence.txt"
	}
	table, err := archive.ReadTable(strings.NewReader(text), name)
	h.must(t, err)
	for _, row := range table.Rows {
		r := map[string]string{}
		for i, term := range table.Header {
			if i < len(row.Cells) {
				r[term] = row.Cells[i]
			}
		}
		if r["occurrenceID"] == id.URN() || r["id"] == id.URN() {
			return r
		}
	}
	t.Fatalf("%s has no record of %s", path, id)
	return nil
}

func (h *hidden) feature(t *testing.T, p *prober, id foray.ID) map[string]string {
	t.Helper()
	_, _, text := p.get(t, "/hollinbeck/HB26/records.geojson")
	var all struct {
		Features []struct {
			ID         string
			Geometry   struct{ Coordinates [2]float64 }
			Properties map[string]any
		}
	}
	h.must(t, json.Unmarshal([]byte(text), &all))
	for _, f := range all.Features {
		if f.ID == id.URN() {
			out := map[string]string{}
			for name, v := range f.Properties {
				out[name] = fmt.Sprint(v)
			}
			out["decimalLongitude"], out["decimalLatitude"] = fmt.Sprint(f.Geometry.Coordinates[0]), fmt.Sprint(f.Geometry.Coordinates[1])
			return out
		}
	}
	t.Fatalf("no feature of %s", id)
	return nil
}

// box is what a page says of its bounds to machines.
func (h *hidden) box(t *testing.T, p *prober, path string) (south, west, north, east float64) {
	t.Helper()
	_, _, page := p.get(t, path)
	m := regexp.MustCompile(`"box":"(\S+) (\S+) (\S+) (\S+)"`).FindStringSubmatch(page)
	if m == nil {
		t.Fatalf("%s says no box", path)
	}
	for i, to := range []*float64{&south, &west, &north, &east} {
		if _, err := fmt.Sscan(m[i+1], to); err != nil {
			t.Fatal(err)
		}
	}
	return south, west, north, east
}
