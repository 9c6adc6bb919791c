package api

import (
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/hall/desk"
)

// Desk is what a device at the desk needs before the next basket is emptied.
type Desk struct {
	Number     string   `json:"number"` // offered; another may be written
	Block      *Block   `json:"block,omitempty"`
	Groups     []string `json:"groups"` // by the organiser's order, or as they come
	Often      []string `json:"often"`  // most used first
	Characters []string `json:"characters"`
	Teams      []Team   `json:"teams"`
	Sites      []Place  `json:"sites"`
	AtDesk     []string `json:"at_desk"`
	Incomplete int      `json:"incomplete"`
}

// Place is a site with what its permit asks for.
type Place struct {
	Site
	CountNeeded bool `json:"count_needed"`
}

// Block is a run of numbers that was handed out.
type Block struct {
	From     int            `json:"from"`
	To       int            `json:"to"`
	Team     foray.ID       `json:"team,omitzero"`
	IssuedTo string         `json:"issued_to,omitempty"`
	IssuedBy string         `json:"issued_by,omitempty"`
	IssuedAt time.Time      `json:"issued_at,omitzero"`
	Counts   map[string]int `json:"counts"` // by fate
}

func seeDesk(r *request) (Desk, error) {
	team := r.echo.QueryParam("team")
	last, err := r.number("last", 0, 0, foray.MaxNumber)
	if err != nil {
		return Desk{}, err
	}
	ready, err := desk.GetReady(r.ctx, r.hall(), r.actor, r.scope(), team, int(last))
	d := Desk{Number: ready.Number.String(), Groups: ready.Groups, Often: ready.Often, Characters: desk.Noted, Teams: []Team{}, Sites: []Place{},
		AtDesk: []string{}, Incomplete: ready.Incomplete}
	if b := ready.Block; b != nil {
		d.Block = &Block{From: b.FromNumber, To: b.ToNumber, Team: b.TeamID, IssuedTo: b.IssuedTo, IssuedAt: b.IssuedAt.Time}
	}
	for _, t := range ready.Teams {
		d.Teams = append(d.Teams, Team{ID: t.ID, Number: t.Number, Name: t.Name})
	}
	for _, s := range ready.Sites {
		d.Sites = append(d.Sites, Place{Site{ID: s.ID, Code: s.Code, Name: s.Name}, s.CountNeeded})
	}
	for _, n := range ready.AtDesk {
		d.AtDesk = append(d.AtDesk, n.String())
	}
	return d, err
}

// Lacking is one field slip that is not whole.
type Lacking struct {
	ID      foray.ID `json:"id"`
	Number  string   `json:"number"`
	Group   string   `json:"group"`
	Missing []string `json:"missing"` // of team, site, collector, picked, substrate, count
}

// Incomplete is the field slips that are not whole.
type Incomplete struct {
	All   int       `json:"all"` // field slips of the event
	Slips []Lacking `json:"slips"`
}

func seeIncomplete(r *request) (Incomplete, error) {
	s, err := desk.Incomplete(r.ctx, r.hall(), r.actor, r.scope())
	out := Incomplete{All: s.All, Slips: []Lacking{}}
	for _, l := range s.Lacking {
		out.Slips = append(out.Slips, Lacking{ID: l.Plate.ID, Number: l.Plate.Number().String(), Group: l.Plate.FormGroup, Missing: l.Missing})
	}
	return out, err
}

// Numbers is the ledger: every number that was handed out or used has exactly one fate.
type Numbers struct {
	Unaccounted int            `json:"unaccounted"`
	Counts      map[string]int `json:"counts"`
	Blocks      []Block        `json:"blocks"`
	Entries     []Numbered     `json:"entries"`
}

// Numbered is one line of the ledger: a number, or a run of numbers that nobody has said anything of.
type Numbered struct {
	Number  string    `json:"number"`
	To      string    `json:"to,omitempty"`
	Fate    string    `json:"fate"` // open, unused, spoilt, live, split, merged, discarded, lost
	Into    []string  `json:"into,omitempty"`
	By      string    `json:"by,omitempty"`
	At      time.Time `json:"at,omitzero"`
	Reason  string    `json:"reason,omitempty"`
	Outside bool      `json:"outside"` // in no block that was handed out
}

func seeNumbers(r *request) (Numbers, error) {
	l, err := desk.SeeLedger(r.ctx, r.hall(), r.actor, r.scope())
	out := Numbers{Unaccounted: l.Unaccounted(), Counts: byFate(l.Counts), Blocks: []Block{}, Entries: []Numbered{}}
	for _, b := range l.Blocks {
		out.Blocks = append(out.Blocks, Block{From: b.FromNumber, To: b.ToNumber, Team: b.TeamID, IssuedTo: b.IssuedTo, IssuedBy: l.People[b.IssuedBy].Name,
			IssuedAt: b.IssuedAt.Time, Counts: byFate(b.Counts)})
	}
	for _, e := range l.Entries {
		n := Numbered{Number: e.From.String(), Fate: string(e.Fate), By: l.People[e.By].Name, At: e.At, Reason: e.Reason, Outside: e.Outside}
		if e.To != e.From {
			n.To = e.To.String()
		}
		for _, into := range l.Next[e.From] {
			n.Into = append(n.Into, into.String())
		}
		out.Entries = append(out.Entries, n)
	}
	return out, err
}

func byFate(counts map[foray.Fate]int) map[string]int {
	out := make(map[string]int, len(foray.Fates))
	for _, f := range foray.Fates {
		out[string(f)] = counts[f]
	}
	return out
}
