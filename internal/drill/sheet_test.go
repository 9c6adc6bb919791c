package drill

import (
	"bytes"
	"context"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/people"
	"forayhall/internal/pages"
)

// nationalForay is how many collections a national foray has (common practice).
const nationalForay = 1500

// TestDrillADeadlyNameReachesThePublicSheetOfANationalForay: whoever looks after somebody has written a deadly name, even
// as a second choice that nobody has confirmed, reads it. The time from the pencil to the page is told.
func TestDrillADeadlyNameReachesThePublicSheetOfANationalForay(t *testing.T) {
	drillsOnly(t)
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		plates := layForay(t, g)
		counter := &people.Desk{Hall: g.Hall, Cost: halltest.Cheap, Keys: []people.Key{{ID: "drill", Secret: bytes.Repeat([]byte("k"), 32)}}}
		server := httptest.NewServer(pages.New(pages.Config{Hall: g.Hall, Desk: counter, Log: slog.New(slog.NewTextHandler(io.Discard, nil))}))
		defer server.Close()
		deadly := []string{"Amanita phalloides", "Galerina marginata", "Lepiota brunneoincarnata", "Cortinarius rubellus", "Amanita virosa"}
		if looks, body := look(t, server.URL); strings.Contains(body, "0007 ") {
			t.Fatalf("plate 7 is on the sheet before anybody named it (%v)", looks)
		}
		var slowest, page time.Duration
		for i, name := range deadly {
			begun := time.Now()
			_, err := bench.GiveFieldName(t.Context(), g.Hall, g.As[access.TeamLeader], g.Scope, g.Command(t), bench.FieldName{Collection: plates[i],
				Names: []hall.NameInput{{Text: "Trametes versicolor"}, {Text: name + " ?"}}})
			if err != nil {
				t.Fatal(err)
			}
			took, body := look(t, server.URL)
			if !strings.Contains(body, strings.ReplaceAll(name, " ", "_")) {
				t.Errorf("%s was written and is not on the sheet", name)
			}
			slowest, page = max(slowest, time.Since(begun)), max(page, took)
		}
		t.Logf("%d collections: from pencil to page at most %v, of which the page %v", nationalForay, slowest.Round(time.Millisecond), page.Round(time.Millisecond))
	})
}

// layForay logs and names a national foray; the first of its plates are still without a name.
func layForay(t testing.TB, g *halltest.Ground) []foray.ID {
	t.Helper()
	var names []string
	for _, e := range g.Hall.Knowledge.Hazards.Entries() {
		if e.Syndrome.Severity <= 2 && strings.Contains(e.Taxon, " ") && len(names) < 460 {
			names = append(names, e.Taxon)
		}
	}
	var bare []foray.ID
	err := g.Hall.Store.Together(t.Context(), func(ctx context.Context) error {
		for i := range nationalForay {
			c, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: strconv.Itoa(i + 1), Field: desk.Field{Group: "bolete"}})
			if err != nil {
				return err
			}
			if i < 10 {
				bare = append(bare, c.ID)
				continue
			}
			version := 0
			cmd := g.Command(t)
			cmd.BaseVersion = &version
			if _, err := bench.SignOff(ctx, g.Hall, g.As[access.Identifier], g.Scope, cmd, bench.Word{Collection: c.ID, Basis: "macroscopic",
				Name: hall.NameInput{Text: names[i%len(names)]}}); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return bare
}

// look reads the public sheet as a visitor does.
func look(t *testing.T, server string) (time.Duration, string) {
	t.Helper()
	begun := time.Now()
	res, err := http.Get(server + "/hollinbeck/HB26/warnings")
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil || res.StatusCode != http.StatusOK {
		t.Fatalf("the sheet answers %s: %v", res.Status, err)
	}
	return time.Since(begun), string(body)
}
