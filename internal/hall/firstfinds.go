package hall

import (
	"slices"

	"forayhall/internal/foray"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// gather is the finds of an event by species, with what makes each sure.
type gather struct {
	look   *Look
	places Places
	taxa   map[string]*candidate
}

// candidate is a species that may be new.
type candidate struct {
	FirstTaxon
	whole evidence
	sites map[foray.ID]*siteEvidence
}

// siteEvidence is what was found of it at one site.
type siteEvidence struct {
	evidence
	place string // as the public may know it; empty: it may not
}

// evidence is how sure the surest find is.
type evidence struct{ confirmed, vouchered bool }

func (e *evidence) add(confirmed, kept bool) {
	e.confirmed = e.confirmed || confirmed
	e.vouchered = e.vouchered || confirmed && kept
}

// lacks is what is missing to be sure.
func (e evidence) lacks(known bool) (lacks []string) {
	switch {
	case !e.confirmed:
		lacks = []string{LacksConfirmation, LacksVoucher}
	case !e.vouchered:
		lacks = []string{LacksVoucher}
	}
	if !known {
		lacks = append(lacks, LacksName)
	}
	return lacks
}

// plate takes one plate: its standing name where it was signed, both sides of a dispute, its first choice where nobody
// signed it.
func (g *gather) plate(p *Plate, kept bool) {
	if p.Outside || p.Cultivated || p.Fate != store.Live {
		return
	}
	var names []foray.SlipName
	confirmed := p.Standing.Naming == foray.Confirmed
	current, ok := p.Standing.Current()
	switch {
	case ok:
		names = []foray.SlipName{current.Name()}
	case p.Standing.Disputed:
		for _, side := range p.Standing.Sides {
			names = append(names, side.Name())
		}
	case p.Standing.Naming == foray.Provisional:
		if first, ok := p.FirstChoice(); ok {
			names = []foray.SlipName{first}
		}
	}
	for _, n := range names {
		if c := g.find(n, p.SiteID, confirmed, kept); c != nil {
			if number := p.Number().String(); !slices.Contains(c.Numbers, number) {
				c.Numbers = append(c.Numbers, number)
			}
		}
	}
}

// FirstChoice is the best-ranked name of the newest slip that names and was not struck.
func (p *Plate) FirstChoice() (foray.SlipName, bool) {
	for _, slip := range slices.Backward(p.Slips) {
		if _, struck := p.Standing.Struck[slip.ID]; !struck && len(slip.Names) > 0 {
			return slip.Name(), true
		}
	}
	return foray.SlipName{}, false
}

// seen takes one field record, which is confirmed while somebody stands behind it, and of which nothing is kept.
func (g *gather) seen(s SeenThere) {
	if s.Struck != nil || s.Outside {
		return
	}
	if c := g.find(s.SlipName(), s.SiteID, len(s.Stands) > 0, false); c != nil {
		c.Fields++
	}
}

// find is nil for what is never a first: a name wider than a species, one that the find is near to and is not, and words
// that no name can be made of: not even the genus is known.
func (g *gather) find(n foray.SlipName, site foray.ID, confirmed, kept bool) *candidate {
	current := g.look.Current(n)
	key := g.look.Hall.speciesKey(n, current)
	if key == "" || n.Qualifier == string(taxon.Affinis) || current == nil && !g.look.Hall.knowsGenus(n) {
		return nil
	}
	if Doubtful(n.Qualifier) {
		confirmed = false
	}
	c := g.taxa[key]
	if c == nil {
		c = &candidate{FirstTaxon: FirstTaxon{Key: key, Written: n.Name}, sites: map[foray.ID]*siteEvidence{}}
		if current != nil {
			c.Name = g.look.Hall.speciesName(key, current)
		}
		g.taxa[key] = c
	}
	c.whole.add(confirmed, kept)
	g.at(c, n, site).add(confirmed, kept)
	return c
}

// at is the evidence of one site. Its name is the public's where every find there leaves it so.
func (g *gather) at(c *candidate, n foray.SlipName, site foray.ID) *evidence {
	place := g.places.Of(site, n).Name()
	e := c.sites[site]
	if e == nil {
		e = &siteEvidence{place: place}
		c.sites[site] = e
	}
	if place == "" {
		e.place = ""
	}
	return &e.evidence
}

func (h *Hall) knowsGenus(n foray.SlipName) bool {
	_, ok := h.Knowledge.Names.Lookup(taxon.Key(taxon.Read(n.Name).Genus))
	return ok
}

// speciesName is the species itself where the classification has it, else the name that was found.
func (h *Hall) speciesName(key string, found *taxon.Name) *taxon.Name {
	if found.Key == key {
		return found
	}
	if n, ok := h.Knowledge.Names.Lookup(key); ok {
		return n.Current()
	}
	return found
}
