package safety

import (
	"cmp"
	"errors"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// How long what is typed may be, in letters.
const (
	mostName   = 200
	mostSource = 500
)

func tidy(s string) string { return strings.Join(strings.Fields(s), " ") }

// wrongs gathers what is wrong with each field.
type wrongs map[string]message.Text

func (w wrongs) say(field, key string, pairs ...any) {
	if _, said := w[field]; !said {
		w[field] = message.T(key, pairs...)
	}
}

func (w wrongs) text(field, value, missing string, most int) {
	switch {
	case value == "":
		w.say(field, missing)
	case utf8.RuneCountInString(value) > most:
		w.say(field, "hazards.too-long", "most", most)
	}
}

func (w wrongs) short(field, value string, most int) {
	if utf8.RuneCountInString(value) > most {
		w.say(field, "hazards.too-long", "most", most)
	}
}

func (w wrongs) err() error {
	if len(w) == 0 {
		return nil
	}
	return fault.Many(maps.Clone(w))
}

// hazard reads a hazard as it was typed. Each field that cannot be read is told with what would be.
func (d *lead) hazard(in Hazard) (store.OwnEntry, error) {
	w := wrongs{}
	e := store.OwnEntry{Kind: store.OwnHazard, Source: tidy(in.Source), Note: tidy(in.Note)}
	e.Name = d.name(w, "taxon", in.Taxon)
	e.Syndrome = d.syndrome(w, in.Syndrome)
	e.Scope = oneOf(w, "scope", "hazards.scope-unknown", cmp.Or(tidy(in.Scope), string(hazard.AllOfIt)), []string{string(hazard.AllOfIt), string(hazard.Unnamed)})
	e.Exposure = oneOf(w, "exposure", "hazards.exposure-unknown", cmp.Or(tidy(in.Exposure), string(hazard.Meal)), exposures())
	e.Evidence = oneOf(w, "evidence", "hazards.evidence-unknown", cmp.Or(tidy(in.Evidence), hazard.Reported), hazard.Evidences())
	e.Region = region(w, in.Region)
	w.text("source", e.Source, "hazards.source-missing", mostSource)
	w.short("note", e.Note, mostWords)
	if err := w.err(); err != nil {
		return e, err
	}
	if err := d.known.Hazards.Check(hall.OwnRow(e)); err != nil {
		return e, &fault.Error{Kind: fault.Invalid, Text: message.T("fault.invalid"), Cause: err,
			Fields: map[string]message.Text{"taxon": message.T("hazards.not-joined", "name", e.Name)}}
	}
	return e, nil
}

// pair reads a look-alike pair as it was typed.
func (d *lead) pair(in Lookalike) (store.OwnEntry, error) {
	w := wrongs{}
	e := store.OwnEntry{Kind: store.OwnPair, Source: tidy(in.Source), Differences: tidy(in.Differences)}
	e.Name, e.Other = d.name(w, "gathered", in.Gathered), d.name(w, "poisonous", in.Poisonous)
	e.Region = region(w, in.Region)
	w.text("differences", e.Differences, "hazards.differences-missing", mostWords)
	w.text("source", e.Source, "hazards.source-missing", mostSource)
	if w["gathered"].IsZero() && w["poisonous"].IsZero() && taxon.Key(e.Name) == taxon.Key(e.Other) {
		w.say("poisonous", "hazards.pair-of-one")
	}
	if err := w.err(); err != nil {
		return e, err
	}
	err := d.known.Hazards.CheckPair(hall.OwnPair(e))
	switch {
	case errors.Is(err, hazard.ErrNoEntry):
		return e, fault.Wrong("poisonous", "hazards.pair-no-entry", "name", e.Other)
	case err != nil:
		return e, &fault.Error{Kind: fault.Invalid, Text: message.T("fault.invalid"), Cause: err,
			Fields: map[string]message.Text{"gathered": message.T("hazards.not-joined", "name", e.Name)}}
	}
	return e, nil
}

// name takes a scientific name that some list or row knows, without authors. An entry that no name leads to would warn
// nobody, so that one is refused with the nearest that is known.
func (d *lead) name(w wrongs, field, typed string) string {
	typed = tidy(typed)
	read := taxon.Read(typed)
	switch {
	case typed == "":
		w.say(field, "hazards.name-missing")
	case utf8.RuneCountInString(typed) > mostName:
		w.say(field, "hazards.too-long", "most", mostName)
	case read.Qualifier != taxon.None && read.Rank != "":
		w.say(field, "hazards.name-doubted", "name", read.Canonical)
	case !d.known.Hazards.Knows(typed) && len(nearest(d.known.Names, typed)) > 0:
		w.say(field, "hazards.name-nearest", "name", typed, "nearest", strings.Join(nearest(d.known.Names, typed), ", "))
	case !d.known.Hazards.Knows(typed) || read.Rank == "":
		w.say(field, "hazards.name-unknown", "name", typed)
	}
	return read.Canonical
}

// mostNearest is how many names are told for one that is not known.
const mostNearest = 3

// nearest lists the names that one that is not known may have been meant for.
func nearest(names taxon.Names, typed string) []string {
	var list []string
	add := func(n *taxon.Name) {
		if n != nil && len(list) < mostNearest && !slices.Contains(list, n.Name) {
			list = append(list, n.Name)
		}
	}
	m := names.Match(typed)
	if m.How != taxon.GenusOnly {
		add(m.Found)
	}
	for _, c := range m.Candidates {
		add(c.Name)
	}
	for _, n := range names.Within(taxon.Key(taxon.Read(typed).Canonical), 2) {
		add(n)
	}
	return list
}

func (d *lead) syndrome(w wrongs, typed string) string {
	typed = tidy(typed)
	var keys []string
	for _, s := range d.known.Hazards.Syndromes() {
		if taxon.Fold(s.Key) == taxon.Fold(typed) || taxon.Fold(s.Name) == taxon.Fold(typed) {
			return s.Key
		}
		keys = append(keys, s.Key)
	}
	key := "hazards.syndrome-unknown"
	if typed == "" {
		key = "hazards.syndrome-missing"
	}
	w.say("syndrome", key, "typed", typed, "known", strings.Join(keys, ", "))
	return ""
}

func exposures() []string {
	var words []string
	for _, e := range hazard.Exposures() {
		words = append(words, string(e))
	}
	return words
}

// oneOf finds a word whatever its case; "some_people" and "some-people" are "some people".
func oneOf(w wrongs, field, key, typed string, words []string) string {
	fold := func(s string) string { return taxon.Fold(strings.NewReplacer("_", " ", "-", " ").Replace(s)) }
	for _, word := range words {
		if fold(word) == fold(typed) {
			return word
		}
	}
	w.say(field, key, "typed", typed, "known", strings.Join(words, ", "))
	return ""
}

// written are regions as people write them in full.
var written = map[string]string{"europe": "EU", "north america": "NA", "australia": "Australasia", "new zealand": "Australasia"}

// region reads one or several regions; none written is the world.
func region(w wrongs, typed string) string {
	var parts []string
	for part := range strings.FieldsFuncSeq(typed, func(r rune) bool { return r == ';' || r == ',' }) {
		part = tidy(part)
		part = cmp.Or(written[taxon.Fold(part)], part)
		if word := oneOf(w, "region", "hazards.region-unknown", part, hazard.Regions()); word != "" && !slices.Contains(parts, word) {
			parts = append(parts, word)
		}
	}
	if len(parts) == 0 {
		return "world"
	}
	return strings.Join(parts, ";")
}
