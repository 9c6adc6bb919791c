package pages

import (
	"net/http"

	"github.com/labstack/echo/v4"

	"forayhall/internal/fault"
	"forayhall/internal/hall/people"
	"forayhall/web"
)

// contentPolicy lets a page use nothing but what this server sends, and forms go nowhere else.
const contentPolicy = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; font-src 'self'; " +
	"connect-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"

func headers(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		h := c.Response().Header()
		h.Set("Content-Security-Policy", contentPolicy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(self), geolocation=(self), microphone=()")
		h.Set("Cache-Control", "no-store")
		return next(c)
	}
}

// crossOrigin refuses every write that another site's page sends, on every route there is or will be.
func (s *Site) crossOrigin(next echo.HandlerFunc) echo.HandlerFunc {
	guard := http.NewCrossOriginProtection()
	return func(c echo.Context) error {
		if err := guard.Check(c.Request()); err != nil {
			return &fault.Error{Kind: fault.NotAllowed, Text: fault.New(fault.NotAllowed, "pages-guard.cross-origin").Text, Cause: err}
		}
		return next(c)
	}
}

func (s *Site) static(c echo.Context) error {
	f, err := web.Open(c.Param("file"))
	if err != nil {
		return fault.Missing()
	}
	c.Response().Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	return c.Blob(http.StatusOK, f.Type, f.Data)
}

// cookieName is bound to the host where the connection is safe (RFC 6265bis, 4.1.3.2).
func (s *Site) cookieName() string { return CookieName(s.Secure) }

// CookieName is the name of the session cookie.
func CookieName(secure bool) string {
	if secure {
		return "__Host-foray"
	}
	return "foray"
}

// setCookie says how long the cookie lasts, not until when: the browser's clock need not be the hall's.
func (s *Site) setCookie(c echo.Context, token string) {
	c.SetCookie(&http.Cookie{Name: s.cookieName(), Value: token, Path: "/", MaxAge: int(people.SessionLength.Seconds()), HttpOnly: true, Secure: s.Secure,
		SameSite: http.SameSiteLaxMode})
}

func (s *Site) dropCookie(c echo.Context) {
	c.SetCookie(&http.Cookie{Name: s.cookieName(), Path: "/", MaxAge: -1, HttpOnly: true, Secure: s.Secure, SameSite: http.SameSiteLaxMode})
}
