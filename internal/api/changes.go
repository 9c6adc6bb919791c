package api

import (
	"math"

	"forayhall/internal/foray"
)

// Change says that something of the event is different.
type Change struct {
	Seq     int64    `json:"seq"`
	Kind    string   `json:"kind"`
	Subject foray.ID `json:"subject,omitzero"` // told to the event's staff
}

// Changes is a stretch of the change log.
type Changes struct {
	Changes []Change `json:"changes"`
	Last    int64    `json:"last"` // the event's latest; where it is less than since, the log was restored from a backup
}

func listChanges(r *request) (Changes, error) {
	since, err := r.number("since", 0, 0, math.MaxInt64)
	if err != nil {
		return Changes{}, err
	}
	limit, err := r.number("limit", usualRows, 1, mostRows)
	if err != nil {
		return Changes{}, err
	}
	return r.changes(since, int(limit))
}

func (r *request) changes(since int64, limit int) (Changes, error) {
	got, err := r.hall().ChangesSince(r.ctx, r.actor, r.scope(), since, limit)
	out := Changes{Changes: make([]Change, 0, len(got.Rows)), Last: got.Last}
	for _, c := range got.Rows {
		out.Changes = append(out.Changes, Change{Seq: c.Seq, Kind: c.Kind, Subject: c.Subject})
	}
	return out, err
}
