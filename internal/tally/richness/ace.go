package richness

// rare is how many individuals a rare species has at most.
const rare = 10

// rareSpecies is what ACE looks at.
type rareSpecies struct {
	f        [rare + 1]float64 // f[i] species with i individuals
	species  float64
	n        float64 // individuals of the rare species
	pairs    float64 // Σ i(i-1) f[i]
	abundant float64 // species that are not rare
}

func (a Abundance) rareSpecies() (r rareSpecies) {
	for _, c := range a.s.classes {
		x, f := float64(c.x), float64(c.f)
		if c.x > rare {
			r.abundant += f
			continue
		}
		r.f[c.x] = f
		r.species += f
		r.n += x * f
		r.pairs += x * (x - 1) * f
	}
	return r
}

func (a Abundance) noACE(r rareSpecies) Reason {
	switch why := a.s.unknowable(); {
	case why != "":
		return why
	case r.species > 0 && r.f[1] == r.n:
		return RareOnce
	}
	return ""
}

// ACE is the abundance-based coverage estimator with rare species of at most 10 individuals: S_abund + S_rare/C + γ² f1/C,
// C = 1 - f1/N_rare. Chao & Lee (1992, JASA 87:210-217); Chao, Hwang, Chen & Kuo (2000, Statistica Sinica 10:227-246).
// Without rare species it is the number of species. It cannot be made where every rare species has one individual.
func (a Abundance) ACE() Estimate {
	r := a.rareSpecies()
	if why := a.noACE(r); why != "" {
		return cannot(why)
	}
	if r.species == 0 {
		return known(r.abundant)
	}
	c := 1 - r.f[1]/r.n
	return known(r.abundant + r.species/c + max(r.spread(c), 0)*r.f[1]/c)
}

// spread is γ², the squared coefficient of variation of the rare species, before it is cut off at 0.
func (r rareSpecies) spread(c float64) float64 { return r.species*r.pairs/(c*r.n*(r.n-1)) - 1 }

// ACESE is the standard error of ACE, in species, by the delta method over f1 … f10 with multinomial covariances (Chao et al.
// 2000): the derivatives are those of the formula of ACE, without the second part where γ² is cut off.
func (a Abundance) ACESE() Estimate {
	return a.aceSE(func(r rareSpecies) [rare + 1]float64 {
		c := 1 - r.f[1]/r.n
		return r.slopes(c, func(i float64) float64 { return r.f[1] * i / (r.n * r.n) }, -1/r.n, r.spread(c) > 0)
	})
}

// ACESEByConvention is the figure that the R package vegan (2.6, estimateR) gives for the standard error of ACE, so that
// results can be compared. It puts 1 + f1/(N_rare-1) where the estimator has the coverage 1 - f1/N_rare, and is too
// small by far; ACESE is the standard error to show.
func (a Abundance) ACESEByConvention() Estimate {
	return a.aceSE(func(r rareSpecies) [rare + 1]float64 {
		others := 1 - r.n
		return r.slopes(1-r.f[1]/others, func(i float64) float64 { return -r.f[1] * i / (others * others) }, -1/others, true)
	})
}

// aceSE is the delta method for given derivatives of ACE by f1 … f10.
func (a Abundance) aceSE(slopes func(rareSpecies) [rare + 1]float64) Estimate {
	r, total := a.rareSpecies(), a.ACE()
	if !total.OK {
		return total
	}
	if r.species == 0 || r.n < 2 {
		return known(0)
	}
	var squares, sum float64
	for i, g := range slopes(r) {
		squares += g * g * r.f[i]
		sum += g * r.f[i]
	}
	return root(squares - sum*sum/total.Value)
}

// slopes are the derivatives of S_rare/C + γ² f1/C by each f[i], where bySize(i) is the derivative of C by f[i] through
// N_rare, and byOnce what f1 adds to it of its own. Where varied is false γ² was cut off at 0.
func (r rareSpecies) slopes(c float64, bySize func(i float64) float64, byOnce float64, varied bool) (g [rare + 1]float64) {
	gamma := 0.0
	if varied {
		gamma = r.spread(c)
	}
	below := c * r.n * (r.n - 1)
	for i := 1; i <= rare; i++ {
		x, once := float64(i), 0.0
		byC := bySize(x)
		if i == 1 {
			byC += byOnce
			once = 1
		}
		byGamma := 0.0
		if varied {
			byBelow := byC*r.n*(r.n-1) + c*x*(2*r.n-1)
			byGamma = (r.pairs+r.species*x*(x-1))/below - r.species*r.pairs*byBelow/(below*below)
		}
		g[i] = (1+gamma*once+r.f[1]*byGamma)/c - (r.species+r.f[1]*gamma)*byC/(c*c)
	}
	return g
}
