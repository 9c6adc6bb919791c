package drill

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"testing"
	"time"

	"forayhall/internal/taxon"
	"forayhall/internal/taxon/taxontest"
)

// asked is what somebody typed, and the name that was meant.
type asked struct{ typed, meant string }

// reader answers what was typed with names, the likeliest first.
type reader func(typed string) ([]string, error)

// question is one thing that readers of names are asked for.
type question struct {
	asks   []asked
	listed int // how many names an answer may list
}

// few is how many names are asked back where more than one could be meant; long is how many a type-ahead list shows.
const (
	few  = 5
	long = 10
)

// readers answer from one source of names. A database may be asked for a type-ahead list in two ways.
type readers struct{ ahead, byWeight, misspelt reader }

// howMany names there are: half a million, a tenth of it in a short run.
func howMany() int {
	if testing.Short() {
		return taxontest.Many / 10
	}
	return taxontest.Many
}

// BenchmarkNames asks for the same misspelt names and the same beginnings of names, among half a million, of the index,
// of SQLite with FTS5's trigrams and of Postgres with pg_trgm. The index and a database take turns at the same questions,
// so that a machine that is busy for a while is busy for both.
func BenchmarkNames(b *testing.B) {
	file := filepath.Join(b.TempDir(), "names.index")
	misspelt, ahead := writeIndex(b, file)
	ix := openIndex(b, file)
	matching, suggesting := matching(ix), suggesting(ix)
	b.Run("index/misspelt", func(b *testing.B) { alone(b, misspelt, matching) })
	b.Run("index/ahead", func(b *testing.B) { alone(b, ahead, suggesting) })
	for _, peer := range []struct {
		name string
		open func(*testing.B) readers
	}{{"SQLite", sqliteNames}, {"Postgres", postgresNames}} {
		b.Run(peer.name, func(b *testing.B) {
			theirs := peer.open(b)
			b.Run("misspelt", func(b *testing.B) { inTurns(b, misspelt, matching, theirs.misspelt) })
			b.Run("ahead", func(b *testing.B) { inTurns(b, ahead, suggesting, theirs.ahead) })
			b.Run("ahead by weight", func(b *testing.B) { inTurns(b, ahead, suggesting, theirs.byWeight) })
		})
	}
}

// writeIndex compiles the names into a file, as an import does, and gives what will be asked. It keeps nothing else, so
// that what is resident afterwards is the index's.
func writeIndex(b *testing.B, name string) (misspelt, ahead question) {
	b.Helper()
	rows := taxontest.Invented(howMany())
	built := taxon.NewBuilder()
	for _, row := range rows {
		if err := built.Add(row); err != nil {
			b.Fatal(err)
		}
	}
	ix, left := built.Finish()
	if len(left) > 0 {
		b.Fatal(left[0])
	}
	var file bytes.Buffer
	if err := ix.Write(&file); err != nil {
		b.Fatal(err)
	}
	if err := os.WriteFile(name, file.Bytes(), 0o600); err != nil {
		b.Fatal(err)
	}
	return question{misspelled(rows, 1000), few}, question{beginnings(rows, 250), long}
}

func misspelled(rows []taxon.Row, n int) (list []asked) {
	r := rand.New(rand.NewPCG(1, 2))
	for range n {
		name := rows[r.IntN(len(rows))].Name
		list = append(list, asked{taxontest.Misspelt(r, name), strings.Clone(name)})
	}
	return list
}

// steps are how far people type, in letters of the genus and of the epithet. Only the last is far enough to tell which of
// half a million is meant.
var steps = [][2]int{{1, 0}, {2, 0}, {4, 0}, {2, 2}, {3, 3}, {0, 4}, {40, 4}}

func beginnings(rows []taxon.Row, n int) (list []asked) {
	r := rand.New(rand.NewPCG(3, 4))
	for range n {
		name := rows[r.IntN(len(rows))].Name
		genus, epithet, _ := strings.Cut(strings.ToLower(name), " ")
		for _, step := range steps {
			typed := genus[:min(step[0], len(genus))] + " " + epithet[:min(step[1], len(epithet))]
			list = append(list, asked{strings.TrimSpace(typed), strings.Clone(name)})
		}
	}
	return list
}

