package pages

import (
	"bytes"
	"compress/gzip"
	"net/http"
	"strconv"
	"strings"
	"sync"

	"github.com/labstack/echo/v4"

	"forayhall/internal/hall"
)

// Public pages that nothing changed since they were made are answered from memory, most of them before the address is
// even read: a hall full of telephones looks at the same list.

const (
	mostKept     = 48 << 20 // bytes of all pages that are kept, short of their compressed copies
	longestKept  = 4 << 20  // of one
	longestKey   = 600      // nobody fills the memory by addresses of their own making
	worthPacking = 1 << 10  // bytes from which a page is sent compressed
)

// keptPage is an answer as it was made, with what it was made from.
type keptPage struct {
	tag     string
	glance  *hall.Glance // nil: made outside an event, so that the tag is worked out each time
	header  http.Header  // of the plain answer
	plain   []byte
	packing sync.Once
	packed  []byte // gzip; nil: not worth it
}

// keptPages is the pages that were made last, by address, language and host. The zero value is ready.
type keptPages struct {
	mu    sync.RWMutex
	pages map[string]*keptPage
	bytes int
}

// keptKey is what an open page depends on beside what is stored.
func keptKey(c echo.Context) string {
	r := c.Request()
	return language(r) + " " + c.Scheme() + " " + r.Host + " " + r.RequestURI
}

func (k *keptPages) find(key string) *keptPage {
	k.mu.RLock()
	defer k.mu.RUnlock()
	return k.pages[key]
}

// get is the page under a key, where it was made from the same.
func (k *keptPages) get(key, tag string) *keptPage {
	if p := k.find(key); p != nil && p.tag == tag {
		return p
	}
	return nil
}

func (k *keptPages) put(key string, p *keptPage) {
	if len(key) > longestKey || len(p.plain) > longestKept {
		return
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	if old := k.pages[key]; old != nil {
		k.bytes -= len(old.plain)
	}
	if k.bytes += len(p.plain); k.pages == nil || k.bytes > mostKept {
		k.pages, k.bytes = map[string]*keptPage{}, len(p.plain)
	}
	k.pages[key] = p
}

// keepPage keeps what was made of a request that has its headers.
func (s *Site) keepPage(r *request, tag string, glance *hall.Glance, page []byte) *keptPage {
	header := r.echo.Response().Header()
	header.Set(echo.HeaderContentType, echo.MIMETextHTMLCharsetUTF8)
	p := &keptPage{tag: tag, glance: glance, header: header.Clone(), plain: bytes.Clone(page)}
	s.kept.put(keptKey(r.echo), p)
	return p
}

// unchanged answers at once where a page was made before and nothing can have changed since.
func (s *Site) unchanged(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r := c.Request()
		if r.Method != http.MethodGet && r.Method != http.MethodHead || asksForNewest(r) {
			return next(c)
		}
		p := s.kept.find(keptKey(c))
		if p == nil || !p.holds(s.Hall) {
			return next(c)
		}
		return p.answer(c)
	}
}

// holds reports whether a page is still right by the last glance at its event.
func (p *keptPage) holds(h *hall.Hall) bool {
	if p.glance == nil {
		return false
	}
	now := p.glance.Newest()
	return now.Sum == p.glance.Sum && now.Holds(h) && now.Known.Knowledge == p.glance.Known.Knowledge &&
		now.At.Says() == p.glance.At.Says()
}

// asksForNewest reports whether a reader wants to know that an answer is right now: who reloads a page, and the page
// that was just told of a change (RFC 9111, 5.2.1).
func asksForNewest(r *http.Request) bool {
	wants := r.Header.Get("Cache-Control")
	return wants != "" && (strings.Contains(wants, "no-cache") || strings.Contains(wants, "max-age=0"))
}

// toldAgain is what an answer without a body says of the page that the reader has (RFC 9110, 15.4.5); the rest of its
// headers is kept with it.
var toldAgain = []string{"Cache-Control", "Etag", "Vary"}

// answer sends the page, or that it has not changed.
func (p *keptPage) answer(c echo.Context) error {
	h := c.Response().Header()
	if c.Request().Header.Get("If-None-Match") == p.tag {
		for _, name := range toldAgain {
			h[name] = p.header[name]
		}
		return c.NoContent(http.StatusNotModified)
	}
	for name, values := range p.header {
		h[name] = values
	}
	body := p.plain
	if strings.Contains(c.Request().Header.Get("Accept-Encoding"), "gzip") {
		if packed := p.pack(); packed != nil {
			body = packed
			h.Set(echo.HeaderContentEncoding, "gzip")
		}
	}
	h.Set(echo.HeaderContentLength, strconv.Itoa(len(body)))
	c.Response().WriteHeader(http.StatusOK)
	_, err := c.Response().Write(body)
	return err
}

// pack compresses the page for the first reader who takes it so.
func (p *keptPage) pack() []byte {
	p.packing.Do(func() {
		if len(p.plain) < worthPacking {
			return
		}
		var b bytes.Buffer
		w, err := gzip.NewWriterLevel(&b, gzip.BestSpeed)
		if err != nil {
			return
		}
		if _, err := w.Write(p.plain); err == nil && w.Close() == nil && b.Len() < len(p.plain) {
			p.packed = b.Bytes()
		}
	})
	return p.packed
}
