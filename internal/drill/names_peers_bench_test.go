package drill

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"forayhall/internal/store/pgtest"
	"forayhall/internal/taxon"
	"forayhall/internal/taxon/taxontest"
)

// listed is a name as a database gets it. Numbers are in the order of names, so that they put answers in their order.
type listed struct {
	ids    []int
	names  []string
	former []int // 1 for a former name
}

// someNames are the same names as the index has, in pieces that go into a database with one statement each.
var someNames = sync.OnceValue(func() []listed {
	rows := taxontest.Invented(howMany())
	slices.SortFunc(rows, func(x, y taxon.Row) int { return strings.Compare(x.Name, y.Name) })
	var pieces []listed
	for some := range slices.Chunk(rows, 20_000) {
		var l listed
		for _, row := range some {
			former := 0
			if row.Status != "accepted" {
				former = 1
			}
			l.ids, l.names = append(l.ids, 20_000*len(pieces)+len(l.ids)+1), append(l.names, row.Name)
			l.former = append(l.former, former)
		}
		pieces = append(pieces, l)
	}
	return pieces
})

// trigrams are the runs of three letters of a text.
func trigrams(text string) (list []string) {
	letters := []rune(strings.ToLower(text))
	for i := range max(len(letters)-2, 0) {
		if t := string(letters[i : i+3]); !slices.Contains(list, t) {
			list = append(list, t)
		}
	}
	return list
}

// starts are the two places where typing may start, at the genus and at the epithet, with how good a start each is: the
// index has the same, so that both list the same names in the same order.
const starts = `INSERT INTO start SELECT lower(name), former, id FROM name
	UNION ALL SELECT substr(lower(name), %s + 1), 2 + former, id FROM name`

// ahead is type-ahead as most would ask for it: all that begins so, out of one covering index, the best ten of them. What
// begins so is for each database to say.
const ahead = `SELECT n.name FROM (SELECT weight, name FROM %s ORDER BY weight, name LIMIT 10) s
	JOIN name n ON n.id = s.name ORDER BY s.weight, s.name`

// aheadByWeight is type-ahead for those who go to some lengths: an index for each weight in the order of the text, which
// is read no further than ten names. Its lists are in the order of what begins so, and cannot put what is well known
// first but by a weight, of which there are few.
func aheadByWeight(condition string) string {
	var arms []string
	for weight := range 4 {
		arms = append(arms, fmt.Sprintf(`SELECT * FROM (SELECT weight, text, name FROM start
			WHERE weight = %d AND %s ORDER BY weight, text, name LIMIT 10) w%[1]d`, weight, condition))
	}
	return `SELECT n.name FROM (` + strings.Join(arms, " UNION ALL ") + ` ORDER BY 1, 2, 3 LIMIT 10) s JOIN name n ON n.id = s.name
		ORDER BY s.weight, s.text, s.name`
}

// sqliteNames asks the SQLite that the hall is shipped with. Misspelt names: FTS5 with its trigram tokenizer, any of the
// trigrams of what was typed, best by bm25; nothing is kept with the trigrams that this does not need. FTS5's trigrams
// find nothing for fewer than three letters, so that type-ahead is asked of B-trees: a range for the first word, GLOB for
// both. The cache holds the whole file, and nothing that would make a write last slows it down.
func sqliteNames(b *testing.B) readers {
	b.Helper()
	db := openPeer(b, "sqlite", "file:"+filepath.Join(b.TempDir(), "names.db")+
		"?_pragma=journal_mode(OFF)&_pragma=synchronous(OFF)&_pragma=cache_size(-400000)")
	run(b, db, `CREATE TABLE name (id INTEGER PRIMARY KEY, name TEXT NOT NULL, former INTEGER NOT NULL)`)
	for _, some := range someNames() {
		run(b, db, `INSERT INTO name SELECT value->>0, value->>1, value->>2 FROM json_each(?)`, some.asJSON(b))
	}
	run(b, db, `CREATE TABLE start (text TEXT NOT NULL, weight INTEGER NOT NULL, name INTEGER NOT NULL)`)
	run(b, db, fmt.Sprintf(starts, "instr(name, ' ')"))
	run(b, db, `CREATE INDEX start_text ON start (text, weight, name)`)
	run(b, db, `CREATE INDEX start_weight ON start (weight, text, name)`)
	run(b, db, `CREATE VIRTUAL TABLE near USING fts5(name, content = 'name', content_rowid = 'id', tokenize = 'trigram', detail = 'none')`)
	run(b, db, `INSERT INTO near (near) VALUES ('rebuild')`)
	run(b, db, `INSERT INTO near (near) VALUES ('optimize')`)
	run(b, db, `ANALYZE`)
	const condition = `text >= ?1 AND text < ?2 AND text GLOB ?3`
	near := prepare(b, db, `SELECT name FROM near WHERE near MATCH ? ORDER BY rank LIMIT 5`)
	usual, byWeight := prepare(b, db, fmt.Sprintf(ahead, `start INDEXED BY start_text WHERE `+condition)), prepare(b, db, aheadByWeight(condition))
	return readers{begins(usual, "*"), begins(byWeight, "*"), func(typed string) ([]string, error) {
		return names(near, `"`+strings.Join(trigrams(typed), `" OR "`)+`"`)
	}}
}

