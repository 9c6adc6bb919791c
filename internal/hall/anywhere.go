package hall

import (
	"forayhall/internal/foray"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// FlaggedGridM is the finest grid, in metres, in which places of flagged taxa are given out.
const FlaggedGridM = flaggedGridM

// Anywhere is what any event of a society keeps back. No page of another may tell what one of them hides: a site that is
// sensitive at one is so at each, and so is a taxon that is flagged at one.
type Anywhere struct {
	Sites []store.Site // of all events
	flags []store.TaxonFlag
	grids map[string]int // of sensitive sites, by code and by name
}

// KeptBackAnywhere reads it, once in what sees one state.
func (l *Look) KeptBackAnywhere() (Anywhere, error) {
	if l.anywhere != nil && !l.writes {
		return *l.anywhere, nil
	}
	a, err := l.readAnywhere()
	if err == nil {
		l.anywhere = &a
	}
	return a, err
}

func (l *Look) readAnywhere() (Anywhere, error) {
	a := Anywhere{grids: map[string]int{}}
	var err error
	if a.Sites, err = l.Tx.SocietySites(l.Scope.Society); err != nil {
		return a, err
	}
	for _, s := range a.Sites {
		if s.Sensitive {
			for _, key := range keysOfSite(s) {
				a.grids[key] = max(a.grids[key], s.GridM, foray.FinestGridM)
			}
		}
	}
	flags, err := l.Tx.SocietyFlags(l.Scope.Society)
	said := map[[2]string]bool{} // many events flag the same
	for _, f := range flags {
		if key := [2]string{f.NameKey, f.CurrentKey}; !said[key] {
			said[key] = true
			a.flags = append(a.flags, f)
		}
	}
	return a, err
}

// keysOfSite is by what a site is known again at another event: its code, and its name in case the code is another.
func keysOfSite(s store.Site) []string {
	return []string{"code " + taxon.Fold(s.Code), "name " + taxon.Fold(s.Name)}
}

// Hides reports whether a site is kept back at any event, and in which grid its finds are given out.
func (a Anywhere) Hides(s store.Site) (gridM int, hidden bool) {
	for _, key := range keysOfSite(s) {
		gridM = max(gridM, a.grids[key])
	}
	return gridM, gridM > 0
}

// HidesName is Hides for a place of which only the name is known.
func (a Anywhere) HidesName(name string) bool { return a.grids["name "+taxon.Fold(name)] > 0 }

// Flagged reports whether any event of the society keeps the places of a name back.
func (a Anywhere) Flagged(h *Hall, names ...foray.SlipName) bool {
	for _, f := range h.FlagsOn(a.flags, names) {
		if !f.Perhaps {
			return true
		}
	}
	return false
}

// Strict gives a site as strictly as the strictest event has it.
func (a Anywhere) Strict(s store.Site) store.Site {
	if grid, hidden := a.Hides(s); hidden {
		s.Sensitive, s.GridM = true, max(s.GridM, grid)
	}
	return s
}
