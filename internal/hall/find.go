package hall

import (
	"strings"

	"forayhall/internal/foray"
	"forayhall/internal/taxon"
)

// Matches reports whether a plate is looked for: by its number, which with no letter finds its parts too, or by a part
// of a name that anybody gave it, as it was written or under the current name.
func (p Plate) Matches(find, event string) bool {
	if n, err := foray.ParseNumber(find, event); err == nil {
		return p.NumberBase == n.Base && (n.Suffix == "" || n.Suffix == p.NumberSuffix)
	}
	folded := taxon.Fold(find)
	for _, s := range p.Slips {
		for _, n := range s.Names {
			if strings.Contains(taxon.Fold(n.Verbatim), folded) || strings.Contains(n.CurrentKey, folded) {
				return true
			}
		}
	}
	return false
}
