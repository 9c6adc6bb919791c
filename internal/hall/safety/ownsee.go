package safety

import (
	"context"
	"slices"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hazard"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// Known is what is known of harm, as the safety lead sees it: of one name, and everything that the society wrote.
type Known struct {
	Asked     string
	Unknown   bool             // neither a list nor a row has the name
	Nearest   []string         // names that may have been meant, where it is not known
	Rows      []hazard.Finding // every row that speaks of it, and by which rule; empty: no entry
	Pairs     []hazard.Double
	Entries   []Entry // of the society, the newest first, also what was taken back
	Syndromes []*hazard.Syndrome
	People    map[foray.ID]store.Person
}

// Entry is what a society wrote, with what became of it.
type Entry struct {
	store.OwnEntry
	Severity  int             // of a hazard, or of a pair's poisonous side
	Syndrome  string          // its name
	Withdrawn *store.OwnEntry // how it was taken back; nil: it holds
	Contests  []hazard.Contest
	Left      message.Text // why it does not work although it holds; zero: it does
}

// SeeHazards shows what is known of a name, if one is asked for, and the society's entries.
func SeeHazards(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, name string) (Known, error) {
	var k Known
	err := h.View(ctx, actor, access.TendHazards, scope, func(l *hall.Look) (err error) {
		k = Known{Asked: tidy(name)}
		rows, err := l.Tx.OwnEntries(scope.Society)
		if err != nil {
			return err
		}
		event, err := l.Tx.EventByID(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		own := hall.OwnOf(rows)
		known, left := h.Knowledge.WithOwn(own)
		k.Syndromes = known.Hazards.Syndromes()
		if k.Asked != "" {
			k.Rows, k.Pairs = known.Hazards.Explain(k.Asked, event.Region), known.Hazards.Doubles(k.Asked)
			if k.Unknown = !known.Hazards.Knows(k.Asked); k.Unknown {
				k.Nearest = nearest(known.Names, k.Asked)
			}
		}
		k.Entries = entriesOf(known.Hazards, rows, own, left)
		k.People, err = l.PeopleNames()
		return err
	})
	return k, err
}

func entriesOf(base *hazard.Base, rows []store.OwnEntry, own hazard.Own, left []hazard.Unjoined) []Entry {
	gone := withdrawn(rows)
	var entries []Entry
	for _, r := range rows {
		if r.Kind == store.OwnWithdrawal {
			continue
		}
		e := Entry{OwnEntry: r, Withdrawn: gone[r.ID]}
		e.weigh(base)
		for _, c := range own.Contests {
			if strings.HasSuffix(c.About, " / "+r.ID.String()) {
				e.Contests = append(e.Contests, c)
			}
		}
		if e.Withdrawn == nil {
			e.Left = whyLeft(base, r, left)
		}
		entries = append(entries, e)
	}
	slices.Reverse(entries)
	return entries
}

func (e *Entry) weigh(base *hazard.Base) {
	switch e.Kind {
	case store.OwnHazard:
		if s, ok := base.Syndrome(e.OwnEntry.Syndrome); ok {
			e.Severity, e.Syndrome = s.Severity, s.Name
		}
	case store.OwnPair:
		if worst := base.Assess(e.Other)[0]; worst.Syndrome != nil {
			e.Severity, e.Syndrome = worst.Severity, worst.Syndrome.Name
		}
	}
}

// whyLeft says why an entry that holds does not work, or works less than it could.
func whyLeft(base *hazard.Base, r store.OwnEntry, left []hazard.Unjoined) message.Text {
	unjoined := slices.ContainsFunc(left, func(l hazard.Unjoined) bool { return l.Own == r.ID.String() })
	_, syndrome := base.Syndrome(r.Syndrome)
	switch {
	case r.Kind == store.OwnContest && !base.Speaks(r.About):
		return message.T("hazards.left.about")
	case r.Kind == store.OwnHazard && !syndrome:
		return message.T("hazards.left.syndrome", "syndrome", r.Syndrome)
	case r.Kind == store.OwnPair && unjoined:
		return message.T("hazards.left.pair", "name", r.Other)
	case unjoined:
		return message.T("hazards.left.row")
	case r.Kind == store.OwnHazard && !base.Listed(r.Name):
		return message.T("hazards.left.unlisted", "name", r.Name)
	}
	return message.Text{}
}
