package tables

import (
	"context"
	"slices"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

const (
	card  = "card"
	sheet = "sheet"
)

// Job is a paper that stands in the hall and says what is no longer so.
type Job struct {
	Paper      foray.ID  `json:"paper"`
	Kind       string    `json:"kind"` // swap_card, away_card, swap_sheet
	Number     string    `json:"number,omitempty"`
	Collection foray.ID  `json:"collection,omitzero"`
	Table      string    `json:"table,omitempty"` // where the plate stands now
	Was        string    `json:"was,omitempty"`   // the name that the old one says
	Is         string    `json:"is,omitempty"`
	Ready      bool      `json:"ready"` // a paper that is right has been made
	MadeAt     time.Time `json:"made_at"`
}

// Papers is what is written in the hall against what is so.
type Papers struct {
	Jobs     []Job            `json:"jobs"`
	Sheet    string           `json:"sheet"`   // the digest of the warning sheet as it is now
	Lacking  []string         `json:"lacking"` // numbers on tables without a card
	Standing int              `json:"standing"`
	Tables   []hall.Table     `json:"-"`
	OnTable  map[foray.ID]int `json:"-"`
	Seq      int64            `json:"seq"`
}

// desk of papers: what cards and the sheet would say now, and what those that stand say.
type shelf struct {
	plates  map[foray.ID]hall.Plate
	says    map[foray.ID]string // what a plate's card would say now
	texts   map[foray.ID]hall.CardText
	sheet   string
	papers  []store.Paper
	tables  map[foray.ID]string
	ordered []hall.Plate
	seq     int64
}

func newShelf(l *hall.Look) (*shelf, error) {
	s := &shelf{plates: map[foray.ID]hall.Plate{}, says: map[foray.ID]string{}, texts: map[foray.ID]hall.CardText{}}
	var err error
	if s.ordered, err = l.Plates(); err != nil {
		return nil, err
	}
	writer, err := l.NewCardWriter(s.ordered)
	if err != nil {
		return nil, err
	}
	if s.papers, err = l.Tx.PapersStanding(l.Scope.Society, l.Scope.Event); err != nil {
		return nil, err
	}
	carded := map[foray.ID]bool{}
	for _, p := range s.papers {
		carded[p.CollectionID] = true
	}
	for _, p := range s.ordered {
		s.plates[p.ID] = p
		if p.Whereabouts != foray.OnTable && !carded[p.ID] {
			continue
		}
		s.texts[p.ID] = writer.Write(p)
		if s.says[p.ID], err = s.texts[p.ID].Said(); err != nil {
			return nil, err
		}
	}
	if s.tables, err = l.TableNames(); err != nil {
		return nil, err
	}
	if s.seq, err = l.Tx.ChangeSeq(l.Scope.Society, l.Scope.Event); err != nil {
		return nil, err
	}
	event, err := l.Tx.EventByID(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return nil, err
	}
	made, _, err := l.WarningSheet(event)
	if err != nil {
		return nil, err
	}
	s.sheet, err = hall.TextOfSheet(made).Said()
	return s, err
}

// stands reports whether a plate's card belongs beside it on a table.
func (s *shelf) stands(collection foray.ID) bool {
	p, ok := s.plates[collection]
	return ok && p.Whereabouts == foray.OnTable
}

// right reports whether a standing paper says what is so and where it is so.
func (s *shelf) right(p store.Paper) bool {
	if p.Kind == sheet {
		return p.Said == s.sheet
	}
	return s.stands(p.CollectionID) && p.Said == s.says[p.CollectionID]
}

// hasRight reports whether a paper that is right already stands in the place of a wrong one.
func (s *shelf) hasRight(wrong store.Paper) bool {
	return slices.ContainsFunc(s.papers, func(p store.Paper) bool {
		return p.Kind == wrong.Kind && p.CollectionID == wrong.CollectionID && s.right(p)
	})
}

func (s *shelf) jobs() ([]Job, error) {
	jobs := []Job{}
	for _, p := range s.papers {
		if s.right(p) {
			continue
		}
		j := Job{Paper: p.ID, Kind: "swap_" + p.Kind, Collection: p.CollectionID, Ready: s.hasRight(p), MadeAt: p.MadeAt.Time}
		if p.Kind == card {
			was, err := hall.ReadCard(p.Said)
			if err != nil {
				return nil, err
			}
			j.Number, j.Was, j.Is = was.Number, strings.Join(was.Names, " / "), strings.Join(s.texts[p.CollectionID].Names, " / ")
			j.Table = s.tables[s.plates[p.CollectionID].TableID]
			if !s.stands(p.CollectionID) {
				j.Kind = "away_card"
			}
		}
		jobs = append(jobs, j)
	}
	return jobs, nil
}

// lacking lists the plates on tables that have no card at all.
func (s *shelf) lacking() []hall.Plate {
	has := map[foray.ID]bool{}
	for _, p := range s.papers {
		has[p.CollectionID] = has[p.CollectionID] || p.Kind == card
	}
	return slices.DeleteFunc(slices.Clone(s.ordered), func(p hall.Plate) bool { return p.Whereabouts != foray.OnTable || has[p.ID] })
}

// SeePapers shows the staff which papers are wrong and which are missing.
func SeePapers(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (Papers, error) {
	out := Papers{Lacking: []string{}, OnTable: map[foray.ID]int{}}
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) error {
		if !l.Held.Staff() {
			return hall.NotAllowed(access.PlacePlates)
		}
		s, err := newShelf(l)
		if err != nil {
			return err
		}
		if out.Tables, err = l.Tx.HallTables(scope.Society, scope.Event); err != nil {
			return err
		}
		for _, p := range s.ordered {
			if p.Whereabouts == foray.OnTable {
				out.OnTable[p.TableID]++
			}
		}
		for _, p := range s.lacking() {
			out.Lacking = append(out.Lacking, p.Number().String())
		}
		out.Sheet = hall.Digest(s.sheet)
		out.Standing, out.Seq = len(s.papers), s.seq
		out.Jobs, err = s.jobs()
		return err
	})
	return out, err
}

