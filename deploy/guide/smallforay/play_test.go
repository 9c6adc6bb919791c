package main

import (
	"bytes"
	"context"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/labstack/echo/v4"

	"forayhall/internal/access"
	"forayhall/internal/api"
	"forayhall/internal/hall/halltest"
)

// TestTheScriptPlaysTheWholeDay: whoever copies from it copies what works. It runs on both databases, twice under two
// codes, and its list must hold what was confirmed and nothing else.
func TestTheScriptPlaysTheWholeDay(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		e := echo.New()
		a := &api.API{Hall: g.Hall, Desk: g.Desk, Cookie: "forayhall"}
		a.Register(e.Group(api.Prefix))
		e.HTTPErrorHandler = func(err error, c echo.Context) { _ = a.Problem(c, err) }
		server := httptest.NewServer(e)
		t.Cleanup(server.Close)
		g.Hall.Now = time.Now // what happened in one instant has no order
		token := tokenOf(t, g)
		for _, code := range []string{"GF26", "GF27"} {
			var out bytes.Buffer
			f := &foray{client: client{url: server.URL, token: token, society: g.Society.Code}, code: code, out: &out}
			if err := f.play(); err != nil {
				t.Fatalf("%v\n%s", err, out.String())
			}
			for _, want := range []string{"team 1: all_back still out: 0", "0001 Amanita citrina confirmed", "swap_card", "not final", "version 1 is signed"} {
				if !strings.Contains(out.String(), want) {
					t.Errorf("%s does not say %q:\n%s", code, want, out.String())
				}
			}
			var list struct {
				Total int `json:"distinct_taxa"`
			}
			if err := f.see("/list/1", &list); err != nil || list.Total != 2 {
				t.Errorf("%s lists %d taxa, want 2: %v", code, list.Total, err)
			}
		}
	})
}

func tokenOf(t *testing.T, g *halltest.Ground) string {
	t.Helper()
	made, err := g.Desk.Token(context.Background(), string(access.Organiser), "script", nil, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	return made
}
