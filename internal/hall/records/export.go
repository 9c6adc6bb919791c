package records

import (
	"cmp"
	"context"
	"math"
	"strconv"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/archive"
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
	Fields  int // rows of what was seen and left where it was
}

// header is the columns of records-csv: Darwin Core terms, and "substrate", for which Darwin Core has none. It is
// added to, never changed.
var header = []string{"occurrenceID", "basisOfRecord", "eventID", "recordNumber", "recordedBy", "eventDate", "locality", "decimalLatitude",
	"decimalLongitude", "coordinateUncertaintyInMeters", "geodeticDatum", "dataGeneralizations", "informationWithheld", "scientificName",
	"scientificNameAuthorship", "taxonRank", "kingdom", "phylum", "class", "order", "family", "verbatimIdentification",
	"identificationQualifier", "identifiedBy", "dateIdentified", "identificationRemarks", "identificationVerificationStatus",
	"occurrenceRemarks", "habitat", "associatedTaxa", "substrate", "individualCount", "establishmentMeans", "degreeOfEstablishment",
	"genus", "occurrenceStatus", "nomenclaturalCode", "institutionCode", "collectionCode", "catalogNumber", "otherCatalogNumbers", "preparations",
	"associatedSequences", "associatedMedia", "coordinatePrecision", "georeferenceRemarks", "datasetID", "datasetName", "license", "rightsHolder",
	"references"}

// Export gives the records of an event for a recording scheme: public places, and people as they chose to be named. base
// is the address of the event's pages, by which photographs are found; empty where that is not known.
func Export(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, base string) (Darwin, error) {
	d := Darwin{Header: header, Rows: [][]string{}}
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) error {
		x, err := newExporter(l, base)
		if err != nil {
			return err
		}
		all, unnamed, err := x.all(l)
		d.Unnamed = unnamed
		for _, f := range all {
			d.Rows = append(d.Rows, f.row())
			if f.seen != nil {
				d.Fields++
			}
		}
		return err
	})
	return d, err
}

// found is one record with what it was made from.
type found struct {
	record
	id    foray.ID
	plate *hall.Plate
	seen  *hall.SeenThere
	place foray.PublicPlace
}

// all reads the plates by number, then what was seen and left where it was, in the order of the day.
func (x *exporter) all(l *hall.Look) (all []found, unnamed int, err error) {
	plates, err := l.Plates()
	if err != nil {
		return nil, 0, err
	}
	for _, p := range plates {
		f := found{id: p.ID, plate: &p, place: x.places.OfPlate(&p)}
		var ok bool
		if f.record, ok = x.record(p, f.place); ok {
			all = append(all, f)
		} else if p.Standing.Naming != foray.NotAFungus {
			unnamed++
		}
	}
	seen, err := l.SeenThere()
	for _, s := range seen {
		if s.Struck != nil {
			continue
		}
		f := found{id: s.ID, seen: &s, place: x.places.Of(s.SiteID, s.SlipName())}
		var ok bool
		if f.record, ok = x.seenRecord(s, f.place); ok {
			all = append(all, f)
		}
	}
	return all, unnamed, err
}

type exporter struct {
	hall     *hall.Hall
	society  store.Society
	event    store.Event
	zone     *time.Location
	people   map[foray.ID]store.Person
	places   hall.Places
	vouchers map[foray.ID]hall.Voucher
	pictures map[foray.ID][]store.Photograph // public ones, by what they show
	licence  archive.Licence                 // zero: not chosen
	base     string
	say      message.Printer
}

