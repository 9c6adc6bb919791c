package main

import (
	"context"
	"io"
	"strings"

	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/vouchers"
	"forayhall/internal/message"
	"forayhall/internal/printing"
)

// labelFlags is which numbers are printed on labels, and whether packets are folded.
type labelFlags struct {
	from, to, block *int
	fold            *bool
}

func (f *flags) labels() labelFlags {
	of := func(name string) *int { return f.Int(name, 0, f.about("label-"+name)) } // of numbers; another command has days
	return labelFlags{from: of("from"), to: of("to"), block: of("block"), fold: f.yes("fold")}
}

// codeAt puts a label's code behind the public address of the installation, where that is known.
func (x exportCall) codeAt(label string) string {
	if x.public == "" {
		return label
	}
	return x.eventPath("/n/" + label)
}

// exportLabelsPDF prints number labels for slips: a range, one block, or all blocks of the event.
func exportLabelsPDF(ctx context.Context, x exportCall, w io.Writer) error {
	stock, err := x.labelStock(ctx)
	if err != nil {
		return err
	}
	done, err := vouchers.PrintLabels(ctx, x.Hall, x.actor, x.at.Scope, vouchers.LabelPrint{From: *x.labels.from, To: *x.labels.to, Block: *x.labels.block,
		Stock: stock, Say: x.env.say, Code: x.codeAt}, w)
	if err == nil {
		x.env.note(message.T("cli.export-labels", "n", done.Numbers, "pages", done.Pages, "stock", stock.Name))
	}
	return err
}

// labelStock is the stock that was asked for, else the one of the size that takes the most labels.
func (x exportCall) labelStock(ctx context.Context) (printing.Stock, error) {
	if x.stock != "" {
		return x.cardStock(ctx)
	}
	stocks, err := setup.Stocks(ctx, x.Hall, x.actor, x.at.Scope)
	best := printing.Stock{}
	for _, s := range stocks {
		if !s.Own() && strings.HasPrefix(s.Name, string(x.size)) && s.PerPage() > best.PerPage() {
			best = s.Stock
		}
	}
	return best, err
}

// exportPacketsPDF prints the packets of every voucher that was chosen.
func exportPacketsPDF(ctx context.Context, x exportCall, w io.Writer) error {
	in, on := vouchers.PacketPrint{Say: x.env.say, Code: x.codeAt}, string(x.size)
	if *x.labels.fold {
		in.Fold = x.size
	} else {
		stock, err := x.cardStock(ctx)
		if err != nil {
			return err
		}
		in.Stock, on = stock, stock.Name
	}
	done, err := vouchers.PrintPackets(ctx, x.Hall, x.actor, x.at.Scope, in, w)
	if err != nil {
		return err
	}
	for _, p := range done.Cards {
		x.env.note(message.T("cli.export-card-short", "number", p.Number))
	}
	x.env.note(message.T("cli.export-packets", "n", done.Packets, "stock", on))
	return nil
}
