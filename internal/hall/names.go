package hall

import (
	"strings"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hazard"
	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

// maxText is the longest text that a field takes.
const maxText = 2000

// NameInput is a name as typed into a form.
type NameInput struct {
	Text      string `json:"text"`
	Qualifier string `json:"qualifier,omitempty"`
	Reason    string `json:"reason,omitempty"`
}

// ReadName reads a typed name against the index: what is known gets its key and author, what is not known is kept as
// written and marked by an empty CurrentKey. prefer resolves abbreviations by the event's own names; nil looks them up
// when a text could mean several.
func (l *Look) ReadName(in NameInput, rank int, prefer map[string]bool) (foray.SlipName, error) {
	text := strings.Join(strings.Fields(in.Text), " ")
	if len(text) > maxText || len(in.Reason) > maxText {
		return foray.SlipName{}, fault.Wrong("name", "text.too-long", "most", maxText)
	}
	k := l.Hall.Knowledge
	n := foray.SlipName{Rank: rank, Verbatim: text, Name: text, Qualifier: in.Qualifier, Reason: strings.TrimSpace(in.Reason),
		ChecklistRev: k.Names.Revision()}
	if text == "" {
		return n, nil
	}
	if g, ok := l.groupNamed(text); ok {
		n.Key, n.CurrentKey, n.Name, n.NameRank = "form:"+g, "form:"+g, text, string(taxon.Form)
		return n, nil
	}
	m := k.Names.MatchWithin(text, prefer)
	if m.How == taxon.Several && prefer == nil {
		here, err := l.EventNames()
		if err != nil {
			return foray.SlipName{}, err
		}
		m = k.Names.MatchWithin(text, here)
	}
	if n.Qualifier == "" {
		n.Qualifier = string(m.Written.Qualifier)
	}
	n.Position = string(m.Written.Position)
	if m.Found == nil || m.How == taxon.GenusOnly || l.hidesHarm(text, m) {
		n.Key = taxon.Key(m.Written.Canonical)
		n.NameRank = string(m.Written.Rank)
		n.Author = m.Written.Author
		if m.Written.Canonical != "" {
			n.Name = m.Written.Canonical
		}
		return n, nil
	}
	n.Key, n.Name, n.Author, n.NameRank = m.Found.Key, m.Found.Name, m.Found.Author, string(m.Found.Rank)
	n.CurrentKey = m.Found.Current().Key
	if m.Found.Rank == taxon.Genus && n.Qualifier == string(taxon.OnlyGenus) {
		n.Qualifier = "" // "Galerina sp." and "Galerina" say the same
	}
	return n, nil
}

// hidesHarm reports whether taking a text for a misspelling of a name would say less of harm than the text itself does.
// Such a text is kept as it was written, so that doubt does not narrow a warning.
func (l *Look) hidesHarm(text string, m taxon.Match) bool {
	if m.Slips == 0 {
		return false
	}
	worst := func(text string) int {
		return int(l.Hall.Knowledge.Hazards.Worst([]hazard.Question{{Text: text}}, "").Severity)
	}
	return worst(text) > worst(m.Found.Name)
}

// ReadNames reads several ranked names, dropping empty lines.
func (l *Look) ReadNames(in []NameInput, prefer map[string]bool) ([]foray.SlipName, error) {
	var names []foray.SlipName
	for _, one := range in {
		if strings.TrimSpace(one.Text) == "" {
			if strings.TrimSpace(one.Reason) != "" {
				return nil, fault.Many(map[string]message.Text{"name_1": message.T("slip.reason-without-name")})
			}
			continue
		}
		n, err := l.ReadName(one, len(names)+1, prefer)
		if err != nil {
			return nil, err
		}
		names = append(names, n)
	}
	return names, nil
}

// groupNamed finds the form group that a text names.
func (l *Look) groupNamed(text string) (string, bool) {
	folded := taxon.Fold(text)
	for _, g := range l.Hall.Knowledge.Groups {
		if taxon.Fold(g.Name) == folded || g.Key == folded {
			return g.Key, true
		}
	}
	return "", false
}

// Current is what a name as determined is called today; nil where it is not known.
func (h *Hall) Current(n foray.SlipName) *taxon.Name {
	if n.Key == "" {
		return nil
	}
	if found, ok := h.Knowledge.Names.LookupBy(n.Key, n.Author); ok {
		return found.Current()
	}
	return nil
}

// nameBy is what a name is looked up by.
type nameBy struct{ key, author string }

// Current is Hall.Current for who asks it of many finds: each name is looked up once.
func (l *Look) Current(n foray.SlipName) *taxon.Name {
	by := nameBy{n.Key, n.Author}
	current, asked := l.called[by]
	if !asked {
		if l.called == nil {
			l.called = map[nameBy]*taxon.Name{}
		}
		current = l.Hall.Current(n)
		l.called[by] = current
	}
	return current
}

// EventNames is the keys of every name written at the scope's event, for reading abbreviations.
func (l *Look) EventNames() (map[string]bool, error) {
	keys, err := l.Tx.NameKeys(l.Scope.Society, l.Scope.Event)
	if err != nil {
		return nil, err
	}
	prefer := make(map[string]bool, len(keys))
	for _, k := range keys {
		prefer[k] = true
	}
	return prefer, nil
}