// Cards asks for cards: of the plates with these numbers, or of every plate on a table whose card is missing or
// wrong, or with Again of every plate there.
type Cards struct {
	Numbers []string `json:"numbers,omitempty"`
	Table   string   `json:"table,omitempty"` // its id or number
	Again   bool     `json:"again,omitempty"` // also those whose card is right, for one that got wet
	ByHand  bool     `json:"by_hand,omitempty"`
}

// Made is cards to be printed, or that were written by hand.
type Made struct {
	Cards []Card `json:"cards"`
}

// Card is a card with the id under which it is registered.
type Card struct {
	Paper foray.ID `json:"paper"`
	hall.CardText
	Table string `json:"table"`
}

// MakeCards registers cards with what they say. An old one stands until somebody says that it was swapped.
func MakeCards(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Cards) (Made, error) {
	cmd.Type, cmd.Body = "card.make.v1", in
	return hall.Do(ctx, h, actor, access.PlacePlates, scope, cmd, func(w *hall.Write) (Made, error) {
		s, err := newShelf(&w.Look)
		if err != nil {
			return Made{}, err
		}
		asked, err := s.asked(w, in)
		if err != nil {
			return Made{}, err
		}
		out := Made{Cards: []Card{}}
		var papers []store.Paper
		for _, p := range asked {
			paper, err := newPaper(w, s, card, in.ByHand)
			if err != nil {
				return Made{}, err
			}
			paper.CollectionID, paper.Said = p.ID, s.says[p.ID]
			papers = append(papers, paper)
			out.Cards = append(out.Cards, Card{Paper: paper.ID, CardText: s.texts[p.ID], Table: s.tables[p.TableID]})
			w.Note("card.make", p.ID, p.Number().String())
		}
		if len(papers) > 0 {
			w.Changed("paper", scope.Event)
		}
		return out, w.Tx.AddPapers(papers)
	})
}

func newPaper(w *hall.Write, s *shelf, kind string, byHand bool) (store.Paper, error) {
	id, err := w.NewID()
	return store.Paper{SocietyID: w.Scope.Society, EventID: w.Scope.Event, ID: id, Kind: kind, ByHand: byHand, ChangeSeq: s.seq,
		MadeBy: w.Actor.Person, MadeAt: w.Stamp()}, err
}

// asked finds the plates on tables that cards are asked for.
func (s *shelf) asked(w *hall.Write, in Cards) ([]hall.Plate, error) {
	var table store.HallTable
	var err error
	if in.Table != "" {
		if table, err = tableOf(w, in.Table); err != nil {
			return nil, err
		}
	}
	wanted := map[foray.ID]bool{}
	if len(in.Numbers) > 0 {
		spots := make([]Spot, len(in.Numbers))
		for i, n := range in.Numbers {
			spots[i].Number = n
		}
		plates, err := platesOf(w, spots)
		if err != nil {
			return nil, err
		}
		for i, p := range plates {
			if !s.stands(p.ID) {
				return nil, fault.Wrong(field(i), "card.not-on-a-table", "number", p.Number().String())
			}
			wanted[p.ID] = true
		}
	}
	has := map[foray.ID]bool{}
	for _, p := range s.papers {
		has[p.CollectionID] = has[p.CollectionID] || p.Kind == card && s.right(p)
	}
	return slices.DeleteFunc(slices.Clone(s.ordered), func(p hall.Plate) bool {
		return p.Whereabouts != foray.OnTable || in.Table != "" && p.TableID != table.ID ||
			len(in.Numbers) > 0 && !wanted[p.ID] || !in.Again && has[p.ID]
	}), nil
}

