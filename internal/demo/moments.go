package demo

import (
	"slices"
	"strconv"
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/tables"
)

// moment is one thing that somebody does at an event; one of its last five fields is set.
type moment struct {
	at     time.Time
	by     string // the key of whoever does it
	number string
	logs   *desk.Field
	notes  *desk.Character
	says   *saying
	puts   *tables.Place
	does   act
	looks  bool // what it does depends on how plates stand
}

// is reports whether anything is done: what was put to an earlier row is not done again.
func (m moment) is() bool {
	return m.logs != nil || m.notes != nil || m.says != nil || m.puts != nil || m.does != nil
}

// saying is a slip to be written.
type saying struct {
	kind    foray.SlipKind
	whose   string // the key of the determiner
	basis   foray.Basis
	names   []hall.NameInput
	strikes int // the number of the collection's slip that is taken back
	remarks string
}

// readMoments reads what happens at the event, in order of time; within a minute, in the order of a plate's day.
func (e *event) readMoments() error {
	for _, read := range []func() error{e.readActs, e.readCollections, e.readCharacters, e.readSlips, e.readPlaces} {
		if err := read(); err != nil {
			return err
		}
	}
	slices.SortStableFunc(e.moments, func(a, b moment) int { return a.at.Compare(b.at) })
	return nil
}

// happens reads the rows of a table that are of this event.
func (e *event) happens(table, by, at string, columns []string, take func(*row, *moment)) error {
	return eachRow(table, columns, func(r *row) {
		if r.text("event") != e.set.Code {
			return
		}
		m := moment{at: r.at(at, e.zone), by: r.text(by), number: r.text("number")}
		if take(r, &m); m.is() {
			e.moments = append(e.moments, m)
		}
	})
}

func (e *event) readCollections() error {
	return e.happens("collections", "by", "logged", []string{"event", "number", "logged", "by", "group", "team", "site", "collector",
		"picked", "picked_text", "picked_from", "picked_to", "substrate", "host", "habitat", "growth", "plate", "cool", "fruitbodies",
		"weight_g", "outside", "cultivated", "remarks"}, func(r *row, m *moment) {
		m.logs = &desk.Field{Group: r.text("group"), Team: r.text("team"), Site: r.text("site"), Collector: r.text("collector"),
			PickedAt: r.at("picked", e.zone), PickedText: r.text("picked_text"), PickedFrom: r.text("picked_from"), PickedTo: r.text("picked_to"),
			Substrate: r.text("substrate"), Host: r.text("host"), Habitat: r.text("habitat"), Growth: r.text("growth"), Plate: r.text("plate"),
			KeptCool: r.yes("cool"), Fruitbodies: r.maybe("fruitbodies"), WeightG: r.real("weight_g"), Outside: r.yes("outside"),
			Cultivated: r.yes("cultivated"), Remarks: r.text("remarks")}
	})
}

func (e *event) readCharacters() error {
	return e.happens("characters", "by", "at", []string{"event", "number", "at", "by", "character", "words", "seconds"}, func(r *row, m *moment) {
		m.notes = &desk.Character{Character: r.text("character"), Words: r.text("words"), Seconds: r.maybe("seconds")}
	})
}

func (e *event) readSlips() error {
	return e.happens("slips", "writer", "at", []string{"event", "number", "at", "kind", "by", "writer", "basis", "name", "reason", "name_2",
		"reason_2", "name_3", "reason_3", "strikes", "remarks"}, func(r *row, m *moment) {
		m.says = &saying{kind: foray.SlipKind(r.text("kind")), whose: r.text("by"), basis: foray.Basis(r.text("basis")), remarks: r.text("remarks")}
		if n := r.maybe("strikes"); n != nil {
			m.says.strikes = *n
		}
		for _, rank := range []string{"", "_2", "_3"} {
			if name := r.text("name" + rank); name != "" {
				m.says.names = append(m.says.names, hall.NameInput{Text: name, Reason: r.text("reason" + rank)})
			}
		}
	})
}

func (e *event) readPlaces() error {
	return e.happens("places", "by", "at", []string{"event", "number", "at", "by", "where", "table", "position", "with"}, func(r *row, m *moment) {
		m.puts = &tables.Place{Where: foray.Whereabouts(r.text("where")), Position: r.text("position"), With: r.text("with")}
		if n := r.maybe("table"); n != nil {
			m.puts.Table = strconv.Itoa(*n)
		}
	})
}
