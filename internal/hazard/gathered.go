package hazard

import (
	"fmt"

	"forayhall/internal/taxon"
)

// Gathering is that people look for a fungus somewhere. It says nothing of whether they should.
type Gathering struct {
	Taxon     string
	Region    string
	NoneKnown string // by whom no poisonous double is known; empty where pairs are
	Source    string
}

func (b *Base) takeGathered(rows []Gathering) error {
	for _, g := range rows {
		switch {
		case g.Source == "":
			return fmt.Errorf("gathered %q: has no source", g.Taxon)
		case taxon.Read(g.Taxon).Rank == "":
			return fmt.Errorf("gathered %q: does not read as a name", g.Taxon)
		}
		if err := checkRegion(g.Region); err != nil {
			return fmt.Errorf("gathered %q: %w", g.Taxon, err)
		}
		for _, k := range b.alike(taxon.Key(g.Taxon)) {
			b.gathered[k] = g
		}
	}
	return nil
}

// Gathered says whether people commonly look for what a name means, and where.
func (b *Base) Gathered(written string) (Gathering, bool) {
	for _, k := range b.askedOf(written).keys {
		if g, ok := b.gathered[k]; ok {
			return g, true
		}
	}
	return Gathering{}, false
}
