package taxon

import (
	"math/bits"
	"unicode/utf8"
)

// Edits counts the insertions, deletions, substitutions and swaps of neighbouring letters between two texts
// (the optimal string alignment distance of Damerau 1964); it is symmetric, and max+1 once it is over max.
func Edits(a, b string, max int) int {
	if a == b {
		return 0
	}
	if max <= 0 {
		return max + 1
	}
	if isASCII(a) && isASCII(b) {
		return edits([]byte(a), []byte(b), max)
	}
	return edits([]rune(a), []rune(b), max)
}

func isASCII(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

func edits[T byte | rune](a, b []T, max int) int {
	a, b = cutAlike(a, b)
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(b)-len(a) > max {
		return max + 1
	}
	var room [3][64]int
	before, last, row := line(room[0][:], len(b)), line(room[1][:], len(b)), line(room[2][:], len(b))
	for j := range last {
		last[j] = j
	}
	for i := range a {
		if fillLine(a, b, i, before, last, row) > max {
			return max + 1
		}
		before, last, row = last, row, before
	}
	return min(last[len(b)], max+1)
}

// cutAlike drops what the two share at both ends: it costs nothing and names share much.
func cutAlike[T byte | rune](a, b []T) ([]T, []T) {
	for len(a) > 0 && len(b) > 0 && a[0] == b[0] {
		a, b = a[1:], b[1:]
	}
	for len(a) > 0 && len(b) > 0 && a[len(a)-1] == b[len(b)-1] {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	return a, b
}

func line(room []int, n int) []int {
	if n < len(room) {
		return room[:n+1]
	}
	return make([]int, n+1)
}

// fillLine works out the row of letter i and answers its least value, below which no later row can fall
// by more than a swap does, which itself costs one.
func fillLine[T byte | rune](a, b []T, i int, before, last, row []int) int {
	row[0] = i + 1
	least := row[0]
	for j := range b {
		cost := last[j]
		if a[i] != b[j] {
			cost++
		}
		cost = min(cost, last[j+1]+1, row[j]+1)
		if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
			cost = min(cost, before[j-1]+1)
		}
		row[j+1] = cost
		least = min(least, cost)
	}
	return least
}

// letterSet marks which letters a folded text has: one edit changes at most two marks, so that most far texts
// are ruled out without counting edits.
func letterSet(s string) uint32 {
	var set uint32
	for i := 0; i < len(s); i++ {
		set |= 1 << (s[i] & 31)
	}
	return set
}

func mayBeWithin(a, b uint32, max int) bool {
	return bits.OnesCount32(a^b) <= 2*max
}
