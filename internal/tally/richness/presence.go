package richness

import "math/bits"

// presence is which units met with each species: a bit a unit, a row of words a species.
type presence struct {
	units   int
	species [][]uint64
}

func (p *presence) widen(species int) {
	words := (p.units + 63) / 64
	// One piece of memory for all that comes at once.
	all := make([]uint64, words*(species-len(p.species)))
	for len(p.species) < species {
		p.species = append(p.species, all[:words:words])
		all = all[words:]
	}
}

func (p *presence) add(unit, species int) { p.species[species][unit/64] |= 1 << (unit % 64) }

// incidence leaves out the species that no unit met with.
func (p *presence) incidence() Incidence {
	frequencies := make([]int, 0, len(p.species))
	there := p.species[:0]
	for _, units := range p.species {
		if f := ones(units); f > 0 {
			frequencies = append(frequencies, f)
			there = append(there, units)
		}
	}
	p.species = there
	return Incidence{newSample(frequencies, p.units, OneUnit), p}
}

func ones(words []uint64) (n int) {
	for _, w := range words {
		n += bits.OnesCount64(w)
	}
	return n
}

// together is how many units met with both.
func together(a, b []uint64) (n int) {
	for i, w := range a {
		n += bits.OnesCount64(w & b[i])
	}
	return n
}

// byUnit counts for each unit the species of each class that it met with.
func (x Incidence) byUnit() [][]float64 {
	place := make([]int, x.s.most()+1)
	for i, c := range x.s.classes {
		place[c.x] = i
	}
	d := len(x.s.classes)
	all, cells := make([][]float64, x.s.size), make([]float64, x.s.size*d)
	for u := range all {
		all[u] = cells[u*d : (u+1)*d]
	}
	for _, units := range x.presence.species {
		at := place[ones(units)]
		for i, w := range units {
			for ; w != 0; w &= w - 1 {
				all[i*64+bits.TrailingZeros64(w)][at]++
			}
		}
	}
	return all
}
