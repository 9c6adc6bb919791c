package drill

import (
	"bytes"
	"os"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/people"
	"forayhall/internal/pages"
)

func TestZZList(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		layForay(t, g)
		counter := &people.Desk{Hall: g.Hall, Cost: halltest.Cheap, Keys: []people.Key{{ID: "drill", Secret: bytes.Repeat([]byte("k"), 32)}}}
		site := pages.New(pages.Config{Hall: g.Hall, Desk: counter, Log: slog.New(slog.NewTextHandler(os.Stderr, nil))})
		for i := range 3 {
			begun := time.Now()
			rec := httptest.NewRecorder()
			site.ServeHTTP(rec, httptest.NewRequest(http.MethodGet, "/hollinbeck/HB26/list", nil))
			t.Log(i, time.Since(begun), rec.Code, rec.Body.Len(), rec.Body.String()[:min(200,rec.Body.Len())])
		}
	})
}
