package api

import (
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/hall/checklist"
)

// Checklists are the lists of names of the installation.
type Checklists struct {
	Followed foray.ID    `json:"followed"` // zero: the names that ship
	Lists    []NamesList `json:"lists"`
}

// NamesList is a list of names that was taken in.
type NamesList struct {
	ID         foray.ID  `json:"id"`
	Title      string    `json:"title"`
	Edition    string    `json:"edition"`
	Revision   string    `json:"revision"`
	Accepted   int       `json:"accepted"`
	Former     int       `json:"former"`
	Refused    int       `json:"refused_rows"`
	ImportedAt time.Time `json:"imported_at"`
}

func listChecklists(r *request) (Checklists, error) {
	s, err := checklist.See(r.ctx, r.hall(), r.actor, r.scope())
	out := Checklists{Followed: s.Followed, Lists: []NamesList{}}
	for _, c := range s.Lists {
		out.Lists = append(out.Lists, NamesList{c.ID, c.Title, c.Edition, c.Revision, c.Accepted, c.Former, c.Refused, c.ImportedAt.Time})
	}
	return out, err
}
