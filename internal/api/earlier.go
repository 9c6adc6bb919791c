package api

import (
	"strconv"
	"time"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/earlier"
)

// FirstRecords are the first records of an event, as the public may know them.
type FirstRecords struct {
	Rule     string          `json:"rule"`
	Taxa     []FirstTaxon    `json:"taxa"`
	Compared []hall.Compared `json:"compared"`
}

// FirstTaxon is a taxon that is new somewhere.
type FirstTaxon struct {
	Name    string        `json:"name"` // as it is called now; as it was determined where nobody knows it
	Author  string        `json:"author,omitempty"`
	Family  string        `json:"family,omitempty"`
	Known   bool          `json:"known"` // to the classification
	Written string        `json:"determined_as"`
	Firsts  []FirstRecord `json:"firsts"`
	Numbers []string      `json:"collections"`
	Fields  int           `json:"field_records"`
}

// FirstRecord says what it is new to.
type FirstRecord struct {
	hall.First
	Words   string   `json:"words"` // as a list has it
	Missing []string `json:"missing,omitempty"`
}

func seeFirsts(r *request) (FirstRecords, error) {
	f, err := earlier.Firsts(r.ctx, r.hall(), r.actor, r.scope())
	out := FirstRecords{Rule: r.say().Say("pages.firsts.rule"), Taxa: []FirstTaxon{}, Compared: f.Compared}
	for _, t := range f.Taxa {
		one := FirstTaxon{Name: t.Written, Written: t.Written, Numbers: append([]string{}, t.Numbers...), Fields: t.Fields}
		if t.Name != nil {
			one.Name, one.Author, one.Family, one.Known = t.Name.Name, t.Name.Author, t.Name.Family, true
		}
		for _, first := range t.Firsts {
			one.Firsts = append(one.Firsts, FirstRecord{first, r.say().Text(first.Text()), said(r.say(), first.Missing())})
		}
		out.Taxa = append(out.Taxa, one)
	}
	return out, err
}

// EarlierLists are a society's lists of what was found before.
type EarlierLists struct {
	Lists []EarlierList `json:"lists"`
}

// EarlierList is one of them.
type EarlierList struct {
	ID           foray.ID           `json:"id"`
	Title        string             `json:"title"`
	Scope        string             `json:"scope"`
	Site         string             `json:"site,omitempty"`
	Area         string             `json:"area,omitempty"`
	Source       string             `json:"source"`
	Period       string             `json:"period,omitempty"`
	From         string             `json:"from,omitempty"`
	To           string             `json:"to,omitempty"`
	File         string             `json:"file,omitempty"`
	Lines        int                `json:"lines"`
	Species      int                `json:"species"` // as finds are compared with it today; 0 of one that was withdrawn
	Unknown      []earlier.ReadName `json:"unknown"` // names that the classification does not know
	AddedAt      time.Time          `json:"added_at"`
	WithdrawnAt  time.Time          `json:"withdrawn_at,omitzero"`
	WithdrawnWhy string             `json:"withdrawn_why,omitempty"`
}

func listEarlier(r *request) (EarlierLists, error) {
	room, err := earlier.See(r.ctx, r.hall(), r.actor, r.scope())
	out := EarlierLists{Lists: []EarlierList{}}
	for _, l := range room.Lists {
		out.Lists = append(out.Lists, EarlierList{ID: l.ID, Title: l.Title, Scope: l.Scope, Site: l.Site, Area: l.Area, Source: l.Source, Period: l.PeriodText,
			From: l.PeriodFrom, To: l.PeriodTo, File: l.File, Lines: l.Lines, Species: l.Species, Unknown: append([]earlier.ReadName{}, l.Unknown...),
			AddedAt: l.AddedAt.Time, WithdrawnAt: l.WithdrawnAt.Time, WithdrawnWhy: l.WithdrawnWhy})
	}
	return out, err
}

// EarlierLines is a stretch of an earlier list.
type EarlierLines struct {
	List   foray.ID      `json:"list"`
	Header string        `json:"header"` // of the file, as CSV
	Lines  []EarlierLine `json:"lines"`
	Next   int           `json:"next,omitempty"` // more come after this line
}

// EarlierLine is one line of a list, and what its name is today.
type EarlierLine struct {
	Line       int    `json:"line"`
	Verbatim   string `json:"verbatim"`
	Name       string `json:"name"` // as it was read when the list was taken in
	Author     string `json:"author,omitempty"`
	Rank       string `json:"rank,omitempty"`
	Qualifier  string `json:"qualifier,omitempty"`
	Current    string `json:"current,omitempty"` // missing where the name is not known
	Place      string `json:"place,omitempty"`
	Day        string `json:"day,omitempty"`
	From       string `json:"from,omitempty"`
	To         string `json:"to,omitempty"`
	Count      string `json:"count,omitempty"`
	Collector  string `json:"collector,omitempty"`
	Determiner string `json:"determiner,omitempty"`
	Host       string `json:"host,omitempty"`
	Substrate  string `json:"substrate,omitempty"`
	Remarks    string `json:"remarks,omitempty"`
	AsItCame   string `json:"as_it_came"`
}

func seeEarlierLines(r *request) (EarlierLines, error) {
	id, err := foray.ParseID(r.echo.Param("list"))
	if err != nil {
		return EarlierLines{}, fault.Missing()
	}
	after := 0
	if asked := r.echo.QueryParam("after"); asked != "" {
		if after, err = strconv.Atoi(asked); err != nil || after < 0 {
			return EarlierLines{}, fault.Wrong("after", "setup.whole-number")
		}
	}
	p, err := earlier.Lines(r.ctx, r.hall(), r.actor, r.scope(), id, after)
	out := EarlierLines{List: id, Header: p.List.Header, Lines: []EarlierLine{}, Next: p.Next}
	for _, l := range p.Lines {
		one := EarlierLine{Line: l.Line, Verbatim: l.Verbatim, Name: l.Name, Author: l.Author, Rank: l.NameRank, Qualifier: l.Qualifier, Place: l.Place, Day: l.DayText,
			From: l.DayFrom, To: l.DayTo, Count: l.NText, Collector: l.Collector, Determiner: l.Determiner, Host: l.Host, Substrate: l.Substrate, Remarks: l.Remarks, AsItCame: l.AsItCame}
		if l.Now != nil {
			one.Current = l.Now.Name
		}
		out.Lines = append(out.Lines, one)
	}
	return out, err
}