func newExporter(l *hall.Look, base string) (*exporter, error) {
	x := &exporter{hall: l.Hall, base: base, say: message.For(message.English), pictures: map[foray.ID][]store.Photograph{}}
	var err error
	if x.event, err = l.Event(); err != nil {
		return nil, err
	}
	if x.society, err = l.Tx.SocietyByID(l.Scope.Society); err != nil {
		return nil, err
	}
	x.licence, _ = archive.LicenceBy(x.society.Licence)
	x.zone = hall.Zone(x.event)
	if x.people, err = l.PeopleNames(); err != nil {
		return nil, err
	}
	if x.vouchers, err = l.Vouchers(); err != nil {
		return nil, err
	}
	if err := x.readPictures(l); err != nil {
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
func (x *exporter) record(p hall.Plate, place foray.PublicPlace) (record, bool) {
	r := x.common(p.ID)
	r["recordNumber"], r["recordedBy"] = x.event.Code+" "+p.Number().String(), hall.CreditedName(x.people[p.CollectorID])
	r["eventDate"], r["occurrenceRemarks"], r["habitat"] = x.picked(p.Collection), p.Remarks, p.Habitat
	r["associatedTaxa"], r["substrate"] = p.Host, p.Substrate
	if !x.identify(r, p, place) {
		return nil, false
	}
	x.keep(r, p)
	if p.Fruitbodies != nil {
		r["individualCount"] = strconv.Itoa(*p.Fruitbodies)
	}
	if p.Cultivated {
		r["establishmentMeans"], r["degreeOfEstablishment"] = "introduced", "cultivated"
	}
	if x.base != "" {
		r["references"] = x.base + "/n/" + p.Number().String()
	}
	x.locate(r, place)
	x.outside(r, p.Outside)
	return r, true
}

// common is what every record of the event says.
func (x *exporter) common(id foray.ID) record {
	return record{"occurrenceID": id.URN(), "basisOfRecord": "HumanObservation", "occurrenceStatus": "present", "eventID": x.event.ID.URN(),
		"nomenclaturalCode": "ICN", "datasetID": x.event.ID.URN(), "datasetName": x.datasetName(), "license": x.licence.URL, "rightsHolder": x.publisher(),
		"associatedMedia": strings.Join(x.pictureLinks(id), " | ")}
}

func (x *exporter) datasetName() string { return x.event.Code + " " + x.event.Name }

// publisher is the society as it is cited.
func (x *exporter) publisher() string { return cmp.Or(x.society.PublisherName, x.society.Name) }

func (x *exporter) outside(r record, outside bool) {
	if outside {
		r["occurrenceRemarks"] = strings.TrimSpace(x.say.Say("records.outside") + " " + r["occurrenceRemarks"])
	}
}

// locate takes only what anybody may see. Words about a sensitive place could say where it is.
func (x *exporter) locate(r record, place foray.PublicPlace) {
	r["locality"] = place.Name()
	grid := place.GeneralisedM()
	if grid > 0 {
		r["dataGeneralizations"] = x.say.Say("records.generalised", "metres", grid)
		host, substrate := hall.HostAt(place, r["associatedTaxa"]), hall.WordAlone(place, r["substrate"], foray.Substrates)
		if r["occurrenceRemarks"]+r["habitat"] != "" || host != r["associatedTaxa"] || substrate != r["substrate"] {
			r["informationWithheld"] = x.say.Say("records.withheld")
		}
		r["occurrenceRemarks"], r["habitat"], r["associatedTaxa"], r["substrate"] = "", "", host, substrate
	}
	lat, lon, uncertainty, ok := place.Point()
	if !ok {
		return
	}
	r["decimalLatitude"], r["decimalLongitude"], r["geodeticDatum"] = degrees(lat), degrees(lon), "EPSG:4326"
	if uncertainty > 0 { // zero is no valid value of the term
		r["coordinateUncertaintyInMeters"] = strconv.Itoa(uncertainty)
	}
	r["georeferenceRemarks"] = x.say.Say("records.georeferenced.site")
	if grid > 0 {
		r["coordinatePrecision"], r["georeferenceRemarks"] = gridDegrees(grid), x.say.Say("records.georeferenced.grid", "metres", grid)
	}
}

// gridDegrees is the height of a cell in degrees of latitude, to the sixth decimal.
func gridDegrees(metres int) string {
	return degrees(math.Round(float64(metres)/foray.MetresPerDegree*1e6) / 1e6)
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
func (x *exporter) identify(r record, p hall.Plate, place foray.PublicPlace) bool {
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
		how.add(x.basis(s, place))
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
		return []foray.Slip{*current}, confirmed
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

// basis is what a determination rests on, in words. What somebody wrote about a find of a sensitive place stays here: it
// could give the place away.
func (x *exporter) basis(s foray.Slip, place foray.PublicPlace) string {
	parts := words{}
	if s.Kind == foray.SignOff {
		parts.add(x.say.Say("pages.basis." + string(s.Basis)))
	}
	if s.Remarks != "" && place.GeneralisedM() == 0 {
		parts.list = append(parts.list, s.Remarks)
	}
	return strings.Join(parts.list, "; ")
}
