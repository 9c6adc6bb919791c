package records

import (
	"time"

	"forayhall/internal/archive"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// readPictures keeps the photographs that anybody may open.
func (x *exporter) readPictures(l *hall.Look) error {
	all, err := l.Tx.Photographs(l.Scope.Society, l.Scope.Event)
	for _, p := range all {
		of := p.CollectionID
		if of.IsZero() {
			of = p.RecordID
		}
		if !p.Private && p.HiddenAt.IsZero() && !of.IsZero() {
			x.pictures[of] = append(x.pictures[of], p)
		}
	}
	return err
}

func (x *exporter) pictureLink(p store.Photograph) string {
	return x.base + "/photo/" + p.ID.String() + "/full"
}

func (x *exporter) pictureLinks(of foray.ID) (links []string) {
	if x.base == "" {
		return nil
	}
	for _, p := range x.pictures[of] {
		links = append(links, x.pictureLink(p))
	}
	return links
}

var pictureTerms = []string{"", "type", "format", "identifier", "references", "title", "created", "creator", "publisher"}

// pictureRows is the rows of multimedia. They bear no licence: the society's holds for its records, and a picture belongs
// to who took it. What is written under one of a sensitive place stays here.
func (x *exporter) pictureRows(f found) (rows [][]string) {
	if x.base == "" {
		return nil
	}
	for _, p := range x.pictures[f.id] {
		caption, taken := p.Caption, ""
		if f.place.GeneralisedM() > 0 {
			caption = ""
		}
		if !p.TakenAt.IsZero() {
			taken = p.TakenAt.In(x.zone).Format(time.RFC3339)
		}
		rows = append(rows, []string{f.id.URN(), "StillImage", "image/jpeg", x.pictureLink(p), f.record["references"], caption, taken,
			hall.CreditedName(x.people[p.TakenBy]), x.publisher()})
	}
	return rows
}

func dublin(terms []string) []string {
	full := make([]string, len(terms))
	for i, t := range terms {
		if t != "" {
			full[i] = archive.Dublin(t)
		}
	}
	return full
}

func darwin(terms []string) []string {
	full := make([]string, len(terms))
	for i, t := range terms {
		if t != "" {
			full[i] = archive.Darwin(t)
		}
	}
	return full
}
