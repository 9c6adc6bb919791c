package bench

import (
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/taxon"
)

// oneQualifier refuses a name whose text carries one qualifier while another is chosen: "Russula emetica group" with
// cf. chosen would lose the width that was written, and with it part of the warning.
func oneQualifier(names ...hall.NameInput) error {
	for _, n := range names {
		written := taxon.Read(n.Text).Qualifier
		if n.Qualifier != "" && written != taxon.None && string(written) != n.Qualifier {
			return fault.Wrong("qualifier", "slip.two-qualifiers", "written", string(written), "chosen", n.Qualifier, "name", n.Text)
		}
	}
	return nil
}
