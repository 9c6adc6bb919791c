package pages

import (
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/vouchers"
	"forayhall/internal/message"
	"forayhall/web/view"
)

// mostProposed is how many proposals one page shows; what is kept makes room for the next.
const mostProposed = 40

func vouchersPage(r *request) (templ.Component, error) {
	if done := r.echo.QueryParam("done"); done != "" {
		r.flash = view.T("vouchers.done", "n", len(strings.Fields(done)), "numbers", done)
	} else if r.echo.QueryParams().Has("ok") {
		r.flash = view.T("vouchers.ok")
	}
	return r.vouchers(typedAct{})
}

func (r *request) vouchers(typed typedAct) (templ.Component, error) {
	s, err := vouchers.See(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return nil, err
	}
	l, err := r.layout(view.T("vouchers.title"), true)
	if err != nil {
		return nil, err
	}
	p := view.VouchersRoom{Layout: l}
	for _, g := range s.Gaps {
		p.Gaps = append(p.Gaps, view.VoucherGap{Kind: string(g.Kind), Text: g.Text(), Path: r.event().Voucher(g.Plate.Number().String())})
	}
	for _, k := range s.Dropped {
		p.Dropped = append(p.Dropped, r.voucherLine(k))
	}
	for _, plate := range s.Loose {
		p.Loose = append(p.Loose, r.numberTo(plate.Number()))
	}
	if len(s.Dryers) > 0 {
		p.Map = r.event().VoucherMap()
	}
	if p.Papers, err = r.voucherPapers(len(s.Kept), typed); err != nil {
		return nil, err
	}
	for _, part := range []func(*view.VouchersRoom, vouchers.Sight, typedAct) error{r.voucherProposals, r.voucherDryers, r.voucherForms} {
		if err := part(&p, s, typed); err != nil {
			return nil, err
		}
	}
	return view.VouchersPage(p), nil
}

// voucherForm is a form of the page; one that came back keeps its command id.
func (r *request) voucherForm(base, key, form string, typed typedAct) (view.Form, error) {
	f, err := r.newForm(base+"/"+key, 0)
	if typed.form == form && typed.command != "" {
		f.Command = typed.command
	}
	return f, err
}

func (r *request) voucherProposals(p *view.VouchersRoom, s vouchers.Sight, typed typedAct) (err error) {
	base := r.event().Vouchers()
	for i, one := range s.Proposals {
		if i == mostProposed {
			p.More = len(s.Proposals) - i
			break
		}
		row := view.VoucherProposal{Number: r.number(one.Plate.Number()), Path: r.event().Collection(one.Plate.Number().String()), Group: one.Plate.FormGroup,
			State: stateOf(one.Plate), Barred: one.Barred}
		row.Name = firstName(one.Plate)
		for _, why := range one.Reasons {
			row.Reasons = append(row.Reasons, string(why))
		}
		if one.Barred.IsZero() {
			f, err := r.voucherForm(base, view.FormVoucherChoose, "", typedAct{})
			if err != nil {
				return err
			}
			row.Keep = &f
		}
		p.Proposals = append(p.Proposals, row)
	}
	p.Choose = view.VoucherChooseForm{Number: typed.or(view.FormVoucherChoose, "number", r.echo.QueryParam("number"))}
	return r.chooseForm(&p.Choose, base, typed, hall.Voucher{})
}

// chooseForm is filled with what was typed, else with what stands.
func (r *request) chooseForm(f *view.VoucherChooseForm, base string, typed typedAct, v hall.Voucher) (err error) {
	of := func(name, stored string) string { return typed.or(view.FormVoucherChoose, name, stored) }
	kept := ""
	if v.Kept != nil {
		kept = strconv.Itoa(*v.Kept)
	}
	f.Reasons = view.Options("vouchers.reason", keysOfReasons(), of("reason", string(v.Reason)))
	f.Fruitbodies, f.Words, f.Tissue = of("fruitbodies", kept), of("words", v.Why), typed.ticked(view.FormVoucherChoose, "tissue", v.Tissue)
	f.Form, err = r.voucherForm(base, view.FormVoucherChoose, view.FormVoucherChoose, typed)
	return err
}

func keysOfReasons() []string {
	keys := make([]string, len(foray.VoucherReasons))
	for i, r := range foray.VoucherReasons {
		keys[i] = string(r)
	}
	return keys
}

func firstName(p hall.Plate) view.SciName {
	if len(p.Standing.Question) == 0 {
		return view.SciName{}
	}
	return sciOf(p.Standing.Question[0].SlipName)
}

