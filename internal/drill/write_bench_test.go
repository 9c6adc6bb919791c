package drill

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	_ "github.com/jackc/pgx/v5/stdlib"
	_ "github.com/libtnb/sqlite"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/store"
	"forayhall/internal/store/pgtest"
)

// write does one collection's worth of writing: it is logged, and signed off. i is its number. Whatever is to be
// measured, the hall, bare statements or the program over its network, is one of these.
type write func(i int) error

// writesEach is how many acknowledged transactions one write is.
const writesEach = 2

// writers write at once: the desks and benches of a large foray.
const writers = 32

// spend has all writers do the writes from first to last and gives the time it took.
func spend(b *testing.B, first, last int, w write) time.Duration {
	b.Helper()
	var next atomic.Int64
	next.Store(int64(first) - 1)
	var wg sync.WaitGroup
	begun := time.Now()
	for range writers {
		wg.Go(func() {
			for i := int(next.Add(1)); i <= last; i = int(next.Add(1)) {
				if err := w(i); err != nil {
					b.Errorf("write %d: %v", i, err)
					return
				}
			}
		})
	}
	wg.Wait()
	return time.Since(begun)
}

// compare takes turns, so that a machine that is busy for a while is busy for both, and reports acknowledged
// transactions a second.
func compare(b *testing.B, one, bare write) {
	b.Helper()
	const turn = 200
	var with, without time.Duration
	for first := 1; first <= b.N; first += turn {
		last := min(first+turn-1, b.N)
		with += spend(b, first, last, one)
		without += spend(b, first, last, bare)
	}
	n := float64(writesEach * b.N)
	b.ReportMetric(n/with.Seconds(), "writes/s")
	b.ReportMetric(n/without.Seconds(), "bare-writes/s")
	b.ReportMetric(without.Seconds()/with.Seconds(), "of-bare")
}

// BenchmarkWrites compares what the hall does for a write, with its rules, audit, commands and change log, to bare
// statements that leave the same rows, a transaction each, prepared, on the same database with the same durability.
func BenchmarkWrites(b *testing.B) {
	for _, dialect := range []store.Dialect{store.SQLite, store.Postgres} {
		b.Run(string(dialect), func(b *testing.B) {
			there, beside := places(b, dialect)
			o := ordersFor(b, there)
			h, err := openHall(there)
			if err != nil {
				b.Fatal(err)
			}
			defer h.Store.Close()
			bare := bareWrite(b, dialect, beside)
			through := throughHall(b, h, o)
			b.ResetTimer()
			compare(b, through, bare)
		})
	}
}

// places are two databases of one kind, of which nothing is switched off that makes a write last.
func places(b *testing.B, dialect store.Dialect) (there, beside store.Config) {
	b.Helper()
	if dialect == store.SQLite {
		return store.Config{Dir: b.TempDir()}, store.Config{Dir: b.TempDir()}
	}
	server := pgtest.NewServer(b, pgtest.Options{})
	db, err := sql.Open("pgx", server.URL("postgres"))
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec("CREATE DATABASE beside TEMPLATE template0"); err != nil {
		b.Fatal(err)
	}
	return store.Config{URL: server.URL("postgres")}, store.Config{URL: server.URL("beside")}
}

func throughHall(b *testing.B, h *hall.Hall, o orders) write {
	b.Helper()
	ctx := context.Background()
	return func(i int) error {
		logging, signing, err := twoIDs()
		if err != nil {
			return err
		}
		made, err := desk.LogCollection(ctx, h, o.As[access.Desk], o.Scope, hall.Command{ID: logging},
			desk.Log{Number: strconv.Itoa(i), Field: desk.Field{Group: "bolete"}})
		if err != nil {
			return err
		}
		version := 0
		_, err = bench.SignOff(ctx, h, o.As[access.Identifier], o.Scope, hall.Command{ID: signing, BaseVersion: &version},
			bench.Word{Collection: made.ID, Name: hall.NameInput{Text: "Boletus edulis"}, Basis: "macroscopic"})
		return err
	}
}

func twoIDs() (one, other foray.ID, err error) {
	one, err = foray.NewID(time.Now(), rand.Reader)
	if err != nil {
		return one, other, err
	}
	other, err = foray.NewID(time.Now(), rand.Reader)
	return one, other, err
}

// left are the tables in which each of the two transactions leaves rows.
var left = [writesEach][]string{
	{"collection", "audit", "command_log", "change"},
	{"slip", "slip_name", "naming_history", "audit", "command_log", "change"},
}

// bareWrite lets the hall write once, takes the rows it left for a pattern, and writes the like with plain statements.
func bareWrite(b *testing.B, dialect store.Dialect, config store.Config) write {
	b.Helper()
	o := ordersFor(b, config)
	h, err := openHall(config)
	if err != nil {
		b.Fatal(err)
	}
	before := rowsBy(b, h, o)
	if err := throughHall(b, h, o)(900_000); err != nil {
		b.Fatal(err)
	}
	pattern := patternOf(before, rowsBy(b, h, o))
	if err := h.Store.Close(); err != nil {
		b.Fatal(err)
	}
	db := openBare(b, dialect, config)
	p := &bareWriter{db: db, scope: o.Scope, dialect: dialect}
	for part, tables := range left {
		for _, table := range tables {
			p.prepare(b, part, table, pattern[part][table])
		}
	}
	p.seq.Store(1_000_000)
	p.count = p.statement(b, "UPDATE event_counter SET change_seq = change_seq + 1 WHERE society_id = ? AND event_id = ?")
	p.stand = p.statement(b, "UPDATE collection SET naming = 'confirmed', version = 1 WHERE society_id = ? AND event_id = ? AND id = ?")
	return p.write
}

