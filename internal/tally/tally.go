// Package tally makes an event's species list and counts its distinct taxa by a stated rule. It never counts a plate
// twice, and what is not sure is listed apart and adds nothing.
package tally

import (
	"cmp"
	"slices"

	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

// Named is a name as determined, with what it is called today.
type Named struct {
	Name      string // as determined
	Author    string
	Rank      taxon.Rank
	Qualifier taxon.Qualifier
	Position  taxon.Rank
	Key       string
	Current   *taxon.Name // nil where the classification does not know it
}

// Find is one collection or field record as the list sees it.
type Find struct {
	ID          string
	Number      string
	Place       string // as public as the list is
	Names       []Named
	State       State
	Outside     bool // from outside the permitted area
	Cultivated  bool
	Determiners []string
	Field       bool   // a field record: seen and left there, without a number
	Seen        int    // of a field record: how many, as far as anybody counted
	Site        string // the code of its site; empty where the public does not learn of it
	GridM       int    // the grid, in metres, in which its place is given out; 0: not kept back
	Event       string // the code of its event, on a list of several
	Day         string // ISO date on which it was found; empty where nobody knows it to the day
	Voucher     bool   // kept, so that the name can be checked
	Photographs int    // that anybody may see
	Asked       int    // signs of dangerous fungi that its sign-off asked for
	Answered    int    // those of them that were answered
}

// State is how sure a find's name is.
type State string

const (
	Confirmed   State = "confirmed"
	Provisional State = "provisional"
	Disputed    State = "disputed"
)

// Apart says why something is listed and not counted.
type Apart string

const (
	Counted     Apart = ""
	Outside     Apart = "outside"
	Cultivated  Apart = "cultivated"
	InDispute   Apart = "disputed"
	Unconfirmed Apart = "unconfirmed"
	Doubtful    Apart = "aff" // cf., aff. and ?: near to a name, never counted as it
)

// AllApart lists the reasons in the order of the list.
var AllApart = []Apart{InDispute, Unconfirmed, Doubtful, Outside, Cultivated}

// Realm is one of the groups that are totalled apart.
type Realm string

const (
	Ascomycetes    Realm = "ascomycetes"
	Basidiomycetes Realm = "basidiomycetes"
	SlimeMoulds    Realm = "slime-moulds"
	Lichens        Realm = "lichens"
	Others         Realm = "other"
)

// Realms lists them in the order of the list.
var Realms = []Realm{Ascomycetes, Basidiomycetes, SlimeMoulds, Lichens, Others}

// First says that a taxon is new to a place.
type First struct {
	Scope   string // site, society or record
	Place   string // the site, or the area of the list of record
	Against string // what it was compared with
	Sure    bool   // else it is a possible first
	Text    message.Text
}

// Line is one taxon of the list.
type Line struct {
	Named       // current name; as determined where it is not known
	Realm       Realm
	Family      string
	Firsts      []First
	Determined  []Named // names as determined that differ from the current one
	Finds       []Find
	Places      []string
	Determiners []string
	State       State
	Apart       Apart
	Counts      bool
	Why         message.Text
}

// Plates is how many of a line's finds have a number.
func (l *Line) Plates() int { return len(l.Finds) - l.Fields() }

// Fields is how many field records the line has.
func (l *Line) Fields() (n int) {
	for _, f := range l.Finds {
		if f.Field {
			n++
		}
	}
	return n
}

// Signs is how many signs of dangerous fungi the line's sign-offs asked for, and how many were answered.
func (l *Line) Signs() (asked, answered int) {
	for _, f := range l.Finds {
		asked, answered = asked+f.Asked, answered+f.Answered
	}
	return asked, answered
}

// Vouchers is how many of a line's finds are kept.
func (l *Line) Vouchers() (n int) {
	for _, f := range l.Finds {
		if f.Voucher {
			n++
		}
	}
	return n
}

// Photographs is how many pictures of a line's finds anybody may see.
func (l *Line) Photographs() (n int) {
	for _, f := range l.Finds {
		n += f.Photographs
	}
	return n
}

// Seen is what was counted of the line's field records.
func (l *Line) Seen() (n int) {
	for _, f := range l.Finds {
		n += f.Seen
	}
	return n
}

// List is the whole.
type List struct {
	Lines  []Line // counted or not, by realm and name; then what is apart
	Total  int
	Totals map[Realm]int
	Finds  int // collections and field records in the list
	Fields int // field records among them
}

// Make makes the list of some finds. The rule: one for each distinct current taxon that was confirmed, synonyms
// merged, whether it lies on a plate or somebody who may determine stands behind a record from the field; a wide name (a genus, a section, a species beside its variety) adds one only where nothing within it was
// confirmed; disputed, unconfirmed, doubtful (cf., aff.), cultivated and brought from outside are apart and add
// nothing; a form group is no taxon.
func Make(finds []Find) List {
	ordered := make([]*Find, len(finds))
	for i := range finds {
		ordered[i] = &finds[i]
	}
	slices.SortStableFunc(ordered, inOrder)
	by := map[lineKey]*Line{}
	var lines []*Line
	fields := 0
	for _, f := range ordered {
		if f.Field {
			fields++
		}
		for i := range f.Names {
			n := &f.Names[i]
			k := keyOf(f, n)
			line := by[k]
			if line == nil {
				line = newLine(f, n)
				by[k], lines = line, append(lines, line)
			}
			line.take(f, n)
		}
	}
	sortLines(lines)
	list := List{Lines: make([]Line, len(lines)), Totals: map[Realm]int{}, Finds: len(finds), Fields: fields}
	for i, l := range lines {
		l.tidy()
		list.Lines[i] = *l
	}
	list.count()
	return list
}

// inOrder puts plates by number before field records.
func inOrder(a, b *Find) int {
	if a.Field != b.Field {
		if a.Field {
			return 1
		}
		return -1
	}
	return cmp.Or(cmp.Compare(a.Event, b.Event), cmp.Compare(a.Number, b.Number), cmp.Compare(a.ID, b.ID))
}

type lineKey struct {
	apart     Apart
	sense     string
	qualifier taxon.Qualifier
}

func keyOf(f *Find, n *Named) lineKey {
	return lineKey{apart: apartOf(f, n), sense: n.sense(), qualifier: n.Qualifier}
}

func (n *Named) sense() string {
	switch {
	case n.Current != nil:
		return n.Current.Key
	case n.Key != "":
		return n.Key
	}
	return taxon.Fold(n.Name)
}

func apartOf(f *Find, n *Named) Apart {
	switch {
	case f.Outside:
		return Outside
	case f.Cultivated:
		return Cultivated
	case f.State == Disputed:
		return InDispute
	case f.State == Provisional:
		return Unconfirmed
	case n.Qualifier == taxon.Confer || n.Qualifier == taxon.Affinis || n.Qualifier == taxon.Doubt:
		return Doubtful
	}
	return Counted
}

func newLine(f *Find, n *Named) *Line {
	l := &Line{Named: *n, Apart: apartOf(f, n), State: f.State, Realm: realmOf(n.Current)}
	if n.Current != nil {
		l.Name, l.Author, l.Rank, l.Key, l.Family = n.Current.Name, n.Current.Author, n.Current.Rank, n.Current.Key, n.Current.Family
	}
	return l
}

// take adds a find to the line, once though several of its names are the line's. The finds come in order.
func (l *Line) take(f *Find, n *Named) {
	if last := len(l.Finds) - 1; last >= 0 && l.Finds[last].ID == f.ID {
		return
	}
	l.Finds = append(l.Finds, *f)
	l.Places = addOnce(l.Places, f.Place)
	for _, d := range f.Determiners {
		l.Determiners = addOnce(l.Determiners, d)
	}
	if n.Name == l.Name {
		return
	}
	for i := range l.Determined {
		if l.Determined[i].Name == n.Name {
			return
		}
	}
	l.Determined = append(l.Determined, *n)
}

func addOnce(all []string, s string) []string {
	if s == "" {
		return all
	}
	for _, have := range all {
		if have == s {
			return all
		}
	}
	return append(all, s)
}

func (l *Line) tidy() {
	slices.Sort(l.Places)
	slices.Sort(l.Determiners)
	slices.SortFunc(l.Determined, func(a, b Named) int { return cmp.Compare(a.Name, b.Name) })
}

// realmOf follows the classification. Lichens are the classes whose members nearly all are (common practice).
func realmOf(n *taxon.Name) Realm {
	switch {
	case n == nil:
		return Others
	case n.Kingdom != "" && n.Kingdom != "Fungi":
		if n.Kingdom == "Protozoa" || n.Kingdom == "Amoebozoa" || n.Phylum == "Amoebozoa" {
			return SlimeMoulds
		}
		return Others
	case n.Class == "Lecanoromycetes" || n.Class == "Lichinomycetes" || n.Class == "Arthoniomycetes":
		return Lichens
	case n.Phylum == "Ascomycota":
		return Ascomycetes
	case n.Phylum == "Basidiomycota":
		return Basidiomycetes
	}
	return Others
}

func sortLines(lines []*Line) {
	place := map[Apart]int{}
	for i, a := range AllApart {
		place[a] = i + 1
	}
	realm := map[Realm]int{}
	for i, r := range Realms {
		realm[r] = i
	}
	slices.SortFunc(lines, func(a, b *Line) int {
		return cmp.Or(cmp.Compare(place[a.Apart], place[b.Apart]), cmp.Compare(realm[a.Realm], realm[b.Realm]), cmp.Compare(a.Name, b.Name),
			cmp.Compare(a.Qualifier, b.Qualifier), cmp.Compare(a.sense(), b.sense()))
	})
}
