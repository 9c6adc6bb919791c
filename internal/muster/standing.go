package muster

import "time"

// State is how a team stands.
type State string

const (
	NotOut State = "not_out"
	// Afield: somebody is out, and nobody has come back since the team went.
	Afield State = "out"
	// Short: some are back, and names or heads are missing.
	Short State = "short"
	// Unsettled: nobody is missing by name, but heads were not counted or names were not marked.
	Unsettled State = "unsettled"
	// AllBack: every name that went is accounted for and the heads that were counted say so too.
	AllBack  State = "all_back"
	HandedIn State = "handed_in"
)

// States lists the states in the order in which a day meets them.
var States = []State{NotOut, Afield, Short, Unsettled, AllBack, HandedIn}

// Heads is a count that stands, and how it compares with the names.
type Heads struct {
	Counted int
	Names   int
	At      time.Time
}

// Difference is positive for heads without a name (a walk-up), negative for names without a head (somebody is missing).
func (h Heads) Difference() int { return h.Counted - h.Names }

// Standing is what marks and counts of a team give; always computed from all of them.
type Standing struct {
	State    State
	Out      []Member // out by name, in the order of the sheet; then those marked who are on no sheet
	Back     []Member
	Left     []Member
	Found    []Member
	NotGoing []Member
	Unmarked []Member // on the sheet, and nobody said whether they went

	Afield  *Heads // the newest count in the field: at the start, or heard from there
	Home    *Heads // the newest count of those back since the team last went out
	Unnamed int    // heads that are not back, beyond the names that are out

	WentAt     *time.Time // the first mark or count out
	ReturnedAt *time.Time // the first back since the team last went out
	LeaderAt   *time.Time // when the leader came back
	LastHeard  *time.Time
	Acted      []Acted // since the team last went out, in order

	Findings []Finding
}

// Acted is a step of the ladder that somebody took.
type Acted struct {
	Step Step
	At   time.Time
}

// Ended reports whether nobody of the team needs to be waited for.
func (s Standing) Ended() bool { return s.State == AllBack || s.State == HandedIn }

// People is how many are not back.
func (s Standing) People() int { return len(s.Out) + s.Unnamed }
