package pages

import (
	"cmp"
	"fmt"
	"strconv"
	"time"

	"forayhall/internal/archive"
	"forayhall/internal/hall"
	"forayhall/internal/hall/list"
	"forayhall/internal/message"
	"forayhall/web/view"
)

// What machines read of a page, in the words of schema.org (types and properties from memory, release 28). Places are
// public ones: the box of a list is around the points that its records are given out with.

// thing is a node of such a description; what is empty is left out.
type thing map[string]any

func typed(kind string, pairs ...any) thing {
	t := thing{"@type": kind}
	for i := 0; i+1 < len(pairs); i += 2 {
		switch v := pairs[i+1].(type) {
		case string:
			if v == "" {
				continue
			}
		case nil:
			continue
		}
		t[pairs[i].(string)] = pairs[i+1]
	}
	return t
}

func top(t thing) thing {
	t["@context"] = "https://schema.org"
	return t
}

func (r *request) organisation() thing {
	s := r.at.Society
	t := typed("Organization", "name", cmp.Or(s.PublisherName, s.Name), "url", cmp.Or(s.WebAddress, r.address(r.society().Path)))
	if s.DataContact != "" || s.DataMail != "" {
		t["contactPoint"] = typed("ContactPoint", "name", s.DataContact, "email", s.DataMail)
	}
	return t
}

// eventData describes the event of the page. Its days begin and end in its own zone.
func (r *request) eventData() any {
	e := r.at.Event
	t := typed("Event", "name", e.Name, "identifier", e.ID.URN(), "url", r.address(r.event().Path), "eventStatus", "https://schema.org/EventScheduled",
		"eventAttendanceMode", "https://schema.org/OfflineEventAttendanceMode", "organizer", r.organisation())
	if e.Place != "" {
		t["location"] = typed("Place", "name", e.Place)
	}
	t["startDate"], t["endDate"] = edges(e)
	return top(t)
}

// aboutEvent is what a search engine shows of one of an event's pages.
func (r *request) aboutEvent(key string) message.Text {
	return view.T(key, "event", r.at.Event.Name, "code", r.at.Event.Code, "society", r.at.Society.Name, "days", r.daysOf(r.at.Event))
}

// edges is the first and the last second of an event.
func edges(e hall.Event) (first, last string) {
	zone := hall.Zone(e)
	from, err := time.ParseInLocation(time.DateOnly, e.StartsOn, zone)
	if err != nil {
		return e.StartsOn, cmp.Or(e.EndsOn, e.StartsOn)
	}
	to, err := time.ParseInLocation(time.DateOnly, cmp.Or(e.EndsOn, e.StartsOn), zone)
	if err != nil {
		to = from
	}
	return from.Format(time.RFC3339), to.AddDate(0, 0, 1).Add(-time.Second).Format(time.RFC3339)
}

func interval(from, to string) string {
	if to == "" || to == from {
		return from
	}
	return from + "/" + to
}

// dataset is what all lists say.
func (r *request) dataset(name, about message.Text, path, version string, when string) thing {
	t := typed("Dataset", "name", message.From(r.ctx).Text(name), "description", message.From(r.ctx).Text(about), "url", r.address(path), "version", version, "temporalCoverage", when,
		"creator", r.organisation(), "publisher", r.organisation(), "isAccessibleForFree", true, "inLanguage", message.From(r.ctx).Language())
	if licence, ok := archive.LicenceBy(r.at.Society.Licence); ok {
		t["license"] = licence.URL
	}
	return t
}

func (r *request) download(media, path string) thing {
	return typed("DataDownload", "encodingFormat", media, "contentUrl", r.address(path))
}

// covered is a box as schema.org writes it: the south-west and the north-east corner, latitude first.
func covered(place string, b *list.Bounds) any {
	if b == nil && place == "" {
		return nil
	}
	t := typed("Place", "name", place)
	if b != nil {
		t["geo"] = typed("GeoShape", "box", fmt.Sprintf("%s %s %s %s", degrees(b.South), degrees(b.West), degrees(b.North), degrees(b.East)))
	}
	return t
}

func degrees(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// runningData describes the running list, which is not final.
func (r *request) runningData(running list.Running) any {
	e := r.at.Event
	t := r.dataset(view.T("structured.running", "event", e.Code, "name", e.Name), view.T("structured.running.about", "society", r.at.Society.Name), r.event().Running(),
		"", interval(e.StartsOn, e.EndsOn))
	t["identifier"], t["creativeWorkStatus"] = e.ID.URN(), "Draft"
	return r.placed(t, covered(e.Place, running.Bounds), r.event().Running()+".csv", r.event().Running()+".xlsx", r.event().Running()+".json")
}

// versionData describes a version from what is frozen. Its bytes hold no points.
func (r *request) versionData(c list.Canonical) any {
	e := r.at.Event
	t := r.dataset(view.T("structured.version", "version", c.Version, "event", e.Code, "name", c.Name), view.T("structured.version.about", "version", c.Version, "society", c.Society),
		r.event().Version(c.Version), strconv.Itoa(c.Version), interval(e.StartsOn, e.EndsOn))
	t["datePublished"], t["creativeWorkStatus"] = c.SignedAt.UTC().Format(time.RFC3339), "Published"
	return r.placed(t, covered(e.Place, nil), r.event().Version(c.Version)+"/csv", r.event().Version(c.Version)+"/xlsx", r.event().Version(c.Version)+"/json")
}

// placed adds where it is from and in which forms it can be had. The archive is there once a licence is chosen.
func (r *request) placed(t thing, place any, csv, xlsx, json string) any {
	if place != nil {
		t["spatialCoverage"] = place
	}
	forms := []thing{r.download("text/csv", csv), r.download(xlsxType, xlsx), r.download("application/json", json)}
	if r.at.Society.Licence != "" {
		forms = append(forms, r.download("application/zip", r.event().Path+"/records.zip"))
	}
	t["distribution"] = append(forms, r.download("application/geo+json", r.event().Path+"/records.geojson"))
	t["includedInDataCatalog"] = typed("DataCatalog", "name", r.at.Society.Name, "url", r.address(r.society().Path))
	return top(t)
}

// datasetOfSociety describes the list of all events, or of a season.
func (r *request) datasetOfSociety(w list.Whole) any {
	when := ""
	if n := len(w.Events); n > 0 {
		when = interval(w.Events[n-1].StartsOn, cmp.Or(w.Events[0].EndsOn, w.Events[0].StartsOn))
	}
	t := r.dataset(view.T("structured.society", "society", r.at.Society.Name), view.T("society.list.about", "society", r.at.Society.Name), r.echo.Request().URL.Path, "", when)
	if place := covered("", w.Bounds); place != nil {
		t["spatialCoverage"] = place
	}
	query := ""
	if year := r.echo.Param("year"); year != "" {
		query = "?year=" + year
	}
	t["distribution"] = []thing{r.download("text/csv", r.society().ListCSV()+query)}
	return top(t)
}
