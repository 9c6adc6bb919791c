package archive

import (
	"strings"

	"forayhall/internal/fault"
	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

// handOut reads a list twice and gives its rows to the sink the second time.
func handOut(l *list, source string, sink ChecklistSink, m *meter, r *refusals, report *ChecklistReport) error {
	c := newNodes(l.limits.rows, r.add)
	c.byName = l.byName
	if err := l.each(func(u *usage) error { return c.take(u, source) }); err != nil {
		return err
	}
	if l.after != nil {
		l.after()
	}
	if c.settle(r) == 0 {
		return nothingUsable(l, c, r)
	}
	h := &hander{nodes: c, sink: sink, source: source, report: report, commons: commons{seen: map[uint64]bool{}, refusals: r}}
	if l.commons != nil {
		// Read once before anything is handed out, so that a broken file of common names stops the list as well.
		if err := l.commons(func(*vernacular) error { return nil }); err != nil {
			return err
		}
	}
	if err := l.each(h.take); err != nil {
		return err
	}
	if l.commons != nil {
		if err := l.commons(h.takeCommon); err != nil {
			return err
		}
	}
	r.note("checklist.note-language", h.commons.untold)
	return nil
}

func nothingUsable(l *list, c *nodes, r *refusals) error {
	if len(c.all) == 0 {
		return fault.New(fault.Invalid, "checklist.no-rows", "file", l.name)
	}
	first := r.reasons()[0]
	return fault.New(fault.Invalid, "checklist.nothing-usable", "file", l.name, "rows", len(c.all),
		"line", first.First.Line, "name", first.First.Name, "why", first.First.Why)
}

// hander gives rows to the sink in the order in which they stand, each genus, family and so on of a column before the
// first row that needs it.
type hander struct {
	*nodes
	next    int32
	sink    ChecklistSink
	source  string
	report  *ChecklistReport
	commons commons
}

func (h *hander) take(u *usage) error {
	i := h.next
	h.next++
	n := h.all[i]
	if n.state != nodeAccepted && n.state != nodeFormer {
		return nil
	}
	row := h.again(i, u)
	s := u.standing(row.Name)
	var err error
	if n.state == nodeFormer {
		if n.split {
			s.kind = "split"
		}
		row.Status, row.Accepted, row.AcceptedAuthor = "former", h.name(n.target), h.author(n.target)
		row.Reason = reason(s.kind, row.Name, row.Accepted)
		h.report.Former++
	} else {
		row.Disputed = s.disputed
		if err = h.place(&row, i, u); err != nil {
			return err
		}
		h.report.Accepted++
	}
	if err = h.sink.Name(row); err != nil || u.common == "" {
		return err
	}
	return h.common(u.file.name, u.line, row.Name, u.common, "")
}

// again is the row as it was read the first time. Only the author of a former name may have to be read once more.
func (h *hander) again(i int32, u *usage) taxon.Row {
	row := taxon.Row{Line: u.line, Name: h.name(i), Rank: ranksByDepth[h.all[i].depth], Status: "accepted", Source: h.source}
	switch {
	case u.author != "":
		row.Author = u.author
	case h.all[i].state == nodeAccepted:
		row.Author = h.author(i)
	default:
		first, _, _ := u.read(h.source)
		row.Author = first.Author
	}
	return row
}

// place gives a row of genus and above its parent, and one below its genus and section.
func (h *hander) place(row *taxon.Row, i int32, u *usage) (err error) {
	depth := h.all[i].depth
	if depth <= genusDepth {
		row.Parent, err = h.parent(i, depth, h.columnsOf(row.Name, depth, u), row)
		return err
	}
	genus := genusWord(row.Name)
	if _, there := h.wide[taxon.Key(genus)]; !there {
		parent, err := h.parent(i, genusDepth, &u.wider, row)
		if err != nil {
			return err
		}
		if _, err = h.addWider(genus, taxon.Genus, parent, row); err != nil {
			return err
		}
	}
	if depth == sectionDepth {
		if w := h.wide[taxon.Key(genus)]; w.accepted && w.depth == genusDepth {
			row.Parent = w.name
		}
		return nil
	}
	if up, found := h.parentOf(i, sectionDepth+1); found && h.all[up].depth == sectionDepth {
		if name := h.name(up); genusWord(name) == genus {
			row.Section = name[strings.LastIndexByte(name, ' ')+1:]
		}
	}
	return nil
}

// columnsOf is the classification in the row's own columns, or for a genus that has none the first that a row of the
// genus has.
func (h *hander) columnsOf(name string, depth uint8, u *usage) *[5]string {
	if depth == genusDepth && u.wider == [5]string{} {
		if chain := h.chains[taxon.Key(name)]; chain != nil {
			return chain
		}
	}
	return &u.wider
}

// parent is the name of the next wider row: by id where the list has rows for it, else by columns.
func (h *hander) parent(i int32, depth uint8, columns *[5]string, row *taxon.Row) (string, error) {
	if up, found := h.parentOf(i, depth); found {
		return h.name(up), nil
	}
	parent := ""
	for at, rank := range widerRanks {
		if rankDepth[rank] >= depth {
			break
		}
		name, err := h.addWider(columns[at], rank, parent, row)
		if err != nil {
			return "", err
		}
		if name != "" {
			parent = name
		}
	}
	return parent, nil
}

// addWider hands out a name that only a column has, and gives it back where it may be a parent. A family that two rows
// put into different orders stands where the first put it.
func (h *hander) addWider(name string, rank taxon.Rank, parent string, below *taxon.Row) (string, error) {
	if name == "" || isNoTaxon(name) || !startsCapital(name) || strings.ContainsAny(name, " \t") {
		return "", nil
	}
	key := taxon.Key(name)
	if key == taxon.Key(below.Name) {
		return "", nil
	}
	if known, there := h.wide[key]; there {
		if known.accepted && known.depth == rankDepth[rank] {
			return known.name, nil
		}
		return "", nil
	}
	row := taxon.Row{Line: below.Line, Name: name, Rank: rank, Status: "accepted", Parent: parent, Source: h.source}
	if row.Check() != nil {
		return "", nil
	}
	row.Name = strings.Clone(name)
	h.wide[key] = wide{row.Name, rankDepth[rank], true}
	h.report.Wider++
	return row.Name, h.sink.Name(row)
}

func startsCapital(s string) bool { return s != "" && s[0] >= 'A' && s[0] <= 'Z' }

// commons keeps common names from being handed out twice.
type commons struct {
	seen     map[uint64]bool
	untold   int
	refusals *refusals
}

func (h *hander) takeCommon(v *vernacular) error {
	refuse := func(why message.Text) error {
		h.commons.refusals.add(v.file, v.line, shorten(v.name), why)
		return nil
	}
	if !v.refused.IsZero() {
		return refuse(v.refused)
	}
	number, known := h.ids[v.id]
	if !known || h.ofID[number] == none {
		return refuse(message.T("checklist.refused-common-nobody", "id", shorten(v.id)))
	}
	i := h.ofID[number]
	if h.all[i].state == nodeTwin {
		i = h.all[i].target
	}
	if state := h.all[i].state; state != nodeAccepted && state != nodeFormer {
		return refuse(message.T("checklist.refused-common-of-refused", "line", h.all[i].line))
	}
	return h.common(v.file, v.line, h.name(i), v.name, v.language)
}

func (h *hander) common(file string, line int, name, common, language string) error {
	row := taxon.CommonRow{Line: line, Name: name, Common: strings.Join(strings.Fields(common), " "),
		Language: readLanguage(language), Source: h.source}
	sum := h.sum(taxon.Key(name) + "\x00" + row.Common + "\x00" + row.Language)
	switch {
	case taxon.Fold(row.Common) == "" || notWord(firstLetter(row.Common)):
		h.commons.refusals.add(file, line, name, message.T("checklist.refused-common-empty"))
		return nil
	case h.commons.seen[sum]:
		h.commons.refusals.add(file, line, row.Common, message.T("checklist.refused-common-twice", "name", name))
		return nil
	case row.Language == undetermined:
		h.commons.untold++
	}
	h.commons.seen[sum] = true
	h.report.Common++
	return h.sink.Common(row)
}

// firstLetter is the first letter or digit, or the first sign where there is none.
func firstLetter(s string) rune {
	var first rune
	for i, r := range s {
		if i == 0 {
			first = r
		}
		if !notWord(r) {
			return r
		}
	}
	return first
}
