package taxon

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"runtime"
	"sync"
	"testing"
)

// many is how many names a national checklist of the whole world's fungi has, generously.
const many = 500_000

// invented makes that many names out of syllables, always the same: a third of them former, some of them homonyms, large
// and small genera, epithets that are a letter apart. None of them is meant to be the name of anything.
func invented(n int) []Row {
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
	rows := make([]Row, 0, n)
	seen := map[string]bool{}
	var accepted []string
	for len(rows) < n {
		// Sizes of genera fall off as in real lists: a few have thousands of species.
		g := genera[min(int(float64(len(genera))*r.ExpFloat64()/6), len(genera)-1)]
		row := Row{Name: g + " " + epithet(), Author: pick(people), Rank: Species, Status: "accepted", Source: "invented"}
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

// largeFile is the file of the large list, made once.
var largeFile = sync.OnceValue(func() []byte {
	b := NewBuilder()
	for _, row := range invented(many) {
		if err := b.Add(row); err != nil {
			panic(err)
		}
	}
	ix, _ := b.Finish()
	var file bytes.Buffer
	if err := ix.Write(&file); err != nil {
		panic(err)
	}
	return file.Bytes()
})

// misspelt is a name with a letter changed, lost, doubled or swapped, somewhere behind its first.
func misspelt(r *rand.Rand, name string) string {
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

// BenchmarkCompile makes the file of half a million names; ns a name beside the bare work of folding each.
func BenchmarkCompile(b *testing.B) {
	rows := invented(many)
	b.Run("bare fold", func(b *testing.B) {
		for b.Loop() {
			for _, r := range rows {
				Key(r.Name)
			}
		}
	})
	b.Run("index", func(b *testing.B) {
		for b.Loop() {
			built := NewBuilder()
			for _, r := range rows {
				if err := built.Add(r); err != nil {
					b.Fatal(err)
				}
			}
			built.Finish()
		}
	})
}

// BenchmarkOpen opens that file; beside the bare copy of its bytes.
func BenchmarkOpen(b *testing.B) {
	file := largeFile()
	b.Run("bare copy", func(b *testing.B) {
		for b.Loop() {
			bytes.Clone(file)
		}
	})
	b.Run("open", func(b *testing.B) {
		for b.Loop() {
			if _, err := Open(file); err != nil {
				b.Fatal(err)
			}
		}
		b.ReportMetric(float64(len(file))/1e6, "MB-file")
	})
}

// An index of half a million names takes at most 400 MB, with its file.
func TestHalfAMillionNamesFitIntoMemory(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a while")
	}
	file := largeFile()
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	ix, err := Open(file)
	if err != nil {
		t.Fatal(err)
	}
	runtime.GC()
	runtime.ReadMemStats(&after)
	held := (float64(after.HeapAlloc) - float64(before.HeapAlloc)) / 1e6
	t.Logf("%d names: a file of %.0f MB, %.0f MB held", ix.Len(), float64(len(file))/1e6, held)
	if ix.Len() != many || held > 400 {
		t.Errorf("%d names hold %.0f MB", ix.Len(), held)
	}
	runtime.KeepAlive(ix)
}

// BenchmarkMisspeltAmongMany asks for misspelt names among half a million.
func BenchmarkMisspeltAmongMany(b *testing.B) {
	ix, err := Open(largeFile())
	if err != nil {
		b.Fatal(err)
	}
	r := rand.New(rand.NewPCG(1, 2))
	var asked []string
	for range 1000 {
		asked = append(asked, misspelt(r, ix.str(ix.name[r.IntN(ix.Len())])))
	}
	for b.Loop() {
		for _, s := range asked {
			ix.Match(s)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/1000, "µs/name")
}

// BenchmarkTypeAheadAmongMany types names a letter at a time.
func BenchmarkTypeAheadAmongMany(b *testing.B) {
	ix, err := Open(largeFile())
	if err != nil {
		b.Fatal(err)
	}
	for _, typed := range []string{"a", "am", "am al", "alb", "cortan", "p", "ps r"} {
		b.Run(fmt.Sprintf("%q", typed), func(b *testing.B) {
			for b.Loop() {
				ix.Suggest(typed, 10)
			}
		})
	}
}
