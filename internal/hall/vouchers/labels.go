package vouchers

import (
	"context"
	"io"
	"slices"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/printing"
	"forayhall/internal/store"
)

// LabelPrint is which numbers are printed, and how.
type LabelPrint struct {
	From, To int // a range; both 0: the event's blocks
	Block    int // a number of the block that is meant; 0: all of them
	Stock    printing.Stock
	Skip     int // labels of the first page that are used up
	Say      message.Printer
	Code     func(label string) string // what stands before or around a label's code; nil: the code alone
}

// LabelsPrinted is what was printed.
type LabelsPrinted struct {
	Numbers int
	Pages   int
}

// MostLabels is how many numbers one printing takes: two pads of a national foray.
const MostLabels = 2000

// PrintLabels writes number labels as a PDF, one after the other and two of each: for the slip, and for its stub.
func PrintLabels(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, in LabelPrint, w io.Writer) (LabelsPrinted, error) {
	run := printing.LabelRun{Stock: in.Stock, Skip: in.Skip, Say: in.Say, At: h.Now()}
	var labels []printing.NumberLabel
	err := h.View(ctx, actor, access.RemovePlates, scope, func(l *hall.Look) error {
		event, err := l.Tx.EventByID(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		society, err := l.Tx.SocietyByID(scope.Society)
		if err != nil {
			return err
		}
		run.Title, run.Owner = in.Say.Say("printing.label.title", "event", event.Code), society.Name
		blocks, err := l.Tx.NumberBlocks(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		if len(blocks) == 0 {
			if blocks, err = borne(l); err != nil {
				return err
			}
		}
		numbers, err := in.numbers(blocks)
		labels = in.labels(event, numbers)
		return err
	})
	if err != nil {
		return LabelsPrinted{}, err
	}
	pages, err := printing.Labels(w, labels, run)
	return LabelsPrinted{Numbers: len(labels), Pages: pages}, err
}

// borne is the run of numbers that finds bear, which stands for a block where none was handed out, as in the ledger.
func borne(l *hall.Look) ([]store.NumberBlock, error) {
	finds, err := l.Tx.Collections(l.Scope.Society, l.Scope.Event)
	if err != nil || len(finds) == 0 {
		return nil, err
	}
	return []store.NumberBlock{{FromNumber: finds[0].NumberBase, ToNumber: finds[len(finds)-1].NumberBase}}, nil
}

// numbers lists what is printed, in order and each once.
func (in LabelPrint) numbers(blocks []store.NumberBlock) ([]int, error) {
	if in.From == 0 && in.To == 0 {
		return in.ofBlocks(blocks)
	}
	from, to := in.From, in.To
	if to == 0 {
		to = from
	}
	switch {
	case from < 1 || to < from || to > foray.MaxNumber:
		return nil, fault.Wrong("to", "label.range", "most", foray.MaxNumber)
	case to-from >= MostLabels:
		return nil, fault.Wrong("to", "label.many", "most", MostLabels)
	}
	return run(nil, from, to), nil
}

func (in LabelPrint) ofBlocks(blocks []store.NumberBlock) (numbers []int, err error) {
	for _, b := range blocks {
		if in.Block != 0 && (in.Block < b.FromNumber || in.Block > b.ToNumber) {
			continue
		}
		if b.ToNumber-b.FromNumber >= MostLabels || len(numbers) > MostLabels {
			return nil, fault.Wrong("to", "label.many", "most", MostLabels)
		}
		numbers = run(numbers, b.FromNumber, b.ToNumber)
	}
	slices.Sort(numbers)
	numbers = slices.Compact(numbers)
	switch {
	case len(numbers) > MostLabels:
		return nil, fault.Wrong("to", "label.many", "most", MostLabels)
	case len(numbers) == 0 && in.Block != 0:
		return nil, fault.Wrong("block", "label.no-block", "number", foray.Number{Base: in.Block}.String())
	case len(numbers) == 0:
		return nil, fault.Wrong("from", "label.no-blocks")
	}
	return numbers, nil
}

func run(numbers []int, from, to int) []int {
	for n := from; n <= to; n++ {
		numbers = append(numbers, n)
	}
	return numbers
}

func (in LabelPrint) labels(event store.Event, numbers []int) []printing.NumberLabel {
	labels := make([]printing.NumberLabel, len(numbers))
	for i, base := range numbers {
		n := foray.Number{Base: base}
		code := foray.LabelCode(event.Code, n)
		if in.Code != nil {
			code = in.Code(code)
		}
		labels[i] = printing.NumberLabel{Event: event.Code, Number: n.String(), Check: string(foray.CheckCharacter(event.Code, n)), Code: code}
	}
	return labels
}
