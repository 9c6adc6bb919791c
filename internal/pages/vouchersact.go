package pages

import (
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/vouchers"
	"forayhall/internal/message"
	"forayhall/web/view"
)

// kept is how many fruitbodies are kept; nothing written is not said.
func (w *reading) kept(name string) *int {
	text := w.r.value(name)
	if text == "" {
		return nil
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		w.wrong[name] = message.T("voucher.fruitbodies", "most", foray.MostKept)
	}
	return &n
}

func (r *request) choose(cmd hall.Command, number string) (vouchers.Said, error) {
	w := r.reading()
	in := vouchers.Choose{Number: number, Reason: foray.VoucherReason(r.value("reason")), Fruitbodies: w.kept("fruitbodies"), Tissue: r.ticked("tissue"), Words: r.value("words")}
	if err := w.err(); err != nil {
		return vouchers.Said{}, err
	}
	return vouchers.ChooseVoucher(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
}

func chooseVoucher(r *request) (string, templ.Component, error) {
	return r.doVouchers(view.FormVoucherChoose, func(cmd hall.Command) (vouchers.Said, error) { return r.choose(cmd, r.value("number")) })
}

func loadDryer(r *request) (string, templ.Component, error) {
	return r.doVouchers(view.FormVoucherLoad, func(cmd hall.Command) (vouchers.Said, error) {
		in := vouchers.Load{Dryer: r.value("dryer"), Plates: loadings(r.value("numbers"), r.at.Event.Code), Reason: foray.VoucherReason(r.value("reason"))}
		done, err := vouchers.LoadDryer(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		said := vouchers.Said{}
		for _, p := range done.Plates {
			said.Numbers = append(said.Numbers, p.Number)
		}
		return said, err
	})
}

func takeOutOfDryer(r *request) (string, templ.Component, error) {
	return r.doVouchers(view.FormVoucherOut, func(cmd hall.Command) (vouchers.Said, error) {
		return vouchers.TakeOutOfDryer(r.ctx, r.hall(), r.actor, r.scope(), cmd, vouchers.TakeOut{Numbers: numbersTyped(r.value("numbers"), r.at.Event.Code),
			Dry: r.ticked("dry"), Where: foray.Whereabouts(r.value("where"))})
	})
}

func actOnPackets(r *request) (string, templ.Component, error) {
	return r.doVouchers(view.FormVoucherPacks, func(cmd hall.Command) (vouchers.Said, error) {
		form, err := r.echo.FormParams()
		if err != nil {
			return vouchers.Said{}, unreadable(err)
		}
		numbers := form["plate"]
		switch act := foray.VoucherAct(r.value("act")); act {
		case foray.VoucherPacked:
			return vouchers.PackVouchers(r.ctx, r.hall(), r.actor, r.scope(), cmd, vouchers.Pack{Numbers: numbers})
		case foray.FreezerIn, foray.FreezerOut:
			return vouchers.FreezeVouchers(r.ctx, r.hall(), r.actor, r.scope(), cmd, vouchers.Freeze{Numbers: numbers, Out: act == foray.FreezerOut})
		case foray.VoucherSent:
			return vouchers.SendVouchers(r.ctx, r.hall(), r.actor, r.scope(), cmd, vouchers.Send{Numbers: numbers, Institution: r.value("institution"), With: r.value("with")})
		}
		return vouchers.Said{}, fault.Wrong("act", "voucher.act-missing")
	})
}

func addDryer(r *request) (string, templ.Component, error) {
	return r.doVouchers(view.FormDryer, func(cmd hall.Command) (vouchers.Said, error) {
		w := r.reading()
		in := vouchers.NewDryer{Name: r.value("name"), Trays: strings.Split(r.value("trays"), "\n"), Rows: w.number("rows"), Places: w.number("places")}
		if err := w.err(); err != nil {
			return vouchers.Said{}, err
		}
		_, err := vouchers.AddDryer(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		return vouchers.Said{}, err
	})
}

func takeDryer(r *request) (string, templ.Component, error) {
	return r.doVouchers(view.FormDryerTaken, func(cmd hall.Command) (vouchers.Said, error) {
		_, err := vouchers.TakeDryer(r.ctx, r.hall(), r.actor, r.scope(), cmd, vouchers.Taken{Dryer: r.value("dryer")})
		return vouchers.Said{}, err
	})
}

func readTemperature(r *request) (string, templ.Component, error) {
	return r.doVouchers(view.FormDryerHeat+"-"+r.value("dryer"), func(cmd hall.Command) (vouchers.Said, error) {
		w := r.reading()
		celsius := w.degrees("celsius")
		if celsius == nil || w.err() != nil {
			return vouchers.Said{}, fault.Wrong("celsius", "dryer.celsius", "least", vouchers.Coldest, "most", vouchers.Hottest)
		}
		_, err := vouchers.ReadTemperature(r.ctx, r.hall(), r.actor, r.scope(), cmd, vouchers.Temperature{Dryer: r.value("dryer"), Celsius: *celsius, Words: r.value("words")})
		return vouchers.Said{}, err
	})
}
