package pages

import (
	"fmt"
	"net/url"
	"slices"

	"github.com/a-h/templ"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/desk"
	"forayhall/web/view"
)

func numbersPage(r *request) (templ.Component, error) {
	p, err := r.ledger(func(string) string { return "" })
	return view.LedgerPage(p), err
}

// ledger is the page with what was typed into its form.
func (r *request) ledger(typed func(string) string) (view.Ledger, error) {
	ledger, err := desk.SeeLedger(r.ctx, r.hall(), r.actor, r.scope())
	if err != nil {
		return view.Ledger{}, err
	}
	l, err := r.layout(view.T("ledger.title"), false)
	if err != nil {
		return view.Ledger{}, err
	}
	fate := r.echo.QueryParam("fate")
	p := view.Ledger{Layout: l, Fate: fate, Open: ledger.Unaccounted(), Number: typed("number"), To: typed("to"), FateSaid: typed("fate"), Reason: typed("reason")}
	for _, f := range foray.Fates {
		p.Counts = append(p.Counts, view.FateCount{Fate: string(f), N: ledger.Counts[f], Path: r.event().Numbers() + "?fate=" + string(f)})
	}
	for _, b := range ledger.Blocks {
		p.Blocks = append(p.Blocks, r.block(b, ledger))
	}
	if err := r.ledgerLines(&p, ledger); err != nil {
		return p, err
	}
	p.Form, err = r.newForm(r.event().Numbers()+"/fate", 0)
	return p, err
}

func (r *request) block(b hall.Handout, ledger desk.Ledger) view.Block {
	v := view.Block{From: foray.Number{Base: b.FromNumber}.String(), To: foray.Number{Base: b.ToNumber}.String(), By: ledger.People[b.IssuedBy].Name,
		At: r.local(b.IssuedAt.Time), Whose: view.T("ledger.to-nobody")}
	if b.IssuedTo != "" {
		v.Whose = view.T("ledger.to-whom", "who", b.IssuedTo)
	}
	for _, t := range ledger.Teams {
		if t.ID == b.TeamID {
			v.Whose = view.T("ledger.to-team", "number", t.Number, "name", t.Name)
		}
	}
	for _, f := range foray.Fates {
		if n := b.Counts[f]; n > 0 {
			v.Counts = append(v.Counts, view.FateCount{Fate: string(f), N: n})
		}
	}
	return v
}

// ledgerLines puts onto the page the lines of its filter, from the number that the address names.
func (r *request) ledgerLines(p *view.Ledger, ledger desk.Ledger) error {
	after, _ := foray.ParseNumber(r.echo.QueryParam("after"), "")
	entries := slices.DeleteFunc(slices.Clone(ledger.Entries), func(e foray.Entry) bool {
		return p.Fate != "" && string(e.Fate) != p.Fate || !after.Less(e.From)
	})
	if len(entries) > pageOf {
		p.More = r.event().Numbers() + "?" + url.Values{"fate": {p.Fate}, "after": {entries[pageOf-1].From.String()}}.Encode()
		entries = entries[:pageOf]
	}
	for _, e := range entries {
		line, err := r.ledgerLine(e, ledger)
		if err != nil {
			return err
		}
		p.Lines = append(p.Lines, line)
	}
	return nil
}

func (r *request) ledgerLine(e foray.Entry, ledger desk.Ledger) (view.LedgerLine, error) {
	v := view.LedgerLine{Number: r.number(e.From), N: e.Len(), Fate: string(e.Fate), By: ledger.People[e.By].Name, At: r.local(e.At), Reason: e.Reason, Outside: e.Outside}
	if e.To != e.From {
		to := r.number(e.To)
		v.To = &to
	}
	if ledger.Borne[e.From] {
		v.Path = r.event().Collection(e.From.String())
	}
	for _, into := range ledger.Next[e.From] {
		v.Into = append(v.Into, view.Numbered{Number: r.number(into), Path: r.event().Collection(into.String())})
	}
	var err error
	if e.Fate == foray.Open && e.Len() <= desk.MostSaid {
		v.Unused, err = r.newForm(r.event().Numbers()+"/fate", 0)
	}
	return v, err
}

func sayFate(r *request) (string, templ.Component, error) {
	cmd, err := r.command()
	if err != nil {
		return "", nil, err
	}
	_, err = desk.SayFate(r.ctx, r.hall(), r.actor, r.scope(), cmd, desk.Fate{Number: r.value("number"), To: r.value("to"), Fate: r.value("fate"), Reason: r.value("reason")})
	if err == nil || !mendable(err) || !r.held.Can(access.LogCollection) {
		return r.event().Numbers(), nil, err
	}
	r.wrong("", err)
	p, pageErr := r.ledger(r.value)
	if pageErr != nil {
		return "", nil, pageErr
	}
	p.Form.Command = r.value("command")
	return "", view.LedgerPage(p), err
}

// written is a number that may not be known, as it stands in a field.
func written[N int | float64](n *N) string {
	if n == nil {
		return ""
	}
	return fmt.Sprint(*n)
}
