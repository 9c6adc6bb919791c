package tables

import (
	"context"
	"io"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/printing"
)

// CardPrint is how cards are printed.
type CardPrint struct {
	Stock printing.Stock
	Skip  int // labels of the first page that are used up
	Say   message.Printer
	Code  func(Card) string // the address behind the code of a card; nil: no code
}

// CardsNow is what the cards of all plates on tables would say, for whoever prints them elsewhere. None is registered.
func CardsNow(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) ([]Card, error) {
	var cards []Card
	err := h.View(ctx, actor, access.PlacePlates, scope, func(l *hall.Look) error {
		s, err := newShelf(l)
		if err != nil {
			return err
		}
		for _, p := range s.ordered {
			if s.stands(p.ID) {
				cards = append(cards, Card{CardText: s.texts[p.ID], Table: s.tables[p.TableID]})
			}
		}
		return nil
	})
	return cards, err
}

// PrintCards writes cards as a PDF, in the order of their tables, and says what had no room.
func PrintCards(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cards []Card, in CardPrint, w io.Writer) (printing.Report, error) {
	var code string
	run := printing.CardRun{Stock: in.Stock, Skip: in.Skip, Say: in.Say, At: h.Now()}
	err := h.View(ctx, actor, access.PlacePlates, scope, func(l *hall.Look) error {
		event, err := l.Tx.EventByID(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		society, err := l.Tx.SocietyByID(scope.Society)
		code = event.Code
		run.Title, run.Owner = in.Say.Say("pages.cards.title")+" "+event.Code, society.Name
		return err
	})
	if err != nil {
		return printing.Report{}, err
	}
	set := make([]printing.Card, len(cards))
	for i, c := range cards {
		set[i] = onCard(h, c, in)
		set[i].Number = code + " " + c.Number
	}
	return printing.Cards(w, set, run)
}

func onCard(h *hall.Hall, c Card, in CardPrint) printing.Card {
	out := printing.Card{Number: c.Number, Group: in.Say.Say("pages.group." + c.Group), Common: c.Common, Family: c.Family, State: printing.State(c.State),
		Notice: notice(c.CardText, in.Say), Collector: c.Collector, Place: c.Place, Host: c.Host, Substrate: substrate(c.Substrate, in.Say),
		Determiner: c.Determiner}
	for i, name := range c.Names {
		author := ""
		if i < len(c.Authors) {
			author = c.Authors[i]
		}
		out.Names = append(out.Names, h.SetName(name, author))
	}
	if c.Current != "" {
		out.Current = h.SetName(c.Current, "")
	}
	switch {
	case c.NoEntry:
		out.Hazard = &printing.Hazard{}
	case c.Severity > 0:
		out.Hazard = &printing.Hazard{Severity: c.Severity, Syndrome: c.Syndrome}
	}
	for _, d := range c.Doubles {
		out.Doubles = append(out.Doubles, printing.CardDouble{Name: h.SetName(d.Name, ""), Table: d.Table})
	}
	if in.Code != nil {
		out.Link = in.Code(c)
	}
	return out
}

func substrate(key string, say message.Printer) string {
	if text := "pages.substrate." + key; key != "" && message.Has(text) {
		return say.Say(text)
	}
	return key
}

// notice is what to look at on the plate: the signs of what is dangerous with what was seen of them, else what tells the
// name from its most dangerous double.
func notice(c hall.CardText, say message.Printer) string {
	if len(c.Signs) == 0 {
		return c.Notice
	}
	seen := map[string]foray.Seen{}
	for _, l := range c.Looked {
		seen[l.Words] = l.Answer
	}
	signs := make([]string, len(c.Signs))
	for i, sign := range c.Signs {
		answer, asked := seen[sign]
		if !asked {
			signs[i] = sign
			continue
		}
		signs[i] = say.Say("pages.signs.answer", "sign", sign, "answer", message.T("pages.signs."+string(answer)))
	}
	return strings.Join(signs, "; ")
}
