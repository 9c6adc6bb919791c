package richness

// Abundance is individuals counted by species. It never changes, and its zero value is a sample of nothing.
type Abundance struct{ s sample }

// NewAbundance takes the number of individuals of each species, in any order; zeros are left out. A number that is
// negative, not whole or no number, and a total above MostIndividuals, give an *InputError with its place as Row.
func NewAbundance(individuals []float64) (Abundance, error) {
	all, err := counts(individuals)
	if err != nil {
		return Abundance{}, err
	}
	return Abundance{newSample(all, -1, OneIndividual)}, nil
}

// N is the number of individuals.
func (a Abundance) N() int { return a.s.size }

// Observed is the number of species met with.
func (a Abundance) Observed() int { return a.s.observed }

// Singletons is f1, the number of species with one individual.
func (a Abundance) Singletons() int { return a.s.once }

// Doubletons is f2, the number of species with two individuals.
func (a Abundance) Doubletons() int { return a.s.twice }

// Chao1Classic is a lower bound for the number of species, S + f1²/(2 f2); S + f1(f1-1)/2 without doubletons. Chao (1984,
// Scand. J. Stat. 11:265-270) eq. 4, and Chao (1987, Biometrics 43:783-791).
func (a Abundance) Chao1Classic() Estimate { return a.s.chao(1) }

// Chao1BiasCorrected is S + f1(f1-1)/(2(f2+1)), Chao (2005, Encyclopedia of Statistical Sciences 12:7907-7916).
func (a Abundance) Chao1BiasCorrected() Estimate { return a.s.chaoBiasCorrected(1) }

// Chao1SmallSample is Chao1Classic with (n-1)/n before what it adds. Colwell et al. (2012, J. Plant Ecol. 5:3-21) eq. 15.
func (a Abundance) Chao1SmallSample() Estimate { return a.s.chao(a.small()) }

// Chao1BiasCorrectedSE is the standard error of Chao1BiasCorrected, in species, by the delta method over f1, f2, … with the
// multinomial covariances of Chao (1987) eq. 12: the asymptote in them is the estimate itself.
func (a Abundance) Chao1BiasCorrectedSE() Estimate { return a.s.chaoBiasCorrectedSE(1) }

// Chao1SmallSampleSE is the standard error of Chao1SmallSample, in species. Chao (1987) eq. 13 with (n-1)/n, as in
// Chao et al. (2014, Ecol. Monogr. 84:45-67).
func (a Abundance) Chao1SmallSampleSE() Estimate { return a.s.chaoSE(a.small()) }

// Chao1SmallSampleInterval is the interval of Chao1SmallSample at a level such as 0.95, even on a logarithmic scale, so that
// it never begins below what was met with: Chao (1987) eq. 15. A level outside 0 to 1 gives NotDefined.
func (a Abundance) Chao1SmallSampleInterval(level float64) (low, high Estimate) {
	return a.s.chaoInterval(a.Chao1SmallSample(), a.Chao1SmallSampleSE(), level)
}

// small is 0 for a sample of nothing, which has no estimates anyway.
func (a Abundance) small() float64 {
	if a.s.size == 0 {
		return 0
	}
	return a.s.small()
}

// Shannon is -Σ p ln p of the individuals as counted, natural logarithm (nats). Shannon (1948).
func (a Abundance) Shannon() Estimate { return unless(a.s.nothing(), a.s.entropy()) }

// Simpson is 1 - Σ p², the chance that two individuals, drawn with replacement, are of different species. Simpson (1949).
func (a Abundance) Simpson() Estimate { return unless(a.s.nothing(), 1-a.s.concentration()) }

// Hill is the Hill number of order 0, 1 or 2 of the individuals as counted, in effective species: S, exp(Shannon), 1/Σ p².
// Hill (1973, Ecology 54:427-432). Any other order is NotDefined.
func (a Abundance) Hill(order int) Estimate { return a.s.empirical(order) }

// CoverageTuring is 1 - f1/n, the share of the individuals out there that belong to species met with. Good (1953, Biometrika
// 40:237-264), who gives it to Turing.
func (a Abundance) CoverageTuring() Estimate { return a.s.turing() }

// Coverage is the same share by Chao & Jost (2012, Ecology 93:2533-2547) eq. 4a, which also looks at f2.
func (a Abundance) Coverage() Estimate { return a.s.coverage() }
