package api

import (
	"slices"
	"strconv"
	"time"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/outside"
	"forayhall/internal/muster"
)

// TeamList is teams as the caller may see them.
type TeamList struct {
	ChangeSeq int64       `json:"change_seq"`
	Now       time.Time   `json:"now"`
	Again     int         `json:"ask_again_s"` // seconds after which the clock alone changes the answer; 0: it does not
	Teams     []TeamSheet `json:"teams"`
}

// TeamSheet is one team with its sheet and how it stands.
type TeamSheet struct {
	ID       foray.ID      `json:"id"`
	Number   int           `json:"number"`
	Name     string        `json:"name,omitempty"`
	Leader   string        `json:"leader,omitempty"`
	Site     string        `json:"site,omitempty"`
	Walk     int           `json:"walk,omitempty"`
	State    muster.State  `json:"state"`
	Awaited  bool          `json:"awaited"`
	Out      int           `json:"out"` // people who are not back, by name or by head
	Field    *HeadsSeen    `json:"heads_out,omitempty"`
	Home     *HeadsSeen    `json:"heads_back,omitempty"`
	Due      *time.Time    `json:"due_at,omitempty"`
	Sunset   *time.Time    `json:"sunset,omitempty"`
	Dusk     *time.Time    `json:"civil_dusk,omitempty"`
	Heard    *time.Time    `json:"last_heard,omitempty"`
	Step     string        `json:"step"` // wait, ring_leader, tell_safety_lead, plan_search, call_rescue
	StepAt   *time.Time    `json:"step_at,omitempty"`
	StepDone bool          `json:"step_done"`
	Reason   string        `json:"reason,omitempty"`
	Do       []string      `json:"do"`
	NextAt   *time.Time    `json:"next_at,omitempty"`
	Findings []TeamFinding `json:"findings"`
	People   []SheetLine   `json:"people"`
	Log      []TeamEntry   `json:"log"` // newest first
	Issued   int           `json:"numbers_issued"`
	Logged   int           `json:"numbers_logged"`
	MayRun   bool          `json:"may_run"`
	MayAct   bool          `json:"may_act"`
	MayRead  bool          `json:"may_read_private"`
}

// HeadsSeen is a count against names.
type HeadsSeen struct {
	Heads int       `json:"heads"`
	Names int       `json:"names"`
	At    time.Time `json:"at"`
}

// TeamFinding is something a person should look at.
type TeamFinding struct {
	Kind   muster.FindingKind `json:"kind"`
	Member foray.ID           `json:"member,omitzero"`
	Text   string             `json:"text"`
}

// SheetLine is somebody on a sheet; an empty mark is that nobody said.
type SheetLine struct {
	ID         foray.ID        `json:"id"`
	Person     foray.ID        `json:"person,omitzero"`
	Name       string          `json:"name"`
	Mark       muster.MarkKind `json:"mark,omitempty"`
	MarkedAt   time.Time       `json:"marked_at,omitzero"`
	Minor      bool            `json:"minor"`
	Vulnerable bool            `json:"vulnerable"`
	Guardian   foray.ID        `json:"guardian,omitzero"`
	Drives     bool            `json:"drives"`
	Driver     foray.ID        `json:"driver,omitzero"`
}

// TeamEntry is a count, word from the field, or what the hall did.
type TeamEntry struct {
	Kind     muster.CountKind `json:"kind"`
	Heads    *int             `json:"heads,omitempty"` // of a hand-in: collections
	By       string           `json:"by"`
	At       time.Time        `json:"happened_at"`
	Recorded time.Time        `json:"recorded_at"`
	Remarks  string           `json:"remarks,omitempty"`
}

// PrivateTeam is what is private to a team's people. That it was read is written down.
type PrivateTeam struct {
	Number int          `json:"number"`
	People []PrivateOne `json:"people"`
}

// PrivateOne is one of them.
type PrivateOne struct {
	Name string `json:"name"`
	outside.Private
}

// Reading is that somebody read what is private.
type Reading struct {
	At   time.Time `json:"at"`
	By   string    `json:"by"`
	Team int       `json:"team,omitempty"`
	What string    `json:"what"`
}

// WalkList is an event's walks as anybody may see them, and what the caller has to do with them.
type WalkList struct {
	ChangeSeq int64        `json:"change_seq"`
	Walks     []PublicWalk `json:"walks"`
	With      string       `json:"with,omitempty"` // with whom the caller would like to walk
	On        []OnTeam     `json:"on"`             // teams that the caller is on
	Wishers   []Wisher     `json:"wishers"`        // for the organiser alone
}

// PublicWalk is one walk.
type PublicWalk struct {
	ID        foray.ID  `json:"id"`
	Number    int       `json:"number"`
	Title     string    `json:"title,omitempty"`
	StartsAt  time.Time `json:"starts_at"`
	DueAt     time.Time `json:"due_at"`
	FoundAt   FoundAt   `json:"place"`
	Leader    string    `json:"leader,omitempty"` // as they chose to be named
	Remarks   string    `json:"remarks,omitempty"`
	Capacity  int       `json:"capacity"` // 0: not bounded
	Going     int       `json:"going"`
	CalledOff bool      `json:"called_off"`
	Open      bool      `json:"open"` // it may still be wished for
	Wish      int       `json:"wish,omitempty"`
}

// OnTeam is a team that somebody is on.
type OnTeam struct {
	Team   int        `json:"team"`
	Walk   int        `json:"walk,omitempty"`
	Leader string     `json:"leader,omitempty"`
	Due    *time.Time `json:"due_at,omitempty"`
}

