package pages

import (
	"slices"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/vouchers"
	"forayhall/web/view"
)

func voucherPage(r *request) (templ.Component, error) {
	if r.echo.QueryParams().Has("ok") {
		r.flash = view.T("vouchers.ok")
	}
	return r.voucher(typedAct{})
}

func (r *request) oneVoucher() (vouchers.One, error) {
	n, err := foray.ParseNumber(r.echo.Param("number"), r.at.Event.Code)
	if err != nil {
		return vouchers.One{}, fault.Missing()
	}
	return vouchers.SeeOne(r.ctx, r.hall(), r.actor, r.scope(), n)
}

func (r *request) voucher(typed typedAct) (templ.Component, error) {
	one, err := r.oneVoucher()
	if err != nil {
		return nil, err
	}
	n := one.Plate.Number()
	l, err := r.layout(view.T("vouchers.one.title", "number", n.String()), true)
	if err != nil {
		return nil, err
	}
	p := view.VoucherPage{Layout: l, Number: r.number(n), Plate: r.event().Collection(n.String()), Name: firstName(one.Plate), Group: one.Plate.FormGroup,
		State: stateOf(one.Plate), Facts: voucherFacts(one.Kept), Barred: one.Barred, Room: r.event().Vouchers(), History: r.voucherHistory(one)}
	if err := r.voucherCodes(&p, one, typed); err != nil {
		return nil, err
	}
	err = r.voucherActs(&p, one, typed)
	return view.OneVoucherPage(p), err
}

// voucherHistory is what was said, and when it went into the dryer and out, newest first.
func (r *request) voucherHistory(one vouchers.One) (all []view.VoucherEvent) {
	for _, w := range one.Said {
		e := view.VoucherEvent{Text: view.T("vouchers.act." + string(w.Kind)), At: r.local(w.HappenedAt.Time), By: one.People[w.SaidBy].Name, Words: w.Words}
		switch w.Kind {
		case foray.VoucherChosen:
			e.Text = view.T("vouchers.act.chosen-for", "why", view.T("vouchers.reason."+string(w.Reason)))
		case foray.VoucherTakenOut:
			if e.Text = view.T("vouchers.act.taken_out"); w.Dry {
				e.Text = view.T("vouchers.act.taken_out.dry")
			}
		case foray.VoucherSent:
			e.Text = view.T("vouchers.fact.sent", "to", w.Institution)
		}
		all = append(all, e)
	}
	for _, c := range one.Codes {
		e := view.VoucherEvent{Text: view.T("vouchers.bore", "kind", view.T("vouchers.kind."+string(c.Kind)), "code", codeText(c)), At: r.local(c.HappenedAt.Time),
			By: one.People[c.WrittenBy].Name, Words: c.Words}
		if c.Code == "" {
			e.Text = view.T("vouchers.bore-not", "kind", view.T("vouchers.kind."+string(c.Kind)))
		}
		all = append(all, e)
	}
	for _, s := range one.Stays {
		all = append(all, view.VoucherEvent{Text: view.T("vouchers.in", "slot", s.Slot), At: r.local(s.In)})
		if !s.Out.IsZero() {
			all = append(all, view.VoucherEvent{Text: view.T("vouchers.left", "slot", s.Slot), At: r.local(s.Out)})
		}
	}
	slices.SortStableFunc(all, func(a, b view.VoucherEvent) int { return b.At.Compare(a.At) })
	return all
}

// codeText is a code with where it is held and what it is of, as one line.
func codeText(c hall.VoucherCode) string {
	switch c.Kind {
	case foray.Accession:
		return c.HeldAt + " " + c.Code
	case foray.Sequence:
		return c.Marker + " " + c.Code + " (" + c.HeldAt + ")"
	}
	return c.Code
}

// mayCode reports whether this person writes codes of a kind, as the use case has it.
func (r *request) mayCode(kind foray.CodeKind) bool {
	return vouchers.MayCode(r.held, kind)
}

func (r *request) voucherCodes(p *view.VoucherPage, one vouchers.One, typed typedAct) (err error) {
	base := r.event().Voucher(one.Plate.Number().String())
	for _, c := range hall.CodesStanding(one.Codes) {
		row := view.VoucherCode{ID: c.ID.String(), Kind: string(c.Kind), Text: view.T("vouchers.code.as-is", "code", codeText(c))}
		if r.mayCode(c.Kind) {
			key := view.RightKey(row.ID)
			of := func(name, stored string) string { return typed.or(key, name, stored) }
			row.Right = &view.VoucherRightForm{Key: key, Kind: row.Kind, Code: of("code", c.Code), HeldAt: of("held_at", c.HeldAt), Marker: of("marker", c.Marker),
				Dated: of("dated", c.Dated), By: of("by", one.People[c.TakenBy].Name), Why: of("words", ""), Dried: typed.ticked(key, "dried", c.Dried)}
			if row.Right.Form, err = r.voucherForm(base, view.FormVoucherRight, key, typed); err != nil {
				return err
			}
		}
		p.Codes = append(p.Codes, row)
	}
	return nil
}

