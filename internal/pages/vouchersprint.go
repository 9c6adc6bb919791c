package pages

import (
	"bytes"
	"io"
	"strconv"

	"github.com/a-h/templ"

	"forayhall/internal/fault"
	"forayhall/internal/hall/vouchers"
	"forayhall/internal/message"
	"forayhall/internal/printing"
	"forayhall/web/view"
)

// dryerMap is the map of the dryers as it hangs beside them.
func dryerMap(r *request) (templ.Component, error) {
	s, err := vouchers.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("vouchers.map"), true)
	p := view.DryerMapPage{Layout: l, AsOf: r.local(r.hall().Now()), Back: r.event().Vouchers()}
	for _, d := range s.Dryers {
		p.Dryers = append(p.Dryers, r.dryerPlan(d, s))
	}
	return view.DryerMapPaper(p), err
}

// labelAt is a label's code behind the public address of the installation. Where there is none the code says the number
// alone: an address of the machine that happened to print would lead nowhere in a year.
func (r *request) labelAt(label string) string {
	if r.site.Public == "" {
		return label
	}
	return r.site.Public + r.event().Find(label)
}

// sheetAsked is the stock and the labels that are used up.
func (r *request) sheetAsked() (stock printing.Stock, skip int, err error) {
	if stock, err = r.stock(or(r.echo.QueryParam("stock"), printing.Stocks()[0].Name)); err != nil {
		return stock, 0, err
	}
	skip, err = strconv.Atoi(or(r.echo.QueryParam("skip"), "0"))
	if err != nil || skip < 0 || skip > stock.PerPage() {
		err = fault.Wrong("skip", "cards.skip")
	}
	return stock, skip, err
}

// printedFor sends a paper, or the page with the form that asked for it and what cannot be printed.
func (r *request) printedFor(form, name string, draw func(io.Writer) error) error {
	var b bytes.Buffer
	err := draw(&b)
	switch {
	case err == nil:
		return r.pdf(b.Bytes(), r.at.Event.Code+name)
	case !mendable(err):
		return err
	}
	r.wrong(form, err)
	page, pageErr := r.vouchers(typedAct{form: form, values: r.echo.QueryParam})
	if pageErr != nil {
		return err
	}
	return r.render(statusOf(err, fault.From(err).Kind), page)
}

func labelsPDF(r *request) error {
	return r.printedFor(view.FormLabels, "-labels.pdf", r.drawLabels)
}

func (r *request) drawLabels(w io.Writer) error {
	stock, skip, err := r.sheetAsked()
	if err != nil {
		return err
	}
	in := vouchers.LabelPrint{Stock: stock, Skip: skip, Say: message.From(r.ctx), Code: r.labelAt}
	for name, into := range map[string]*int{"from": &in.From, "to": &in.To, "block": &in.Block} {
		if *into, err = strconv.Atoi(or(r.echo.QueryParam(name), "0")); err != nil {
			return fault.Wrong(name, "setup.whole-number")
		}
	}
	_, err = vouchers.PrintLabels(r.ctx, r.hall(), r.actor, r.scope(), in, w)
	return err
}

func packetsPDF(r *request) error {
	return r.printedFor(view.FormPackets, "-packets.pdf", r.drawPackets)
}

func (r *request) drawPackets(w io.Writer) error {
	in := vouchers.PacketPrint{Numbers: numbersTyped(r.echo.QueryParam("numbers"), r.at.Event.Code), Say: message.From(r.ctx), Code: r.labelAt}
	var err error
	if fold := r.echo.QueryParam("fold"); fold != "" {
		in.Fold, err = printing.ReadSize(fold)
	} else {
		in.Stock, in.Skip, err = r.sheetAsked()
	}
	if err != nil {
		return err
	}
	done, err := vouchers.PrintPackets(r.ctx, r.hall(), r.actor, r.scope(), in, w)
	if err != nil {
		return err
	}
	if len(done.Cards) > 0 && r.echo.QueryParam("short") == "" {
		return fault.New(fault.Refused, "packet.too-small", "numbers", numbersOf(done.Report), "stock", in.Stock.Name)
	}
	return nil
}
