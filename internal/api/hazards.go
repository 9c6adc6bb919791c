package api

import (
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hazard"
)

// Contested is why the society does not agree with a row or a pair. Its severity stays as it is.
type Contested struct {
	Reason string    `json:"reason"`
	Source string    `json:"source"`
	At     time.Time `json:"at"`
}

func contested(all []hazard.Contest) []Contested {
	var out []Contested
	for _, c := range all {
		out = append(out, Contested{c.Reason, c.Source, c.At})
	}
	return out
}

// KnownHazards is what is known of harm: of one name, and what the society wrote itself.
type KnownHazards struct {
	Knowledge string        `json:"knowledge_revision"`
	Name      string        `json:"name,omitempty"`
	Unknown   bool          `json:"unknown"` // no list and no row has the name
	Nearest   []string      `json:"nearest,omitempty"`
	Rows      []KnownRow    `json:"rows"`
	Pairs     []KnownPair   `json:"pairs"`
	Entries   []OwnEntry    `json:"entries"` // of the society, the newest first, also what was taken back
	Syndromes []SyndromeKey `json:"syndromes"`
}

// KnownRow is a row that speaks of a name, and by which rule.
type KnownRow struct {
	Finding
	ID       string `json:"id"` // by which it is contested
	Exposure string `json:"exposure"`
	Region   string `json:"region"`
	Evidence string `json:"evidence"`
	Note     string `json:"note,omitempty"`
}

// KnownPair is a look-alike pair in which a name takes part.
type KnownPair struct {
	Double
	ID     string `json:"id"`
	Region string `json:"region"`
}

// OwnEntry is what the society wrote: a hazard, a pair or a contest.
type OwnEntry struct {
	ID              foray.ID  `json:"id"`
	Kind            string    `json:"kind"`
	Name            string    `json:"name,omitempty"`
	Poisonous       string    `json:"poisonous,omitempty"`
	Scope           string    `json:"scope,omitempty"`
	Syndrome        string    `json:"syndrome,omitempty"`
	Exposure        string    `json:"exposure,omitempty"`
	Region          string    `json:"region,omitempty"`
	Evidence        string    `json:"evidence,omitempty"`
	Differences     string    `json:"differences,omitempty"`
	Note            string    `json:"note,omitempty"`
	About           string    `json:"about,omitempty"`
	Reason          string    `json:"reason,omitempty"`
	Source          string    `json:"source"`
	WrittenBy       foray.ID  `json:"written_by"`
	WrittenAt       time.Time `json:"written_at"`
	Left            string    `json:"does_not_work,omitempty"` // why, although it holds
	WithdrawnBy     foray.ID  `json:"withdrawn_by,omitzero"`
	WithdrawnAt     time.Time `json:"withdrawn_at,omitzero"`
	WithdrawnReason string    `json:"withdrawn_reason,omitempty"`
}

// SyndromeKey is a syndrome that a row may name.
type SyndromeKey struct {
	Key      string `json:"key"`
	Name     string `json:"name"`
	Severity int    `json:"severity"`
}

func seeHazards(r *request) (KnownHazards, error) {
	k, err := safety.SeeHazards(r.ctx, r.hall(), r.actor, r.scope(), r.echo.QueryParam("name"))
	if err != nil {
		return KnownHazards{}, err
	}
	out := KnownHazards{Knowledge: r.hall().Knowledge.Revision, Name: k.Asked, Unknown: k.Unknown, Nearest: k.Nearest}
	for _, f := range k.Rows {
		out.Rows = append(out.Rows, KnownRow{Finding: finding(f), ID: f.Entry.ID, Exposure: string(f.Entry.Exposure), Region: f.Entry.Region,
			Evidence: f.Entry.Evidence, Note: f.Entry.Note})
	}
	for _, d := range k.Pairs {
		out.Pairs = append(out.Pairs, KnownPair{Double: double(d), ID: d.ID, Region: d.Region})
	}
	for _, e := range k.Entries {
		out.Entries = append(out.Entries, r.ownEntry(e))
	}
	for _, s := range k.Syndromes {
		out.Syndromes = append(out.Syndromes, SyndromeKey{s.Key, s.Name, s.Severity})
	}
	return out, nil
}

func (r *request) ownEntry(e safety.Entry) OwnEntry {
	out := OwnEntry{ID: e.ID, Kind: e.Kind, Name: e.Name, Poisonous: e.Other, Scope: e.Scope, Syndrome: e.OwnEntry.Syndrome, Exposure: e.Exposure, Region: e.Region,
		Evidence: e.Evidence, Differences: e.Differences, Note: e.Note, About: e.About, Reason: e.Reason, Source: e.Source,
		WrittenBy: e.WrittenBy, WrittenAt: e.RecordedAt.Time}
	if !e.Left.IsZero() {
		out.Left = r.say().Text(e.Left)
	}
	if w := e.Withdrawn; w != nil {
		out.WithdrawnBy, out.WithdrawnAt, out.WithdrawnReason = w.WrittenBy, w.RecordedAt.Time, w.Reason
	}
	return out
}
