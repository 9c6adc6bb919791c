package setup

import (
	"context"
	"slices"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/knowledge"
	"forayhall/internal/store"
)

// Law is what the tables know of protected and controlled taxa under one jurisdiction. It is an offer: nothing of it
// holds for an event before an organiser takes it over, and the law in force comes first.
type Law struct {
	Jurisdiction  string   // as the tables call it; empty: they know nothing of the one that is meant
	Meant         string   // the one that was asked for, else the event's
	Jurisdictions []string // all that the tables have
	Flags         []KnownFlag
}

// KnownFlag is one row of the tables.
type KnownFlag struct {
	knowledge.LawFlag
	Here bool // the event has it already
}

// LawTaken is what of the tables becomes flags of the event: all that they have of the jurisdiction, or some.
type LawTaken struct {
	Jurisdiction string     `json:"jurisdiction"`
	All          bool       `json:"all,omitempty"`
	Taxa         []LawTaxon `json:"taxa,omitempty"`
}

// LawTaxon names a row of the tables within its jurisdiction.
type LawTaxon struct {
	Name string `json:"name"`
	Flag string `json:"flag"` // protected, controlled
}

// TakenOver is what became flags of the event, and what was left since it carries the flag already.
type TakenOver struct {
	Added []string `json:"added"`
	Left  []string `json:"left"`
}

// Jurisdictions lists whose law the tables know something of, by name.
func Jurisdictions(h *hall.Hall) []string {
	all := []string{}
	for _, f := range h.Knowledge.Flags {
		all = append(all, f.Jurisdiction)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// lawOf is the rows of one jurisdiction, in the order of the tables, and how these call it.
func lawOf(h *hall.Hall, jurisdiction string) (flags []knowledge.LawFlag, name string) {
	for _, f := range h.Knowledge.Flags {
		if strings.EqualFold(f.Jurisdiction, tidy(jurisdiction)) {
			flags, name = append(flags, f), f.Jurisdiction
		}
	}
	return flags, name
}

// SeeLaw shows to the event's staff what the tables know under a jurisdiction; with none, under the event's.
func SeeLaw(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, jurisdiction string) (Law, error) {
	law := Law{Meant: tidy(jurisdiction), Jurisdictions: Jurisdictions(h)}
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) error {
		if !l.Held.Staff() {
			return hall.NotAllowed(access.SetUp)
		}
		return law.read(l)
	})
	return law, err
}

func (law *Law) read(l *hall.Look) error {
	event, err := l.Event()
	if err != nil {
		return err
	}
	if law.Meant == "" {
		law.Meant = event.Jurisdiction
	}
	here, err := l.Tx.TaxonFlags(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return err
	}
	known, name := lawOf(l.Hall, law.Meant)
	law.Jurisdiction, law.Flags = name, make([]KnownFlag, len(known))
	for i, f := range known {
		law.Flags[i].LawFlag = f
		n, err := readFlagged(l, f.Taxon)
		if err != nil && !fault.Is(err, fault.Invalid) {
			return err
		}
		if err == nil {
			_, law.Flags[i].Here = sameFlag(here, store.TaxonFlag{CurrentKey: n.CurrentKey, Flag: f.Flag})
		}
	}
	return nil
}

// TakeLawOver makes rows of the tables flags of the event, all of them or none. A taxon that carries its flag already is
// left as it is, with its source and its permit.
func TakeLawOver(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in LawTaken) (TakenOver, error) {
	cmd.Type, cmd.Body = "flag.take-over.v1", in
	return hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (TakenOver, error) {
		done := TakenOver{Added: []string{}, Left: []string{}}
		rows, err := in.rows(w.Hall)
		if err != nil {
			return done, err
		}
		here, err := w.Tx.TaxonFlags(w.Scope.Society, w.Scope.Event)
		if err != nil {
			return done, err
		}
		for _, row := range rows {
			f, err := takeOver(w, row)
			if err != nil {
				return done, err
			}
			if _, there := sameFlag(here, f); there {
				done.Left = append(done.Left, f.Name)
				continue
			}
			w.Note("flag.take-over", f.ID, row.Jurisdiction+": "+f.Flag+" "+f.Name)
			w.Changed("flag", f.ID)
			if err := w.Tx.AddTaxonFlag(f); err != nil {
				return done, err
			}
			here, done.Added = append(here, f), append(done.Added, f.Name)
		}
		return done, nil
	})
}

// rows are those that were asked for.
func (in LawTaken) rows(h *hall.Hall) ([]knowledge.LawFlag, error) {
	known, name := lawOf(h, in.Jurisdiction)
	switch {
	case name == "":
		return nil, fault.Wrong("jurisdiction", "law.unknown", "name", in.Jurisdiction)
	case in.All:
		return known, nil
	case len(in.Taxa) == 0:
		return nil, fault.Wrong("taxa", "law.none-chosen")
	}
	var rows []knowledge.LawFlag
	for _, t := range in.Taxa {
		i := slices.IndexFunc(known, func(f knowledge.LawFlag) bool { return f.Taxon == t.Name && f.Flag == t.Flag })
		if i < 0 {
			return nil, fault.Wrong("taxa", "law.no-row", "name", t.Name, "jurisdiction", name)
		}
		rows = append(rows, known[i])
	}
	return rows, nil
}

// takeOver reads a row as the flag that it becomes.
func takeOver(w *hall.Write, row knowledge.LawFlag) (store.TaxonFlag, error) {
	id, err := w.NewID()
	if err != nil {
		return store.TaxonFlag{}, err
	}
	f, err := readFlag(w, id, Flag{Name: row.Taxon, Flag: row.Flag, Source: row.Source})
	if fault.Is(err, fault.Invalid) {
		err = fault.Wrong("taxa", "law.unread", "name", row.Taxon)
	}
	return f, err
}
