package store

import (
	"fmt"

	"forayhall/internal/foray"
)

// Rain is how much fell on one day at an event's place. The newest row of a day holds.
type Rain struct {
	SocietyID  foray.ID
	EventID    foray.ID
	ID         foray.ID
	Day        string   // ISO date
	Seq        int      // of the day
	MM         *float64 `gorm:"column:mm"` // nil: taken back
	Source     string   // which gauge or station
	EnteredBy  foray.ID
	RecordedAt Stamp
}

// TableName is the table's name, which has no plural.
func (Rain) TableName() string { return "rain" }

// daySeq is how often rain was entered for a day.
type daySeq struct {
	Day string
	Seq int
}

// AddRain stores rows of one event; each becomes the newest of its day. No day may be there twice.
func (t *Tx) AddRain(rows []Rain) error {
	if len(rows) == 0 {
		return nil
	}
	have, err := many[daySeq](t.db.Raw("SELECT day, MAX(seq) AS seq FROM rain WHERE society_id = ? AND event_id = ? GROUP BY day",
		rows[0].SocietyID, rows[0].EventID))
	if err != nil {
		return fmt.Errorf("count what was entered of rain: %w", err)
	}
	seq := map[string]int{}
	for _, d := range have {
		seq[d.Day] = d.Seq
	}
	for i := range rows {
		rows[i].Seq = seq[rows[i].Day] + 1
	}
	return add(t, rows...)
}

// RainHistory lists all that was entered of an event's rain, by day, the oldest entry of a day first.
func (t *Tx) RainHistory(society, event foray.ID) ([]Rain, error) {
	return many[Rain](t.ofEvent(society, event).Order("day, seq"))
}

// RainOfSociety lists what holds of the rain of all events of a society, by event and day.
func (t *Tx) RainOfSociety(society foray.ID) ([]Rain, error) {
	return many[Rain](t.db.Where(`society_id = ? AND mm IS NOT NULL AND NOT EXISTS (SELECT 1 FROM rain n
  WHERE n.society_id = rain.society_id AND n.event_id = rain.event_id AND n.day = rain.day AND n.seq > rain.seq)`, society).Order("event_id, day"))
}
