package hall

import (
	"slices"

	"forayhall/internal/foray"
	"forayhall/internal/store"
)

// Kin is the collections that what is said of one was said of too, itself first: the plate it is a part of, the plates
// that were merged into it, and theirs in turn.
func (l *Look) Kin(collection foray.ID) ([]foray.ID, error) {
	kin := []foray.ID{collection}
	for i := 0; i < len(kin); i++ {
		links, err := l.Tx.LinksTo(l.Scope.Society, l.Scope.Event, kin[i])
		if err != nil {
			return nil, err
		}
		for _, link := range links {
			if !slices.Contains(kin, link.FromID) {
				kin = append(kin, link.FromID)
			}
		}
	}
	return kin, nil
}

// Became is the collections that a collection is or became: itself first, its parts, what it was merged into, and theirs.
func (l *Look) Became(collection foray.ID) ([]foray.ID, error) {
	all := []foray.ID{collection}
	for i := 0; i < len(all); i++ {
		links, err := l.Tx.LinksFrom(l.Scope.Society, l.Scope.Event, all[i])
		if err != nil {
			return nil, err
		}
		for _, link := range links {
			if !slices.Contains(all, link.IntoID) {
				all = append(all, link.IntoID)
			}
		}
	}
	return all, nil
}

// Kept is every collection that is asked for because something was eaten, with what it became.
func (l *Look) Kept() (map[foray.ID]bool, error) {
	incidents, err := l.Tx.Incidents(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return nil, err
	}
	kept := map[foray.ID]bool{}
	for _, i := range incidents {
		if !i.ClosedAt.IsZero() || i.CollectionID.IsZero() {
			continue
		}
		became, err := l.Became(i.CollectionID)
		if err != nil {
			return nil, err
		}
		for _, id := range became {
			kept[id] = true
		}
	}
	return kept, nil
}

// KeptForIncident reports whether a plate, or what it came from, is asked for because something was eaten: what was split
// or put together meanwhile is still what somebody may have eaten of.
func (l *Look) KeptForIncident(collection foray.ID) (bool, error) {
	kin, err := l.Kin(collection)
	if err != nil {
		return false, err
	}
	for _, id := range kin {
		if kept, err := l.Tx.OpenIncidentOn(l.Scope.Society, l.Scope.Event, id); err != nil || kept {
			return kept, err
		}
	}
	return false, nil
}

// NotesOf lists the characters noted for a collection and its kin, oldest first: what was noted before a split is true
// of a part or it is not, and whoever names the part must see it.
func (l *Look) NotesOf(collection foray.ID) ([]store.CharacterNote, error) {
	kin, err := l.Kin(collection)
	if err != nil {
		return nil, err
	}
	var notes []store.CharacterNote
	for _, id := range kin {
		of, err := l.Tx.CharacterNotes(l.Scope.Society, l.Scope.Event, id)
		if err != nil {
			return nil, err
		}
		notes = append(notes, of...)
	}
	slices.SortStableFunc(notes, func(a, b store.CharacterNote) int { return a.RecordedAt.Compare(b.RecordedAt.Time) })
	return notes, nil
}
