package main

import (
	"strings"

	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

// checklist gathers names from files with Darwin Core columns. Of two rows with one name the first is taken, so that
// the file given first decides.
type checklist struct {
	rows  []taxon.Row
	at    map[string]int // by key
	left  int            // rows that could not be used
	first error          // what was wrong with the first of them
}

func (e *env) readChecklists(files []string) (*taxon.Index, error) {
	list := &checklist{at: map[string]int{}}
	for _, name := range files {
		t, err := e.file(name)
		if err != nil {
			return nil, err
		}
		e.notes(t.Notes())
		if err := list.read(t); err != nil {
			return nil, err
		}
	}
	list.dropLoose()
	if list.left > 0 {
		e.note(message.T("cli.checklist-left", "n", list.left, "first", list.first))
	}
	e.note(message.T("cli.checklist-read", "n", len(list.rows)))
	return taxon.NewIndex(list.rows, nil)
}

// columns of a checklist: Darwin Core terms first, then what the tables of this program call them.
type columns struct {
	name, author, rank, status, id, acceptedID, accepted int
	wider                                                [5]int // kingdom … family
}

var widerRanks = [5]taxon.Rank{taxon.Kingdom, taxon.Phylum, taxon.Class, taxon.Order, taxon.Family}

func findColumns(t *archive.Table) (c columns, err error) {
	at := func(names ...string) int {
		if i, ok := t.Column(names...); ok {
			return i
		}
		return -1
	}
	c = columns{name: at("scientificName", "name"), author: at("scientificNameAuthorship", "author"), rank: at("taxonRank", "rank"),
		status: at("taxonomicStatus", "status"), id: at("taxonID", "id"), acceptedID: at("acceptedNameUsageID"),
		accepted: at("acceptedNameUsage", "accepted")}
	for i, r := range widerRanks {
		c.wider[i] = at(string(r))
	}
	if c.name < 0 {
		err = fault.New(fault.Invalid, "archive.column-missing", "file", t.Name, "column", "scientificName",
			"found", strings.Join(t.Header, ", "))
	}
	return c, err
}

// read takes every name first, so that a genus that is a former name is not made a current one by its species.
func (l *checklist) read(t *archive.Table) error {
	c, err := findColumns(t)
	if err != nil {
		return err
	}
	byID := map[string]string{}
	for _, row := range t.Rows {
		if id := cell(row, c.id); id != "" {
			byID[id] = taxon.Read(cell(row, c.name)).Canonical
		}
	}
	rows := make([]taxon.Row, len(t.Rows))
	for i, row := range t.Rows {
		rows[i] = taxonRow(row, c, byID, t.Name)
		if err := l.add(rows[i]); err != nil {
			l.leave(err)
		}
	}
	for i, row := range t.Rows {
		l.place(row, c, rows[i])
	}
	return nil
}

func cell(row archive.Row, at int) string {
	if at < 0 {
		return ""
	}
	return strings.TrimSpace(row.Cells[at])
}

// taxonRow takes the name without the author that Darwin Core lets stand behind it.
func taxonRow(row archive.Row, c columns, byID map[string]string, source string) taxon.Row {
	w := taxon.Read(cell(row, c.name))
	r := taxon.Row{Line: row.Line, Name: w.Canonical, Author: cell(row, c.author), Rank: w.Rank, Status: "accepted", Source: source}
	if r.Author == "" {
		r.Author = w.Author
	}
	if rank := readRank(cell(row, c.rank)); rank != "" {
		r.Rank = rank
	}
	accepted := byID[cell(row, c.acceptedID)]
	if accepted == "" {
		accepted = taxon.Read(cell(row, c.accepted)).Canonical
	}
	status := strings.ToLower(cell(row, c.status))
	former := strings.Contains(status, "synonym") || status == "former" || status == "" && accepted != "" && taxon.Key(accepted) != taxon.Key(r.Name)
	if former {
		// Such lists seldom say why a name is former.
		r.Status, r.Accepted, r.Reason = "former", accepted, "moved"
	}
	return r
}

func readRank(word string) taxon.Rank {
	switch word = strings.ToLower(word); word {
	case "form":
		return taxon.FormaRank
	case "kingdom", "phylum", "class", "order", "family", "genus", "section", "species", "subspecies", "variety", "forma":
		return taxon.Rank(word)
	}
	return ""
}

// place adds the genus, family and so on that a row names in columns of its own, and gives a row of genus and above
// its parent. A family that two rows put into different orders stands where the first put it.
func (l *checklist) place(row archive.Row, c columns, r taxon.Row) {
	at, there := l.at[taxon.Key(r.Name)]
	if r.Status != "accepted" || !there {
		return
	}
	parent := ""
	for i, rank := range widerRanks {
		name := cell(row, c.wider[i])
		if rank == r.Rank || taxon.Key(name) == taxon.Key(r.Name) {
			break
		}
		if l.wider(taxon.Row{Line: r.Line, Name: name, Rank: rank, Status: "accepted", Parent: parent, Source: r.Source}) {
			parent = name
		}
	}
	if genus := taxon.Read(r.Name).Genus; taxon.Key(genus) != taxon.Key(r.Name) && r.Rank != taxon.Section {
		l.wider(taxon.Row{Line: r.Line, Name: genus, Rank: taxon.Genus, Status: "accepted", Parent: parent, Source: r.Source})
		return
	}
	if l.rows[at].Parent == "" {
		l.rows[at].Parent = parent
	}
}

// wider adds a name above others where it is not there, and reports whether it may stand as their parent.
func (l *checklist) wider(r taxon.Row) bool {
	if i, there := l.at[taxon.Key(r.Name)]; there {
		return l.rows[i].Status == "accepted" && l.rows[i].Rank == r.Rank
	}
	return l.add(r) == nil
}

// add takes a row that can be used.
func (l *checklist) add(r taxon.Row) error {
	if err := r.Check(); err != nil {
		return err
	}
	key := taxon.Key(r.Name)
	if _, there := l.at[key]; !there {
		l.at[key] = len(l.rows)
		l.rows = append(l.rows, r)
	}
	return nil
}

func (l *checklist) leave(err error) {
	if l.left++; l.first == nil {
		l.first = err
	}
}

// dropLoose leaves out former names whose current name is not in the files, or that lead back to themselves.
func (l *checklist) dropLoose() {
	kept := l.rows[:0:0]
	for _, r := range l.rows {
		if r.Status == "former" && !l.leads(r) {
			l.leave(&taxon.RowError{Line: r.Line, Name: r.Name, Problem: "its accepted name " + r.Accepted + " is not in the list"})
			continue
		}
		kept = append(kept, r)
	}
	l.rows = kept
}

// leads follows a former name to a current one.
func (l *checklist) leads(r taxon.Row) bool {
	for range len(l.rows) {
		i, there := l.at[taxon.Key(r.Accepted)]
		if !there {
			return false
		}
		if l.rows[i].Status == "accepted" {
			return true
		}
		r = l.rows[i]
	}
	return false
}
