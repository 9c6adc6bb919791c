package api

import (
	"encoding/base64"
	"slices"
	"time"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/bench"
)

// Collection is one collection as the event's staff see it in a list.
type Collection struct {
	ID          foray.ID          `json:"id"`
	Number      string            `json:"number"`
	Group       string            `json:"group"`
	Naming      foray.Naming      `json:"naming"`
	Disputed    bool              `json:"disputed"`
	Version     int               `json:"version"` // base_version of a decision
	Whereabouts foray.Whereabouts `json:"whereabouts"`
	Table       foray.ID          `json:"table,omitzero"`
	Names       []Name            `json:"names"` // in question
	Severity    int               `json:"severity"`
	NoEntry     bool              `json:"no_entry"`
	SpoilsAt    time.Time         `json:"spoils_at,omitzero"`
	HappenedAt  time.Time         `json:"happened_at"`
	RecordedAt  time.Time         `json:"recorded_at"`
}

// Page is a page of collections by number.
type Page struct {
	Collections []Collection `json:"collections"`
	Next        string       `json:"next,omitempty"` // cursor of the page after; missing on the last
}

const (
	usualRows = 100
	mostRows  = 500
)

func (r *request) collection(w bench.Waiting) Collection {
	p := w.Plate
	return Collection{ID: p.ID, Number: p.Number().String(), Group: p.FormGroup, Naming: p.Standing.Naming, Disputed: p.Standing.Disputed,
		Version: p.Version, Whereabouts: p.Whereabouts, Table: p.TableID, Names: r.inQuestion(p), Severity: w.Assessment.Severity,
		NoEntry: w.Assessment.NoEntry, SpoilsAt: w.SpoilsAt, HappenedAt: p.HappenedAt.Time, RecordedAt: p.RecordedAt.Time}
}

func listCollections(r *request) (Page, error) {
	after, err := r.cursor()
	if err != nil {
		return Page{}, err
	}
	limit, err := r.number("limit", usualRows, 1, mostRows)
	if err != nil {
		return Page{}, err
	}
	all, err := bench.All(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return Page{}, err
	}
	slices.SortStableFunc(all, byNumber)
	rows := slices.DeleteFunc(all, func(w bench.Waiting) bool { return !after.Less(w.Plate.Number()) })
	page := Page{Collections: []Collection{}}
	for i, w := range rows {
		if i == int(limit) {
			page.Next = cursorAfter(rows[i-1].Plate.Number())
			break
		}
		page.Collections = append(page.Collections, r.collection(w))
	}
	return page, nil
}

func byNumber(a, b bench.Waiting) int {
	switch x, y := a.Plate.Number(), b.Plate.Number(); {
	case x.Less(y):
		return -1
	case y.Less(x):
		return 1
	}
	return 0
}

// A cursor is the last number of the page before: what is logged meanwhile shifts nothing. Callers must not read it.
func cursorAfter(n foray.Number) string {
	return base64.RawURLEncoding.EncodeToString([]byte("after " + n.String()))
}

func (r *request) cursor() (foray.Number, error) {
	text := r.echo.QueryParam("cursor")
	if text == "" {
		return foray.Number{}, nil
	}
	data, err := base64.RawURLEncoding.DecodeString(text)
	if err != nil || len(data) < len("after ") {
		return foray.Number{}, fault.Wrong("cursor", "api.cursor")
	}
	n, err := foray.ParseNumber(string(data[len("after "):]), "")
	if err != nil {
		return n, fault.Wrong("cursor", "api.cursor")
	}
	return n, nil
}