func (r *request) voucherDryers(p *view.VouchersRoom, s vouchers.Sight, typed typedAct) (err error) {
	for _, d := range s.Dryers {
		plan := r.dryerPlan(d, s)
		form := view.FormDryerHeat + "-" + plan.ID
		plan.Heat = &view.DryerHeatForm{Celsius: typed.of(form, "celsius"), Words: typed.of(form, "words")}
		if plan.Heat.Form, err = r.voucherForm(r.event().Vouchers(), view.FormDryerHeat, form, typed); err != nil {
			return err
		}
		if d.Lies == 0 {
			plan.Take = &view.ActForm{ID: plan.ID, Send: "vouchers.dryer.take"}
			if plan.Take.Form, err = r.voucherForm(r.event().Vouchers(), view.FormDryerTaken, "", typedAct{}); err != nil {
				return err
			}
		}
		p.Dryers = append(p.Dryers, plan)
	}
	return nil
}

func (r *request) dryerPlan(d vouchers.DryerMap, s vouchers.Sight) view.DryerPlan {
	plan := view.DryerPlan{ID: d.ID.String(), Name: d.Name, Free: d.Free()}
	for i := range d.Places {
		plan.Head = append(plan.Head, i+1)
	}
	chosen := map[foray.ID]hall.Voucher{}
	for _, k := range s.Kept {
		chosen[k.Plate.ID] = k.Voucher
	}
	for _, t := range d.Trays {
		tray := view.DryerTray{Name: t.Name}
		for _, place := range t.Places {
			row := view.DryerPlace{Text: place.Text}
			for _, plate := range place.Plates {
				row.Plates = append(row.Plates, view.DryerPlate{Number: r.number(plate.Number()), Path: r.event().Voucher(plate.Number().String()), Name: firstName(plate),
					Group: plate.FormGroup, Tissue: chosen[plate.ID].Tissue, Chosen: chosen[plate.ID].Chosen})
			}
			tray.Places = append(tray.Places, row)
		}
		plan.Trays = append(plan.Trays, tray)
	}
	for _, read := range d.Readings {
		plan.Readings = append(plan.Readings, view.DryerReading{Celsius: strconv.FormatFloat(read.Celsius, 'f', -1, 64), At: r.when(read.HappenedAt.Time),
			By: s.People[read.ReadBy].Name, Words: read.Words})
	}
	if d.Advice != foray.Warm {
		plan.Advice = message.T("dryer.advice." + string(d.Advice))
	}
	return plan
}

func (r *request) voucherForms(p *view.VouchersRoom, s vouchers.Sight, typed typedAct) (err error) {
	base := r.event().Vouchers()
	of := func(form, name string) string { return typed.of(form, name) }
	p.Dryer = view.DryerForm{Name: of(view.FormDryer, "name"), Rows: of(view.FormDryer, "rows"), Trays: of(view.FormDryer, "trays"), Places: of(view.FormDryer, "places")}
	if p.Dryer.Form, err = r.voucherForm(base, view.FormDryer, view.FormDryer, typed); err != nil {
		return err
	}
	if len(p.Dryers) > 0 {
		p.Load = &view.VoucherLoadForm{Plates: of(view.FormVoucherLoad, "numbers"), Reasons: view.Options("vouchers.reason", keysOfReasons(), of(view.FormVoucherLoad, "reason"))}
		for _, d := range p.Dryers {
			p.Load.Dryers = append(p.Load.Dryers, view.Option{Value: d.ID, Label: d.Name, Chosen: d.ID == of(view.FormVoucherLoad, "dryer")})
		}
		if p.Load.Form, err = r.voucherForm(base, view.FormVoucherLoad, view.FormVoucherLoad, typed); err != nil {
			return err
		}
		p.Out = &view.VoucherOutForm{Numbers: of(view.FormVoucherOut, "numbers"), Dry: typed.ticked(view.FormVoucherOut, "dry", true),
			Where: view.Options("where", []string{string(foray.AtDesk), string(foray.OnBackTable)}, typed.or(view.FormVoucherOut, "where", string(foray.AtDesk)))}
		if p.Out.Form, err = r.voucherForm(base, view.FormVoucherOut, view.FormVoucherOut, typed); err != nil {
			return err
		}
	}
	return r.voucherPackets(p, s, typed)
}

// packetActs are what is said of packets, several at once.
var packetActs = []string{string(foray.VoucherPacked), string(foray.FreezerIn), string(foray.FreezerOut), string(foray.VoucherSent)}

func (r *request) voucherPackets(p *view.VouchersRoom, s vouchers.Sight, typed typedAct) (err error) {
	if len(s.Kept) == 0 {
		return nil
	}
	form := view.FormVoucherPacks
	p.Packets = &view.VoucherPacksForm{Acts: view.Options("vouchers.act", packetActs, typed.or(form, "act", packetActs[0])), Institution: typed.of(form, "institution"),
		With: typed.of(form, "with"), Ticked: map[string]bool{}}
	if typed.form == form {
		for _, n := range r.echo.Request().PostForm["plate"] {
			p.Packets.Ticked[n] = true
		}
	}
	for _, k := range s.Kept {
		p.Packets.Lines = append(p.Packets.Lines, r.voucherLine(k))
	}
	p.Packets.Form, err = r.voucherForm(r.event().Vouchers(), form, form, typed)
	return err
}

