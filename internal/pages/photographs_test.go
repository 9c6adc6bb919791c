package pages_test

import (
	"bytes"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"forayhall/internal/access"
	"forayhall/internal/browsertest"
	"forayhall/internal/foray"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/photographs"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

func init() {
	areaRows = append(areaRows, `
GET  ⋯/photo/:id/:size                 x x x x x x x x x x x x
GET  ⋯/photo/:id/:size     slip        . . . x . . x x . x x .
GET  ⋯/photographs                     . . x x x x x x . x x .
POST ⋯/photographs                     . . x x x x x x . x x .
POST ⋯/photographs         own         . x x x x x x x x x x .
POST ⋯/photographs         slip        . . . x . . x x . x x .
POST ⋯/intake/photographs              . . x x x x x x . x x .
POST ⋯/photographs/hide                . . . x . . x x x x x .
`)
	areaPaths["/photo/:id"] = func(f *floor, r row) string {
		kind := photographs.OfFind
		if r.variant == "slip" {
			kind = photographs.OfSlip
		}
		return event + "/photo/" + f.pictured(f.collection("Mei Adeyemi"), kind).String() + "/small"
	}
	areaPaths["/photographs"] = func(f *floor, r row) string {
		path := strings.Replace(r.route, "/:society/:event", event, 1)
		if r.method == http.MethodGet {
			path += "?kind=find&subject=" + f.collection("Mei Adeyemi")
		}
		return path
	}
	for path, kind := range map[string]string{"/photographs": "find", "/photographs slip": "slip", "/intake/photographs": "find"} {
		areaForms[path] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
			return set("kind", kind, "subject", f.collection("Mei Adeyemi"), withPicture, "1")
		}
	}
	areaForms["/photographs own"] = func(f *floor, who access.Right, set func(...string) url.Values) url.Values {
		return set("kind", "find", "subject", f.collection("Person "+string(who)), withPicture, "1", "from", "mine")
	}
	areaForms["/photographs/hide"] = func(f *floor, _ access.Right, set func(...string) url.Values) url.Values {
		return set("photo", f.pictured(f.collection("Mei Adeyemi"), photographs.OfFind).String(), "reason", "a face is in it", "from", "mine")
	}
}

// withPicture among a form's values says which picture goes with it.
const withPicture = "@photograph"

func (b *browser) postPicture(action string, values url.Values) *browser {
	b.t.Helper()
	n, err := strconv.Atoi(values.Get(withPicture))
	if err != nil {
		b.t.Fatal(err)
	}
	return b.postFile(action, values, halltest.Picture(b.t, n))
}

