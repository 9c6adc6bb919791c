package store

import (
	"database/sql"
	"fmt"

	"forayhall/internal/foray"
)

// PastFind is a plate of an event that is confirmed, not brought from outside and not cultivated, with what its standing
// rests on: no more than that, since all events of a society are read at a time.
type PastFind struct {
	ID         foray.ID
	SiteID     foray.ID
	PickedAt   Stamp
	PickedFrom string // ISO dates
	PickedTo   string
	Slips      []foray.Slip // those that sign or strike, each with its first name; without times, basis and remarks
}

// Standing is what the slips give.
func (f PastFind) Standing() foray.Standing { return foray.Replay(f.Slips) }

const pastFinds = `SELECT c.id, c.site_id, c.picked_at, c.picked_from, c.picked_to, s.id, s.seq, s.kind, s.determiner_id, s.strikes,
  COALESCE(n.verbatim, ''), COALESCE(n.name_key, ''), COALESCE(n.current_key, ''), COALESCE(n.name, ''), COALESCE(n.author, ''), COALESCE(n.name_rank, ''),
  COALESCE(n.qualifier, ''), COALESCE(n.qualifier_position, '')
FROM collection c
JOIN slip s ON s.society_id = c.society_id AND s.event_id = c.event_id AND s.collection_id = c.id AND s.kind <> 'field_name'
LEFT JOIN slip_name n ON n.society_id = s.society_id AND n.event_id = s.event_id AND n.slip_id = s.id AND n.rank = 1
WHERE c.society_id = ? AND c.event_id = ? AND c.naming = 'confirmed' AND c.fate = 'live' AND c.outside = ? AND c.cultivated = ?
ORDER BY c.id, s.seq`

// PastFinds lists them. A field name never changes what a sign-off confirmed, so that none is read.
func (t *Tx) PastFinds(society, event foray.ID) ([]PastFind, error) {
	rows, err := t.db.Raw(pastFinds, society, event, false, false).Rows()
	if err != nil {
		return nil, fmt.Errorf("read the finds of a past event: %w", err)
	}
	defer rows.Close()
	var all []PastFind
	for rows.Next() {
		f, slip, err := scanPastFind(rows)
		if err != nil {
			return nil, fmt.Errorf("read the finds of a past event: %w", err)
		}
		if n := len(all); n == 0 || all[n-1].ID != f.ID {
			all = append(all, f)
		}
		last := &all[len(all)-1]
		last.Slips = append(last.Slips, slip)
	}
	if err := rows.Err(); err != nil {
		return nil, fmt.Errorf("read the finds of a past event: %w", err)
	}
	return all, nil
}

func scanPastFind(rows *sql.Rows) (f PastFind, s foray.Slip, err error) {
	n := foray.SlipName{Rank: 1}
	err = rows.Scan(&f.ID, &f.SiteID, &f.PickedAt, &f.PickedFrom, &f.PickedTo, &s.ID, &s.Seq, &s.Kind, &s.Determiner, &s.Strikes,
		&n.Verbatim, &n.Key, &n.CurrentKey, &n.Name, &n.Author, &n.NameRank, &n.Qualifier, &n.Position)
	s.CollectionID = f.ID
	if n.Name != "" || n.Verbatim != "" {
		s.Names = []foray.SlipName{n}
	}
	return f, s, err
}
