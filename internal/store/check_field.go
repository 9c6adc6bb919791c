package store

import (
	"forayhall/internal/foray"
	"forayhall/internal/message"
)

// fieldRows is what was seen outside, what was said of it, and how many were counted.
type fieldRows struct {
	records []FieldRecord
	words   []FieldWord
	tallies []FieldTally
}

func (t *Tx) fieldRows(e Event) (f fieldRows, err error) {
	if f.records, err = t.FieldRecords(e.SocietyID, e.ID); err != nil {
		return f, err
	}
	if f.words, err = t.FieldWords(e.SocietyID, e.ID); err != nil {
		return f, err
	}
	f.tallies, err = t.FieldTallies(e.SocietyID, e.ID)
	return f, err
}

// wordsOfRecords: a word or a count is of a record of the same event, and a record is taken back at most once.
func wordsOfRecords(r *eventRows) (found []message.Text) {
	known, struck := map[foray.ID]FieldRecord{}, map[foray.ID]int{}
	for _, f := range r.field.records {
		known[f.ID] = f
	}
	of := map[foray.ID]bool{}
	for _, w := range r.field.words {
		of[w.RecordID] = true
		if w.Kind == "strike" {
			struck[w.RecordID]++
		}
	}
	for _, n := range r.field.tallies {
		of[n.RecordID] = true
	}
	for id := range of {
		if known[id].ID.IsZero() {
			found = append(found, message.T("check.field-word", "event", r.event.Code, "record", id.String()))
		}
	}
	for id, times := range struck {
		if times > 1 {
			found = append(found, message.T("check.field-struck", "event", r.event.Code, "name", known[id].Verbatim))
		}
	}
	return found
}

// seenCountable: nobody sees fewer than none.
func seenCountable(r *eventRows) (found []message.Text) {
	sums := map[foray.ID]int{}
	for _, n := range r.field.tallies {
		sums[n.RecordID] += n.N
	}
	for _, f := range r.field.records {
		if sums[f.ID] < 0 {
			found = append(found, message.T("check.field-count", "event", r.event.Code, "name", f.Verbatim))
		}
	}
	return found
}
