package desk

import (
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// free refuses a number that is in use, and one whose label was spoilt: the second of two things gets a new label.
func free(w *hall.Write, event store.Event, n foray.Number, team string) error {
	taken := Taken{Number: n.String()}
	by, err := whose(w, event, n, &taken)
	if err != nil || by.IsZero() {
		return err
	}
	person, err := w.Tx.PersonByID(event.SocietyID, by)
	if err != nil {
		return err
	}
	next, err := nextNumber(&w.Look, team, n.Base)
	if err != nil {
		return err
	}
	taken.By, taken.Next = person.Name, next.String()
	key := "number.taken"
	if taken.Fate == labelSpoilt || taken.Fate == store.Spoilt {
		key = "number.spoilt-label"
	}
	e := fault.New(fault.Conflict, key, "number", n.String(), "time", taken.At.In(hall.Zone(event)).Format("15:04"), "who", person.Name)
	e.Fields = map[string]message.Text{"number": e.Text}
	e.Other = taken
	return e
}

// labelSpoilt is Taken's fate of a label that no plate ever bore.
const labelSpoilt = "label"

// whose is who used a number, and when; nobody where it is free.
func whose(w *hall.Write, event store.Event, n foray.Number, taken *Taken) (foray.ID, error) {
	old, err := w.Tx.CollectionByNumber(event.SocietyID, event.ID, n)
	if err == nil {
		taken.Fate, taken.At = old.Fate, old.RecordedAt.Time
		return old.LoggedBy, nil
	}
	if !fault.Is(err, fault.NotFound) {
		return foray.ID{}, err
	}
	fates, err := w.Tx.NumberFates(event.SocietyID, event.ID)
	by := foray.ID{}
	for _, f := range fates {
		if f.NumberBase != n.Base || f.NumberSuffix != n.Suffix {
			continue
		}
		if by = (foray.ID{}); f.Fate == store.Spoilt {
			by, taken.Fate, taken.At = f.SaidBy, labelSpoilt, f.RecordedAt.Time
		}
	}
	return by, err
}

// nextNumber is what the next label most likely bears: of the team's own pad, or of the pad that the last came from.
func nextNumber(l *hall.Look, team string, last int) (foray.Number, error) {
	rows, err := l.Tx.NumberBlocks(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return foray.Number{}, err
	}
	taken := map[int]bool{}
	collections, err := l.Tx.Collections(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return foray.Number{}, err
	}
	for _, c := range collections {
		taken[c.NumberBase] = true
	}
	said, err := fatesSaid(l)
	if err != nil {
		return foray.Number{}, err
	}
	for n, fate := range said {
		if n.Suffix == "" && fate == store.Spoilt {
			taken[n.Base] = true
		}
	}
	id, err := teamNamed(l, team)
	return foray.Number{Base: foray.NextNumber(hall.Blocks(rows), taken, id, last)}, err
}

// blockOf is the block a number is of, where it is of one; the team's own where several are.
func blockOf(rows []store.NumberBlock, base int, team foray.ID) (store.NumberBlock, bool) {
	found, ok := store.NumberBlock{}, false
	for _, b := range rows {
		if b.FromNumber <= base && base <= b.ToNumber && (!ok || b.TeamID == team) {
			found, ok = b, true
		}
	}
	return found, ok
}

// fatesSaid is what was said of labels, the newest word of each.
func fatesSaid(l *hall.Look) (map[foray.Number]string, error) {
	rows, err := l.Tx.NumberFates(l.Scope.Society, l.Scope.Event)
	said := map[foray.Number]string{}
	for _, f := range rows { // oldest first
		said[foray.Number{Base: f.NumberBase, Suffix: f.NumberSuffix}] = f.Fate
	}
	return said, err
}
