package records

import (
	"slices"
	"strconv"
	"strings"

	"forayhall/internal/archive"
	"forayhall/internal/foray"
	"forayhall/internal/message"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// fewest is how many of a kind a note names before it only counts.
const fewest = 12

// words is a set in the order in which it was filled.
type words struct {
	list []string
	have map[string]bool
}

func (w *words) add(s string) {
	if w.have == nil {
		w.have = map[string]bool{}
	}
	if !w.have[s] {
		w.have[s] = true
		w.list = append(w.list, s)
	}
}

func (w words) String() string {
	if len(w.list) > fewest {
		return strings.Join(w.list[:fewest], ", ") + " …"
	}
	return strings.Join(w.list, ", ")
}

// remarkable is what whoever brings records is told once for all rows.
type remarkable struct {
	unknown     words // names that the classification does not have
	slips       words // misspelt names, as read
	identifiers words // people who became identifiers of the event
	strangers   words // determiners who are not known
	nobody      words // numbers confirmed by nobody
	tables      words // tables that the event does not have
	baseless    int   // sign-offs that say nothing of what they rest on
	points      int   // coordinates that are not kept
	pointLine   int

	ids     int // finds whose own id could not be kept
	media   int // pictures that are linked
	facts   int // measurements that went among the remarks
	unnamed int // sign-offs of nobody knows whom
}

func (r *remarkable) name(n foray.SlipName) {
	switch w := taxon.Read(n.Verbatim); {
	case n.CurrentKey == "":
		r.unknown.add(n.Verbatim)
	case n.NameRank != string(taxon.Form) && w.Canonical != "" && taxon.Key(w.Canonical) != n.Key && !strings.Contains(w.Genus, "."):
		r.slips.add(n.Verbatim + " → " + n.Name)
	}
}

// point counts coordinates that have nowhere to go: a collection has those of its site.
func (r *remarkable) point(rec archive.Record) {
	if rec.Lat == nil {
		return
	}
	if r.points++; r.points == 1 {
		r.pointLine = rec.Line
	}
}

func (im *importer) notes() []message.Text {
	var notes []message.Text
	say := func(key string, w words) {
		if len(w.list) > 0 {
			notes = append(notes, message.T(key, "n", len(w.list), "list", w.String()))
		}
	}
	if im.again > 0 {
		notes = append(notes, message.T("records.note-again", "n", im.again))
	}
	var sites, teams words
	for _, s := range im.newSites {
		sites.add(s.Code + " " + s.Name)
	}
	slices.SortFunc(im.newTeams, func(a, b store.Team) int { return a.Number - b.Number })
	for _, m := range im.newTeams {
		teams.add(strconv.Itoa(m.Number))
	}
	say("records.note-sites", sites)
	say("records.note-teams", teams)
	say("records.note-identifiers", im.seen.identifiers)
	say("records.note-strangers", im.seen.strangers)
	say("records.note-nobody", im.seen.nobody)
	say("records.note-unknown", im.seen.unknown)
	say("records.note-spelling", im.seen.slips)
	say("records.note-tables", im.seen.tables)
	if im.seen.baseless > 0 {
		notes = append(notes, message.T("records.note-baseless", "n", im.seen.baseless))
	}
	count := func(key string, n int) {
		if n > 0 {
			notes = append(notes, message.T(key, "n", n))
		}
	}
	count("records.note-ids", im.seen.ids)
	count("records.note-unnamed", im.seen.unnamed)
	count("records.note-facts", im.seen.facts)
	count("records.note-media", im.seen.media)
	if im.seen.points > 0 {
		notes = append(notes, message.T("records.note-points", "n", im.seen.points, "line", im.seen.pointLine))
	}
	return notes
}
