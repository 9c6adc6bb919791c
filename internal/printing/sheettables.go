package printing

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
)

// table is how the lines call a table: its number where that is enough to find it.
func (s *setter) table(table string) string {
	if table == "" {
		return s.say.Say("printing.no-table")
	}
	name := table
	if short, ok := s.tables[table]; ok {
		name = unbroken(short)
	}
	said := s.say.Say("pages.sheet.table", "table", name)
	if len(name) <= len("000") {
		return unbroken(said)
	}
	return said
}

// shortTables calls tables by their numbers; those that share a number keep their whole names.
func shortTables(plates []Plate) map[string]string {
	called := map[string]string{}
	shared := map[string]int{}
	for _, p := range plates {
		if _, known := called[p.Table]; !known {
			called[p.Table] = tableNumber(p.Table)
			shared[called[p.Table]]++
		}
	}
	for table, short := range called {
		if shared[short] > 1 {
			called[table] = table
		}
	}
	return called
}

// tableNumber is the number before a table's title; its whole name where there is none.
func tableNumber(table string) string {
	first, _, _ := strings.Cut(strings.TrimSpace(table), " ")
	if strings.ContainsFunc(first, unicode.IsDigit) {
		return first
	}
	return table
}

// tableKey says once which titles the numbers stand for.
func (s *setter) tableKey() []*block {
	var titled []string
	for table, short := range s.tables {
		if short != table {
			titled = append(titled, table)
		}
	}
	if len(titled) == 0 {
		return nil
	}
	slices.SortFunc(titled, func(a, b string) int {
		return cmp.Or(cmp.Compare(len(s.tables[a]), len(s.tables[b])), cmp.Compare(a, b))
	})
	d := s.detail()
	spans := []span{{s.say.Say("printing.tables"), d.bold()}}
	for i, table := range titled {
		title := strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(table), s.tables[table]))
		if i > 0 {
			spans = append(spans, span{" ·", d})
		}
		spans = append(spans, span{" " + unbroken(s.tables[table]), d.bold()}, span{" " + title, d})
	}
	return []*block{{gap: s.unit(4), parts: s.text(spans, 0, s.leading(), 0)}}
}

// allPlates are those of every line of a sheet.
func (w WarningSheet) allPlates() []Plate {
	all := slices.Clone(w.Nameless)
	for _, l := range w.Here {
		all = append(all, l.Plates...)
	}
	for _, l := range w.Wide {
		all = append(all, l.Plates...)
	}
	for _, l := range w.Doubles {
		all = append(append(all, l.Plates...), l.Here...)
	}
	for _, u := range w.NoEntry {
		all = append(all, u.Plates...)
	}
	return all
}
