package taxon

import "strings"

// endings of names above genus (ICN Art. 16-18).
var endings = []struct {
	ending string
	rank   Rank
}{{"aceae", Family}, {"ales", Order}, {"mycetes", Class}, {"mycota", Phylum}}

// rank says what was written; "" when it is a sentence rather than a name.
func (r *reader) rank() Rank {
	switch {
	case r.isRemark(), r.w.Infra != "" && r.w.InfraRank == "" && r.isSentence():
		return ""
	case r.w.InfraRank != "":
		return r.w.InfraRank
	case r.w.Epithet != "":
		return Species
	case r.w.Section != "":
		return Section
	}
	return uninomialRank(r.w.Genus)
}

// isRemark: with nothing in capitals, two words and more behind a comma are prose too.
func (r *reader) isRemark() bool {
	return !startsUpper(r.words[0]) && r.noteAt > 0 && strings.Contains(r.w.Note, " ") && strings.HasSuffix(r.words[r.noteAt-1], ",")
}

// isSentence: four words in small letters are prose.
func (r *reader) isSentence() bool {
	first, _, _ := strings.Cut(strings.TrimSpace(r.w.Author+" "+r.w.Note), " ")
	return isWord(first) && !startsUpper(first) && (!authorWords[first] || proseWords[first])
}

func uninomialRank(name string) Rank {
	if name == "Fungi" {
		return Kingdom
	}
	for _, e := range endings {
		if strings.HasSuffix(name, e.ending) && len(name) > len(e.ending)+1 {
			return e.rank
		}
	}
	return Genus
}

func (r *reader) canonical(hybrid bool) string {
	parts := []string{r.w.Genus}
	if hybrid && r.w.Epithet == "" {
		parts = []string{"×", r.w.Genus}
	}
	if r.w.Epithet == "" && r.w.Section != "" {
		return r.w.Genus + " " + r.w.SectionRank + " " + r.w.Section
	}
	if hybrid && r.w.Epithet != "" {
		parts = append(parts, "×")
	}
	for _, part := range []string{r.w.Epithet, infraSpelt[r.w.InfraRank], r.w.Infra} {
		if part != "" {
			parts = append(parts, part)
		}
	}
	return strings.Join(parts, " ")
}

// widest picks the doubt to keep: one on the genus leaves most open, then by width.
func (r *reader) widest() (Qualifier, Rank) {
	best, position := None, Rank("")
	for _, d := range r.doubts {
		at := r.position(d)
		wider := width[d.mark] > width[best] && (position != Genus || at == Genus)
		if best == None || wider || at == Genus && position != Genus && d.mark != SensuStrict {
			best, position = d.mark, at
		}
	}
	return best, position
}

// position says which part a doubt is about. "cf." and "?" look forward, "s.l." and "group" look back.
func (r *reader) position(d doubt) Rank {
	forward := d.mark == Confer || d.mark == Affinis || d.mark == Doubt
	switch {
	case d.at == 0 || r.epithet == 0 && d.mark != OnlyGenus && d.mark != Ineditus:
		return Genus
	case r.infra > 0 && (d.at >= r.infra || forward && d.at >= r.epithet):
		return Variety
	}
	return Species
}
