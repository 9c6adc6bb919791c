package taxon

import "strings"

// between are the words that stand between two names of which one is meant.
var between = strings.NewReplacer("/", " / ", " or ", " / ", " vs ", " / ", " vs. ", " / ", " versus ", " / ")

// alternatives are the names between which the writer left it open; nil when there is one name.
func alternatives(s string) []string {
	if !strings.Contains(s, "/") && !strings.Contains(s, " or ") && !strings.Contains(s, " v") {
		return nil
	}
	parts := strings.Split(between.Replace(tidy(s)), " / ")
	if len(parts) < 2 || len(parts) > 5 {
		return nil
	}
	return parts
}

// twoNames answers "Amanita phalloides or A. virosa" and "Russula emetica / mairei" with what each part could be.
func (q *question) twoNames(parts []string) (Match, bool) {
	var readings []reading
	for _, part := range parts {
		readings = append(readings, q.partReadings(part)...)
	}
	if len(readings) == 0 {
		return Match{}, false
	}
	if len(readings) < len(parts) {
		return Match{Written: q.w, How: Several, Candidates: q.ix.candidates(readings)}, true
	}
	return q.settle(Same, readings, 1), true
}

// partReadings lends a part the first one's genus where it has none of its own.
func (q *question) partReadings(part string) []reading {
	genus, w := Read(q.w.Verbatim[:firstWord(q.w.Verbatim)]).Genus, Read(part)
	epithet := w.Canonical
	if strings.HasSuffix(w.Genus, ".") {
		epithet = w.Epithet
	}
	m := q.ix.one(part, q.prefer)
	if m.Found == nil && genus != "" {
		m = q.ix.one(genus+" "+strings.ToLower(epithet), q.prefer)
	}
	if m.Found == nil {
		return nil
	}
	return []reading{q.ix.reading(q.ix.of(m.Found), 0)}
}

// firstWord is where the first word of a text ends.
func firstWord(s string) int {
	start := len(s) - len(strings.TrimLeft(s, " "))
	if i := strings.IndexByte(s[start:], ' '); i >= 0 {
		return start + i
	}
	return len(s)
}
