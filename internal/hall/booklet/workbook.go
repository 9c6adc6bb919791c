package booklet

import (
	"cmp"
	"context"
	"io"
	"strconv"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/hall"
	"forayhall/internal/tally"
	"forayhall/internal/taxon"
)

// WriteWorkbook writes the list as a spreadsheet: cell by cell what its CSV has, names in italics, and a sheet that says
// what it is.
func WriteWorkbook(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, in In, w io.Writer) error {
	header, rows, err := rows(in.List)
	if err != nil {
		return err
	}
	book := archive.ListBook{Header: header, Rows: cells(h, header, rows)}
	err = h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) error {
		m, err := newMaker(l, in)
		if err != nil {
			return err
		}
		book.List, book.About, book.Facts = m.say.Say("booklet.sheet.list"), m.say.Say("booklet.sheet.about"), m.about()
		return nil
	})
	if err != nil {
		return err
	}
	return archive.WriteListBook(w, book)
}

// counting are the columns that hold numbers of finds.
var counting = map[string]bool{"collections": true, "field_records": true, "seen_in_the_field": true, "photographs": true, "hazard_severity": true}

func cells(h *hall.Hall, header []string, rows [][]string) [][]archive.Cell {
	rank := -1
	for i, name := range header {
		if name == "rank" {
			rank = i
		}
	}
	all := make([][]archive.Cell, len(rows))
	for r, row := range rows {
		all[r] = make([]archive.Cell, len(row))
		for i, text := range row {
			c := archive.Cell{Text: text, Count: counting[header[i]]}
			switch {
			case header[i] == "current_name" && rank >= 0:
				c.Runs = taxon.Setting{Name: text, Rank: taxon.Rank(row[rank])}.Runs()
			case header[i] == "determined_as":
				c.Runs = severalNames(h, text)
			}
			all[r][i] = c
		}
	}
	return all
}

// severalNames sets names that stand in one cell.
func severalNames(h *hall.Hall, text string) (runs []taxon.Run) {
	const between = "; "
	for i, written := range strings.Split(text, between) {
		if i > 0 {
			runs = append(runs, taxon.Run{Text: between})
		}
		for _, run := range determined(h, written) {
			runs = append(runs, taxon.Run(run))
		}
	}
	return runs
}

// about is what the second sheet says.
func (m *maker) about() [][2]string {
	facts := [][2]string{
		{m.say.Say("booklet.about.event"), joined(" · ", m.event.Name, m.event.Code, m.event.Place, m.days())},
		{m.say.Say("booklet.about.society"), m.society.Name},
		{m.say.Say("booklet.about.version"), m.heading()},
	}
	add := func(key, value string) {
		if value != "" {
			facts = append(facts, [2]string{m.say.Say(key), value})
		}
	}
	if m.list.draft() {
		add("booklet.not-final", m.say.Say("booklet.not-final.why"))
		add("booklet.about.made", m.moment(m.look.Now)) // a version is the same file whenever it is fetched
	} else {
		add("booklet.about.signed", m.say.Say("booklet.about.signed.by", "who", m.list.SignedBy, "when", m.moment(m.list.SignedAt)))
		add("booklet.about.digest", m.in.List.CSVSha256)
	}
	add("booklet.about.remarks", m.list.Remarks)
	add("booklet.about.total", strconv.Itoa(m.list.Total))
	for _, realm := range tally.Realms {
		add("pages.kingdom."+string(realm), strconv.Itoa(m.list.Totals[string(realm)]))
	}
	add("booklet.about.collections", strconv.Itoa(m.list.Finds-m.list.FieldRecords))
	add("booklet.about.fields", strconv.Itoa(m.list.FieldRecords))
	add("booklet.rule", m.list.Rule)
	add("booklet.licence", m.licence())
	add("booklet.cite", m.citation())
	add("booklet.ask", m.contact())
	add("booklet.about.address", cmp.Or(m.in.Link, m.society.WebAddress))
	add("booklet.cautions", m.say.Say("hazard.caution"))
	return facts
}
