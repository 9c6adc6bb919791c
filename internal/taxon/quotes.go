package taxon

import "strings"

const (
	openQuotes  = `"'“”„«»‘’‚‹›`
	closeQuotes = openQuotes
)

// fieldsOf cuts a tidied text at blanks and keeps what stands in quotation marks behind the first word in one piece,
// in plain marks: the name of a provisional species may be of several words. Marks around the first word or around
// the whole say nothing of the name.
func fieldsOf(s string) []string {
	fields := strings.Fields(unwrap(s))
	if !strings.ContainsAny(s, openQuotes) {
		return fields
	}
	out := make([]string, 0, len(fields))
	for i := 0; i < len(fields); {
		n := quotedFields(fields[i:])
		inside := strings.Trim(strings.Join(fields[i:i+max(n, 1)], " "), closeQuotes+",;:)] ")
		switch {
		case n == 0 && unquoted(fields[i]) != "":
			out = append(out, unquoted(fields[i]))
		case n > 0 && len(out) == 0:
			out = append(out, strings.Fields(inside)...)
		case n > 0 && inside != "":
			out = append(out, `"`+strings.ReplaceAll(inside, `"`, "")+`"`)
		}
		i += max(n, 1)
	}
	return out
}

// quotedFields is how many fields from the first on stand between two marks, 0 when the first does not open one.
func quotedFields(fields []string) int {
	if strings.IndexAny(fields[0], openQuotes) != 0 {
		return 0
	}
	for i, field := range fields {
		bare := strings.TrimRight(field, ",;:.)]")
		if last := strings.TrimRight(bare, closeQuotes); last != bare && (i > 0 || last != "") {
			return i + 1
		}
	}
	return 0
}

// unquoted drops a mark that opens or closes nothing.
func unquoted(field string) string {
	if strings.ContainsAny(field, "0123456789") { // minutes of arc
		return field
	}
	return strings.TrimRight(strings.TrimLeft(field, openQuotes), `"“”«»‹›„`+`'‘`)
}

// unwrap takes off brackets and marks that stand around the whole.
func unwrap(s string) string {
	for range 3 {
		s = strings.TrimSpace(s)
		if len(s) < 3 {
			break
		}
		inside := s[1 : len(s)-1]
		round := s[0] == '(' && s[len(s)-1] == ')' && !strings.ContainsAny(inside, "()")
		square := s[0] == '[' && s[len(s)-1] == ']' && !strings.ContainsAny(inside, "[]")
		if !round && !square {
			break
		}
		s = inside
	}
	return s
}

// inQuotes is what stands in a token made by fieldsOf.
func inQuotes(token string) (string, bool) {
	if len(token) < 3 || token[0] != '"' || token[len(token)-1] != '"' {
		return "", false
	}
	return token[1 : len(token)-1], true
}

// takeQuoted takes what stands in quotation marks where the epithet should: a name that is not published, such as
// Cortinarius "pseudosalor", or a code such as Amanita "sp-AUS02" (common practice).
func (r *reader) takeQuoted() bool {
	inside, quoted := inQuotes(r.peek())
	if !quoted {
		return false
	}
	r.at++
	r.w.Provisional = true
	words := tokens(inside)
	if len(words) > 0 && r.isEpithet(words[0]) && r.areDoubts(words[1:]) {
		r.w.Epithet = strings.ToLower(words[0])
		r.epithet = r.at
		r.doubts = append(r.doubts, doubt{Ineditus, r.at})
		return true
	}
	r.w.Label = inside
	r.doubts = append(r.doubts, doubt{OnlyGenus, r.at})
	return true
}

// areDoubts notes marks of doubt that stand within the quotation marks, and says whether there is nothing else.
func (r *reader) areDoubts(words []string) bool {
	var found []doubt
	for i := 0; i < len(words); {
		q, n := doubtAt(words, i, r.caps)
		if n == 0 {
			return false
		}
		found = append(found, doubt{q, r.at})
		i += n
	}
	r.doubts = append(r.doubts, found...)
	return true
}
