package records

import (
	"time"

	"forayhall/internal/archive"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// seenThere is a field record that is added, with who stands behind it and how many were seen.
type seenThere struct {
	record store.FieldRecord
	words  []store.FieldWord
	count  int
}

// takeSeen adds what was seen and left where it was.
func (im *importer) takeSeen(o archive.Occurrence) error {
	im.mend(&o)
	names := im.namesOf(o.Record)
	if len(o.Identifications) > 0 {
		n, err := im.nameOf(o.Identifications[0])
		if err != nil {
			return err
		}
		im.seen.name(n)
		names = []foray.SlipName{n}
	}
	if len(names) == 0 {
		im.refuse(o.Record, "name", "", archive.NameMissing())
		return nil
	}
	f := seenThere{record: im.seenRecord(o, names[0]), count: 1}
	var own bool
	var err error
	if f.record.ID, own, err = im.idOf(o.ID); err != nil {
		return err
	}
	if !own && o.ID != "" {
		im.seen.ids++
	}
	if f.record.SiteID, err = im.siteOf(o); err != nil {
		return err
	}
	if f.record.ObserverID, err = im.named(o.Collector); err == nil && f.record.ObserverID.IsZero() {
		f.record.ObserverID, err = im.somebody()
	}
	if err != nil {
		return err
	}
	if o.Count != nil && *o.Count > 0 {
		f.count = *o.Count
	}
	if f.words, err = im.standsOf(o, f.record); err != nil {
		return err
	}
	im.seen.media += len(o.Media)
	im.fields = append(im.fields, f)
	im.took(o)
	return nil
}

func (im *importer) seenRecord(o archive.Occurrence, n foray.SlipName) store.FieldRecord {
	r := store.FieldRecord{SocietyID: im.Scope.Society, EventID: im.Scope.Event, Verbatim: n.Verbatim, NameKey: n.Key, CurrentKey: n.CurrentKey, Name: n.Name,
		Author: n.Author, NameRank: n.NameRank, Qualifier: n.Qualifier, QualifierPosition: n.Position, ChecklistRev: n.ChecklistRev, Host: tidy(o.Host),
		Outside: o.Outside, Remarks: remarks(o.Record), EnteredBy: im.Actor.Person, RecordedAt: im.Stamp()}
	at := im.moment(o.Picked)
	if len(o.Identifications) > 0 {
		if said, err := time.Parse(time.RFC3339, o.Identifications[0]["dateIdentified"]); err == nil && !said.After(im.Now) {
			at = said.UTC()
		}
	}
	r.HappenedAt = store.At(at)
	for _, m := range o.Measurements {
		if factKinds[m["measurementType"]] == "substrate" {
			r.Substrate = keyOf("pages.substrate.", foray.Substrates, m["measurementValue"])
			continue
		}
		r.Remarks = joined(r.Remarks, m["measurementType"]+": "+m["measurementValue"]+" "+m["measurementUnit"])
	}
	return r
}

// standsOf is who stands behind a record, one for each identification that says so; without a history, whoever the record
// names.
func (im *importer) standsOf(o archive.Occurrence, r store.FieldRecord) (words []store.FieldWord, err error) {
	rows := o.Identifications
	if len(rows) == 0 && o.Determiner != "" {
		rows = []map[string]string{{"identifiedBy": o.Determiner, "identificationVerificationStatus": o.Terms["identificationVerificationStatus"],
			"dateIdentified": o.DateDetermined.Text, "verbatimIdentification": r.Verbatim}}
	}
	for _, row := range rows {
		who, kind, err := im.whoSaid(row)
		if err != nil {
			return nil, err
		}
		if kind != foray.SignOff {
			continue
		}
		id, _, err := im.idOf(row["identificationID"])
		if err != nil {
			return nil, err
		}
		at, _ := im.when(row["dateIdentified"], store.Collection{HappenedAt: r.HappenedAt}, o.Record, "")
		words = append(words, store.FieldWord{SocietyID: r.SocietyID, EventID: r.EventID, ID: id, RecordID: r.ID, Kind: hall.FieldStand, PersonID: who,
			WriterID: im.Actor.Person, HappenedAt: store.At(at), RecordedAt: im.Stamp()})
	}
	return words, nil
}

func (im *importer) writeSeen() error {
	for _, f := range im.fields {
		if err := im.Tx.AddFieldRecord(f.record); err != nil {
			return err
		}
		for _, w := range f.words {
			if err := im.Tx.AddFieldWord(w); err != nil {
				return err
			}
		}
		id, err := im.NewID()
		if err != nil {
			return err
		}
		if err := im.Tx.AddFieldTally(store.FieldTally{SocietyID: f.record.SocietyID, EventID: f.record.EventID, ID: id, RecordID: f.record.ID, N: f.count,
			CountedBy: im.Actor.Person, HappenedAt: f.record.HappenedAt, RecordedAt: im.Stamp()}); err != nil {
			return err
		}
		im.Changed("field", f.record.ID)
	}
	return nil
}
