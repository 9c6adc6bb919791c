package richness

// Incidence is sampling units (walks, teams, plots) and in how many of them each species was met with. It never changes,
// and its zero value is a sample of nothing.
type Incidence struct {
	s sample
	// presence is which species each unit met with; nil where only frequencies are known.
	presence *presence
}

// NewIncidence takes a matrix of units × species, every row as long as the others: a number above 0 says that the unit met
// with the species. Units that met with nothing count as units. A bad number gives an *InputError with its Row (unit) and
// Column (species).
func NewIncidence(units [][]float64) (Incidence, error) {
	if len(units) > MostUnits {
		return Incidence{}, &InputError{Problem: TooMany, Row: -1, Column: -1, Value: float64(len(units))}
	}
	p := &presence{units: len(units)}
	for i, row := range units {
		if len(row) != len(units[0]) {
			return Incidence{}, &InputError{Problem: Ragged, Row: i, Column: -1, Value: float64(len(row))}
		}
		if i == 0 {
			p.widen(len(row))
		}
		for j, v := range row {
			if v != 0 && v != 1 { // what is most of any matrix needs no check
				if _, err := count(v, i, j); err != nil {
					return Incidence{}, err
				}
			}
			if v > 0 {
				p.add(i, j)
			}
		}
	}
	return p.incidence(), nil
}

// IncidenceOfSets takes for each unit the keys of the species it met with; a key given twice in a unit counts once.
func IncidenceOfSets(units [][]string) (Incidence, error) {
	if len(units) > MostUnits {
		return Incidence{}, &InputError{Problem: TooMany, Row: -1, Column: -1, Value: float64(len(units))}
	}
	p, place := &presence{units: len(units)}, map[string]int{}
	for i, unit := range units {
		for _, key := range unit {
			at, there := place[key]
			if !there {
				at = len(place)
				place[key] = at
				p.widen(at + 1)
			}
			p.add(i, at)
		}
	}
	return p.incidence(), nil
}

// IncidenceOfFrequencies takes in how many of the units each species was met with; zeros are left out. Standard errors that
// ask which species stood together cannot be made of it (NeedsUnits). A bad number, and one above the units, give an
// *InputError with its place as Row; a bad number of units one with Row -1.
func IncidenceOfFrequencies(frequencies []float64, units int) (Incidence, error) {
	if units < 0 || units > MostUnits {
		p := TooMany
		if units < 0 {
			p = Negative
		}
		return Incidence{}, &InputError{Problem: p, Row: -1, Column: -1, Value: float64(units)}
	}
	for i, v := range frequencies {
		if _, err := count(v, i, -1); err != nil {
			return Incidence{}, err
		}
		if v > float64(units) {
			return Incidence{}, &InputError{Problem: AboveUnit, Row: i, Column: -1, Value: v}
		}
	}
	all, err := counts(frequencies)
	if err != nil {
		return Incidence{}, err
	}
	return Incidence{s: newSample(all, units, OneUnit)}, nil
}

// Units is T, the number of sampling units.
func (x Incidence) Units() int { return x.s.size }

// Incidences is U, the number of times that a unit met with a species.
func (x Incidence) Incidences() int { return x.s.total }

// Observed is the number of species met with.
func (x Incidence) Observed() int { return x.s.observed }

// Uniques is Q1, the number of species met with by one unit.
func (x Incidence) Uniques() int { return x.s.once }

// Duplicates is Q2, the number of species met with by two units.
func (x Incidence) Duplicates() int { return x.s.twice }

// Chao2 is a lower bound for the number of species, S + k Q1²/(2 Q2) with k = (T-1)/T; S + k Q1(Q1-1)/2 without
// duplicates. Chao (1987, Biometrics 43:783-791), with k as in Colwell et al. (2012, J. Plant Ecol. 5:3-21).
func (x Incidence) Chao2() Estimate { return x.s.chao(x.small()) }

// Chao2SE is the standard error of Chao2, in species. Chao (1987), with k as in Colwell et al. (2012).
func (x Incidence) Chao2SE() Estimate { return x.s.chaoSE(x.small()) }

// Chao2Interval is the interval of Chao2 at a level such as 0.95, as Abundance.Chao1SmallSampleInterval.
func (x Incidence) Chao2Interval(level float64) (low, high Estimate) {
	return x.s.chaoInterval(x.Chao2(), x.Chao2SE(), level)
}

// Chao2BiasCorrected is S + k Q1(Q1-1)/(2(Q2+1)). Chao (2005).
func (x Incidence) Chao2BiasCorrected() Estimate { return x.s.chaoBiasCorrected(x.small()) }

// Chao2Classic is Chao2 without k. Chao (1987).
func (x Incidence) Chao2Classic() Estimate { return x.s.chao(1) }

// Hill is the Hill number of order 0, 1 or 2 of the incidences as they are, with the shares Q/U, in effective species. Chao
// et al. (2014, Ecol. Monogr. 84:45-67).
func (x Incidence) Hill(order int) Estimate { return x.s.empirical(order) }

// CoverageTuring is 1 - Q1/U, the share of the incidences out there that belong to species met with.
func (x Incidence) CoverageTuring() Estimate { return x.s.turing() }

// Coverage is the same share by Chao & Jost (2012), in the form for units of Chao et al. (2014).
func (x Incidence) Coverage() Estimate { return x.s.coverage() }

func (x Incidence) small() float64 {
	if x.s.size == 0 {
		return 0
	}
	return x.s.small()
}
