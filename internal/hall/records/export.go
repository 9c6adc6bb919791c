package records

import (
	"context"
	"fmt"
	"strconv"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// Darwin is an event's records under Darwin Core terms.
type Darwin struct {
	Header  []string
	Rows    [][]string
	Unnamed int // collections without the name of a taxon, which are no records yet
}

// header is the columns of records-csv: Darwin Core terms, and "substrate", for which Darwin Core has none. It is
// added to, never changed.
var header = []string{"occurrenceID", "basisOfRecord", "eventID", "recordNumber", "recordedBy", "eventDate", "locality", "decimalLatitude",
	"decimalLongitude", "coordinateUncertaintyInMeters", "geodeticDatum", "dataGeneralizations", "informationWithheld", "scientificName",
	"scientificNameAuthorship", "taxonRank", "kingdom", "phylum", "class", "order", "family", "verbatimIdentification",
	"identificationQualifier", "identifiedBy", "dateIdentified", "identificationRemarks", "identificationVerificationStatus",
	"occurrenceRemarks", "habitat", "associatedTaxa", "substrate", "individualCount", "establishmentMeans", "degreeOfEstablishment"}

// Export gives the records of an event for a recording scheme: public places, and people as they chose to be named.
func Export(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Darwin, error) {
	d := Darwin{Header: header, Rows: [][]string{}}
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) error {
		x, err := newExporter(l)
		if err != nil {
			return err
		}
		plates, err := l.Plates()
		for _, p := range plates {
			if r, ok := x.record(p); ok {
				d.Rows = append(d.Rows, r.row())
			} else if p.Standing.Naming != foray.NotAFungus {
				d.Unnamed++
			}
		}
		return err
	})
	return d, err
}

type exporter struct {
	hall   *hall.Hall
	event  store.Event
	zone   *time.Location
	people map[foray.ID]store.Person
	places hall.Places
	say    message.Printer
}

func newExporter(l *hall.Look) (*exporter, error) {
	x := &exporter{hall: l.Hall, say: message.For(message.English)}
	var err error
	if x.event, err = l.Tx.EventByID(l.Scope.Society, l.Scope.Event); err != nil {
		return nil, err
	}
	x.zone = hall.Zone(x.event)
	if x.people, err = l.PeopleNames(); err != nil {
		return nil, err
	}
	x.places, err = l.Places()
	return x, err
}

// record is one row by term.
type record map[string]string

func (r record) row() []string {
	cells := make([]string, len(header))
	for i, term := range header {
		cells[i] = r[term]
	}
	return cells
}

// record reads one plate; ok is false where nobody gave it the name of a taxon.
func (x *exporter) record(p hall.Plate) (record, bool) {
	r := record{"occurrenceID": p.ID.URN(), "basisOfRecord": "HumanObservation", "eventID": x.event.ID.URN(),
		"recordNumber": x.event.Code + " " + p.Number().String(), "recordedBy": hall.CreditedName(x.people[p.CollectorID]),
		"eventDate": x.picked(p.Collection), "occurrenceRemarks": p.Remarks, "habitat": p.Habitat, "associatedTaxa": p.Host, "substrate": p.Substrate}
	if !x.identify(r, p) {
		return nil, false
	}
	if p.Whereabouts == foray.InDryer || p.Whereabouts == foray.SentTo {
		r["basisOfRecord"] = "PreservedSpecimen"
	}
	if p.Fruitbodies != nil {
		r["individualCount"] = strconv.Itoa(*p.Fruitbodies)
	}
	if p.Cultivated {
		r["establishmentMeans"], r["degreeOfEstablishment"] = "introduced", "cultivated"
	}
	x.locate(r, x.places.Of(p.SiteID, p.Asked()))
	if p.Outside {
		r["occurrenceRemarks"] = strings.TrimSpace(x.say.Say("records.outside") + " " + r["occurrenceRemarks"])
	}
	return r, true
}

