package archive

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

// widerRanks are the ranks above genus that lists give a column, widest first.
var widerRanks = [5]taxon.Rank{taxon.Kingdom, taxon.Phylum, taxon.Class, taxon.Order, taxon.Family}

// rankDepth orders the ranks that lists here keep from wide to narrow.
var rankDepth = map[taxon.Rank]uint8{
	taxon.Kingdom: 1, taxon.Phylum: 2, taxon.Class: 3, taxon.Order: 4, taxon.Family: 5, taxon.Genus: 6,
	taxon.Section: 7, taxon.Species: 8, taxon.Subspecies: 9, taxon.Variety: 10, taxon.FormaRank: 11,
}

var ranksByDepth = func() (ranks [12]taxon.Rank) {
	for rank, depth := range rankDepth {
		ranks[depth] = rank
	}
	return ranks
}()

const genusDepth, sectionDepth = 6, 7

var infraMarks = map[taxon.Rank]string{taxon.Subspecies: "subsp.", taxon.Variety: "var.", taxon.FormaRank: "f."}

// read brings a usage to a name, its author and its rank, or says why it cannot be one. A rank that lists here do not
// keep comes back as passed: the name is left out, but names under it may still climb over it.
func (u *usage) read(source string) (row taxon.Row, passed bool, why message.Text) {
	if !u.refused.IsZero() {
		return row, false, u.refused
	}
	text := u.written()
	rank, known := readRank(u.rank)
	switch {
	case text == "":
		return row, false, message.T("checklist.refused-no-name")
	case u.rank != "" && !known:
		return row, true, message.T("checklist.refused-rank", "rank", u.rank)
	}
	w := u.readWords(text, rank)
	if why = u.unreadable(w); !why.IsZero() {
		return row, false, why
	}
	row = taxon.Row{Line: u.line, Name: w.Canonical, Author: u.author, Rank: w.Rank, Status: "accepted", Source: source}
	if row.Author == "" {
		row.Author = w.Author
	}
	if rank != "" {
		row.Rank = rank
	}
	why = u.shape(&row, w)
	return row, false, why
}

// readWords keeps the author behind a genus or family, such as Gervais or d'Orbigny, from being read as an epithet.
func (u *usage) readWords(text string, rank taxon.Rank) taxon.Written {
	w := taxon.Read(u.withoutAuthor(text))
	if depth := rankDepth[rank]; depth == 0 || depth > genusDepth || w.Epithet == "" {
		return w
	}
	first, rest, _ := strings.Cut(strings.TrimSpace(text), " ")
	if !particle.MatchString(rest) {
		return w
	}
	w = taxon.Read(first)
	w.Author = rest
	return w
}

var particle = regexp.MustCompile(`^(\p{Lu}|\(|d['’]|l['’]|de |du |den |der |von |van )`)

func (u *usage) unreadable(w taxon.Written) message.Text {
	first, _ := utf8.DecodeRuneInString(strings.TrimLeft(w.Verbatim, "× \"'"))
	switch {
	case w.Qualifier != taxon.None:
		return message.T("checklist.refused-doubt", "mark", string(w.Qualifier))
	case w.Rank == "", w.Epithet == "" && !unicode.IsUpper(first):
		return message.T("checklist.refused-unreadable")
	case strings.HasSuffix(w.Genus, "."):
		return message.T("checklist.refused-abbreviated")
	}
	return message.Text{}
}

// shape spells out what the rank says and the name leaves out, and then holds the two against each other.
func (u *usage) shape(row *taxon.Row, w taxon.Written) message.Text {
	mark := infraMarks[row.Rank]
	switch {
	case w.Infra != "" && w.InfraRank == "" && mark == "":
		return message.T("checklist.refused-three-words")
	case w.Infra != "" && w.InfraRank == "":
		row.Name = strings.TrimSuffix(w.Canonical, w.Infra) + mark + " " + w.Infra
	case row.Rank == taxon.Section && w.Rank == taxon.Genus && u.ownGenus() != "" && u.ownGenus() != w.Genus:
		row.Name = u.ownGenus() + " sect. " + w.Genus
	}
	if row.Check() != nil {
		return message.T("checklist.refused-rank-name", "rank", string(row.Rank))
	}
	return message.Text{}
}

