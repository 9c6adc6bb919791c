package hall

import (
	"slices"

	"forayhall/internal/foray"
	"forayhall/internal/store"
)

// Ledger is every number of an event and what became of it.
type Ledger struct {
	Event   store.Event
	Entries []foray.Entry
	Counts  map[foray.Fate]int // of all, also those that a filter leaves out
	Blocks  []Handout
	Next    map[foray.Number][]foray.Number // what a number was split or merged into
	Borne   map[foray.Number]bool           // what is or was a plate
	People  map[foray.ID]store.Person
	Teams   []store.Team
}

// Handout is a block with what became of its numbers.
type Handout struct {
	store.NumberBlock
	Counts map[foray.Fate]int
}

// Unaccounted is how many numbers were handed out of which nobody has said anything.
func (l Ledger) Unaccounted() int { return l.Counts[foray.Open] }

// Ledger reads every number of the scope's event and what became of it.
func (l *Look) Ledger() (Ledger, error) {
	var ledger Ledger
	rows, err := readNumbers(l)
	if err != nil {
		return ledger, err
	}
	ledger.Event, ledger.Teams, ledger.People, ledger.Next = rows.event, rows.teams, rows.people, rows.next()
	ledger.Entries = foray.Ledger(Blocks(rows.blocks), rows.borne(), rows.said())
	ledger.Borne = make(map[foray.Number]bool, len(rows.collections))
	for _, c := range rows.collections {
		ledger.Borne[c.Number()] = true
	}
	ledger.Counts = foray.Counted(ledger.Entries)
	for _, b := range rows.blocks {
		ledger.Blocks = append(ledger.Blocks, Handout{b, countsIn(ledger.Entries, b)})
	}
	return ledger, nil
}

// countsIn is what became of the numbers of one block; a run that reaches beyond it counts as far as it lies within.
func countsIn(entries []foray.Entry, b store.NumberBlock) map[foray.Fate]int {
	n := map[foray.Fate]int{}
	for _, e := range entries {
		if from, to := max(e.From.Base, b.FromNumber), min(e.To.Base, b.ToNumber); from <= to {
			n[e.Fate] += to - from + 1
		}
	}
	return n
}

// numbers is the rows that a ledger is made of.
type numbers struct {
	event       store.Event
	blocks      []store.NumberBlock
	collections []store.Collection
	fates       []store.NumberFate
	links       []store.CollectionLink
	newest      map[foray.ID]store.Placement
	teams       []store.Team
	people      map[foray.ID]store.Person
}

func readNumbers(l *Look) (r numbers, err error) {
	society, event := l.Scope.Society, l.Scope.Event
	if r.event, err = l.Tx.EventByID(society, event); err != nil {
		return r, err
	}
	if r.blocks, err = l.Tx.NumberBlocks(society, event); err != nil {
		return r, err
	}
	if r.collections, err = l.Tx.Collections(society, event); err != nil {
		return r, err
	}
	if r.fates, err = l.Tx.NumberFates(society, event); err != nil {
		return r, err
	}
	if r.links, err = l.Tx.CollectionLinks(society, event); err != nil {
		return r, err
	}
	if r.teams, err = l.Tx.Teams(society, event); err != nil {
		return r, err
	}
	if r.people, err = l.PeopleNames(); err != nil {
		return r, err
	}
	placements, err := l.Tx.NewestPlacements(society, event)
	r.newest = make(map[foray.ID]store.Placement, len(placements))
	for _, p := range placements {
		r.newest[p.CollectionID] = p
	}
	return r, err
}

// borne is the collections as the ledger knows them: who logged a plate, or put it where it is gone, split it, merged it
// or marked it as spoilt.
func (r numbers) borne() []foray.Borne {
	said := map[foray.Number]foray.Word{}
	for _, f := range r.fates {
		said[foray.Number{Base: f.NumberBase, Suffix: f.NumberSuffix}] = foray.Word{By: f.SaidBy, At: f.RecordedAt.Time, Reason: f.Reason}
	}
	linked := map[foray.ID]foray.Word{}
	for _, l := range r.links {
		linked[l.FromID] = foray.Word{By: l.LinkedBy, At: l.RecordedAt.Time, Reason: l.Reason}
	}
	all := make([]foray.Borne, len(r.collections))
	for i, c := range r.collections {
		b := foray.Borne{Number: c.Number(), Fate: foray.Fate(c.Fate), Where: c.Whereabouts, Word: foray.Word{By: c.LoggedBy, At: c.RecordedAt.Time}}
		switch placed, moved := r.newest[c.ID]; {
		case c.Fate == store.Split || c.Fate == store.Merged:
			b.Word = linked[c.ID]
		case c.Fate == store.Spoilt:
			b.Word = said[c.Number()]
		case moved && (c.Whereabouts == foray.Lost || c.Whereabouts == foray.Discarded):
			b.Word = foray.Word{By: placed.PlacedBy, At: placed.RecordedAt.Time}
		}
		all[i] = b
	}
	return all
}

func (r numbers) said() []foray.Said {
	all := make([]foray.Said, len(r.fates))
	for i, f := range r.fates {
		all[i] = foray.Said{Number: foray.Number{Base: f.NumberBase, Suffix: f.NumberSuffix}, Fate: f.Fate,
			Word: foray.Word{By: f.SaidBy, At: f.RecordedAt.Time, Reason: f.Reason}}
	}
	return all
}

func (r numbers) next() map[foray.Number][]foray.Number {
	of := map[foray.ID]foray.Number{}
	for _, c := range r.collections {
		of[c.ID] = c.Number()
	}
	next := map[foray.Number][]foray.Number{}
	for _, l := range r.links {
		next[of[l.FromID]] = append(next[of[l.FromID]], of[l.IntoID])
	}
	for _, into := range next {
		slices.SortFunc(into, foray.Number.Compare)
	}
	return next
}

// Blocks is the runs of numbers that were handed out, as the rules know them.
func Blocks(rows []store.NumberBlock) []foray.Block {
	blocks := make([]foray.Block, len(rows))
	for i, b := range rows {
		blocks[i] = foray.Block{From: b.FromNumber, To: b.ToNumber, Team: b.TeamID}
	}
	return blocks
}
