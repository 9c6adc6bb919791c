package records

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"forayhall/internal/archive"
	"forayhall/internal/hall"
	"forayhall/internal/message"
)

// about describes the dataset from the facts of the event, in plain sentences. Bounds are those of public points.
func (x *exporter) about(l *hall.Look, all []found, walked outings) (archive.Dataset, int, error) {
	versions, err := l.Tx.Publications(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return archive.Dataset{}, 0, err
	}
	seq, err := l.Tx.ChangeSeq(l.Scope.Society, l.Scope.Event)
	d := archive.Dataset{ID: x.event.ID.String(), Version: fmt.Sprintf("0.%d", seq), Language: "eng", Published: l.Now.In(x.zone), Made: l.Now,
		Publisher: archive.Party{Organisation: x.publisher(), Person: x.society.DataContact, Mail: x.society.DataMail, Web: x.society.WebAddress},
		Keywords:  []string{"Occurrence", "Observation", "fungi", "foray"}, Licence: x.licence, Link: x.base,
		From: x.event.StartsOn, To: x.event.EndsOn, Scope: x.say.Say("records.about.scope"), Taxa: groupsOf(all), Box: boxOf(all),
		Area: x.area(), Project: x.datasetName(), Design: x.say.Say("records.about.design"), Upkeep: x.say.Say("records.about.upkeep"), Identifier: x.base}
	newest := 0
	if len(versions) > 0 {
		newest = versions[0].Version
		d.Version, d.Published = fmt.Sprintf("%d.%d", newest, seq), versions[0].SignedAt.In(x.zone)
	}
	title := message.T("records.about.title", "event", x.event.Name, "code", x.event.Code, "days", days(x.event.StartsOn, x.event.EndsOn), "society", x.publisher())
	if d.Title = x.say.Text(title); newest == 0 {
		d.Title = x.say.Say("records.about.draft-title", "title", title)
	}
	d.Abstract = x.abstract(all, newest)
	d.Steps = []string{x.say.Say("records.about.step.find"), x.say.Say("records.about.step.name"), x.say.Say("records.about.step.seen")}
	d.Extent, d.Sampling = x.say.Say("records.about.extent", "days", days(x.event.StartsOn, x.event.EndsOn), "walks", walked.walks, "teams", walked.teams), x.protocol()
	d.Quality = x.say.Say("records.about.quality")
	d.Citation = x.say.Say("records.about.citation", "society", x.publisher(), "year", d.Published.Format("2006"), "title", title, "version", d.Version, "link", x.base)
	return d, newest, err
}

func (x *exporter) area() string {
	if x.event.Place == "" {
		return x.say.Say("records.about.area")
	}
	return x.say.Say("records.about.area.place", "place", x.event.Place)
}

func (x *exporter) abstract(all []found, version int) []string {
	plates, sure, taxa, gridded := 0, 0, map[string]bool{}, false
	for _, f := range all {
		if f.plate != nil {
			plates++
		}
		if f.record["identificationVerificationStatus"] == confirmed {
			sure++
			taxa[f.record["scientificName"]] = true
		}
		gridded = gridded || f.place.GeneralisedM() > 0
	}
	when := x.say.Say("records.about.when", "society", x.publisher(), "event", x.event.Name, "place", cmp.Or(x.event.Place, x.event.Name), "days", days(x.event.StartsOn, x.event.EndsOn))
	paras := []string{when + " " + x.say.Say("records.about.counts", "n", len(all), "plates", plates, "seen", len(all)-plates, "sure", sure, "taxa", len(taxa))}
	if version == 0 {
		paras = append(paras, x.say.Say("records.about.draft"))
	}
	if gridded {
		paras = append(paras, x.say.Say("records.about.gridded"))
	}
	if x.society.About != "" {
		paras = append(paras, x.society.About)
	}
	return paras
}

// days is the event's days as one writes them.
func days(from, to string) string {
	first, err1 := time.Parse(time.DateOnly, from)
	last, err2 := time.Parse(time.DateOnly, to)
	if err1 != nil || err2 != nil || first.Equal(last) {
		return from
	}
	return message.For(message.English).Say("records.about.days", "from", from, "to", to)
}

// groupsOf is the kingdoms and phyla that were met, in order.
func groupsOf(all []found) []archive.Taxon {
	met := map[archive.Taxon]bool{}
	for _, f := range all {
		for _, rank := range []string{"kingdom", "phylum"} {
			if name := f.record[rank]; name != "" {
				met[archive.Taxon{Rank: rank, Name: name}] = true
			}
		}
	}
	return slices.SortedFunc(maps.Keys(met), func(a, b archive.Taxon) int {
		return cmp.Or(strings.Compare(a.Rank, b.Rank), strings.Compare(a.Name, b.Name))
	})
}

// boxOf bounds the public points.
func boxOf(all []found) *archive.Box {
	var box *archive.Box
	for _, f := range all {
		lat, lon, ok := publicPoint(f.place)
		if !ok {
			continue
		}
		if box == nil {
			box = &archive.Box{West: lon, East: lon, North: lat, South: lat}
		}
		box.West, box.East = min(box.West, lon), max(box.East, lon)
		box.South, box.North = min(box.South, lat), max(box.North, lat)
	}
	return box
}
