package earlier

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"forayhall/internal/archive"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/taxon"
)

// names reads the names of a list, each text once.
type names struct {
	hall *hall.Hall
	opts Options
	take map[string]bool
	read map[written]*reading
}

// written is what a line says of its name.
type written struct{ name, author, rank, qualifier string }

// reading is what that was read as.
type reading struct {
	name  foray.SlipName
	how   taxon.How
	taken bool // a misspelling that somebody says is what it looks like
	row   ReadName
}

func newNames(h *hall.Hall, opts Options) *names {
	n := &names{hall: h, opts: opts, take: map[string]bool{}, read: map[written]*reading{}}
	for _, text := range opts.Take {
		n.take[tidy(text)] = true
	}
	return n
}

func tidy(s string) string { return strings.Join(strings.Fields(s), " ") }

func writtenIn(rec archive.ListRecord) written {
	return written{tidy(rec.Name), tidy(rec.Author), rec.Rank, rec.Qualifier}
}

// all reads the names that are written out first, so that "A. fulva" is the Amanita of the same list before it is
// anything else.
func (n *names) all(recs []archive.ListRecord) {
	for _, rec := range recs {
		w := writtenIn(rec)
		if n.read[w] == nil {
			n.read[w] = &reading{row: ReadName{Written: w.name, First: rec.Line}}
		}
		n.read[w].row.Lines++
	}
	texts := slices.SortedFunc(maps.Keys(n.read), func(a, b written) int {
		return cmp.Or(cmp.Compare(a.name, b.name), cmp.Compare(a.author, b.author), cmp.Compare(a.rank, b.rank), cmp.Compare(a.qualifier, b.qualifier))
	})
	prefer := map[string]bool{}
	for _, w := range texts {
		if n.one(w, nil); n.read[w].how == taxon.Same {
			prefer[n.read[w].name.Key] = true
		}
	}
	for _, w := range texts {
		if how := n.read[w].how; how == taxon.Short || how == taxon.Several || how == taxon.Nothing {
			n.one(w, prefer)
		}
	}
}

// one reads one text. A name with its author in a column of its own is first read as one with its author behind it.
func (n *names) one(w written, prefer map[string]bool) {
	r := n.read[w]
	text := w.name
	if w.author != "" && !strings.Contains(w.name, w.author) {
		text += " " + w.author
	}
	m := n.hall.Knowledge.Names.MatchWithin(text, prefer)
	if m.How == taxon.Nothing && text != w.name {
		m = n.hall.Knowledge.Names.MatchWithin(w.name, prefer)
	}
	r.how, r.row.May, r.row.Read, r.row.Now = m.How, nil, "", ""
	r.name = foray.SlipName{Rank: 1, Verbatim: w.name, Name: w.name, Qualifier: qualifier(w.qualifier), ChecklistRev: n.hall.Knowledge.Names.Revision()}
	if r.name.Qualifier == "" {
		r.name.Qualifier, r.name.Position = string(m.Written.Qualifier), string(m.Written.Position)
	}
	for _, c := range m.Candidates {
		r.row.May = append(r.row.May, c.Name.Name)
	}
	if m.Found != nil && m.How != taxon.GenusOnly {
		r.row.Read = m.Found.Name
		if now := m.Found.Current(); now.Key != m.Found.Key {
			r.row.Now = now.Name
		}
		r.taken = m.How != taxon.Spelling || n.opts.TakeAll || n.take[w.name]
	}
	if !r.taken {
		r.asWritten(m.Written, w)
		return
	}
	r.name.Key, r.name.Name, r.name.Author, r.name.NameRank = m.Found.Key, m.Found.Name, m.Found.Author, string(m.Found.Rank)
	r.name.CurrentKey = m.Found.Current().Key
}

// asWritten keeps a name under the key that a later classification may know it by.
func (r *reading) asWritten(read taxon.Written, w written) {
	r.name.Key, r.name.NameRank, r.name.Author = taxon.Key(read.Canonical), string(read.Rank), cmp.Or(w.author, read.Author)
	if read.Canonical != "" {
		r.name.Name = read.Canonical
	}
}

// asks reports whether a name is asked back: it looks like a misspelling, or like one of several, and nobody answered.
func (n *names) asks(r *reading) bool { return r.doubted() && !r.taken && !n.opts.AsWritten }

func (r *reading) doubted() bool { return r.how == taxon.Spelling || r.how == taxon.Several }

// tell sorts what was read.
func (n *names) tell(out *Outcome) {
	for _, r := range n.read {
		switch {
		case n.asks(r):
			out.Asked = append(out.Asked, r.row)
		case r.name.CurrentKey == "":
			out.Unknown = append(out.Unknown, r.row)
		default:
			n.tellKnown(out, r)
		}
	}
	for _, list := range []*[]ReadName{&out.Asked, &out.Unknown, &out.Former, &out.Spelt} {
		slices.SortFunc(*list, func(a, b ReadName) int {
			return cmp.Or(cmp.Compare(a.First, b.First), cmp.Compare(a.Written, b.Written))
		})
	}
}

func (n *names) tellKnown(out *Outcome, r *reading) {
	if r.how == taxon.Spelling {
		out.Spelt = append(out.Spelt, r.row)
	}
	if r.row.Now == "" {
		out.Matched += r.row.Lines
		return
	}
	out.Synonyms += r.row.Lines
	if r.how != taxon.Spelling {
		out.Former = append(out.Former, r.row)
	}
}

// qualifier brings what stands in a column of its own to the spelling that names have; "" where it is none.
func qualifier(text string) string {
	if text == "" {
		return ""
	}
	for _, name := range []string{"Amanita " + text + " muscaria", "Amanita muscaria " + text} {
		if q := taxon.Read(name).Qualifier; q != taxon.None {
			return string(q)
		}
	}
	return ""
}
