package tables

import (
	"context"
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
	Table      string    `json:"table,omitempty"` // where the plate stands now, or stood last
	Was        string    `json:"was,omitempty"`   // the name that the old one says
	Is         string    `json:"is,omitempty"`
	Differs    []string  `json:"differs,omitempty"` // in what a card does: names, state, hazard, doubles, signs, field
	Ready      bool      `json:"ready"`             // a paper that is right has been made
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

// Seen is a printed paper as whoever reads its code sees it.
type Seen struct {
	Paper  store.Paper
	Right  bool   // it says what is so
	Number string // of the plate, for a card
	Was    string // the name on a card
	Is     string // and what the plate is called now; empty where it stands on no table any more
	Where  string // the table on which the plate stands
}

// SeePaper shows anybody who reads the code on a card or a sheet whether it still says what is so.
func SeePaper(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, id foray.ID) (Seen, error) {
	var out Seen
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) (err error) {
		if out.Paper, err = l.Tx.PaperByID(scope.Society, scope.Event, id); err != nil {
			return err
		}
		s, err := newShelf(l)
		if err != nil {
			return err
		}
		out.Right = out.Paper.OutAt.IsZero() && s.right(out.Paper)
		if out.Paper.Kind != card {
			return nil
		}
		was, err := hall.ReadCard(out.Paper.Said)
		if err != nil {
			return err
		}
		out.Number, out.Was = was.Number, strings.Join(was.Names, " / ")
		if s.stands(out.Paper.CollectionID) {
			out.Is, out.Where = strings.Join(s.texts[out.Paper.CollectionID].Names, " / "), s.tables[s.plates[out.Paper.CollectionID].TableID]
		}
		return nil
	})
	return out, err
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