func (r *request) voucherLine(k vouchers.Kept) view.VoucherLine {
	n := k.Plate.Number().String()
	return view.VoucherLine{Number: r.number(k.Plate.Number()), Path: r.event().Voucher(n), Name: firstName(k.Plate), Group: k.Plate.FormGroup, Short: n, Facts: voucherFacts(k)}
}

// voucherFacts says how a voucher stands, in the order of its way.
func voucherFacts(k vouchers.Kept) (facts []message.Text) {
	v := k.Voucher
	add := func(is bool, key string, pairs ...any) {
		if is {
			facts = append(facts, view.T("vouchers.fact."+key, pairs...))
		}
	}
	add(v.Dropped, "dropped", "why", v.Why)
	if v.Chosen {
		facts = append(facts, view.T("vouchers.reason."+string(v.Reason)))
	}
	if v.Kept != nil {
		add(true, "kept", "n", *v.Kept)
	}
	add(v.Tissue, "tissue")
	add(k.Plate.Whereabouts == foray.InDryer, "in-dryer", "slot", k.Plate.Position)
	add(v.Out && k.Plate.Whereabouts != foray.InDryer && v.OutDry, "dry")
	add(v.Out && k.Plate.Whereabouts != foray.InDryer && !v.OutDry, "not-dry")
	add(v.Packed, "packed")
	add(v.Freezer, "freezer")
	add(v.Frozen && !v.Freezer, "frozen")
	add(v.Sent, "sent", "to", v.To)
	for _, a := range v.Accessions {
		add(true, "accession", "institution", a.Institution, "number", a.Number)
	}
	add(len(v.Sequences) > 0, "sequences", "n", len(v.Sequences))
	return facts
}

func (r *request) voucherPapers(kept int, typed typedAct) (view.VoucherPapers, error) {
	p := view.VoucherPapers{Labels: r.event().LabelsPDF(), Packets: r.event().PacketsPDF(), Kept: kept, Typed: typed.of}
	stocks, err := setup.Stocks(r.ctx, r.hall(), r.actor, r.scope())
	for _, s := range stocks {
		p.Stocks = append(p.Stocks, view.Option{Value: s.Name, Text: view.T("stocks.name", "name", s.Name)})
	}
	return p, err
}

// doVouchers runs one form of the page: a good one leads back to the page, a wrong one comes back with what was typed.
func (r *request) doVouchers(form string, do func(cmd hall.Command) (vouchers.Said, error)) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	done, err := do(cmd)
	switch {
	case err == nil && len(done.Numbers) > 0:
		return r.then(r.event().Vouchers() + "?done=" + url.QueryEscape(strings.Join(done.Numbers, " "))), nil, nil
	case err == nil:
		return r.event().Vouchers() + "?ok", nil, nil
	case !mendable(err):
		return "", nil, err
	}
	r.severalWrong(form, err)
	page, pageErr := r.vouchers(typedAct{form: form, command: r.keptCommand(err), values: r.value})
	return again(page, err, pageErr)
}

// severalWrong says everything that is wrong with single numbers at the one field where they were typed.
func (r *request) severalWrong(form string, err error) {
	e := r.wrong(form, err)
	var keys []string
	said := map[string]message.Text{}
	for key, text := range e.Fields {
		if strings.HasPrefix(key, "numbers.") {
			keys = append(keys, key)
		} else {
			said[key] = text
		}
	}
	if len(keys) == 0 {
		return
	}
	slices.SortFunc(keys, func(a, b string) int { return nthOf(a) - nthOf(b) })
	say, lines := message.From(r.ctx), make([]string, len(keys))
	for i, key := range keys {
		lines[i] = say.Text(e.Fields[key])
	}
	said["numbers"] = message.T("data.as-is", "text", say.Say("put.some-wrong")+" "+strings.Join(lines, " "))
	r.errors.Fields = said
}

func nthOf(key string) int {
	n, _ := strconv.Atoi(strings.TrimPrefix(key, "numbers."))
	return n
}

// loadings reads numbers with their places, one a line or parted by commas: "0417 A 3-2", "HB26 0418: A 3-3".
func loadings(written, event string) (all []vouchers.Loading) {
	for _, line := range strings.FieldsFunc(written, func(c rune) bool { return strings.ContainsRune("\r\n,;", c) }) {
		words := strings.Fields(strings.NewReplacer(":", " ", "=", " ", "→", " ").Replace(line))
		if len(words) > 1 && strings.EqualFold(words[0], event) {
			words = words[1:]
		}
		if len(words) > 0 {
			all = append(all, vouchers.Loading{Number: words[0], Slot: strings.Join(words[1:], " ")})
		}
	}
	return all
}

// numbersTyped reads numbers one after another.
func numbersTyped(written, event string) (all []string) {
	for _, s := range spots(written, event) {
		all = append(all, s.Number)
	}
	return all
}
