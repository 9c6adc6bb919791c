package hall

import "forayhall/internal/store"

// The rows that use cases answer with, so that pages and API need not know the store.
type (
	Society       = store.Society
	Person        = store.Person
	Event         = store.Event
	Site          = store.Site
	Team          = store.Team
	Table         = store.HallTable
	Collection    = store.Collection
	CharacterNote = store.CharacterNote
	Placement     = store.Placement
	EventRight    = store.EventRight
	Contact       = store.PoisonContact
	Publication   = store.Publication
	Change        = store.Change
)
