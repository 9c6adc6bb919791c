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

	Walk           = store.Walk
	WalkWish       = store.WalkWish
	TeamPlan       = store.TeamPlan
	TeamMember     = store.TeamMember
	MemberPrivate  = store.MemberPrivate
	HeadMark       = store.HeadMark
	HeadCount      = store.HeadCount
	NumberBlock    = store.NumberBlock
	NumberFate     = store.NumberFate
	CollectionLink = store.CollectionLink
	FieldRecord    = store.FieldRecord
	FieldWord      = store.FieldWord
	FieldTally     = store.FieldTally
	Incident       = store.Incident
	IncidentNote   = store.IncidentNote
	Photograph     = store.Photograph
	Invitation     = store.Invitation
	HallPass       = store.HallPass
	PassUse        = store.PassUse
	Paper          = store.Paper
	Sweep          = store.Sweep
	TaxonFlag      = store.TaxonFlag
	Closing        = store.Closing
	Audit          = store.Audit
	PersonGroup    = store.PersonGroup
	Dryer          = store.Dryer
	DryerReading   = store.DryerReading
	VoucherWord    = store.VoucherWord
	VoucherCode    = store.VoucherCode

	CorrectionContact = store.CorrectionContact
	CorrectionAct     = store.CorrectionAct
)
