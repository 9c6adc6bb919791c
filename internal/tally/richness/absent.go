package richness

// chances is the chance C(n-x, m)/C(n, m) that none of x marked ones of n is among m drawn, by x. What is not held is 0.
type chances []float64

// absences gives them for x up to most. Each is the one before times (n-m-x)/(n-x), so that nothing overflows and no
// logarithm rounds: after x steps the error is about x times 1e-16.
func absences(n, m, most int) chances {
	last := min(most, n-m)
	if last < 0 {
		return chances{1}
	}
	all := make(chances, 1, min(last+1, 1<<16))
	chance := 1.0
	all[0] = chance
	for x := range last {
		chance *= float64(n-m-x) / float64(n-x)
		if chance < negligible {
			break
		}
		all = append(all, chance)
	}
	return all
}

// negligible is far below what the last digit of a chance near 1 can show.
const negligible = 1e-40

func (c chances) of(x int) float64 {
	if x < len(c) {
		return c[x]
	}
	return 0
}
