package store

import (
	"fmt"
	"slices"

	"forayhall/internal/foray"
)

// NameUse is a name under which plates of a society were determined, with its first and last sign-off.
type NameUse struct {
	NameKey           string
	Name              string
	Author            string
	NameRank          string
	Qualifier         string
	QualifierPosition string
	FirstAt           Stamp
	LastAt            Stamp
	Plates            int
}

// FieldFind is a field record that nobody took back.
type FieldFind struct {
	FieldRecord `gorm:"embedded"`
	Stood       bool // somebody who may determine stands behind it
}

// mostKeys is how many values go into one query, well under what either database takes.
const mostKeys = 500

// CollectionsNamed lists the plates of all events of a society that bear one of the names, by its key, on any of their
// slips: whether the name still stands is for whoever reads the slips.
func (t *Tx) CollectionsNamed(society foray.ID, keys []string) ([]Collection, error) {
	var found []Collection
	seen := map[foray.ID]bool{}
	for part := range slices.Chunk(keys, mostKeys) {
		rows, err := many[Collection](t.db.Where(`society_id = ? AND fate = ? AND (event_id, id) IN (
			SELECT s.event_id, s.collection_id FROM slip_name n
			JOIN slip s ON s.society_id = n.society_id AND s.event_id = n.event_id AND s.id = n.slip_id
			WHERE n.society_id = ? AND n.name_key IN ?)`, society, Live, society, part).Order("event_id, number_base, number_suffix"))
		if err != nil {
			return nil, err
		}
		for _, c := range rows {
			if !seen[c.ID] {
				seen[c.ID], found = true, append(found, c)
			}
		}
	}
	return found, nil
}

// SlipsOf lists the slips of some collections of an event, by collection and in order.
func (t *Tx) SlipsOf(society, event foray.ID, collections []foray.ID) ([]foray.Slip, error) {
	var slips []foray.Slip
	for part := range slices.Chunk(collections, mostKeys) {
		rows, err := many[slipRow](t.ofEvent(society, event).Where("collection_id IN ?", part).Order("collection_id, seq"))
		if err != nil {
			return nil, err
		}
		var names []slipNameRow
		for some := range slices.Chunk(rows, mostKeys) {
			ids := make([]foray.ID, len(some))
			for i, r := range some {
				ids[i] = r.ID
			}
			more, err := many[slipNameRow](t.ofEvent(society, event).Where("slip_id IN ?", ids).Order("slip_id, rank"))
			if err != nil {
				return nil, err
			}
			names = append(names, more...)
		}
		joined, err := joinSlips(rows, names)
		if err != nil {
			return nil, err
		}
		slips = append(slips, joined...)
	}
	return slips, nil
}

// NamesUsed lists the names under which plates of a society were signed off, of those with the keys, by first use. What
// was struck, or is no plate any more, is left out.
func (t *Tx) NamesUsed(society foray.ID, keys []string) ([]NameUse, error) {
	var used []NameUse
	for part := range slices.Chunk(keys, mostKeys) {
		var rows []NameUse
		err := t.db.Raw(`SELECT n.name_key, MAX(n.name) AS name, MAX(n.author) AS author, MAX(n.name_rank) AS name_rank, n.qualifier,
			MAX(n.qualifier_position) AS qualifier_position, MIN(s.happened_at) AS first_at, MAX(s.happened_at) AS last_at,
			COUNT(DISTINCT s.collection_id) AS plates
			FROM slip_name n
			JOIN slip s ON s.society_id = n.society_id AND s.event_id = n.event_id AND s.id = n.slip_id
			JOIN collection c ON c.society_id = s.society_id AND c.event_id = s.event_id AND c.id = s.collection_id
			WHERE n.society_id = ? AND n.name_key IN ? AND s.kind = ? AND c.fate = ?
			AND NOT EXISTS (SELECT 1 FROM slip k WHERE k.society_id = s.society_id AND k.event_id = s.event_id AND k.strikes = s.id)
			GROUP BY n.name_key, n.qualifier ORDER BY first_at, n.name_key, n.qualifier`, society, part, foray.SignOff, Live).Scan(&rows).Error
		if err != nil {
			return nil, fmt.Errorf("read the names used: %w", err)
		}
		used = append(used, rows...)
	}
	return used, nil
}

// FieldFinds lists the field records of all events of a society that bear one of the names and that nobody took back.
func (t *Tx) FieldFinds(society foray.ID, keys []string) ([]FieldFind, error) {
	var found []FieldFind
	for part := range slices.Chunk(keys, mostKeys) {
		var rows []FieldFind
		err := t.db.Raw(`SELECT f.*, EXISTS (SELECT 1 FROM field_word w WHERE w.society_id = f.society_id AND w.event_id = f.event_id
			AND w.record_id = f.id AND w.kind = 'stand') AS stood
			FROM field_record f
			WHERE f.society_id = ? AND f.name_key IN ?
			AND NOT EXISTS (SELECT 1 FROM field_word k WHERE k.society_id = f.society_id AND k.event_id = f.event_id
			AND k.record_id = f.id AND k.kind = 'strike')
			ORDER BY f.happened_at, f.id`, society, part).Scan(&rows).Error
		if err != nil {
			return nil, fmt.Errorf("read field records by name: %w", err)
		}
		found = append(found, rows...)
	}
	return found, nil
}

// ChangeSeqs is the sum of the change counters of all events of a society, and of what became of its earlier lists: it
// grows with every change in any of them.
func (t *Tx) ChangeSeqs(society foray.ID) (int64, error) {
	var sum int64
	err := t.db.Raw(`SELECT (SELECT COALESCE(SUM(change_seq), 0) FROM event_counter WHERE society_id = ?) +
  (SELECT COUNT(*) + COUNT(withdrawn_at) FROM earlier_list WHERE society_id = ?)`, society, society).Scan(&sum).Error
	if err != nil {
		return 0, fmt.Errorf("read the change counters: %w", err)
	}
	return sum, nil
}