func (r *request) voucherActs(p *view.VoucherPage, one vouchers.One, typed typedAct) (err error) {
	if !r.held.Can(access.RemovePlates) {
		return nil
	}
	number := one.Plate.Number().String()
	base := r.event().Voucher(number)
	if !one.Barred {
		p.Choose = &view.VoucherChooseForm{Number: number}
		if err := r.chooseForm(p.Choose, base, typed, one.Voucher); err != nil {
			return err
		}
	}
	if one.Voucher.Chosen {
		acts := []string{string(foray.VoucherDropped)}
		if one.Voucher.Packed {
			acts = append(acts, string(foray.VoucherUnpacked))
		}
		p.Say = &view.VoucherSayForm{Acts: view.Options("vouchers.say", acts, typed.or(view.FormVoucherSay, "act", acts[0])), Words: typed.of(view.FormVoucherSay, "words")}
		if p.Say.Form, err = r.voucherForm(base, view.FormVoucherSay, view.FormVoucherSay, typed); err != nil {
			return err
		}
	}
	p.Code, err = r.codeForm(base, one, typed)
	return err
}

func (r *request) codeForm(base string, one vouchers.One, typed typedAct) (*view.VoucherCodeForm, error) {
	form := view.FormVoucherCode
	of := func(name string) string { return typed.of(form, name) }
	var kinds, people []string
	for _, k := range foray.CodeKinds {
		if r.mayCode(k) {
			kinds = append(kinds, string(k))
		}
	}
	for _, person := range one.People {
		if person.Kind == "person" {
			people = append(people, person.Name)
		}
	}
	slices.Sort(people)
	f, err := r.voucherForm(base, form, form, typed)
	return &view.VoucherCodeForm{Form: f, Kinds: view.Options("vouchers.kind", kinds, of("kind")), Code: of("code"), HeldAt: of("held_at"), Marker: of("marker"), Dated: of("dated"),
		By: of("by"), Dried: typed.ticked(form, "dried", false), People: people}, err
}

// doVoucher runs one form of a voucher's page.
func (r *request) doVoucher(form string, do func(cmd hall.Command, number string) error) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	n, err := foray.ParseNumber(r.echo.Param("number"), r.at.Event.Code)
	if err != nil {
		return "", nil, fault.Missing()
	}
	err = do(cmd, n.String())
	if err == nil {
		return r.then(r.event().Voucher(n.String()) + "?ok"), nil, nil
	}
	if !mendable(err) || !r.held.Can(access.RemovePlates) {
		return "", nil, err
	}
	r.wrong(form, err)
	page, pageErr := r.voucher(typedAct{form: form, command: r.keptCommand(err), values: r.value})
	return again(page, err, pageErr)
}

func chooseOneVoucher(r *request) (string, templ.Component, error) {
	return r.doVoucher(view.FormVoucherChoose, func(cmd hall.Command, number string) error {
		_, err := r.choose(cmd, number)
		return err
	})
}

func sayOfVoucher(r *request) (string, templ.Component, error) {
	return r.doVoucher(view.FormVoucherSay, func(cmd hall.Command, number string) error {
		in := vouchers.Word{Number: number, Words: r.value("words")}
		var err error
		switch foray.VoucherAct(r.value("act")) {
		case foray.VoucherDropped:
			_, err = vouchers.DropVoucher(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		case foray.VoucherUnpacked:
			_, err = vouchers.UnpackVoucher(r.ctx, r.hall(), r.actor, r.scope(), cmd, in)
		default:
			err = fault.Wrong("act", "voucher.act-missing")
		}
		return err
	})
}

func (r *request) codeTyped() vouchers.Code {
	return vouchers.Code{Kind: foray.CodeKind(r.value("kind")), Code: r.value("code"), HeldAt: r.value("held_at"), Marker: r.value("marker"), Dated: r.value("dated"),
		Dried: r.ticked("dried"), By: r.value("by")}
}

func codeVoucher(r *request) (string, templ.Component, error) {
	return r.doVoucher(view.FormVoucherCode, func(cmd hall.Command, number string) error {
		_, err := vouchers.AddCode(r.ctx, r.hall(), r.actor, r.scope(), cmd, vouchers.NewCode{Number: number, Code: r.codeTyped()})
		return err
	})
}

func putVoucherCodeRight(r *request) (string, templ.Component, error) {
	return r.doVoucher(view.RightKey(r.value("id")), func(cmd hall.Command, _ string) error {
		id, err := foray.ParseID(r.value("id"))
		if err != nil {
			return fault.Missing()
		}
		_, err = vouchers.PutCodeRight(r.ctx, r.hall(), r.actor, r.scope(), cmd, vouchers.ReplaceCode{ID: id, Words: r.value("words"), Code: r.codeTyped()})
		return err
	})
}
