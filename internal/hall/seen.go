package hall

import (
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/store"
)

// The words that may be said of a field record.
const (
	FieldStand  = "stand"
	FieldStrike = "strike"
)

// SeenThere is a field record with what was said of it and added to it.
type SeenThere struct {
	store.FieldRecord
	Count  int // how many were seen, as far as anybody counted
	Stands []store.FieldWord
	Struck *store.FieldWord
}

// SlipName is its name as slips have names.
func (s SeenThere) SlipName() foray.SlipName {
	return foray.SlipName{Rank: 1, Verbatim: s.Verbatim, Key: s.NameKey, CurrentKey: s.CurrentKey, Name: s.Name, Author: s.Author,
		NameRank: s.NameRank, Qualifier: s.Qualifier, Position: s.QualifierPosition, ChecklistRev: s.ChecklistRev}
}

// SeenThere reads the field records of the scope's event, those that were struck among them, in the order in which they
// happened.
func (l *Look) SeenThere() ([]SeenThere, error) {
	records, err := l.Tx.FieldRecords(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return nil, err
	}
	words, err := l.Tx.FieldWords(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return nil, err
	}
	tallies, err := l.Tx.FieldTallies(l.Scope.Society, l.Scope.Event)
	seen, at := make([]SeenThere, len(records)), make(map[foray.ID]*SeenThere, len(records))
	for i, r := range records {
		seen[i].FieldRecord = r
		at[r.ID] = &seen[i]
	}
	for _, n := range tallies {
		at[n.RecordID].Count += n.N
	}
	for _, w := range words {
		if w.Kind == FieldStrike {
			at[w.RecordID].Struck = &w
			continue
		}
		at[w.RecordID].Stands = append(at[w.RecordID].Stands, w)
	}
	return seen, err
}

// FoundOn is the day, as an ISO date, on which something was picked, where that is known to the day; else on which it was
// logged, unless its picking was written down otherwise.
func FoundOn(zone *time.Location, c *store.Collection) string {
	switch {
	case !c.PickedAt.IsZero():
		return c.PickedAt.In(zone).Format(time.DateOnly)
	case c.PickedFrom != "" && (c.PickedTo == "" || c.PickedTo == c.PickedFrom):
		return c.PickedFrom
	case c.PickedFrom != "" || c.PickedText != "" || c.Outside:
		return ""
	}
	return c.HappenedAt.In(zone).Format(time.DateOnly)
}