// Wisher is somebody with what they wished for.
type Wisher struct {
	Person foray.ID `json:"person"`
	Name   string   `json:"name"`
	Wishes []int    `json:"wishes"` // numbers of walks, the first choice first
	With   string   `json:"with,omitempty"`
	On     []OnTeam `json:"on"`
}

func seeTeams(r *request) (TeamList, error) {
	all, err := outside.SeeTeams(r.ctx, r.hall(), r.actor, r.scope())
	return r.teams(all), err
}

func seeOwnTeams(r *request) (TeamList, error) {
	all, err := outside.SeeOwn(r.ctx, r.hall(), r.actor, r.scope())
	return r.teams(all), err
}

func seeTeam(r *request) (TeamList, error) {
	number, err := strconv.Atoi(r.echo.Param("number"))
	if err != nil {
		return TeamList{}, fault.Missing()
	}
	all, err := outside.SeeTeam(r.ctx, r.hall(), r.actor, r.scope(), number)
	return r.teams(all), err
}

func (r *request) teams(all outside.Teams) TeamList {
	out := TeamList{ChangeSeq: all.Seq, Now: all.Now, Teams: []TeamSheet{}}
	if all.Again > 0 {
		out.Again = int(all.Again/time.Second) + 1
	}
	for _, s := range all.Sheets {
		out.Teams = append(out.Teams, r.team(s))
	}
	return out
}

func (r *request) team(s outside.Sheet) TeamSheet {
	t := TeamSheet{ID: s.Team.ID, Number: s.Team.Number, Name: s.Team.Name, Leader: s.Leader, Site: s.Site, Walk: s.Walk.Number,
		State: s.Standing.State, Awaited: s.Awaited(), Out: s.Standing.People(), Field: headsSeen(s.Standing.Afield), Home: headsSeen(s.Standing.Home),
		Due: s.Plan.Due, Sunset: s.Plan.Sunset, Dusk: s.Plan.CivilDusk, Heard: s.Standing.LastHeard,
		Step: s.Alert.Step.String(), StepAt: s.Alert.At, StepDone: s.Alert.Done, NextAt: s.Alert.NextAt, Do: []string{}, Findings: []TeamFinding{},
		People: []SheetLine{}, Log: []TeamEntry{}, Issued: s.Numbers.Issued, Logged: s.Numbers.Logged, MayRun: s.Runs, MayAct: s.Acts, MayRead: s.Private}
	if s.Alert.Step > muster.Wait {
		t.Reason = r.say().Text(s.Alert.Reason)
	}
	for _, do := range s.Alert.Do {
		t.Do = append(t.Do, r.say().Text(do))
	}
	for _, f := range slices.Concat(s.Alert.Findings, s.Standing.Findings) {
		t.Findings = append(t.Findings, TeamFinding{f.Kind, f.Member, r.say().Text(f.Text)})
	}
	for _, l := range s.Lines {
		t.People = append(t.People, SheetLine{ID: l.ID, Person: l.PersonID, Name: l.Name, Mark: l.Mark, MarkedAt: l.At, Minor: l.Minor, Vulnerable: l.Vulnerable,
			Guardian: l.GuardianID, Drives: l.Drives, Driver: l.DriverID})
	}
	for _, e := range s.Log {
		t.Log = append(t.Log, TeamEntry(e))
	}
	return t
}

func headsSeen(h *muster.Heads) *HeadsSeen {
	if h == nil {
		return nil
	}
	return &HeadsSeen{h.Counted, h.Names, h.At}
}

func readPrivate(r *request) (PrivateTeam, error) {
	sheet, err := outside.ReadPrivate(r.ctx, r.hall(), r.actor, r.scope(), r.echo.Param("number"))
	out := PrivateTeam{Number: sheet.Team.Number, People: []PrivateOne{}}
	for _, l := range sheet.Lines {
		out.People = append(out.People, PrivateOne{l.Name, l.Private})
	}
	return out, err
}

func seeReadings(r *request) ([]Reading, error) {
	reads, err := outside.SeeReadings(r.ctx, r.hall(), r.actor, r.scope())
	out := make([]Reading, len(reads))
	for i, read := range reads {
		out[i] = Reading(read)
	}
	return out, err
}

func seeWalks(r *request) (WalkList, error) {
	all, err := outside.SeeWalks(r.ctx, r.hall(), r.actor, r.scope())
	out := WalkList{ChangeSeq: all.Seq, Walks: []PublicWalk{}, With: all.With, On: onTeams(all.On), Wishers: []Wisher{}}
	for _, w := range all.Walks {
		out.Walks = append(out.Walks, PublicWalk{ID: w.ID, Number: w.Number, Title: w.Title, StartsAt: w.StartsAt, DueAt: w.DueAt,
			FoundAt: FoundAt{Name: w.Place, KeptBack: w.KeptBack}, Leader: w.Leader, Remarks: w.Remarks, Capacity: w.Capacity, Going: w.Going,
			CalledOff: w.CalledOff, Open: w.Open, Wish: w.Wish})
	}
	for _, w := range all.Wishers {
		out.Wishers = append(out.Wishers, Wisher{w.Person, w.Name, w.Wishes, w.With, onTeams(w.On)})
	}
	return out, err
}

func onTeams(all []outside.Placed) []OnTeam {
	out := make([]OnTeam, len(all))
	for i, p := range all {
		out[i] = OnTeam(p)
	}
	return out
}
