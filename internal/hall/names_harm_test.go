package hall_test

import (
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// A text that is read as a misspelling of something that harms less than the text could is kept as it was written.
func TestAMisspellingIsNotReadAsWhatHarmsLess(t *testing.T) {
	g := halltest.New(t, storetest.New(t, store.SQLite))
	for written, want := range map[string]string{"Amanita aurusta": "Amanita aurusta", "Boletus edullis": "Boletus edulis", "Galerina marginatta": "Galerina marginata"} {
		var n foray.SlipName
		err := g.Hall.View(t.Context(), g.As[access.Desk], access.LogCollection, g.Scope, func(l *hall.Look) (err error) {
			n, err = l.ReadName(hall.NameInput{Text: written}, 1, nil)
			return err
		})
		if err != nil || n.Name != want || (n.CurrentKey == "") != (written == want) {
			t.Errorf("%s is read as %s (%q), %v", written, n.Name, n.CurrentKey, err)
		}
	}
}
