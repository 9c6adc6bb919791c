package corrections

import (
	"encoding/json"
	"fmt"
	"strings"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// Subject is what a request is about.
type Subject struct {
	About      string // find, record, line, list
	Collection foray.ID
	Number     string // of the find
	Record     foray.ID
	Seen       string // what was seen, of a field record
	Line       string // the name as the list prints it
	Version    int    // the signed version; 0: the running list
}

// subjectOf finds what is meant by a number, by the id of a field record, or by a name on the list.
func subjectOf(l *hall.Look, about string, version int) (Subject, error) {
	about = tidy(about)
	versions, err := l.Tx.Publications(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return Subject{}, err
	}
	s := Subject{About: store.AboutList, Version: version}
	if version == 0 && len(versions) > 0 {
		s.Version = versions[0].Version
	}
	if s.Version > 0 && s.Version > len(versions) || version < 0 {
		return s, fault.Wrong("about", "correction.no-version", "version", version)
	}
	switch {
	case about == "":
		return s, nil
	case strings.HasPrefix(about, "urn:uuid:"):
		return s.record(l, about)
	}
	event, err := l.Event()
	if err != nil {
		return s, err
	}
	if n, err := foray.ParseNumber(about, event.Code); err == nil {
		return s.find(l, n)
	}
	return s.line(l, about)
}

func (s Subject) find(l *hall.Look, n foray.Number) (Subject, error) {
	c, err := l.Tx.CollectionByNumber(l.Scope.Society, l.Scope.Event, n)
	if fault.Is(err, fault.NotFound) {
		return s, fault.Wrong("about", "correction.no-number", "number", n.String())
	}
	s.About, s.Collection, s.Number = store.AboutFind, c.ID, n.String()
	return s, err
}

func (s Subject) record(l *hall.Look, urn string) (Subject, error) {
	id, err := foray.ParseID(strings.TrimPrefix(urn, "urn:uuid:"))
	if err != nil {
		return s, fault.Wrong("about", "correction.no-record")
	}
	r, err := l.Tx.FieldRecordByID(l.Scope.Society, l.Scope.Event, id)
	if fault.Is(err, fault.NotFound) {
		return s, fault.Wrong("about", "correction.no-record")
	}
	s.About, s.Record, s.Seen = store.AboutRecord, r.ID, r.Name
	return s, err
}

// line finds a name as a signed version prints it, or its scientific name alone; before there is one, any name that is known.
func (s Subject) line(l *hall.Look, written string) (Subject, error) {
	s.About = store.AboutLine
	if s.Version == 0 {
		n, ok := l.Hall.Knowledge.Names.Lookup(taxon.Key(taxon.Read(written).Canonical))
		if !ok {
			return s, fault.Wrong("about", "correction.no-line", "name", written)
		}
		s.Line = n.Name // everybody reads it, so that nothing a sender typed stands in it
		return s, nil
	}
	p, err := l.Tx.PublicationByVersion(l.Scope.Society, l.Scope.Event, s.Version)
	if err != nil {
		return s, err
	}
	var frozen struct {
		Lines []struct {
			Name    string `json:"name"`
			Written string `json:"written"`
		} `json:"lines"`
	}
	if err := json.Unmarshal(p.Canonical, &frozen); err != nil {
		return s, fmt.Errorf("read version %d: %w", s.Version, err)
	}
	for _, line := range frozen.Lines {
		if folded := taxon.Fold(written); taxon.Fold(line.Written) == folded || taxon.Fold(line.Name) == folded {
			s.Line = line.Written
			return s, nil
		}
	}
	return s, fault.Wrong("about", "correction.no-line", "name", written)
}

// ofRequest is what a request is about.
func ofRequest(l *hall.Look, r hall.Request) (Subject, error) {
	s := Subject{About: r.About, Collection: r.CollectionID, Record: r.RecordID, Line: r.Line}
	if r.Version != nil {
		s.Version = *r.Version
	}
	if !s.Record.IsZero() {
		row, err := l.Tx.FieldRecordByID(l.Scope.Society, l.Scope.Event, s.Record)
		s.Seen = row.Name
		return s, err
	}
	if s.Collection.IsZero() {
		return s, nil
	}
	c, err := l.Tx.CollectionByID(l.Scope.Society, l.Scope.Event, s.Collection)
	s.Number = c.Number().String()
	return s, err
}

// same reports whether two subjects are one, whichever version was read.
func (s Subject) same(o Subject) bool {
	return s.About == o.About && s.Collection == o.Collection && s.Record == o.Record && s.Line == o.Line
}

// Written is how the subject is written in a form or address.
func (s Subject) Written() string {
	switch s.About {
	case store.AboutFind:
		return s.Number
	case store.AboutRecord:
		return s.Record.URN()
	}
	return s.Line
}
