package richness

import "math"

// Jackknife1 is the first-order jackknife, S + Q1 (T-1)/T. Burnham & Overton (1978, Biometrika 65:625-633); for units, Heltshe
// & Forrester (1983, Biometrics 39:1-11).
func (x Incidence) Jackknife1() Estimate {
	return unless(x.s.unknowable(), float64(x.s.observed)+float64(x.s.once)*x.small())
}

// Jackknife2 is the second-order jackknife, S + Q1(2T-3)/T - Q2(T-2)²/(T(T-1)). Smith & van Belle (1984, Biometrics
// 40:119-129).
func (x Incidence) Jackknife2() Estimate {
	if why := x.s.unknowable(); why != "" {
		return cannot(why)
	}
	t, q1, q2 := float64(x.s.size), float64(x.s.once), float64(x.s.twice)
	return known(float64(x.s.observed) + q1*(2*t-3)/t - q2*(t-2)*(t-2)/(t*(t-1)))
}

// Bootstrap is S + Σ (1 - Q/T)^T. Smith & van Belle (1984).
func (x Incidence) Bootstrap() Estimate {
	t := float64(x.s.size)
	return unless(x.s.unknowable(), float64(x.s.observed)+x.s.sum(func(q float64) float64 { return math.Pow(1-q/t, t) }))
}

// Jackknife1SE is the standard error of Jackknife1, in species: its square is (T-1)/T (Σ r² - Q1²/T), where r is how many
// uniques a unit has. Heltshe & Forrester (1983). It asks for the units (NeedsUnits).
func (x Incidence) Jackknife1SE() Estimate {
	return x.jackknife1SE(float64(x.s.once) * float64(x.s.once))
}

// Jackknife1SEByConvention is the figure that the R package vegan (2.6, specpool) gives for it, so that results can be
// compared: it takes off Q1/T where the jackknife takes off Q1²/T, and is too large; Jackknife1SE is the one to show.
func (x Incidence) Jackknife1SEByConvention() Estimate { return x.jackknife1SE(float64(x.s.once)) }

func (x Incidence) jackknife1SE(off float64) Estimate {
	switch why := x.s.unknowable(); {
	case why != "":
		return cannot(why)
	case x.presence == nil:
		return cannot(NeedsUnits)
	case x.s.once == 0:
		return known(0)
	}
	var squares float64
	for _, unit := range x.byUnit() {
		squares += unit[0] * unit[0] // the first class is that of the uniques
	}
	return root((squares - off/float64(x.s.size)) * x.small())
}

// BootstrapSE is the standard error of Bootstrap, in species. Smith & van Belle (1984): Σ p(1-p) + 2 Σ (m^T - p p') over pairs of
// species, with p = (1 - Q/T)^T and m the share of units that met with neither. It asks for the units (NeedsUnits).
func (x Incidence) BootstrapSE() Estimate {
	switch why := x.s.unknowable(); {
	case why != "":
		return cannot(why)
	case x.presence == nil:
		return cannot(NeedsUnits)
	}
	t := float64(x.s.size)
	missed := make([]float64, x.s.size+1) // by in how many units
	for q := range missed {
		missed[q] = math.Pow(1-float64(q)/t, t)
	}
	var variance float64
	often := make([]int, len(x.presence.species))
	for i, a := range x.presence.species {
		often[i] = ones(a)
		p := missed[often[i]]
		variance += p * (1 - p)
		for j, b := range x.presence.species[:i] {
			variance += 2 * (missed[often[i]+often[j]-together(a, b)] - p*missed[often[j]])
		}
	}
	return root(variance)
}
