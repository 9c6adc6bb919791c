package store

import (
	"slices"

	"forayhall/internal/foray"
)

// Photograph is a picture of a find, of its paper slip, of what was seen outside or of what was eaten. The picture
// itself is kept by its SHA-256; where it was taken is never given out.
type Photograph struct {
	SocietyID    foray.ID
	EventID      foray.ID
	ID           foray.ID
	Kind         string // find, slip, field, incident
	CollectionID foray.ID
	RecordID     foray.ID
	IncidentID   foray.ID
	Private      bool // slips and incidents always are
	Sha256       string
	SmallSha256  string
	Width        int
	Height       int
	Bytes        int
	Caption      string
	TakenAt      Stamp
	Latitude     *float64
	Longitude    *float64
	TakenBy      foray.ID
	RecordedAt   Stamp
	HiddenAt     Stamp
	HiddenBy     foray.ID
	HiddenWhy    string
}

// AddPhotograph stores a photograph's row; its blobs are there already.
func (t *Tx) AddPhotograph(p Photograph) error { return add(t, p) }

// Photographs lists an event's photographs, oldest first.
func (t *Tx) Photographs(society, event foray.ID) ([]Photograph, error) {
	return many[Photograph](t.ofEvent(society, event).Order("recorded_at, id"))
}

// PhotographsOf lists a collection's photographs, oldest first.
func (t *Tx) PhotographsOf(society, event, collection foray.ID) ([]Photograph, error) {
	return many[Photograph](t.ofEvent(society, event).Where("collection_id = ?", collection).Order("recorded_at, id"))
}

// LockPhotograph finds a photograph and keeps others from writing to it until the transaction ends.
func (t *Tx) LockPhotograph(society, event, id foray.ID) (Photograph, error) {
	return one[Photograph](t.locked().Where("society_id = ? AND event_id = ? AND id = ?", society, event, id))
}

// HidePhotograph takes a photograph from view.
func (t *Tx) HidePhotograph(p Photograph) error {
	return changed(t.db.Exec("UPDATE photograph SET hidden_at = ?, hidden_by = ?, hidden_why = ? WHERE society_id = ? AND event_id = ? AND id = ? AND hidden_at IS NULL",
		p.HiddenAt, p.HiddenBy, p.HiddenWhy, p.SocietyID, p.EventID, p.ID), "hide a photograph")
}

// PhotographsBySha finds the photographs that show a blob, in any society: a blob goes when none is left.
func (t *Tx) PhotographsBySha(sha string) ([]Photograph, error) {
	return many[Photograph](t.db.Where("sha256 = ? OR small_sha256 = ?", sha, sha).Order("society_id, event_id, id"))
}

// PhotographByID finds a photograph of an event.
func (t *Tx) PhotographByID(society, event, id foray.ID) (Photograph, error) {
	return one[Photograph](t.ofEvent(society, event).Where("id = ?", id))
}

// blobNamed is one blob that a photograph's row names.
type blobNamed struct{ Sha string }

// BlobsNamed says which of some blobs a photograph of any society, or a checklist, names.
func (t *Tx) BlobsNamed(shas []string) (map[string]bool, error) {
	rows, err := many[blobNamed](t.db.Raw("SELECT sha256 AS sha FROM photograph WHERE sha256 IN ? UNION SELECT small_sha256 FROM photograph WHERE small_sha256 IN ? UNION SELECT index_sha256 FROM checklist WHERE index_sha256 IN ?", shas, shas, shas))
	named := make(map[string]bool, len(rows))
	for _, r := range rows {
		named[r.Sha] = true
	}
	return named, err
}

// BlobsOf lists the blobs that the photographs of a part name, and of everything its checklists, each once, in order.
func (t *Tx) BlobsOf(part Part) ([]string, error) {
	where, arguments := part.where("photograph")
	query := "SELECT sha256 AS sha FROM photograph" + where + " UNION SELECT small_sha256 FROM photograph" + where
	if part.everything() {
		query += " UNION SELECT index_sha256 FROM checklist"
	}
	rows, err := many[blobNamed](t.db.Raw(query, append(slices.Clone(arguments), arguments...)...))
	shas := make([]string, len(rows))
	for i, r := range rows {
		shas[i] = r.Sha
	}
	slices.Sort(shas)
	return shas, err
}
