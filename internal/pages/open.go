package pages

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/http"
	"net/url"

	"github.com/labstack/echo/v4"

	"forayhall/internal/message"
)

// beginOpen begins an answer that is the same for everybody who reads the language. No cookie is read, so that nothing
// of the person at the screen can get into a page that others are handed from a store on the way.
func (s *Site) beginOpen(c echo.Context) (*request, error) {
	r := s.request(c)
	r.open = true
	r.header("Vary", "Accept-Language, Accept-Encoding")
	return r, r.glance()
}

func (r *request) header(name, value string) { r.echo.Response().Header().Set(name, value) }

// public serves a page that depends on nothing but what is stored, the knowledge and the language. Whoever keeps it asks
// each time whether it still holds: an old warning sheet is a danger.
func (s *Site) public(h handler) echo.HandlerFunc {
	return func(c echo.Context) error {
		r, err := s.beginOpen(c)
		if err != nil {
			return r.fail(err)
		}
		tag := r.eventTag()
		if tag != "" {
			if r.keeps(tag) {
				return c.NoContent(http.StatusNotModified)
			}
			if kept := s.kept.get(keptKey(c), tag); kept != nil {
				return kept.answer(c)
			}
		}
		component, err := h(r)
		if err != nil {
			return r.fail(err)
		}
		var page bytes.Buffer
		if err := component.Render(r.ctx, &page); err != nil {
			return fmt.Errorf("render %s: %w", c.Path(), err)
		}
		if tag == "" {
			if r.keeps(bytesTag(page.Bytes())) {
				return c.NoContent(http.StatusNotModified)
			}
			return c.HTMLBlob(http.StatusOK, page.Bytes())
		}
		return s.keepPage(r, tag, r.glanced, page.Bytes()).answer(c)
	}
}

// openRaw serves what is no page and the same for everybody.
func (s *Site) openRaw(h func(*request) error) echo.HandlerFunc {
	return func(c echo.Context) error {
		r, err := s.beginOpen(c)
		if err == nil {
			err = h(r)
		}
		if err != nil {
			return r.fail(err)
		}
		return nil
	}
}

// eventTag says which changes, knowledge, language and program a page of an event is made from; "" outside an event. What is
// new, what a place may be called and how names are printed is said by all events of the society and its earlier lists.
func (r *request) eventTag() string {
	if r.glanced == nil {
		return ""
	}
	return fmt.Sprintf(`W/"%s-%d-%x-%s-%s-%s"`, r.at.Event.ID, r.glanced.Sum, shortSum(fmt.Sprintf("%q", r.at.Says())), message.From(r.ctx).Language(),
		r.hall().Knowledge.Revision, program())
}

// bytesTag is the tag of a page that belongs to no one change log.
func bytesTag(page []byte) string {
	sum := sha256.Sum256(page)
	return `"` + hex.EncodeToString(sum[:12]) + `"`
}

// keeps sets the tag and reports whether whoever asks has that very answer.
func (r *request) keeps(tag string) bool {
	r.header("ETag", tag)
	r.header("Cache-Control", "public, no-cache")
	return r.echo.Request().Header.Get("If-None-Match") == tag
}

// unkept takes back what was said of keeping an answer: an error is not kept.
func (r *request) unkept() {
	r.echo.Response().Header().Del("ETag")
	r.header("Cache-Control", "no-store")
}

// helpers leads those who work here to the hall behind this event, by way of signing in. Public pages link to no other
// page that asks who is there.
func (r *request) helpers() string {
	if e := r.event(); e.Path != "" {
		return signInFor(e.Hall())
	}
	return signInFor(r.echo.Request().URL.Path)
}

func signInFor(next string) string { return "/sign-in?next=" + url.QueryEscape(next) }

// redirect sends the reader on; where to is not kept.
func (r *request) redirect(to string) error {
	r.unkept()
	return r.echo.Redirect(http.StatusSeeOther, to)
}
