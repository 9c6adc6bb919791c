package api

import (
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall/closing"
	"forayhall/internal/hall/setup"
)

// SetUp is how an event is set up, as its staff see it.
type SetUp struct {
	State    string        `json:"state"`
	Details  setup.Details `json:"details"`
	Groups   []string      `json:"groups"` // in the order of the tables
	Missing  []Missing     `json:"missing"`
	Sites    []FullSite    `json:"sites"`
	Walks    []SetWalk     `json:"walks"`
	Teams    []SetTeam     `json:"teams"`
	Tables   []SetTable    `json:"tables"`
	Blocks   []SetBlock    `json:"blocks"`
	NextFrom int           `json:"next_from"` // of the pad that is most likely issued next
	NextTo   int           `json:"next_to"`
	Flags    []SetFlag     `json:"flags"`
	Rights   []SetRight    `json:"rights"`
	History  []RightLine   `json:"right_history"` // newest first
}

// Missing is something that the event is not ready without.
type Missing struct {
	Text string   `json:"text"`
	Part string   `json:"part"` // of the set-up where it is mended
	Row  foray.ID `json:"row,omitzero"`
}

// FullSite is a site with what only staff may see.
type FullSite struct {
	ID foray.ID `json:"id"`
	setup.Site
}

// SetWalk is a walk as it is planned.
type SetWalk struct {
	ID        foray.ID  `json:"id"`
	Number    int       `json:"number"`
	Title     string    `json:"title,omitempty"`
	Site      foray.ID  `json:"site,omitzero"`
	Leader    foray.ID  `json:"leader,omitzero"`
	StartsAt  time.Time `json:"starts_at"`
	DueAt     time.Time `json:"due_at"`
	Capacity  int       `json:"capacity"`
	Remarks   string    `json:"remarks,omitempty"`
	CalledOff bool      `json:"called_off"`
}

// SetTeam is a team with what it is out for.
type SetTeam struct {
	ID     foray.ID  `json:"id"`
	Number int       `json:"number"`
	Name   string    `json:"name,omitempty"`
	Leader foray.ID  `json:"leader,omitzero"`
	Site   foray.ID  `json:"site,omitzero"`
	Walk   foray.ID  `json:"walk,omitzero"`
	DueAt  time.Time `json:"due_at,omitzero"` // where it is not the walk's
}

// SetTable is a table as it stands.
type SetTable struct {
	ID     foray.ID `json:"id"`
	Plates int      `json:"plates"`
	setup.Table
}

// SetBlock is a run of numbers that was handed out.
type SetBlock struct {
	ID       foray.ID  `json:"id"`
	From     int       `json:"from"`
	To       int       `json:"to"`
	Team     foray.ID  `json:"team,omitzero"`
	Person   string    `json:"person,omitempty"`
	IssuedBy foray.ID  `json:"issued_by"`
	IssuedAt time.Time `json:"issued_at"`
}

// SetFlag is a flag that stands.
type SetFlag struct {
	ID foray.ID `json:"id"`
	setup.Flag
}

// SetRight is a right that somebody holds.
type SetRight struct {
	Person foray.ID     `json:"person"`
	Name   string       `json:"name"`
	Right  access.Right `json:"right"`
	SignIn bool         `json:"may_sign_in"`
}

// RightLine is one line of the history of rights.
type RightLine struct {
	At    time.Time    `json:"at"`
	By    foray.ID     `json:"by"`
	To    foray.ID     `json:"to"`
	Right access.Right `json:"right"`
	Given bool         `json:"given"` // else taken
}

func seeSetUp(r *request) (SetUp, error) {
	room, err := setup.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return SetUp{}, err
	}
	history, err := setup.RightHistory(r.ctx, r.hall(), r.actor, r.scope())
	out := SetUp{State: room.Event.State, Details: setup.DetailsOf(room.Event), Groups: room.Groups, NextFrom: room.NextFrom, NextTo: room.NextTo,
		Missing: []Missing{}, Sites: []FullSite{}, Walks: []SetWalk{}, Teams: []SetTeam{}, Tables: []SetTable{}, Blocks: []SetBlock{}, Flags: []SetFlag{},
		Rights: []SetRight{}, History: []RightLine{}}
	for _, m := range room.Missing() {
		out.Missing = append(out.Missing, Missing{Text: r.say().Text(m.Text), Part: string(m.Part), Row: m.Row})
	}
	out.field(room)
	out.hall(room)
	out.rights(room)
	for _, c := range history {
		out.History = append(out.History, RightLine{At: c.At.Time, By: c.By, To: c.To, Right: c.Right, Given: c.Given})
	}
	return out, err
}

func (out *SetUp) field(room setup.Room) {
	for _, s := range room.Sites {
		out.Sites = append(out.Sites, FullSite{ID: s.ID, Site: setup.SiteOf(s)})
	}
	for _, w := range room.Walks {
		out.Walks = append(out.Walks, SetWalk{ID: w.ID, Number: w.Number, Title: w.Title, Site: w.SiteID, Leader: w.LeaderID, StartsAt: w.StartsAt.Time,
			DueAt: w.DueAt.Time, Capacity: w.Capacity, Remarks: w.Remarks, CalledOff: !w.CalledOffAt.IsZero()})
	}
	for _, t := range room.Teams {
		plan := room.Plans[t.ID]
		out.Teams = append(out.Teams, SetTeam{ID: t.ID, Number: t.Number, Name: t.Name, Leader: t.LeaderID, Site: t.SiteID, Walk: plan.WalkID, DueAt: plan.DueAt.Time})
	}
}

