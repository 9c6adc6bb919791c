package demo

import (
	"context"
	"fmt"

	"forayhall/internal/foray"
	"forayhall/internal/hall/tables"
	"forayhall/internal/hall/vouchers"
)

// readDryers reads dryers as they are set up, and what their thermometers show: a row with a temperature is a reading.
func (e *event) readDryers() error {
	return e.acts("dryers", "name,rows,trays,places,celsius,words", func(r *row) act {
		if c := r.real("celsius"); c != nil {
			return using(vouchers.Temperature{Dryer: r.text("name"), Celsius: *c, Words: r.text("words")}, vouchers.ReadTemperature)
		}
		in := vouchers.NewDryer{Name: r.text("name"), Trays: r.words("trays"), Places: r.whole("places")}
		if n := r.maybe("rows"); n != nil {
			in.Rows = *n
		}
		return using(in, vouchers.AddDryer)
	})
}

// readVouchers reads what is kept, and what becomes of it. Numbers of one row are done with together.
func (e *event) readVouchers() error {
	return e.acts("vouchers", "what,numbers,reason,fruitbodies,tissue,code,held_at,marker,dated,words", func(r *row) act {
		k := kept{what: r.text("what"), numbers: r.words("numbers"), choose: vouchers.Choose{Reason: foray.VoucherReason(r.text("reason")), Fruitbodies: r.maybe("fruitbodies"),
			Tissue: r.yes("tissue"), Words: r.text("words")}, words: r.text("words"),
			code: vouchers.Code{Code: r.text("code"), HeldAt: r.text("held_at"), Marker: r.text("marker"), Dated: r.text("dated")}}
		return k.done
	})
}

// kept is one row of what is done with vouchers.
type kept struct {
	what    string
	numbers []string
	choose  vouchers.Choose
	code    vouchers.Code
	words   string
}

func (k kept) done(ctx context.Context, b *book, by string) error {
	switch k.what {
	case "choose":
		for _, k.choose.Number = range k.numbers {
			if err := using(k.choose, vouchers.ChooseVoucher)(ctx, b, by); err != nil {
				return err
			}
		}
		return nil
	case "drop":
		return using(vouchers.Word{Number: k.numbers[0], Words: k.words}, vouchers.DropVoucher)(ctx, b, by)
	case "pack":
		return using(vouchers.Pack{Numbers: k.numbers, Words: k.words}, vouchers.PackVouchers)(ctx, b, by)
	case "freeze", "thaw":
		return using(vouchers.Freeze{Numbers: k.numbers, Out: k.what == "thaw"}, vouchers.FreezeVouchers)(ctx, b, by)
	case string(foray.OwnNumber), string(foray.Accession), string(foray.Tissue), string(foray.Sequence):
		k.code.Kind = foray.CodeKind(k.what)
		return using(vouchers.NewCode{Number: k.numbers[0], Code: k.code}, vouchers.AddCode)(ctx, b, by)
	}
	b.stale = append(b.stale, k.numbers...)
	return k.moves(ctx, b, by)
}

// moves is what is done with vouchers that changes where they are.
func (k kept) moves(ctx context.Context, b *book, by string) error {
	switch k.what {
	case "out":
		return using(vouchers.TakeOut{Numbers: k.numbers, Dry: true, Words: k.words}, vouchers.TakeOutOfDryer)(ctx, b, by)
	case "send":
		return using(vouchers.Send{Numbers: k.numbers, Institution: k.code.HeldAt, With: k.words}, vouchers.SendVouchers)(ctx, b, by)
	case "discard":
		in := tables.Several{Where: foray.Discarded}
		for _, n := range k.numbers {
			in.Plates = append(in.Plates, tables.Spot{Number: n})
		}
		return using(in, tables.PlaceSeveral)(ctx, b, by)
	}
	return fmt.Errorf("%q is done with no voucher", k.what)
}
