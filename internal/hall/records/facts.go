package records

import (
	"slices"
	"strconv"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// factTerms are the columns of measurements or facts (GBIF extension of 2025-07-10).
var factTerms = []string{"", "measurementID", "parentMeasurementID", "measurementType", "measurementValue", "measurementUnit", "measurementDeterminedBy",
	"measurementDeterminedDate", "measurementMethod"}

// characters are those that go out. Taste is none of them, whoever wrote it down.
var characters = []string{"odour", "latex", "latex_change", "cut_change", "stickiness", "texture", "other"}

func (x *exporter) substrateWord(key string) string {
	if slices.Contains(foray.Substrates, key) {
		return x.say.Say("pages.substrate." + key)
	}
	return key
}

func (x *exporter) growthWord(key string) string {
	if slices.Contains(foray.Growths, key) {
		return x.say.Say("pages.growth." + key)
	}
	return key
}

func (x *exporter) groupWord(key string) string {
	for _, g := range x.hall.Knowledge.Groups {
		if g.Key == key {
			return g.Name
		}
	}
	return key
}

// facts is what was noted of a find for which an occurrence has no term.
func (x *exporter) facts(f found, notes []store.CharacterNote) (rows [][]string) {
	add := func(kind, value, unit string) {
		if value != "" {
			r := record{"measurementID": derived(f.id, kind).URN(), "measurementType": x.say.Say("records.fact." + kind), "measurementValue": value, "measurementUnit": unit}
			rows = append(rows, r.under(factTerms, f.id))
		}
	}
	if f.seen != nil {
		add("substrate", x.substrateWord(hall.WordAlone(f.place, f.seen.Substrate, foray.Substrates)), "")
		return rows
	}
	p := f.plate
	add("group", x.groupWord(p.FormGroup), "")
	add("substrate", x.substrateWord(hall.WordAlone(f.place, p.Substrate, foray.Substrates)), "")
	add("growth", x.growthWord(hall.WordAlone(f.place, p.Growth, foray.Growths)), "")
	if p.Fruitbodies != nil {
		add("fruitbodies", strconv.Itoa(*p.Fruitbodies), "")
	}
	if p.WeightG != nil {
		add("weight", degrees(*p.WeightG), "g")
	}
	for _, n := range notes {
		rows = append(rows, x.noteRows(f, n)...)
	}
	return rows
}

// noteRows is one character, with the seconds it took as a measurement of its own that belongs to it.
func (x *exporter) noteRows(f found, n store.CharacterNote) [][]string {
	if !slices.Contains(characters, n.Character) {
		return nil
	}
	if f.place.GeneralisedM() > 0 {
		return nil // words could say where it was
	}
	r := record{"measurementID": n.ID.URN(), "measurementType": x.say.Say("records.character." + n.Character), "measurementValue": n.Words,
		"measurementDeterminedBy": hall.CreditedName(x.people[n.NotedBy]), "measurementDeterminedDate": x.moment(n.HappenedAt.Time)}
	rows := [][]string{r.under(factTerms, f.id)}
	if n.Seconds != nil {
		r = record{"measurementID": derived(n.ID, "seconds").URN(), "parentMeasurementID": n.ID.URN(), "measurementType": x.say.Say("records.fact.seconds"),
			"measurementValue": strconv.Itoa(*n.Seconds), "measurementUnit": "s"}
		rows = append(rows, r.under(factTerms, f.id))
	}
	return rows
}

// notesOf gathers an event's characters by collection, oldest first.
func notesOf(l *hall.Look) (map[foray.ID][]store.CharacterNote, error) {
	all, err := l.Tx.CharacterNotes(l.Scope.Society, l.Scope.Event, foray.ID{})
	by := map[foray.ID][]store.CharacterNote{}
	for _, n := range all {
		by[n.CollectionID] = append(by[n.CollectionID], n)
	}
	return by, err
}