// openIndex opens the file as a hall does at its start, and tells what that took.
func openIndex(b *testing.B, name string) *taxon.Index {
	b.Helper()
	debug.FreeOSMemory()
	before, begun := resident(), time.Now()
	file, err := os.ReadFile(name)
	if err != nil {
		b.Fatal(err)
	}
	ix, err := taxon.Open(file)
	if err != nil {
		b.Fatal(err)
	}
	took, opened := time.Since(begun), resident()
	size := len(file)
	file = nil
	debug.FreeOSMemory()
	b.Logf("%d names: a file of %.0f MB, opened in %v; resident %s before, %s when opened, %s when settled",
		ix.Len(), float64(size)/1e6, took.Round(time.Millisecond), before, opened, resident())
	return ix
}

// resident is the memory this process holds, in the words of proc(5); "unknown" where there is no such file.
func resident() string {
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return "unknown"
	}
	for line := range strings.Lines(string(status)) {
		if kB, ok := strings.CutPrefix(line, "VmRSS:"); ok {
			return strings.TrimSpace(kB)
		}
	}
	return "unknown"
}

// matching answers as `names match` does: with the name found, or those asked back.
func matching(ix *taxon.Index) reader {
	return func(typed string) (names []string, err error) {
		m := ix.Match(typed)
		if m.Found != nil {
			return []string{m.Found.Name}, nil
		}
		for _, c := range m.Candidates {
			names = append(names, c.Name.Name)
		}
		return names, nil
	}
}

func suggesting(ix *taxon.Index) reader {
	return func(typed string) (names []string, err error) {
		for _, s := range ix.Suggest(typed, long) {
			names = append(names, s.Shown)
		}
		return names, nil
	}
}

// tally is how long answers took and how often they held the name that was meant.
type tally struct {
	took            []time.Duration
	answers         [][]string
	first, anywhere int
}

func (t *tally) ask(b *testing.B, r reader, list []asked) {
	b.Helper()
	for _, a := range list {
		begun := time.Now()
		names, err := r(a.typed)
		t.took = append(t.took, time.Since(begun))
		if err != nil {
			b.Fatalf("%q: %v", a.typed, err)
		}
		t.answers = append(t.answers, names)
		switch slices.Index(names, a.meant) {
		case -1:
		case 0:
			t.first++
			fallthrough
		default:
			t.anywhere++
		}
	}
}

// mean is in µs.
func (t *tally) mean() float64 {
	var sum time.Duration
	for _, d := range t.took {
		sum += d
	}
	return float64(sum.Nanoseconds()) / 1e3 / float64(len(t.took))
}

// percentile is the time in µs in which that many of a hundred answers were there.
func (t *tally) percentile(p int) float64 {
	sorted := slices.Sorted(slices.Values(t.took))
	return float64(sorted[(len(sorted)-1)*p/100].Nanoseconds()) / 1e3
}

func (t *tally) share(n int) float64 { return 100 * float64(n) / float64(len(t.took)) }

// same is how many answers are another's to the letter.
func (t *tally) same(other *tally) (n int) {
	for i, names := range t.answers {
		if slices.Equal(names, other.answers[i]) {
			n++
		}
	}
	return n
}

func (t *tally) report(b *testing.B, q question, of string) {
	b.Helper()
	b.ReportMetric(0, "ns/op") // of all the questions together: says nothing
	b.ReportMetric(t.mean(), "µs"+of)
	b.ReportMetric(t.percentile(50), "µs-median"+of)
	b.ReportMetric(t.percentile(99), "µs-p99"+of)
	b.ReportMetric(t.share(t.first), "%-first"+of)
	b.ReportMetric(t.share(t.anywhere), fmt.Sprintf("%%-of-%d%s", q.listed, of))
}

func alone(b *testing.B, q question, r reader) {
	var t tally
	for b.Loop() {
		t.ask(b, r, q.asks)
	}
	t.report(b, q, "")
}

// patience is how long a database is asked a question: trigrams take their time.
const patience = 2 * time.Second

// inTurns asks a few of the questions, the first of the list, of both, and tells besides how often a database gave the
// very list that the index gives: of homonyms it may put another first.
func inTurns(b *testing.B, q question, ours, theirs reader) {
	const turn, most = 3, 300
	var us, them tally
	for b.Loop() {
		begun := time.Now()
		for some := range slices.Chunk(q.asks[:most], turn) {
			us.ask(b, ours, some)
			them.ask(b, theirs, some)
			if time.Since(begun) > patience {
				break
			}
		}
	}
	them.report(b, q, "")
	us.report(b, q, "-ours")
	b.ReportMetric(float64(len(them.took)), "asked")
	if q.listed == long {
		b.ReportMetric(them.share(them.same(&us)), "%-same-list")
	}
	b.ReportMetric(them.mean()/us.mean(), "times-ours")
	b.ReportMetric(them.percentile(50)/us.percentile(50), "times-ours-median")
}
