package main

import (
	"context"
	"io"
	"strings"

	"forayhall/internal/fault"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
	"forayhall/internal/message"
	"forayhall/internal/printing"
)

// eventPath is a page of the event under the public address of the installation; empty where that is not known.
func (x exportCall) eventPath(path string) string {
	if x.public == "" {
		return ""
	}
	return x.public + "/" + x.at.Society.Code + "/" + x.at.Event.Code + path
}

func exportWarningsPDF(ctx context.Context, x exportCall, w io.Writer) error {
	in := safety.Print{Paper: printing.Paper{Size: x.size, Large: x.large, Say: x.env.say}, Code: x.eventPath("/warnings")}
	if err := safety.PrintSheet(ctx, x.Hall, x.actor, x.at.Scope, in, w); err != nil {
		return err
	}
	x.noteCode()
	return nil
}

// noteCode says why there is no code on what was printed.
func (x exportCall) noteCode() {
	if x.public == "" {
		x.env.note(message.T("cli.export-no-code"))
	}
}

func exportWarningsCSV(ctx context.Context, x exportCall, w io.Writer) error {
	s, err := safety.WarningSheet(ctx, x.Hall, x.actor, x.at.Scope)
	if err != nil {
		return err
	}
	return safety.WriteCSV(w, s.Sheet, x.env.say)
}

// exportCardsPDF prints the cards of all plates on tables. They are not registered: only what is made in the hall is.
func exportCardsPDF(ctx context.Context, x exportCall, w io.Writer) error {
	cards, err := tables.CardsNow(ctx, x.Hall, x.actor, x.at.Scope)
	if err != nil {
		return err
	}
	in := tables.CardPrint{Say: x.env.say, Code: func(c tables.Card) string { return x.eventPath("/n/" + c.Number) }}
	if in.Stock, err = x.cardStock(ctx); err != nil {
		return err
	}
	report, err := tables.PrintCards(ctx, x.Hall, x.actor, x.at.Scope, cards, in, w)
	if err != nil {
		return err
	}
	for _, c := range report.Cards {
		x.env.note(message.T("cli.export-card-short", "number", c.Number))
	}
	x.noteCode()
	x.env.note(message.T("cli.export-cards", "n", len(cards), "stock", in.Stock.Name))
	return nil
}

func (x exportCall) cardStock(ctx context.Context) (printing.Stock, error) {
	stocks, err := setup.Stocks(ctx, x.Hall, x.actor, x.at.Scope)
	if err != nil {
		return printing.Stock{}, err
	}
	var names []string
	for _, s := range stocks {
		if s.Name == x.stock || x.stock == "" && s.CutMarks && strings.HasPrefix(s.Name, string(x.size)) {
			return s.Stock, nil
		}
		names = append(names, s.Name)
	}
	return printing.Stock{}, fault.New(fault.Invalid, "cli.stock-unknown", "stock", x.stock, "stocks", strings.Join(names, "; "))
}
