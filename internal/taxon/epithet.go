package taxon

import "strings"

// SameEpithet says whether two names end in one epithet but for its gender, as a species does that was moved to
// another genus or changed its rank. Names of one word have no epithet.
func SameEpithet(a, b string) bool {
	x, y := lastEpithet(a), lastEpithet(b)
	return x != "" && stem(x) == stem(y)
}

func lastEpithet(name string) string {
	key := Key(name)
	i := strings.LastIndexByte(key, ' ')
	if i < 0 {
		return ""
	}
	return key[i+1:]
}
