package records

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"forayhall/internal/archive"
	"forayhall/internal/foray"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// factKinds is what a measurementType says, in the hall's words or, for what is common, in others'.
var factKinds = func() map[string]string {
	say := english.Say
	by := map[string]string{"smell": "odour", "odor": "odour", "weight": "weight", "fresh mass": "weight", "host": ""}
	for _, kind := range []string{"group", "substrate", "growth", "fruitbodies", "weight", "seconds"} {
		by[say("records.fact."+kind)] = kind
	}
	for _, c := range characters {
		by[say("records.character."+c)] = c
	}
	return by
}()

// factsOf puts measurements where they belong. What is of no known kind is kept among the remarks.
func (im *importer) factsOf(o archive.Occurrence, c *store.Collection) error {
	notes := map[string]int{} // by the archive's id
	for _, m := range o.Measurements {
		value, kind := strings.TrimSpace(m["measurementValue"]), factKinds[strings.ToLower(strings.TrimSpace(m["measurementType"]))]
		number, isNumber := strconv.ParseFloat(value, 64)
		switch {
		case value == "":
		case kind == "group":
			c.FormGroup = cmp.Or(groupNames(im.Hall.Knowledge.Groups)[value], c.FormGroup)
		case kind == "substrate":
			c.Substrate = keyOf("pages.substrate.", foray.Substrates, value)
		case kind == "growth":
			c.Growth = keyOf("pages.growth.", foray.Growths, value)
		case kind == "fruitbodies" && isNumber == nil && number == math.Trunc(number) && number >= 0 && number < 1e6:
			n := int(number)
			c.Fruitbodies = &n
		case kind == "weight" && isNumber == nil && number >= 0 && (m["measurementUnit"] == "g" || m["measurementUnit"] == ""):
			c.WeightG = &number
		case kind == "seconds" && isNumber == nil && number >= 0 && number < 1e6:
			if i, there := notes[m["parentMeasurementID"]]; there {
				n := int(number)
				im.characters[i].Seconds = &n
			}
		case kind != "" && strings.Contains(" "+strings.Join(characters, " ")+" ", " "+kind+" "):
			if err := im.noteOf(m, kind, value, *c); err != nil {
				return err
			}
			notes[m["measurementID"]] = len(im.characters) - 1
		default:
			c.Remarks = joined(c.Remarks, m["measurementType"]+": "+value+" "+m["measurementUnit"])
			im.seen.facts++
		}
	}
	return nil
}

func (im *importer) noteOf(m map[string]string, kind, words string, c store.Collection) error {
	by, err := im.named(m["measurementDeterminedBy"])
	if err != nil {
		return err
	}
	if by.IsZero() {
		if by, err = im.somebody(); err != nil {
			return err
		}
	}
	id, _, err := im.idOf(m["measurementID"])
	at, _ := im.when(m["measurementDeterminedDate"], c, archive.Record{}, "")
	im.characters = append(im.characters, store.CharacterNote{SocietyID: c.SocietyID, EventID: c.EventID, ID: id, CollectionID: c.ID,
		Character: kind, Words: words, NotedBy: by, HappenedAt: store.At(at), RecordedAt: im.Stamp()})
	return err
}

func joined(words, more string) string {
	return strings.TrimPrefix(words+"; "+strings.TrimSpace(more), "; ")
}

// keyOf is the key whose word it is; other words stay.
func keyOf(before string, keys []string, word string) string {
	for _, k := range keys {
		if strings.EqualFold(english.Say(before+k), word) {
			return k
		}
	}
	return tidy(word)
}

var gridText = regexp.MustCompile(`\b(\d{3,6}) ?m\b`)

// siteOf is the site of a find, made where the event has none by that name. A place that comes generalised makes a
// sensitive site in the middle of its cell, which the public sees as it came.
func (im *importer) siteOf(o archive.Occurrence) (foray.ID, error) {
	uncertain, _ := strconv.Atoi(o.Terms["coordinateUncertaintyInMeters"])
	if o.Terms["dataGeneralizations"] != "" {
		return im.cellOf(o, uncertain)
	}
	rec := o.Record
	if rec.Site == "" && rec.Lat != nil {
		rec.Site = degrees(*rec.Lat) + ", " + degrees(*rec.Lon)
	}
	id, err := im.site(rec)
	if s := im.siteAdded[id]; s != nil && uncertain > 0 && uncertain < 1e6 {
		s.uncertain = max(s.uncertain, uncertain)
	}
	return id, err
}

func (im *importer) cellOf(o archive.Occurrence, uncertain int) (foray.ID, error) {
	grid := defaultGridM
	if m := gridText.FindStringSubmatch(o.Terms["dataGeneralizations"]); m != nil {
		grid, _ = strconv.Atoi(m[1])
	}
	name := english.Say("records.cell", "metres", fmt.Sprint(grid))
	if o.Site != "" {
		name = o.Site
	}
	if o.Lat != nil {
		name += " " + degrees(*o.Lat) + ", " + degrees(*o.Lon)
	}
	key := taxon.Fold(name)
	if id, there := im.sites[key]; there {
		return id, nil
	}
	id, err := im.NewID()
	if err != nil {
		return id, err
	}
	im.sites[key] = id
	s := im.addSite(id, name)
	s.Sensitive, s.GridM, s.Latitude, s.Longitude = true, grid, o.Lat, o.Lon
	seen := foray.ExactPlace{Latitude: o.Lat, Longitude: o.Lon, GridM: grid, Sensitive: true}.Public()
	if _, _, least, ok := seen.Point(); ok { // of the cell alone; what is more was of the site
		s.UncertaintyM = max(uncertain-least, 0)
	}
	return id, nil
}