func (u *usage) ownGenus() string {
	if u.genericName != "" {
		return u.genericName
	}
	return u.genus
}

// written is the scientific name, or what its parts make. A row that has only columns of a classification names the
// narrowest of them.
func (u *usage) written() string {
	switch {
	case u.name != "":
		return u.name
	case u.uninomial != "":
		return u.uninomial
	case u.epithet != "":
		return u.binomial()
	case u.infragenus != "" && fold(u.rank) != "genus":
		return u.infragenus
	case u.ownGenus() != "":
		return u.ownGenus()
	}
	for i := len(u.wider) - 1; i >= 0; i-- {
		if u.wider[i] != "" {
			if u.rank == "" {
				u.rank = string(widerRanks[i])
			}
			return u.wider[i]
		}
	}
	return ""
}

func (u *usage) binomial() string {
	if u.ownGenus() == "" || u.cultivar != "" {
		return ""
	}
	name := u.ownGenus() + " "
	if strings.HasPrefix(fold(u.notho), "specific") {
		name += "× "
	}
	name += u.epithet
	if u.infra != "" {
		rank, _ := readRank(u.rank)
		name = strings.Join(strings.Fields(name+" "+infraMarks[rank]+" "+u.infra), " ")
	}
	return name
}

// withoutAuthor cuts the author that Darwin Core lets stand behind the name, where the row says who that is.
func (u *usage) withoutAuthor(text string) string {
	if u.author == "" {
		return text
	}
	if cut, ok := strings.CutSuffix(text, u.author); ok && strings.TrimSpace(cut) != "" {
		return strings.TrimRight(cut, " ,")
	}
	return text
}

// standing is what a row says about its name.
type standing struct {
	former   bool
	said     bool   // by a word, not only by pointing to another name
	kind     string // of a former name, a meaning of checklist.txt
	disputed string
	why      message.Text
}

// standing reads the status word; where it says nothing, what the row points to decides.
func (u *usage) standing(ownName string) standing {
	elsewhere := u.acceptedID != "" && u.acceptedID != u.id ||
		u.acceptedID == "" && u.accepted != "" && taxon.Key(taxon.Read(u.accepted).Canonical) != taxon.Key(ownName)
	meaning := readStatus(u.status)
	s := standing{said: u.synonym || u.status != "", kind: meaning}
	switch {
	case u.synonym && (meaning == "" || meaning == "accepted" || meaning == "doubtful"):
		s.former, s.kind = true, "synonym"
	case u.synonym:
		s.former = true
	case meaning == "accepted", u.status == "" && !elsewhere:
	case meaning == "doubtful":
		s.disputed = strings.ToLower(u.status)
	case meaning == "" && (elsewhere || strings.Contains(fold(u.status), "synonym")):
		s.former, s.kind = true, "synonym"
	case meaning == "" && fold(u.status) == "barename":
		s.why = message.T("checklist.refused-bare")
	case meaning == "":
		s.why = message.T("checklist.refused-status", "status", u.status)
	default:
		s.former = true
	}
	if u.provisional && !s.former {
		s.disputed = "provisionally accepted"
	}
	if s.former && !elsewhere {
		s.why = message.T("checklist.refused-no-accepted")
	}
	return s
}

// reason says why a name is former, as far as the list tells.
func reason(kind, name, accepted string) string {
	switch kind {
	case "misapplied", "spelling", "split":
		return kind
	case "homotypic":
		return "moved"
	}
	if taxon.SameEpithet(name, accepted) && taxon.Key(name) != taxon.Key(accepted) {
		return "moved"
	}
	return "merged" // also a later homonym of its accepted name
}
