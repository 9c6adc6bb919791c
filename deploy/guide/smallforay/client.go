package main

import (
	"bytes"
	"crypto/rand"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"time"
)

// client speaks to the API for one person and one event.
type client struct {
	url     string
	token   string
	society string
	event   string
}

type envelope struct {
	ID          string `json:"id"`
	Type        string `json:"type"`
	BaseVersion *int   `json:"base_version,omitempty"`
	Device      string `json:"device"`
	Body        any    `json:"body"`
}

type answer struct {
	Status  string          `json:"status"`
	Result  json.RawMessage `json:"result"`
	Problem *struct {
		Title  string            `json:"title"`
		Detail string            `json:"detail"`
		Errors map[string]string `json:"errors"`
	} `json:"problem"`
}

type fields map[string]any

// send sends one command and reads its result into result; nil: nobody asks.
func (c *client) send(kind string, body, result any) error { return c.decide(kind, nil, body, result) }

// decide is send for a decision that was made on a version of a collection.
func (c *client) decide(kind string, version *int, body, result any) error {
	var out struct {
		Answers []answer `json:"answers"`
	}
	batch := fields{"society": c.society, "commands": []envelope{{ID: newID(), Type: kind, BaseVersion: version, Device: "smallforay", Body: body}}}
	if c.event != "" {
		batch["event"] = c.event
	}
	if err := c.ask(http.MethodPost, "/api/v1/commands", batch, &out); err != nil {
		return fmt.Errorf("%s: %w", kind, err)
	}
	a := out.Answers[0]
	if a.Problem != nil {
		return fmt.Errorf("%s: %s: %s %s %v", kind, a.Status, a.Problem.Title, a.Problem.Detail, a.Problem.Errors)
	}
	if result == nil {
		return nil
	}
	return json.Unmarshal(a.Result, result)
}

// see reads a view of the event.
func (c *client) see(path string, into any) error {
	return c.ask(http.MethodGet, "/api/v1/"+c.society+"/"+c.event+path, nil, into)
}

func (c *client) ask(method, path string, body, into any) error {
	var sent io.Reader
	if body != nil {
		data, err := json.Marshal(body)
		if err != nil {
			return err
		}
		sent = bytes.NewReader(data)
	}
	req, err := http.NewRequest(method, c.url+path, sent)
	if err != nil {
		return err
	}
	req.Header.Set("Authorization", "Bearer "+c.token)
	req.Header.Set("Content-Type", "application/json")
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return err
	}
	defer res.Body.Close()
	data, err := io.ReadAll(res.Body)
	switch {
	case err != nil:
		return err
	case res.StatusCode >= http.StatusBadRequest:
		return fmt.Errorf("%s %s: %s: %s", method, path, res.Status, data)
	case into == nil:
		return nil
	}
	return json.Unmarshal(data, into)
}

// newID makes a UUID of version 7 (RFC 9562): the moment in milliseconds, then randomness.
func newID() string {
	var b [16]byte
	_, _ = rand.Read(b[:]) // never fails
	ms := time.Now().UnixMilli()
	for i := range 6 {
		b[i] = byte(ms >> (40 - 8*i))
	}
	b[6], b[8] = b[6]&0x0f|0x70, b[8]&0x3f|0x80
	return fmt.Sprintf("%x-%x-%x-%x-%x", b[0:4], b[4:6], b[6:8], b[8:10], b[10:16])
}
