package store

import "forayhall/internal/foray"

// Publisher is under whose name and on which terms a society gives its records out. All of it is shown publicly.
type Publisher struct {
	Licence         string // SPDX identifier; empty: not chosen yet
	PublisherName   string // as it is cited; empty: the society's own
	DataContact     string
	DataMail        string
	WebAddress      string
	About           string
	InstitutionCode string // of the fungarium where vouchers go
	CollectionCode  string
}

// SetPublisher stores what a society says of itself as a publisher.
func (t *Tx) SetPublisher(society foray.ID, p Publisher) error {
	return changed(t.db.Exec(`UPDATE society SET licence = ?, publisher_name = ?, data_contact = ?, data_mail = ?, web_address = ?, about = ?,
		institution_code = ?, collection_code = ? WHERE id = ?`, p.Licence, p.PublisherName, p.DataContact, p.DataMail, p.WebAddress, p.About,
		p.InstitutionCode, p.CollectionCode, society), "set the publisher")
}

// idTaken is an id that a row of a society bears.
type idTaken struct{ ID foray.ID }

// FindsTaken says which of some ids a collection or field record of the society bears, in any of its events.
func (t *Tx) FindsTaken(society foray.ID, ids []foray.ID) (map[foray.ID]bool, error) {
	taken := map[foray.ID]bool{}
	for len(ids) > 0 {
		some := ids[:min(len(ids), mostAsked)]
		ids = ids[len(some):]
		rows, err := many[idTaken](t.db.Raw("SELECT id FROM collection WHERE society_id = ? AND id IN ? UNION SELECT id FROM field_record WHERE society_id = ? AND id IN ?",
			society, some, society, some))
		if err != nil {
			return nil, err
		}
		for _, r := range rows {
			taken[r.ID] = true
		}
	}
	return taken, nil
}

// mostAsked keeps a query's variables below what either database takes.
const mostAsked = 400
