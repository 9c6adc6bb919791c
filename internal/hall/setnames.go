package hall

import (
	"forayhall/internal/printing"
	"forayhall/internal/taxon"
)

// SetName is a name that is known as it was written, for paper: italics for the name, upright for the rest. author stands
// behind it; empty: the author that the knowledge gives.
func (h *Hall) SetName(written, author string) printing.Name {
	s := h.Setting(written)
	if author != "" {
		s.Author = author
	}
	name := make(printing.Name, 0, 3)
	for _, run := range s.Runs() {
		name = append(name, printing.Run(run))
	}
	return name
}

// Setting is how a name is set that is known as it was written. A form group of the hall is no taxon, whatever fungus its
// name is the common name of.
func (h *Hall) Setting(written string) taxon.Setting {
	if g, ok := h.Knowledge.Hazards.Group(written); ok {
		return taxon.Setting{Name: g.Name, Rank: taxon.Form}
	}
	return taxon.SettingOf(h.Knowledge.Names, written)
}

// CommonWritten is the common name that the society prints for a name as written; empty where there is none.
func (h *Hall) CommonWritten(written string, common func(*taxon.Name) string) string {
	if _, group := h.Knowledge.Hazards.Group(written); group {
		return ""
	}
	if m := h.Knowledge.Names.Match(written); m.Found != nil && m.How != taxon.GenusOnly {
		return common(m.Found.Current())
	}
	return ""
}