// Swap says that a wrong paper was taken away and, for a card or sheet that still belongs there, that a right one
// stands instead: one that was made, or with ByHand one that was written on the spot.
type Swap struct {
	Paper  foray.ID `json:"paper"`
	ByHand bool     `json:"by_hand,omitempty"`
}

// Swapped is the answer: how many jobs are left.
type Swapped struct {
	Left int `json:"left"`
}

// SwapPaper closes the job of a paper. It is refused while nothing right has been made to stand in its place.
func SwapPaper(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Swap) (Swapped, error) {
	cmd.Type, cmd.Body = "paper.swap.v1", in
	return hall.Do(ctx, h, actor, access.NameOwn, scope, cmd, func(w *hall.Write) (Swapped, error) {
		if err := w.May(access.PlacePlates, access.TendHazards); err != nil {
			return Swapped{}, err
		}
		old, err := w.Tx.PaperByID(scope.Society, scope.Event, in.Paper)
		if err != nil {
			return Swapped{}, err
		}
		if !old.OutAt.IsZero() {
			return Swapped{}, fault.New(fault.Conflict, "paper.out-already")
		}
		s, err := newShelf(&w.Look)
		if err != nil {
			return Swapped{}, err
		}
		if err := s.replace(w, old, in.ByHand); err != nil {
			return Swapped{}, err
		}
		if err := w.Tx.TakePaperOut(old, w.Actor.Person, w.Stamp()); err != nil {
			return Swapped{}, err
		}
		w.Note("paper.swap", old.CollectionID, old.Said)
		w.Changed("paper", scope.Event)
		jobs, err := s.jobs()
		return Swapped{Left: max(0, len(jobs)-1)}, err
	})
}

// replace makes sure that what is taken away is not missed: a card of a plate that has left the table is not.
func (s *shelf) replace(w *hall.Write, old store.Paper, byHand bool) error {
	if s.hasRight(old) || old.Kind == card && !s.stands(old.CollectionID) {
		return nil
	}
	if !byHand || old.Kind == sheet {
		return fault.New(fault.Refused, "paper.nothing-right")
	}
	paper, err := newPaper(w, s, card, true)
	if err != nil {
		return err
	}
	paper.CollectionID, paper.Said = old.CollectionID, s.says[old.CollectionID]
	return w.Tx.AddPapers([]store.Paper{paper})
}

// Hung is the answer to a sheet that was printed and hung up.
type Hung struct {
	Paper foray.ID `json:"paper"`
}

// Hang is a warning sheet that was printed; Digest is of what it says, as the sheet's page gives it.
type Hang struct {
	Digest string `json:"digest"`
}

// HangSheet registers a printed warning sheet with what it says. One that would say something else by now is refused,
// so that no old print is taken for a new one.
func HangSheet(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Hang) (Hung, error) {
	cmd.Type, cmd.Body = "sheet.hang.v1", in
	return hall.Do(ctx, h, actor, access.NameOwn, scope, cmd, func(w *hall.Write) (Hung, error) {
		if err := w.May(access.PlacePlates, access.TendHazards); err != nil {
			return Hung{}, err
		}
		s, err := newShelf(&w.Look)
		if err != nil {
			return Hung{}, err
		}
		if hall.Digest(s.sheet) != in.Digest {
			return Hung{}, fault.New(fault.Conflict, "sheet.changed-since")
		}
		paper, err := newPaper(w, s, sheet, false)
		if err != nil {
			return Hung{}, err
		}
		paper.Said = s.sheet
		w.Note("sheet.hang", paper.ID, "")
		w.Changed("paper", scope.Event)
		return Hung{Paper: paper.ID}, w.Tx.AddPapers([]store.Paper{paper})
	})
}

// SeeCards shows the staff registered cards as they were made, to be printed.
func SeeCards(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, papers []foray.ID) ([]Card, error) {
	var cards []Card
	err := h.View(ctx, actor, access.PlacePlates, scope, func(l *hall.Look) error {
		tables, err := l.TableNames()
		if err != nil {
			return err
		}
		for _, id := range papers {
			p, err := l.Tx.PaperByID(scope.Society, scope.Event, id)
			if err != nil {
				return err
			}
			if p.Kind != card {
				continue
			}
			text, err := hall.ReadCard(p.Said)
			if err != nil {
				return err
			}
			c, err := l.Tx.CollectionByID(scope.Society, scope.Event, p.CollectionID)
			if err != nil {
				return err
			}
			cards = append(cards, Card{Paper: p.ID, CardText: text, Table: tables[c.TableID]})
		}
		return nil
	})
	return cards, err
}
