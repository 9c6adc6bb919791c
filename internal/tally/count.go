package tally

import (
	"strings"

	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

// count decides of each line whether it counts, and says why.
func (l *List) count() {
	for i := range l.Lines {
		line := &l.Lines[i]
		line.Counts, line.Why = l.decide(line)
		if line.Counts {
			l.Total++
			l.Totals[line.Realm]++
		}
	}
}

func (l *List) decide(line *Line) (bool, message.Text) {
	switch {
	case line.Apart != Counted:
		return false, line.whyApart()
	case line.Rank == taxon.Form:
		return false, message.T("tally.form")
	}
	for i := range l.Lines {
		other := &l.Lines[i]
		switch {
		case other == line || other.Apart != Counted:
		case line.holds(other):
			return false, message.T("tally.narrower", "name", other.Name)
		case line.repeats(other):
			return false, message.T("tally.repeated", "name", other.Name)
		}
	}
	if line.Current == nil {
		return true, message.T("tally.counts-unknown")
	}
	return true, line.whyCounts()
}

// whyApart speaks of signing plates and of standing behind field records.
func (l *Line) whyApart() message.Text {
	if l.Apart == Unconfirmed && l.Plates() == 0 {
		return message.T("tally.apart.unconfirmed-field")
	}
	return message.T("tally.apart." + string(l.Apart))
}

// whyCounts says plates and field records apart.
func (l *Line) whyCounts() message.Text {
	plates, fields := l.Plates(), l.Fields()
	if fields == 0 {
		return message.T("tally.counts", "n", plates)
	}
	said := message.T("tally.fields", "n", fields, "seen", l.Seen())
	if plates == 0 {
		return message.T("tally.counts-fields", "fields", said)
	}
	return message.T("tally.counts-both", "n", plates, "fields", said)
}

// holds reports whether other is a narrower name within l: another taxon of the genus, section, family and so on, a
// variety of the species, or the plain species beside its group.
func (l *Line) holds(other *Line) bool {
	if l.sense() == other.sense() {
		return l.wide() && !other.wide()
	}
	switch l.Rank {
	case taxon.Species:
		return strings.HasPrefix(other.Name, l.Name+" ")
	case taxon.Genus:
		return strings.HasPrefix(other.Name, l.Name+" ")
	}
	if other.Current == nil || l.Current == nil {
		return false
	}
	return l.within(other.Current)
}

func (l *Line) within(n *taxon.Name) bool {
	switch l.Rank {
	case taxon.Section:
		genus, section, _ := strings.Cut(l.Name, " sect. ")
		return n.Section == section && strings.HasPrefix(n.Name, genus+" ") && n.Rank != taxon.Section
	case taxon.Family:
		return n.Family == l.Name
	case taxon.Order:
		return n.Order == l.Name
	case taxon.Class:
		return n.Class == l.Name
	case taxon.Phylum:
		return n.Phylum == l.Name
	case taxon.Kingdom:
		return n.Kingdom == l.Name
	}
	return false
}

func (l *Line) wide() bool { return l.Qualifier == taxon.SensuLato || l.Qualifier == taxon.Group }

// repeats reports whether other is the same taxon in as wide a sense and stands before l: of "s.str." beside the plain
// name, or "s.l." beside "group", one counts.
func (l *Line) repeats(other *Line) bool {
	return l.sense() == other.sense() && l.wide() == other.wide() && other.Qualifier < l.Qualifier
}
