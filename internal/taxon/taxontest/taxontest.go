// Package taxontest makes long lists of names that are nobody's, so that what the index promises of half a million names
// can be measured wherever it is used. Its names are always the same; it must never be imported by anything but tests.
package taxontest

import (
	"math/rand/v2"

	"forayhall/internal/taxon"
)

// Many is how many names a national checklist of the whole world's fungi has, generously.
const Many = 500_000

// Invented makes n names out of syllables, always the same: a third of them former, some of them homonyms, large
// and small genera, epithets that are a letter apart. None of them is meant to be the name of anything.
func Invented(n int) []taxon.Row {
	r := rand.New(rand.NewPCG(26, 10))
	pick := func(from []string) string { return from[r.IntN(len(from))] }
	begin := []string{"Am", "Bol", "Cort", "Rus", "Lact", "Myc", "Ino", "Hyg", "Trich", "Pel", "Phae", "Chlor", "Xan", "Rho", "Gym", "Hel", "Neo", "Para", "Pseudo", "Micro", "Lep", "Cor", "Ster", "Poly"}
	middle := []string{"an", "et", "in", "ul", "opor", "omyc", "ell", "ar", "osp", "id", "oc", "yb", "ac", "ag", "om", "er", "itr", "olen", "ist", "urn"}
	ends := []string{"ius", "ia", "um", "ella", "opsis", "omyces", "aria", "ina", "us", "a"}
	genera := make([]string, 12_000)
	for i := range genera {
		genera[i] = pick(begin) + pick(middle) + pick(middle) + pick(ends)
	}
	stems := []string{"alb", "rubr", "flav", "nigr", "virid", "caerul", "fulv", "brunne", "gris", "purpur", "ros", "lute", "pallid", "nive", "squam", "lanat", "gran", "fibr", "vag", "sylv", "prat", "palud", "aren", "quer", "fag", "betul", "pin", "alp", "bor", "mer"}
	epithet := func() string {
		return pick(stems) + pick(middle) + pick([]string{"us", "a", "um", "is", "ensis", "oides", "icola", "atus", "osus"})
	}
	people := []string{"Fr.", "Pers.", "Quél.", "P. Karst.", "Peck", "A.H. Sm.", "Kühner", "Romagn.", "Singer", "Bres."}
	rows := make([]taxon.Row, 0, n)
	seen := map[string]bool{}
	var accepted []string
	for len(rows) < n {
		// Sizes of genera fall off as in real lists: a few have thousands of species.
		g := genera[min(int(float64(len(genera))*r.ExpFloat64()/6), len(genera)-1)]
		row := taxon.Row{Name: g + " " + epithet(), Author: pick(people), Rank: taxon.Species, Status: "accepted", Source: "invented"}
		if seen[row.Name] && r.IntN(100) > 0 || seen[row.Name+row.Author] {
			row.Name += "a"
		}
		if seen[row.Name+row.Author] {
			continue
		}
		if len(accepted) > 0 && r.IntN(3) == 0 {
			row.Status, row.Reason, row.Accepted = "former", "moved", accepted[r.IntN(len(accepted))]
		} else if !seen[row.Name] {
			accepted = append(accepted, row.Name)
		}
		seen[row.Name], seen[row.Name+row.Author] = true, true
		rows = append(rows, row)
	}
	return rows
}

// Misspelt is a name with a letter changed, lost, doubled or swapped, somewhere behind its first.
func Misspelt(r *rand.Rand, name string) string {
	at := 1 + r.IntN(len(name)-2)
	switch r.IntN(4) {
	case 0:
		return name[:at] + string("aeiou"[r.IntN(5)]) + name[at+1:]
	case 1:
		return name[:at] + name[at+1:]
	case 2:
		return name[:at] + name[at:at+1] + name[at:]
	}
	return name[:at] + name[at+1:at+2] + name[at:at+1] + name[min(at+2, len(name)):]
}
