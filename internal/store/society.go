package store

import "forayhall/internal/foray"

// SocietySites lists the sites of all events of a society, by code.
func (t *Tx) SocietySites(society foray.ID) ([]Site, error) {
	return many[Site](t.db.Where("society_id = ?", society).Order("code, event_id"))
}

// SocietyFlags lists the flags that stand in any event of a society, by name.
func (t *Tx) SocietyFlags(society foray.ID) ([]TaxonFlag, error) {
	return many[TaxonFlag](t.db.Where("society_id = ? AND removed_at IS NULL", society).Order("name, id"))
}
