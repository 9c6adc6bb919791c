package hazard

import "forayhall/internal/taxon"

// within says whether one text becomes the other by so many slips made one after the other. taxon.Edits counts no
// slip inside a swap ("Anmita" for "Amanita" is a letter lost and two swapped, and counts three there), which a
// warning has to see through; the full count is made only where it can matter.
func within(a, b string, edits int) bool {
	d := taxon.Edits(a, b, edits+1)
	return d <= edits || d == edits+1 && edits > 1 && damerau([]rune(a), []rune(b)) <= edits
}

// damerau is the distance with swaps that other slips may fall into: Lowrance & Wagner 1975, J ACM 22:177-183,
// their algorithm S with unit costs.
func damerau(a, b []rune) int {
	far := len(a) + len(b)
	d := make([][]int, len(a)+2)
	for i := range d {
		d[i] = make([]int, len(b)+2)
		d[i][0], d[i][1] = far, i-1
	}
	for j := range d[0] {
		d[0][j], d[1][j] = far, j-1
	}
	d[1][0], d[0][1] = far, far
	lastRow := map[rune]int{}
	for i := 1; i <= len(a); i++ {
		lastColumn := 0
		for j := 1; j <= len(b); j++ {
			row, column, cost := lastRow[b[j-1]], lastColumn, 1
			if a[i-1] == b[j-1] {
				cost, lastColumn = 0, j
			}
			d[i+1][j+1] = min(d[i][j]+cost, d[i+1][j]+1, d[i][j+1]+1, d[row][column]+(i-row-1)+1+(j-column-1))
		}
		lastRow[a[i-1]] = i
	}
	return d[len(a)+1][len(b)+1]
}
