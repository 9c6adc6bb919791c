package list

import (
	"slices"
	"strings"
	"time"

	"forayhall/internal/hall"
	"forayhall/internal/message"
)

// Differences is what is different in a later version: the taxa that were added and that are gone, those that the
// classification calls something else now, and each find that stands elsewhere, with the reason.
type Differences struct {
	From     int                    `json:"from"`
	To       int                    `json:"to"` // 0: the running list
	Before   int                    `json:"distinct_taxa_before"`
	After    int                    `json:"distinct_taxa_after"`
	Added    []string               `json:"added"`
	Gone     []string               `json:"gone"`
	Renamed  []Renamed              `json:"renamed"`
	Turned   []Turned               `json:"turned"`
	Moves    []Move                 `json:"finds"`
	Requests []hall.AnsweredRequest `json:"requests"` // for a correction, answered between the two
	Measures [2]Revision            `json:"-"`
}

// Revision is by which classification and knowledge a version was made.
type Revision struct{ Checklist, Knowledge string }

// Renamed is a taxon that has another name now, though nobody looked at it again.
type Renamed struct {
	From string `json:"from"`
	To   string `json:"to"`
}

// Turned is a taxon that is on both lists and counts on one of them only.
type Turned struct {
	Name   string `json:"name"`
	Counts bool   `json:"counts"` // on the later one
	Why    string `json:"why"`
}

// Move is a find that stands elsewhere on the later list, is new there, or is gone.
type Move struct {
	Find   string   `json:"find"`  // number, or id of a field record
	Field  bool     `json:"field"` // a field record
	From   []Stands `json:"from"`
	To     []Stands `json:"to"`
	Reason Reason   `json:"reason"`
	Into   []string `json:"into"` // the numbers of a split or merge
}

// Stands is a line under which a find stands.
type Stands struct {
	Name  string `json:"name"`
	Apart string `json:"apart"`
}

// Reason says why a find moved.
type Reason string

const (
	Determined Reason = "determined" // a further determination
	Struck     Reason = "struck"     // a word was taken back
	Classified Reason = "classified" // the name moved with the classification
	Corrected  Reason = "corrected"  // field data were put right
	Split      Reason = "split"
	Merged     Reason = "merged"
	Spoilt     Reason = "spoilt"
	New        Reason = "new"      // written down since
	Nameless   Reason = "nameless" // found to be no fungus, or not nameable
	Stood      Reason = "stood"    // somebody stands behind a field record
	Unknown    Reason = "unknown"  // neither slips nor classification explain it
)

// Text says the reason.
func (m Move) Text() message.Text {
	return message.T("version.why."+string(m.Reason), "into", strings.Join(m.Into, ", "))
}

// Trail is what happened to a find, from its rows.
type Trail struct {
	WrittenAt time.Time
	Fate      string // live, split, merged, spoilt; of a field record live or struck
	Into      []string
	Said      []Said // in order
}

// Said is one slip, or one word on a field record.
type Said struct {
	At   time.Time
	What Reason // Determined, Struck, Nameless or Stood
}

// between is the last thing that was said after one version and by the other.
func (t Trail) between(from, to time.Time) Reason {
	for _, s := range slices.Backward(t.Said) {
		if s.At.After(from) && !s.At.After(to) {
			return s.What
		}
	}
	return ""
}

// Compare finds the differences between two lists from what was frozen and from the trails of their finds, by number or
// id. current says what a written name is called today, or gives it back.
func Compare(from, to Canonical, trails map[string]Trail, current func(string) string) Differences {
	d := Differences{From: from.Version, To: to.Version, Before: from.Total, After: to.Total, Added: []string{}, Gone: []string{}, Renamed: []Renamed{},
		Turned: turned(from, to), Moves: []Move{}, Requests: []hall.AnsweredRequest{}, Measures: [2]Revision{{from.ChecklistRev, from.KnowledgeRev}, {to.ChecklistRev, to.KnowledgeRev}}}
	old, now := standing(from), standing(to)
	for _, find := range finds(old, now) {
		if slices.Equal(old[find], now[find]) {
			continue
		}
		t := trails[find]
		d.Moves = append(d.Moves, Move{Find: find, Field: strings.HasPrefix(find, "urn:"), From: stands(old[find]), To: stands(now[find]), Into: append([]string{}, t.Into...),
			Reason: why(old[find], now[find], t, from.SignedAt, to.SignedAt, current)})
	}
	d.taxa(from, to, current)
	return d
}

