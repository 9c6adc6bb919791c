package drill

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strconv"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/api"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/people"
	"forayhall/internal/pages"
	"forayhall/internal/store"
)

// BenchmarkWritesThroughHTTP is BenchmarkWrites through the real server: a connection a writer, a bearer token, one
// command a request.
func BenchmarkWritesThroughHTTP(b *testing.B) {
	for _, dialect := range []store.Dialect{store.SQLite, store.Postgres} {
		b.Run(string(dialect), func(b *testing.B) {
			there, beside := places(b, dialect)
			ordersFor(b, there)
			h, err := openHall(there)
			if err != nil {
				b.Fatal(err)
			}
			defer h.Store.Close()
			bare := bareWrite(b, dialect, beside)
			through := throughHTTP(b, h)
			b.ResetTimer()
			compare(b, through, bare)
		})
	}
}

// caller sends commands to a server in one person's name.
type caller struct {
	client *http.Client
	url    string
	token  string
}

func throughHTTP(b *testing.B, h *hall.Hall) write {
	b.Helper()
	counter := &people.Desk{Hall: h, Cost: halltest.Cheap, Keys: []people.Key{{ID: "drill", Secret: bytes.Repeat([]byte("k"), 32)}}}
	site := pages.New(pages.Config{Hall: h, Desk: counter, Log: slog.New(slog.NewTextHandler(io.Discard, nil))})
	(&api.API{Hall: h, Desk: counter}).Register(site.Group(api.Prefix))
	server := httptest.NewServer(site)
	b.Cleanup(server.Close)
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: writers, MaxConnsPerHost: writers}}
	as := func(login access.Right) caller {
		token, err := counter.Token(context.Background(), string(login), "drill", nil, time.Hour)
		if err != nil {
			b.Fatal(err)
		}
		return caller{client, server.URL + api.Prefix + "/commands", token}
	}
	logs, signs := as(access.Desk), as(access.Identifier)
	return func(i int) error {
		logging, signing, err := twoIDs()
		if err != nil {
			return err
		}
		var made desk.Logged
		err = logs.send(&made, logging, "collection.log.v1", nil, desk.Log{Number: strconv.Itoa(i), Field: desk.Field{Group: "bolete"}})
		if err != nil {
			return err
		}
		version := 0
		var done bench.Done
		return signs.send(&done, signing, "slip.sign-off.v1", &version,
			bench.Word{Collection: made.ID, Name: hall.NameInput{Text: "Boletus edulis"}, Basis: "macroscopic"})
	}
}

// send sends one command and reads its answer; anything but applied is an error.
func (c caller) send(result any, id foray.ID, kind string, version *int, body any) error {
	batch, err := json.Marshal(map[string]any{"society": "hollinbeck", "event": "HB26",
		"commands": []map[string]any{{"id": id, "type": kind, "base_version": version, "body": body}}})
	if err != nil {
		return err
	}
	req, err := http.NewRequest(http.MethodPost, c.url, bytes.NewReader(batch))
	if err != nil {
		return err
	}
	req.Header.Set("Authorization", "Bearer "+c.token)
	req.Header.Set("Content-Type", "application/json")
	res, err := c.client.Do(req)
	if err != nil {
		return err
	}
	defer res.Body.Close()
	data, err := io.ReadAll(res.Body)
	if err != nil {
		return err
	}
	var answer struct {
		Answers []struct {
			Status string          `json:"status"`
			Result json.RawMessage `json:"result"`
		} `json:"answers"`
	}
	if err := json.Unmarshal(data, &answer); err != nil || len(answer.Answers) != 1 || answer.Answers[0].Status != "applied" {
		return fmt.Errorf("%s answered %d: %s", kind, res.StatusCode, data)
	}
	return json.Unmarshal(answer.Answers[0].Result, result)
}
