package tables

import (
	"context"
	"slices"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

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