type rows map[string][]map[string]any

// rowsBy reads the rows of the event in the tables that a write touches.
func rowsBy(b *testing.B, h *hall.Hall, o orders) rows {
	b.Helper()
	all := rows{}
	err := h.Store.Read(context.Background(), func(tx *store.Tx) error {
		for _, tables := range left {
			for _, table := range tables {
				all[table] = nil
				err := tx.Dump(table, store.Part{Society: o.Scope.Society, Event: o.Scope.Event}, func(row map[string]any) error {
					all[table] = append(all[table], maps.Clone(row))
					return nil
				})
				if err != nil {
					return err
				}
			}
		}
		return nil
	})
	if err != nil {
		b.Fatal(err)
	}
	return all
}

// patternOf gives the row that each transaction added to each table. Where both added to one, the first row of a sorted
// table need not be the first that was written; which of two alike rows goes first makes no difference to the cost.
func patternOf(before, after rows) [writesEach]map[string]map[string]any {
	var pattern [writesEach]map[string]map[string]any
	taken := map[string]int{}
	for part, tables := range left {
		pattern[part] = map[string]map[string]any{}
		for _, table := range tables {
			added := slices.DeleteFunc(slices.Clone(after[table]), func(row map[string]any) bool {
				return slices.ContainsFunc(before[table], func(old map[string]any) bool { return maps.Equal(old, row) })
			})
			pattern[part][table] = added[taken[table]]
			taken[table]++
		}
	}
	return pattern
}

func openBare(b *testing.B, dialect store.Dialect, config store.Config) *sql.DB {
	b.Helper()
	driver, name, connections := "pgx", config.URL, writers
	if dialect == store.SQLite {
		driver, connections = "sqlite", 1
		name = "file:" + filepath.Join(config.Dir, store.FileName) +
			"?_pragma=busy_timeout(10000)&_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_pragma=foreign_keys(1)&_txlock=immediate"
	}
	db, err := sql.Open(driver, name)
	if err != nil {
		b.Fatal(err)
	}
	db.SetMaxOpenConns(connections)
	db.SetMaxIdleConns(connections)
	b.Cleanup(func() { _ = db.Close() })
	return db
}

// bareWriter is prepared statements with the values of one real write, of which keys are made anew each time.
type bareWriter struct {
	db      *sql.DB
	dialect store.Dialect
	scope   access.Scope
	inserts [writesEach][]insert
	count   *sql.Stmt
	stand   *sql.Stmt
	seq     atomic.Int64
}

type insert struct {
	statement *sql.Stmt
	table     string
	columns   []string
	values    []any
}

func (p *bareWriter) prepare(b *testing.B, part int, table string, row map[string]any) {
	b.Helper()
	in := insert{table: table, columns: slices.Sorted(maps.Keys(row))}
	var quoted []string
	for _, c := range in.columns {
		quoted = append(quoted, `"`+c+`"`)
		in.values = append(in.values, row[c])
	}
	places := strings.TrimSuffix(strings.Repeat("?, ", len(quoted)), ", ")
	in.statement = p.statement(b, "INSERT INTO "+table+" ("+strings.Join(quoted, ", ")+") VALUES ("+places+")")
	p.inserts[part] = append(p.inserts[part], in)
}

func (p *bareWriter) statement(b *testing.B, text string) *sql.Stmt {
	b.Helper()
	if p.dialect == store.Postgres {
		for n := 1; strings.Contains(text, "?"); n++ {
			text = strings.Replace(text, "?", fmt.Sprint("$", n), 1)
		}
	}
	s, err := p.db.Prepare(text)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = s.Close() })
	return s
}

func (p *bareWriter) write(i int) error {
	collection, slip, err := twoIDs()
	if err != nil {
		return err
	}
	for part := range left {
		if err := p.transaction(part, i, collection, slip); err != nil {
			return err
		}
	}
	return nil
}

func (p *bareWriter) transaction(part, i int, collection, slip foray.ID) error {
	row, command, err := twoIDs()
	if err != nil {
		return err
	}
	tx, err := p.db.Begin()
	if err != nil {
		return err
	}
	for _, in := range p.inserts[part] {
		ids := map[string]any{"collection": collection, "slip": slip, "audit": row, "command_log": command}
		if _, err := tx.Stmt(in.statement).Exec(p.renewed(in, i, ids)...); err != nil {
			return errors.Join(fmt.Errorf("%s: %w", in.table, err), tx.Rollback())
		}
	}
	if part == 1 {
		_, err = tx.Stmt(p.stand).Exec(p.scope.Society, p.scope.Event, collection)
	}
	if err == nil {
		_, err = tx.Stmt(p.count).Exec(p.scope.Society, p.scope.Event)
	}
	if err != nil {
		return errors.Join(err, tx.Rollback())
	}
	return tx.Commit()
}

// renewed is the values of the pattern with the keys of this write.
func (p *bareWriter) renewed(in insert, i int, ids map[string]any) []any {
	values := slices.Clone(in.values)
	for at, column := range in.columns {
		switch {
		case column == "id":
			values[at] = ids[in.table]
		case column == "collection_id" || column == "subject":
			values[at] = ids["collection"]
		case column == "slip_id":
			values[at] = ids["slip"]
		case column == "number_base":
			values[at] = i
		case column == "seq" && in.table == "change":
			values[at] = p.seq.Add(1)
		case column == "naming" && in.table == "collection":
			values[at] = string(foray.BroughtIn)
		case column == "version" && in.table == "collection":
			values[at] = 0
		}
	}
	return values
}