func (out *SetUp) hall(room setup.Room) {
	for _, t := range room.Tables {
		out.Tables = append(out.Tables, SetTable{ID: t.ID, Plates: room.Plates[t.ID], Table: setup.TableOf(t)})
	}
	for _, b := range room.Blocks {
		out.Blocks = append(out.Blocks, SetBlock{ID: b.ID, From: b.FromNumber, To: b.ToNumber, Team: b.TeamID, Person: b.IssuedTo, IssuedBy: b.IssuedBy, IssuedAt: b.IssuedAt.Time})
	}
	for _, f := range room.Flags {
		out.Flags = append(out.Flags, SetFlag{ID: f.ID, Flag: setup.FlagOf(f)})
	}
}

func (out *SetUp) rights(room setup.Room) {
	names := map[foray.ID]string{}
	for _, p := range room.People {
		names[p.ID] = p.Name
	}
	for _, right := range room.Rights {
		out.Rights = append(out.Rights, SetRight{Person: right.PersonID, Name: names[right.PersonID], Right: right.Held, SignIn: room.Accounts[right.PersonID]})
	}
}

// ShownSites is an event's sites.
type ShownSites struct {
	Sites []ShownSite `json:"sites"`
}

// ShownSite is a site as whoever asks may see it.
type ShownSite struct {
	ID           foray.ID    `json:"id"`
	Name         string      `json:"name,omitempty"` // not of a sensitive one
	Latitude     *float64    `json:"latitude,omitempty"`
	Longitude    *float64    `json:"longitude,omitempty"`
	UncertaintyM int         `json:"uncertainty_m,omitempty"`
	GeneralisedM int         `json:"generalised_m"`  // width of the grid that the point was moved to; 0: exact
	Full         *setup.Site `json:"full,omitempty"` // for staff
}

func seeSites(r *request) (ShownSites, error) {
	sites, err := setup.Sites(r.ctx, r.hall(), r.actor, r.scope())
	out := ShownSites{Sites: []ShownSite{}}
	for _, s := range sites {
		one := ShownSite{ID: s.ID, Name: s.Public.Name(), GeneralisedM: s.Public.GeneralisedM()}
		if lat, lon, m, ok := s.Public.Point(); ok {
			one.Latitude, one.Longitude, one.UncertaintyM = &lat, &lon, m
		}
		if s.Full != nil {
			full := setup.SiteOf(*s.Full)
			one.Full = &full
		}
		out.Sites = append(out.Sites, one)
	}
	return out, err
}

// Closing is how far an event is from being closed.
type Closing struct {
	State   string        `json:"state"`
	Hall    []ClosingNeed `json:"hall"`  // what "hall closed" still needs
	Event   []ClosingNeed `json:"event"` // what "event closed" still needs
	Here    []string      `json:"hazards_in_hall"`
	Lost    []string      `json:"hazards_lost"`
	Bagged  int           `json:"hazards_bagged"`
	Dried   int           `json:"hazards_in_dryer"`
	Sent    int           `json:"hazards_sent"`
	History []ClosingLine `json:"history"` // oldest first
}

// ClosingNeed is one thing that is missing.
type ClosingNeed struct {
	Text        string   `json:"text"`
	Where       string   `json:"where"`
	Collections []string `json:"collections,omitempty"`
}

// ClosingLine is that something was closed or opened again.
type ClosingLine struct {
	Kind    string    `json:"kind"` // hall, event, reopened
	At      time.Time `json:"at"`
	By      string    `json:"by"`
	Counted int       `json:"hazards_counted"`
	Words   string    `json:"words,omitempty"`
}

func seeClosing(r *request) (Closing, error) {
	s, err := closing.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return Closing{}, err
	}
	out := Closing{State: s.Event.State, Hall: r.needs(s.Hall), Event: r.needs(s.Finish), Here: numbersOf(s.Hazards.Here), Lost: numbersOf(s.Hazards.Lost),
		Bagged: s.Hazards.Bagged, Dried: s.Hazards.Dried, Sent: s.Hazards.Sent, History: []ClosingLine{}}
	for _, c := range s.History {
		out.History = append(out.History, ClosingLine{Kind: c.Kind, At: c.RecordedAt.Time, By: s.People[c.ClosedBy].Name, Counted: c.HazardsCounted, Words: c.Words})
	}
	return out, nil
}

func (r *request) needs(all []closing.Need) []ClosingNeed {
	out := make([]ClosingNeed, len(all))
	for i, n := range all {
		out[i] = ClosingNeed{Text: r.say().Text(n.Text), Where: string(n.Where), Collections: n.Numbers}
	}
	return out
}

func numbersOf(all []foray.Number) []string {
	out := make([]string, len(all))
	for i, n := range all {
		out[i] = n.String()
	}
	return out
}