// postgresNames asks Postgres over its socket. Misspelt names: pg_trgm's % on a GIN index, best by similarity, with a
// threshold that keeps out most of what is not near; the nearest by <-> on a GiST index took some twenty times as long.
// Type-ahead: LIKE on a B-tree with text_pattern_ops, told its range outright, since a prepared LIKE whose pattern may be
// anything takes longer; in the order of the text on a B-tree in the order of bytes.
func postgresNames(b *testing.B) readers {
	b.Helper()
	db := openPeer(b, "pgx", pgtest.URL(b, nil))
	if _, err := db.Exec(`CREATE EXTENSION pg_trgm`); err != nil {
		b.Skipf("this Postgres has no pg_trgm: %v", err)
	}
	run(b, db, `SET maintenance_work_mem = '256MB'`)
	run(b, db, `SET work_mem = '64MB'`)
	run(b, db, `SET jit = off`) // it costs short questions more than it saves them
	run(b, db, `SET pg_trgm.similarity_threshold = 0.6`)
	run(b, db, `CREATE TABLE name (id integer PRIMARY KEY, name text NOT NULL, former integer NOT NULL)`)
	for _, some := range someNames() {
		run(b, db, `INSERT INTO name SELECT * FROM unnest($1::integer[], $2::text[], $3::integer[])`, some.ids, some.names, some.former)
	}
	run(b, db, `CREATE TABLE start (text text COLLATE "C" NOT NULL, weight integer NOT NULL, name integer NOT NULL)`)
	run(b, db, fmt.Sprintf(starts, "strpos(name, ' ')"))
	run(b, db, `CREATE INDEX ON start (text text_pattern_ops, weight, name)`)
	run(b, db, `CREATE INDEX ON start (weight, text, name)`)
	run(b, db, `CREATE INDEX ON name USING gin (name gin_trgm_ops)`)
	run(b, db, `VACUUM ANALYZE`)
	near := prepare(b, db, `SELECT name FROM name WHERE name % $1 ORDER BY similarity(name, $1) DESC LIMIT 5`)
	usual, byWeight := prepare(b, db, fmt.Sprintf(ahead, `start WHERE text ~>=~ $1 AND text ~<~ $2 AND text LIKE $3`)),
		prepare(b, db, aheadByWeight(`text >= $1 AND text < $2 AND text LIKE $3`))
	return readers{begins(usual, "%"), begins(byWeight, "%"), func(typed string) ([]string, error) { return names(near, typed) }}
}

// asJSON is the rows of a piece, for json_each.
func (l listed) asJSON(b *testing.B) string {
	b.Helper()
	rows := make([][3]any, len(l.ids))
	for i := range rows {
		rows[i] = [3]any{l.ids[i], l.names[i], l.former[i]}
	}
	text, err := json.Marshal(rows)
	if err != nil {
		b.Fatal(err)
	}
	return string(text)
}

// openPeer opens a database with one connection: one person asks.
func openPeer(b *testing.B, driver, name string) *sql.DB {
	b.Helper()
	db, err := sql.Open(driver, name)
	if err != nil {
		b.Fatal(err)
	}
	db.SetMaxOpenConns(1)
	b.Cleanup(func() { _ = db.Close() })
	return db
}

func run(b *testing.B, db *sql.DB, text string, arguments ...any) {
	b.Helper()
	if _, err := db.Exec(text, arguments...); err != nil {
		b.Fatalf("%s: %v", text, err)
	}
}

func prepare(b *testing.B, db *sql.DB, text string) *sql.Stmt {
	b.Helper()
	s, err := db.Prepare(text)
	if err != nil {
		b.Fatalf("%s: %v", text, err)
	}
	b.Cleanup(func() { _ = s.Close() })
	return s
}

// begins asks for what begins with the words typed: for the range of the first, and a pattern with what stands for
// anything behind each.
func begins(s *sql.Stmt, anything string) reader {
	return func(typed string) ([]string, error) {
		first, _, _ := strings.Cut(typed, " ")
		return names(s, first, first+"\U0010FFFF", strings.ReplaceAll(typed, " ", anything+" ")+anything)
	}
}

// names are the answer of a database; what it says of a name beside the name itself is not asked for.
func names(s *sql.Stmt, arguments ...any) (list []string, err error) {
	rows, err := s.Query(arguments...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var name string
		if err := rows.Scan(&name); err != nil {
			return nil, err
		}
		list = append(list, name)
	}
	return list, rows.Err()
}