func stands(s []Stands) []Stands { return append([]Stands{}, s...) }

// standing is the lines under which each find stands.
func standing(c Canonical) map[string][]Stands {
	at := map[string][]Stands{}
	for _, l := range c.Lines {
		for _, find := range slices.Concat(l.Numbers, l.FieldRecords) {
			at[find] = append(at[find], Stands{l.Written, l.Apart})
		}
	}
	for _, s := range at {
		slices.SortFunc(s, func(a, b Stands) int { return strings.Compare(a.Apart+"\x00"+a.Name, b.Apart+"\x00"+b.Name) })
	}
	return at
}

// finds lists numbers in order, then field records.
func finds(old, now map[string][]Stands) []string {
	var all []string
	for _, m := range []map[string][]Stands{old, now} {
		for find := range m {
			all = append(all, find)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

func why(old, now []Stands, t Trail, from, to time.Time, current func(string) string) Reason {
	said := t.between(from, to)
	switch {
	case len(now) == 0 && t.Fate != "" && t.Fate != "live":
		return Reason(t.Fate)
	case len(old) == 0 && t.WrittenAt.After(from):
		return New
	case said != "":
		return said
	case sameNames(old, now, func(s string) string { return s }):
		return Corrected
	case sameNames(old, now, current):
		return Classified
	}
	return Unknown
}

// sameNames reports whether a find bears the same names, as they are called by the function.
func sameNames(old, now []Stands, called func(string) string) bool {
	names := func(all []Stands) (out []string) {
		for _, s := range all {
			out = append(out, called(s.Name))
		}
		slices.Sort(out)
		return slices.Compact(out)
	}
	return len(old) > 0 && slices.Equal(names(old), names(now))
}

// listed is the lines of what was confirmed, by name.
func listed(c Canonical) map[string]CanonicalLine {
	by := map[string]CanonicalLine{}
	for _, l := range c.Lines {
		if l.Apart == "" {
			by[l.Written] = l
		}
	}
	return by
}

// taxa tells what is new and what is gone, but for what only has another name now.
func (d *Differences) taxa(from, to Canonical, current func(string) string) {
	old, now := listed(from), listed(to)
	renamed := map[string]bool{}
	for _, l := range from.Lines {
		if _, still := now[l.Written]; still || l.Apart != "" {
			continue
		}
		name := current(l.Written)
		if _, there := now[name]; there && name != l.Written && d.classified(l.Written, name) {
			d.Renamed = append(d.Renamed, Renamed{l.Written, name})
			renamed[name] = true
			continue
		}
		d.Gone = append(d.Gone, l.Written)
	}
	for _, l := range to.Lines {
		if _, before := old[l.Written]; l.Apart == "" && !before && !renamed[l.Written] {
			d.Added = append(d.Added, l.Written)
		}
	}
}

// classified reports whether a find went from one name to the other with the classification.
func (d *Differences) classified(from, to string) bool {
	return slices.ContainsFunc(d.Moves, func(m Move) bool {
		return m.Reason == Classified && slices.ContainsFunc(m.From, func(s Stands) bool { return s.Name == from }) &&
			slices.ContainsFunc(m.To, func(s Stands) bool { return s.Name == to })
	})
}

func turned(from, to Canonical) []Turned {
	old, out := listed(from), []Turned{}
	for _, l := range to.Lines {
		if before, there := old[l.Written]; there && l.Apart == "" && before.Counts != l.Counts {
			out = append(out, Turned{l.Written, l.Counts, l.Why})
		}
	}
	return out
}
