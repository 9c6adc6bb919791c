package photographs

import (
	"slices"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// subject is what a photograph shows: a collection or its slip, a field record, or an incident.
type subject struct {
	kind       string
	id         foray.ID
	collection store.Collection
	record     store.FieldRecord
	incident   store.Incident
}

// named finds a subject by what somebody sends, and locks nothing.
func named(l *hall.Look, kind, text string) (s subject, err error) {
	s.kind = kind
	if !slices.Contains(Kinds, kind) {
		return s, fault.Wrong("kind", "photograph.kind")
	}
	id, err := foray.ParseID(text)
	switch {
	case kind != OfFind && kind != OfSlip:
		if err != nil {
			return s, fault.Missing()
		}
		return s.find(l, id)
	case err != nil:
		err = s.findByNumber(l, text)
	default:
		s.collection, err = l.Tx.CollectionByID(l.Scope.Society, l.Scope.Event, id)
	}
	s.id = s.collection.ID
	return s, err
}

func (s *subject) findByNumber(l *hall.Look, text string) error {
	event, err := l.Event()
	if err != nil {
		return err
	}
	n, err := foray.ParseNumber(text, event.Code)
	if err != nil {
		return err
	}
	s.collection, err = l.Tx.CollectionByNumber(l.Scope.Society, l.Scope.Event, n)
	return err
}

func (s subject) find(l *hall.Look, id foray.ID) (subject, error) {
	s.id = id
	if s.kind == OfField {
		records, err := l.Tx.FieldRecords(l.Scope.Society, l.Scope.Event)
		i := slices.IndexFunc(records, func(r store.FieldRecord) bool { return r.ID == id })
		if err != nil || i < 0 {
			return s, orMissing(err)
		}
		s.record = records[i]
		return s, nil
	}
	incidents, err := l.Tx.Incidents(l.Scope.Society, l.Scope.Event)
	i := slices.IndexFunc(incidents, func(one store.Incident) bool { return one.ID == id })
	if err != nil || i < 0 {
		return s, orMissing(err)
	}
	s.incident = incidents[i]
	return s, nil
}

func orMissing(err error) error {
	if err != nil {
		return err
	}
	return fault.Missing()
}

// locked reads a subject and keeps others from adding to it until the transaction ends. What is no plate any more takes
// no further picture.
func locked(w *hall.Write, kind string, id foray.ID) (s subject, err error) {
	s.kind, s.id = kind, id
	switch kind {
	case OfField:
		s.record, err = w.Tx.LockFieldRecord(w.Scope.Society, w.Scope.Event, id)
	case OfIncident:
		s.incident, err = w.Tx.LockIncident(w.Scope.Society, w.Scope.Event, id)
	default:
		var plate hall.Plate
		plate, err = w.LockPlate(id)
		s.collection = plate.Collection
	}
	return s, err
}

func (s subject) mayAdd(l *hall.Look) error {
	switch s.kind {
	case OfFind:
		return s.mayAddFind(l)
	case OfSlip:
		return l.May(access.LogCollection)
	case OfField:
		return s.mayAddField(l)
	}
	if !l.SeesIncident(s.incident) {
		return fault.Missing()
	}
	return nil
}

// mayAddFind: one's own, or anybody's for who may name them.
func (s subject) mayAddFind(l *hall.Look) error {
	switch {
	case s.collection.CollectorID == l.Actor.Person:
		return nil
	case !l.Held.Staff():
		return fault.Missing()
	}
	return l.May(access.NameAny)
}

// mayAddField: one's own record, one of one's own team, or any for who looks after records.
func (s subject) mayAddField(l *hall.Look) error {
	if s.record.ObserverID == l.Actor.Person || s.record.EnteredBy == l.Actor.Person || l.Held.Can(access.LogCollection) {
		return nil
	}
	teams, err := l.Tx.Teams(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return err
	}
	leads := slices.ContainsFunc(teams, func(t store.Team) bool { return t.ID == s.record.TeamID && t.LeaderID == l.Actor.Person })
	if leads && l.Held.Can(access.RunOwnTeam) {
		return nil
	}
	return l.May(access.LogCollection)
}

// photographs are the pictures of the subject that are in view: those of a find and of its slip together.
func (s subject) photographs(l *hall.Look) (shown []store.Photograph, err error) {
	var all []store.Photograph
	if s.collection.ID.IsZero() {
		all, err = l.Tx.Photographs(l.Scope.Society, l.Scope.Event)
	} else {
		all, err = l.Tx.PhotographsOf(l.Scope.Society, l.Scope.Event, s.collection.ID)
	}
	for _, p := range all {
		if p.HiddenAt.IsZero() && p.CollectionID == s.collection.ID && p.RecordID == s.record.ID && p.IncidentID == s.incident.ID {
			shown = append(shown, p)
		}
	}
	return shown, err
}

func (s subject) number() string {
	if s.collection.ID.IsZero() {
		return ""
	}
	return s.collection.Number().String()
}

// shownBy is what a photograph shows: a collection, a field record or an incident.
func shownBy(p store.Photograph) foray.ID {
	switch {
	case !p.RecordID.IsZero():
		return p.RecordID
	case !p.IncidentID.IsZero():
		return p.IncidentID
	}
	return p.CollectionID
}

// seenBy reports whether somebody may see a photograph that is in view: pictures of finds and of what was seen outside
// everybody, of slips whoever works with them, of an incident whoever sees the incident.
func seenBy(l *hall.Look, p store.Photograph) (bool, error) {
	switch {
	case !p.Private:
		return true, nil
	case p.Kind == OfSlip:
		return l.Held.Can(access.LogCollection), nil
	case !l.Actor.SignedIn():
		return false, nil
	}
	incidents, err := l.Tx.Incidents(l.Scope.Society, l.Scope.Event)
	return slices.ContainsFunc(incidents, func(i store.Incident) bool { return i.ID == p.IncidentID && l.SeesIncident(i) }), err
}