// postFile sends a form as a browser does in which only the second of the two ways to a picture was taken.
func (b *browser) postFile(action string, values url.Values, data []byte) *browser {
	b.t.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	for name := range values {
		if name != withPicture {
			if err := w.WriteField(name, values.Get(name)); err != nil {
				b.t.Fatal(err)
			}
		}
	}
	if _, err := w.CreateFormFile("photograph", ""); err != nil {
		b.t.Fatal(err)
	}
	part, err := w.CreateFormFile("photograph", "IMG_0417.jpg")
	if err == nil {
		_, err = part.Write(data)
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

// pictured adds a photograph of a collection by the second identifier.
func (f *floor) pictured(number, kind string) foray.ID {
	f.t.Helper()
	f.number++
	done, err := photographs.Add(f.t.Context(), f.s.Hall, f.s.Second, f.s.Scope, f.s.Command(f.t),
		photographs.Upload{Kind: kind, Subject: number, Caption: "cut through"}, bytes.NewReader(halltest.Picture(f.t, f.number)))
	if err != nil {
		f.t.Fatal(err)
	}
	return done.Photograph
}

// TestAPhotographIsSentFromEachPageAndShownOnIt: on the plate's page, at the desk, among one's own, and to visitors.
func TestAPhotographIsSentFromEachPageAndShownOnIt(t *testing.T) {
	f := onSQLite(t)
	number := f.collection("Person member")
	f.suggested(number, f.s.Second)
	other := f.collection("Mei Adeyemi")
	f.suggested(other, f.s.Second)
	f.pictured(other, photographs.OfFind)
	for n, c := range []struct {
		who          access.Right
		page, action string
		back         string
		more         []string
	}{
		{access.Desk, event + "/c/" + number, event + "/photographs", event + "/c/" + number, []string{"kind", "find"}},
		{access.Desk, event + "/intake?saved=" + number, event + "/intake/photographs", event + "/intake?saved=" + number, []string{"kind", "slip"}},
		{access.Member, event + "/mine", event + "/photographs", event + "/mine#own-" + number, nil},
		{access.Steward, event + "/photographs?kind=find&subject=" + number, event + "/photographs", event + "/photographs?kind=find&subject=" + number, nil},
	} {
		b := f.at[c.who]
		values := b.get(c.page).fields(c.action)
		for i := 0; i < len(c.more); i += 2 {
			values.Set(c.more[i], c.more[i+1])
		}
		values.Set(withPicture, fmt.Sprint(n+1))
		values.Set("caption", fmt.Sprintf("view %d", n))
		if b.post(c.action, values).want(http.StatusSeeOther); b.location != c.back {
			t.Errorf("from %s on to %s, want %s", c.page, b.location, c.back)
		}
	}
	for who, want := range map[access.Right]string{access.Visitor: "/n/", access.Desk: "/c/"} {
		b := f.at[who].get(event + want + number)
		if n := len(pictures(b.page)); n != 4 {
			t.Errorf("%s sees %d pictures, want three of this plate and one beside it", who, n)
		}
		for _, wrong := range append(append(headings(b.page), identities(b.page)...), inlined(b.page)...) {
			t.Errorf("%s: %s", who, wrong)
		}
	}
	if own := len(pictures(f.at[access.Member].get(event + "/mine").page)); own != 3 {
		t.Errorf("the member sees %d of their pictures, want 3", own)
	}
	img := pictures(f.at[access.Visitor].get(event + "/t/Kuehneromyces_mutabilis").page)
	if len(img) != 4 || attr(img[0], "width") != "400" || attr(img[0], "height") != "300" || attr(img[0], "loading") != "lazy" || !strings.HasPrefix(attr(img[0], "alt"), "Photograph of 0") {
		t.Errorf("the name's page shows %d pictures", len(img))
	}
	if b := f.at[access.Desk].get(event + "/c/" + number + "/field"); !strings.Contains(b.text(), "you looked at it is written down") || len(pictures(b.page)) != 1 {
		t.Errorf("the paper slip is not beside the form: %s", b.text())
	}
}

func pictures(page *node) (all []*node) {
	each(page, func(n *node) {
		if n.Data == "img" {
			all = append(all, n)
		}
	})
	return all
}

// TestAPictureThatIsNotTakenComesBackOnItsForm: with the word for it, and with what was typed.
func TestAPictureThatIsNotTakenComesBackOnItsForm(t *testing.T) {
	f := onSQLite(t)
	number := f.collection("Person member")
	bomb := halltest.Picture(t, 1)
	// The frame header says 60,000 × 60,000 pixels (ITU-T T.81, B.2.2).
	at := bytes.Index(bomb, []byte{0xff, 0xc0})
	copy(bomb[at+5:], []byte{0xea, 0x60, 0xea, 0x60})
	for name, c := range map[string]struct {
		data []byte
		says string
	}{
		"no file":     {nil, "Take a photograph or choose one"},
		"a text":      {[]byte("GIF87 is not enough"), "not a photograph that can be read here"},
		"a bomb":      {bomb, "60000 × 60000 pixels"},
		"a large one": {make([]byte, 25<<20+1), "larger than 25 MB"},
	} {
		for who, at := range map[access.Right][2]string{access.Desk: {event + "/c/" + number, event + "/photographs"}, access.Member: {event + "/mine", event + "/photographs"},
			access.Identifier: {event + "/intake?saved=" + number, event + "/intake/photographs"}} {
			b := f.at[who]
			values := b.get(at[0]).fields(at[1])
			command := values.Get("command")
			values.Set("caption", "base of the stem")
			values.Set("kind", "find")
			b.postFile(at[1], values, c.data).want(http.StatusUnprocessableEntity, c.says)
			if b.typed(at[1], "caption") != "base of the stem" || b.fields(at[1]).Get("command") != command {
				t.Errorf("%s of %s: what was typed, or the command's id, is lost", name, who)
			}
			for _, wrong := range append(headings(b.page), identities(b.page)...) {
				t.Errorf("%s of %s: %s", name, who, wrong)
			}
		}
	}
	b := f.at[access.Desk].get(event + "/c/" + number)
	if b.postFile(event+"/photographs", b.fields(event+"/photographs"), make([]byte, 27<<20)); b.status != http.StatusRequestEntityTooLarge {
		t.Errorf("27 MB: %d", b.status)
	}
	// Other forms keep their own limit.
	if b.postFile(event+"/intake", url.Values{}, make([]byte, 2<<20)); b.status != http.StatusRequestEntityTooLarge {
		t.Errorf("2 MB for another form: %d", b.status)
	}
}

// TestAPublicPictureIsKeptAndAPrivateOneIsNot: a store on the way may keep the first, and must not see the second.
func TestAPublicPictureIsKeptAndAPrivateOneIsNot(t *testing.T) {
	f := onSQLite(t)
	number := f.collection("Mei Adeyemi")
	for kind, c := range map[string]struct {
		who  access.Right
		kept string
	}{photographs.OfFind: {access.Visitor, "public, max-age=86400, immutable"}, photographs.OfSlip: {access.Desk, "no-store"}} {
		path := event + "/photo/" + f.pictured(number, kind).String() + "/full"
		b := f.at[c.who]
		res := b.ask("GET", path, nil)
		h := res.Header
		if res.StatusCode != 200 || h.Get("Cache-Control") != c.kept || h.Get("Content-Type") != "image/jpeg" || h.Get("Set-Cookie") != "" || h.Get("Content-Length") != fmt.Sprint(len(b.body)) {
			t.Errorf("%s: %d %v", kind, res.StatusCode, h)
		}
		tag := h.Get("ETag")
		if (tag != "") != (kind == photographs.OfFind) {
			t.Errorf("%s: ETag %q", kind, tag)
		}
		if tag != "" && b.ask("GET", path, nil, "If-None-Match", tag).StatusCode != http.StatusNotModified {
			t.Error("the same picture is sent again")
		}
	}
	for _, path := range []string{"/photo/x/full", "/photo/" + f.s.Command(t).ID.String() + "/full"} {
		if res := f.at[access.Desk].ask("GET", event+path, nil); res.StatusCode != http.StatusNotFound || res.Header.Get("Cache-Control") != "no-store" {
			t.Errorf("%s: %d", path, res.StatusCode)
		}
	}
}

func TestAPhotographIsHiddenWithAReasonAndNoOther(t *testing.T) {
	f := onSQLite(t)
	number := f.collection("Mei Adeyemi")
	first, second := f.pictured(number, photographs.OfFind), f.pictured(number, photographs.OfFind)
	b, action := f.at[access.Desk], event+"/photographs/hide"
	b.get(event+"/c/"+number).send(action, "photo", first.String(), "reason", "").want(http.StatusUnprocessableEntity, "Say in a few words why")
	if b.typed(action, "photo") != first.String() {
		t.Error("which one was chosen is lost")
	}
	b.send(action, "photo", "", "reason", "a face").want(http.StatusUnprocessableEntity, "Choose the photograph")
	b.send(action, "photo", first.String(), "reason", "a face").want(http.StatusSeeOther)
	left := pictures(b.get(event + "/c/" + number).page)
	if len(left) != 1 || !strings.Contains(attr(left[0], "src"), second.String()) {
		t.Errorf("%d pictures are left", len(left))
	}
}

// TestNobodyWithoutARightIsReadFrom: a stranger's large file is refused before it is read.
func TestNobodyWithoutARightIsReadFrom(t *testing.T) {
	f := onSQLite(t)
	for _, who := range []access.Right{access.Visitor, stranger} {
		body := &counted{r: io.LimitReader(zeros{}, 20<<20)}
		req, err := http.NewRequestWithContext(t.Context(), http.MethodPost, f.s.server.URL+event+"/photographs", body)
		if err != nil {
			t.Fatal(err)
		}
		req.ContentLength = 20 << 20
		req.Header.Set("Content-Type", "multipart/form-data; boundary=x")
		res, err := f.at[who].client.Do(req)
		if err == nil {
			res.Body.Close()
			if res.StatusCode != http.StatusUnauthorized && res.StatusCode != http.StatusNotFound {
				t.Errorf("%s: %d", who, res.StatusCode)
			}
		}
		if body.n > 8<<20 { // what the connection itself holds has left before the answer comes
			t.Errorf("%s: %d bytes were taken", who, body.n)
		}
	}
}

type counted struct {
	r io.Reader
	n int
}

func (c *counted) Read(b []byte) (int, error) {
	n, err := c.r.Read(b)
	c.n += n
	return n, err
}

type zeros struct{}

func (zeros) Read(b []byte) (int, error) {
	clear(b)
	return len(b), nil
}

// TestAPhotographIsChosenInABrowserAndShown, on a phone and at a desk, without scripts and with them: then a large picture
// is shown before it goes, and made smaller.
func TestAPhotographIsChosenInABrowserAndShown(t *testing.T) {
	t.Parallel()
	b := browsertest.Start(t)
	file := filepath.Join(t.TempDir(), "IMG_0417.jpg")
	camera := withClock(halltest.PictureOf(t, 3, 3200, 2400), "2026:10:24 11:20:05")
	if err := os.WriteFile(file, camera, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		kind    string
		size    browsertest.Size
		scripts bool
	}{{"plain-phone", browsertest.Phone, false}, {"phone", browsertest.Phone, true}, {"desktop", browsertest.Desktop, true}} {
		t.Run(c.kind, func(t *testing.T) {
			s := newSite(t, halltest.New(t, storetest.New(t, store.SQLite)))
			f := newFloor(t, s)
			number := f.collection("Person member")
			f.suggested(number, s.Second)
			for range 2 {
				other := f.collection("Mei Adeyemi")
				f.suggested(other, s.Second)
				f.pictured(other, photographs.OfFind)
			}
			w := s.window(t, b, c.kind+"-photograph", c.size, c.scripts).signIn("desk")
			form := fmt.Sprintf("form[action=%q]", event+"/photographs")
			w.open(event + "/c/" + number).unfold(form)
			w.fill(form, "caption", "cut through")
			w.tab.Do(t, chromedp.SetUploadFiles(chromedp.CSS("#photograph-file"), []string{file}))
			if c.scripts {
				w.tab.Do(t, chromedp.WaitVisible(chromedp.CSS(form+" canvas")))
				w.shoot("chosen")
				if sent := browsertest.Get(t, w.tab, chromedp.Evaluate[int](`document.querySelector("#photograph-file").files[0].size`)); sent >= len(camera) {
					t.Errorf("%d bytes would go, the camera's file has %d", sent, len(camera))
				}
			}
			w.tab.Follow(t, chromedp.Click(chromedp.CSS(form+` button[type="submit"]`)))
			w.tab.Do(t, chromedp.WaitVisible(chromedp.CSS(`figure img[alt*="cut through"]`)))
			drawn := browsertest.Get(t, w.tab, chromedp.Evaluate[int](`(() => { const i = document.querySelector('figure img[alt*="cut through"]'); i.scrollIntoView(); return i.complete ? i.naturalWidth : -1; })()`))
			if drawn == 0 {
				t.Error("the browser cannot draw the picture")
			}
			w.says("cut through", "Others that may be").shoot("shown")
			for _, small := range w.smallTargets() {
				t.Error(small)
			}
			all, err := photographs.SeeAll(t.Context(), s.Hall, s.As[access.Desk], s.Scope, number)
			if err != nil || len(all) != 1 || all[0].Width != 2400 || all[0].TakenAt.Format("15:04:05") != "10:20:05" {
				t.Errorf("kept: %+v, %v", all, err)
			}
			w.open(event + "/intake?saved=" + number).unfold(fmt.Sprintf("form[action=%q]", event+"/intake/photographs"))
			w.shoot("desk")
			w.open(event + "/n/" + number).shoot("visitor")
			w.tab.MustBeQuiet(t)
			if c.scripts {
				w.open(event + "/c/" + number).unfold(form)
				w.tab.MustBeAccessible(t) // last: where there is no axe-core the rest is skipped
			}
		})
	}
}

// withClock puts an EXIF segment with the time of taking behind a JPEG's start (EXIF 2.32, 4.5 and 4.6.5).
func withClock(picture []byte, at string) []byte {
	tiff := []byte("MM\x00*\x00\x00\x00\x08" + // big-endian, the first directory right behind
		"\x00\x01\x87\x69\x00\x04\x00\x00\x00\x01\x00\x00\x00\x1a\x00\x00\x00\x00" + // one entry: where the Exif directory is, 26
		"\x00\x01\x90\x03\x00\x02\x00\x00\x00\x14\x00\x00\x00\x2c\x00\x00\x00\x00") // DateTimeOriginal, 20 bytes at 44
	data := append([]byte("Exif\x00\x00"), append(append(tiff, at...), 0)...)
	segment := append([]byte{0xff, 0xe1, byte((len(data) + 2) >> 8), byte(len(data) + 2)}, data...)
	return append(append(bytes.Clone(picture[:2]), segment...), picture[2:]...)
}
