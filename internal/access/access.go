// Package access is the one table of who may do what. Every write and every private read asks it; it never knows
// more than the rights it is given, and rights never come from a form.
package access

import "forayhall/internal/foray"

// Right is what a person was given for one event. A person may hold several.
type Right string

const (
	Visitor         Right = "visitor" // everybody, also without an account
	Member          Right = "member"  // whoever is signed in to the society
	TeamLeader      Right = "team_leader"
	Desk            Right = "desk"
	Scribe          Right = "scribe"
	Steward         Right = "steward"
	Identifier      Right = "identifier"
	ChiefIdentifier Right = "chief_identifier"
	SafetyLead      Right = "safety_lead"
	ListKeeper      Right = "list_keeper"
	Organiser       Right = "organiser"
)

// Rights lists the rights in the order of the table.
var Rights = []Right{Visitor, Member, TeamLeader, Desk, Scribe, Steward, Identifier, ChiefIdentifier, SafetyLead,
	ListKeeper, Organiser}

// Given lists the rights that an organiser gives; visitor and member come by themselves.
var Given = Rights[2:]

// Action is something that a right allows.
type Action string

const (
	ReadPublic    Action = "read_public"     // running and published list, display pages, warning sheet
	NameOwn       Action = "name_own"        // join a walk, see and name own collections
	RunOwnTeam    Action = "run_own_team"    // own team out and in, its collections and field records
	SignAnyoneIn  Action = "sign_anyone_in"  // sign anyone in, enter a paper sheet with its true times
	LogCollection Action = "log_collection"  // log any collection, correct field data
	NameAny       Action = "name_any"        // field names and characters for any collection
	SignOff       Action = "sign_off"        // sign off, dissent, not nameable, in one's own name
	ScribeSignOff Action = "scribe_sign_off" // the same, for a determiner
	Settle        Action = "settle"          // a dispute one is no party to
	PlacePlates   Action = "place_plates"    // place, move, sweep, cards
	RemovePlates  Action = "remove_plates"   // discard a named plate, dryer, sent to
	TendHazards   Action = "tend_hazards"    // hazard entries, poison contact, incident
	PublishList   Action = "publish_list"    // sign and publish list versions
	SetUp         Action = "set_up"          // set up, give rights, close
)

// Actions lists the actions in the order of the table.
var Actions = []Action{ReadPublic, NameOwn, RunOwnTeam, SignAnyoneIn, LogCollection, NameAny, SignOff, ScribeSignOff,
	Settle, PlacePlates, RemovePlates, TendHazards, PublishList, SetUp}

var table = map[Action][]Right{
	ReadPublic:    Rights,
	NameOwn:       Rights[1:],
	RunOwnTeam:    {TeamLeader, Organiser},
	SignAnyoneIn:  {Desk, SafetyLead, Organiser},
	LogCollection: {Desk, Identifier, ChiefIdentifier, ListKeeper, Organiser},
	NameAny:       {TeamLeader, Desk, Scribe, Steward, Identifier, ChiefIdentifier, ListKeeper, Organiser},
	SignOff:       {Identifier, ChiefIdentifier},
	ScribeSignOff: {Scribe},
	Settle:        {Identifier, ChiefIdentifier},
	PlacePlates:   {Steward, Organiser},
	RemovePlates:  {Desk, Steward, Identifier, ChiefIdentifier, ListKeeper, Organiser},
	TendHazards:   {SafetyLead},
	PublishList:   {ListKeeper},
	SetUp:         {Organiser},
}

// Allows reports whether a right covers an action: one cell of the table.
func Allows(r Right, a Action) bool {
	for _, have := range table[a] {
		if have == r {
			return true
		}
	}
	return false
}

// Actor is who is asking: the person behind the session, or nobody. It carries no rights; they are read for the
// event in the same transaction as what they guard.
type Actor struct {
	Society foray.ID
	Person  foray.ID
	Account foray.ID
	Session foray.ID
	// Only limits a bearer token to some rights; nil leaves a person all of theirs.
	Only []Right
	// Installation is a command on the machine itself, which may do anything to its database. No request makes one.
	Installation bool
}

// Nobody is a visitor without an account.
var Nobody = Actor{}

// SignedIn reports whether the actor is known.
func (a Actor) SignedIn() bool { return !a.Person.IsZero() }

// Scope is where an action happens.
type Scope struct {
	Society foray.ID
	Event   foray.ID // zero for what concerns the society as a whole
}

// Held is the rights that somebody holds in one event.
type Held []Right

// For gives the rights an actor has in a scope out of those given there: a visitor's always, a member's within the
// own society, the given ones within a token's limits. In another society everybody is a visitor.
func For(a Actor, scope Scope, given []Right) Held {
	if a.Installation && a.Society == scope.Society {
		return Rights
	}
	held := Held{Visitor}
	if !a.SignedIn() || a.Society != scope.Society {
		return held
	}
	if a.allows(Member) {
		held = append(held, Member)
	}
	for _, r := range given {
		if r != Visitor && r != Member && a.allows(r) {
			held = append(held, r)
		}
	}
	return held
}

func (a Actor) allows(r Right) bool {
	if a.Only == nil {
		return true
	}
	for _, only := range a.Only {
		if only == r {
			return true
		}
	}
	return false
}

// Can reports whether any of the rights covers the action.
func (h Held) Can(a Action) bool {
	for _, r := range h {
		if Allows(r, a) {
			return true
		}
	}
	return false
}

// Has reports whether a right is held.
func (h Held) Has(r Right) bool {
	for _, have := range h {
		if have == r {
			return true
		}
	}
	return false
}

// Staff reports whether more is held than any member has.
func (h Held) Staff() bool {
	for _, r := range h {
		if r != Visitor && r != Member {
			return true
		}
	}
	return false
}
