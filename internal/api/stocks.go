package api

import (
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall/setup"
)

// CardStocks are what cards may be printed on.
type CardStocks struct {
	Stocks []CardStock `json:"stocks"`
}

// CardStock is one paper; lengths in millimetres.
type CardStock struct {
	ID foray.ID `json:"id,omitzero"` // of the society's own; those that ship have none
	setup.NewStock
}

func listCardStocks(r *request) (CardStocks, error) {
	stocks, err := setup.Stocks(r.ctx, r.hall(), r.actor, r.scope())
	out := CardStocks{Stocks: []CardStock{}}
	for _, s := range stocks {
		out.Stocks = append(out.Stocks, CardStock{s.ID, setup.NewStock{Name: s.Name, PageW: s.PageW, PageH: s.PageH, CardW: s.CardW, CardH: s.CardH,
			Columns: s.Columns, Rows: s.Rows, Left: s.Left, Top: s.Top, GapX: s.GapX, GapY: s.GapY, CutMarks: s.CutMarks}})
	}
	return out, err
}

// Law is what the tables know under a jurisdiction.
type Law struct {
	Jurisdiction  string    `json:"jurisdiction"` // as the tables call it; empty: they know nothing of it
	Jurisdictions []string  `json:"jurisdictions"`
	Flags         []LawFlag `json:"flags"`
}

// LawFlag is one row of the tables.
type LawFlag struct {
	Name   string `json:"name"`
	Flag   string `json:"flag"`
	Source string `json:"source"`
	Note   string `json:"note,omitempty"`
	Here   bool   `json:"here"` // the event has it already
}

func seeLaw(r *request) (Law, error) {
	of := r.echo.QueryParam("jurisdiction")
	if len(of) > longestQuery {
		return Law{}, fault.Wrong("jurisdiction", "text.too-long", "most", longestQuery)
	}
	law, err := setup.SeeLaw(r.ctx, r.hall(), r.actor, r.scope(), of)
	out := Law{Jurisdiction: law.Jurisdiction, Jurisdictions: law.Jurisdictions, Flags: []LawFlag{}}
	for _, f := range law.Flags {
		out.Flags = append(out.Flags, LawFlag{f.Taxon, f.Flag, f.Source, f.Note, f.Here})
	}
	return out, err
}
