package taxon_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"runtime"
	"sync"
	"testing"

	"forayhall/internal/taxon"
	"forayhall/internal/taxon/taxontest"
)

// largeFile is the file of the large list, made once.
var largeFile = sync.OnceValue(func() []byte {
	b := taxon.NewBuilder()
	for _, row := range taxontest.Invented(taxontest.Many) {
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

// BenchmarkCompile makes the file of half a million names; ns a name beside the bare work of folding each.
func BenchmarkCompile(b *testing.B) {
	rows := taxontest.Invented(taxontest.Many)
	b.Run("bare fold", func(b *testing.B) {
		for b.Loop() {
			for _, r := range rows {
				taxon.Key(r.Name)
			}
		}
	})
	b.Run("index", func(b *testing.B) {
		for b.Loop() {
			built := taxon.NewBuilder()
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
			if _, err := taxon.Open(file); err != nil {
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
	ix, err := taxon.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	runtime.GC()
	runtime.ReadMemStats(&after)
	held := (float64(after.HeapAlloc) - float64(before.HeapAlloc)) / 1e6
	t.Logf("%d names: a file of %.0f MB, %.0f MB held", ix.Len(), float64(len(file))/1e6, held)
	if ix.Len() != taxontest.Many || held > 400 {
		t.Errorf("%d names hold %.0f MB", ix.Len(), held)
	}
	runtime.KeepAlive(ix)
}

// BenchmarkMisspeltAmongMany asks for misspelt names among half a million.
func BenchmarkMisspeltAmongMany(b *testing.B) {
	ix, err := taxon.Open(largeFile())
	if err != nil {
		b.Fatal(err)
	}
	rows := taxontest.Invented(taxontest.Many)
	r := rand.New(rand.NewPCG(1, 2))
	var asked []string
	for range 1000 {
		asked = append(asked, taxontest.Misspelt(r, rows[r.IntN(len(rows))].Name))
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
	ix, err := taxon.Open(largeFile())
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
