package hall

import (
	"forayhall/internal/printing"
	"forayhall/internal/taxon"
)

// SetName is a name that is known as it was written, for paper: italics for the name, upright for the rest. author stands
// behind it; empty: the author that the knowledge gives.
func (h *Hall) SetName(written, author string) printing.Name {
	s := taxon.SettingOf(h.Knowledge.Names, written)
	if author != "" {
		s.Author = author
	}
	name := make(printing.Name, 0, 3)
	for _, run := range s.Runs() {
		name = append(name, printing.Run(run))
	}
	return name
}

// CommonWritten is the common name that the society prints for a name as written; empty where there is none.
func (h *Hall) CommonWritten(written string, common func(*taxon.Name) string) string {
	if m := h.Knowledge.Names.Match(written); m.Found != nil && m.How != taxon.GenusOnly {
		return common(m.Found.Current())
	}
	return ""
}
