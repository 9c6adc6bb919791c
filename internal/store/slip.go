package store

import (
	"encoding/json"
	"fmt"

	"forayhall/internal/foray"
)

// slipRow and slipNameRow are how slips are kept.
type slipRow struct {
	SocietyID    foray.ID
	EventID      foray.ID
	ID           foray.ID
	CollectionID foray.ID
	Seq          int
	Kind         foray.SlipKind
	DeterminerID foray.ID
	WriterID     foray.ID
	HappenedAt   Stamp
	RecordedAt   Stamp
	Basis        foray.Basis
	Answers      string
	Strikes      foray.ID
	Remarks      string

	CarriedFromID foray.ID
}

func (slipRow) TableName() string { return "slip" }

type slipNameRow struct {
	SocietyID         foray.ID
	EventID           foray.ID
	SlipID            foray.ID
	Rank              int
	Verbatim          string
	NameKey           string
	CurrentKey        string
	Name              string
	Author            string
	NameRank          string
	Qualifier         string
	QualifierPosition string
	Reason            string
	ChecklistRev      string
}

func (slipNameRow) TableName() string { return "slip_name" }

// AddSlip adds a slip with its names to a collection's history.
func (t *Tx) AddSlip(society, event foray.ID, s foray.Slip) error {
	return t.AddSlips(society, event, []foray.Slip{s})
}

// AddSlips adds many.
func (t *Tx) AddSlips(society, event foray.ID, slips []foray.Slip) error {
	rows := make([]slipRow, 0, len(slips))
	var names []slipNameRow
	for _, s := range slips {
		answers, err := lookedText(s.Looked)
		if err != nil {
			return err
		}
		rows = append(rows, slipRow{SocietyID: society, EventID: event, ID: s.ID, CollectionID: s.CollectionID, Seq: s.Seq,
			Kind: s.Kind, DeterminerID: s.Determiner, WriterID: s.Writer, HappenedAt: At(s.HappenedAt),
			RecordedAt: At(s.RecordedAt), Basis: s.Basis, Answers: answers, Strikes: s.Strikes, Remarks: s.Remarks, CarriedFromID: s.CarriedFrom})
		for _, n := range s.Names {
			names = append(names, slipNameRow{SocietyID: society, EventID: event, SlipID: s.ID, Rank: n.Rank,
				Verbatim: n.Verbatim, NameKey: n.Key, CurrentKey: n.CurrentKey, Name: n.Name, Author: n.Author,
				NameRank: n.NameRank, Qualifier: n.Qualifier, QualifierPosition: n.Position, Reason: n.Reason,
				ChecklistRev: n.ChecklistRev})
		}
	}
	if err := add(t, rows...); err != nil {
		return err
	}
	return add(t, names...)
}

// Slips lists the slips of one collection in order; with a zero id, those of the whole event by collection.
func (t *Tx) Slips(society, event, collection foray.ID) ([]foray.Slip, error) {
	slips := t.db.Where("slip.society_id = ? AND slip.event_id = ?", society, event)
	names := t.db.Where("slip_name.society_id = ? AND slip_name.event_id = ?", society, event)
	if !collection.IsZero() {
		slips = slips.Where("slip.collection_id = ?", collection)
	}
	rows, err := many[slipRow](slips.Order("slip.collection_id, slip.seq"))
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	if !collection.IsZero() {
		// By key: with a subquery Postgres kept a plan, made while the tables were empty, that read every name of the event.
		ids := make([]foray.ID, len(rows))
		for i, r := range rows {
			ids[i] = r.ID
		}
		names = names.Where("slip_name.slip_id IN ?", ids)
	}
	nameRows, err := many[slipNameRow](names.Order("slip_name.slip_id, slip_name.rank"))
	if err != nil {
		return nil, err
	}
	return joinSlips(rows, nameRows)
}

func joinSlips(rows []slipRow, nameRows []slipNameRow) ([]foray.Slip, error) {
	names := map[foray.ID][]foray.SlipName{}
	for _, n := range nameRows {
		names[n.SlipID] = append(names[n.SlipID], foray.SlipName{Rank: n.Rank, Verbatim: n.Verbatim, Key: n.NameKey,
			CurrentKey: n.CurrentKey, Name: n.Name, Author: n.Author, NameRank: n.NameRank, Qualifier: n.Qualifier,
			Position: n.QualifierPosition, Reason: n.Reason, ChecklistRev: n.ChecklistRev})
	}
	slips := make([]foray.Slip, len(rows))
	for i, r := range rows {
		looked, err := readLooked(r.Answers)
		if err != nil {
			return nil, err
		}
		slips[i] = foray.Slip{ID: r.ID, CollectionID: r.CollectionID, Seq: r.Seq, Kind: r.Kind, Determiner: r.DeterminerID,
			Writer: r.WriterID, HappenedAt: r.HappenedAt.Time, RecordedAt: r.RecordedAt.Time, Basis: r.Basis,
			Strikes: r.Strikes, Remarks: r.Remarks, CarriedFrom: r.CarriedFromID, Looked: looked, Names: names[r.ID]}
	}
	return slips, nil
}

// lookedText is empty where nothing was asked.
func lookedText(looked []foray.Look) (string, error) {
	if len(looked) == 0 {
		return "", nil
	}
	text, err := json.Marshal(looked)
	if err != nil {
		return "", fmt.Errorf("write what was looked for: %w", err)
	}
	return string(text), nil
}

func readLooked(text string) (looked []foray.Look, err error) {
	if text == "" {
		return nil, nil
	}
	if err := json.Unmarshal([]byte(text), &looked); err != nil {
		return nil, fmt.Errorf("read what was looked for: %w", err)
	}
	return looked, nil
}

// NameKeys lists the keys of the names written at an event, each once.
func (t *Tx) NameKeys(society, event foray.ID) ([]string, error) {
	var keys []string
	err := t.db.Raw("SELECT DISTINCT name_key FROM slip_name WHERE society_id = ? AND event_id = ? AND current_key <> ''", society, event).Scan(&keys).Error
	if err != nil {
		return nil, fmt.Errorf("read name keys: %w", err)
	}
	return keys, nil
}