// locate takes only what anybody may see. Words about a sensitive place could say where it is.
func (x *exporter) locate(r record, place foray.PublicPlace) {
	r["locality"] = place.Name()
	if grid := place.GeneralisedM(); grid > 0 {
		r["dataGeneralizations"] = x.say.Say("records.generalised", "metres", grid)
		if r["occurrenceRemarks"]+r["habitat"] != "" {
			r["informationWithheld"] = x.say.Say("records.withheld")
		}
		r["occurrenceRemarks"], r["habitat"] = "", ""
	}
	lat, lon, uncertainty, ok := place.Point()
	if !ok {
		return
	}
	r["decimalLatitude"], r["decimalLongitude"], r["geodeticDatum"] = degrees(lat), degrees(lon), "EPSG:4326"
	if uncertainty > 0 { // zero is no valid value of the term
		r["coordinateUncertaintyInMeters"] = strconv.Itoa(uncertainty)
	}
}

func degrees(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// picked is the day or the days; what nobody dated was found at the event, unless it was brought from elsewhere.
func (x *exporter) picked(c store.Collection) string {
	switch {
	case !c.PickedAt.IsZero():
		return c.PickedAt.In(x.zone).Format(time.DateOnly)
	case c.PickedFrom != "":
		return interval(c.PickedFrom, c.PickedTo)
	case c.Outside:
		return ""
	}
	return interval(x.event.StartsOn, x.event.EndsOn)
}

func interval(from, to string) string {
	if to == "" || to == from {
		return from
	}
	return from + "/" + to
}

// identify fills what was determined, by whom and how firmly.
func (x *exporter) identify(r record, p hall.Plate) bool {
	slips, status := x.standing(p)
	if len(slips) == 0 {
		return false
	}
	names := make([]foray.SlipName, len(slips))
	var verbatim, by, how words
	for i, s := range slips {
		names[i] = s.Name()
		verbatim.add(s.Name().Verbatim)
		if who := hall.CreditedName(x.people[s.Determiner]); who != "" {
			by.add(who)
		}
		how.add(x.basis(s))
	}
	if !x.classify(r, names) {
		return false
	}
	last := slips[len(slips)-1]
	r["verbatimIdentification"], r["identifiedBy"] = strings.Join(verbatim.list, " | "), strings.Join(by.list, " | ")
	if last.Kind == foray.SignOff && x.dated(last) {
		r["dateIdentified"] = last.HappenedAt.In(x.zone).Format(time.DateOnly)
	}
	r["identificationVerificationStatus"] = status
	r["identificationRemarks"] = strings.Join(how.list, " | ")
	if status == disputed {
		r["identificationRemarks"] = x.say.Say("records.disputed", "names", r["verbatimIdentification"])
	}
	return true
}

// Values of identificationVerificationStatus, for which Darwin Core has no fixed list.
const (
	confirmed   = "confirmed"
	unconfirmed = "unconfirmed"
	disputed    = "disputed"
)

// standing is the slips that speak for a plate: the one it is confirmed by, both sides of a dispute, or the newest
// field name.
func (x *exporter) standing(p hall.Plate) ([]foray.Slip, string) {
	if current, ok := p.Standing.Current(); ok {
		return []foray.Slip{current}, confirmed
	}
	if p.Standing.Disputed {
		return p.Standing.Sides, disputed
	}
	if p.Standing.Naming != foray.Provisional || len(p.Standing.Question) == 0 {
		return nil, ""
	}
	newest := p.Standing.Question[len(p.Standing.Question)-1].Slip
	for _, s := range p.Slips {
		if s.ID == newest {
			return []foray.Slip{s}, unconfirmed
		}
	}
	return nil, ""
}

// dated is false for a slip of the past whose day is not known, which the import says in its remarks.
func (x *exporter) dated(s foray.Slip) bool {
	return !strings.Contains(s.Remarks, x.say.Say("records.not-dated")) && !strings.Contains(s.Remarks, x.say.Say("records.kept-date", "written", ""))
}

func (x *exporter) basis(s foray.Slip) string {
	if s.Kind != foray.SignOff {
		return s.Remarks
	}
	basis := x.say.Say("pages.basis." + string(s.Basis))
	if s.Remarks == "" {
		return basis
	}
	return fmt.Sprintf("%s; %s", basis, s.Remarks)
}
