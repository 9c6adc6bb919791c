package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"github.com/jackc/pgx/v5/pgconn"
	"gorm.io/gorm"
	"gorm.io/gorm/clause"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/message"
)

// Tx is one transaction. What it reads is one snapshot; what it writes is all kept or none of it.
type Tx struct {
	db      *gorm.DB
	dialect Dialect
}

// ErrAgain is returned by a write that met a concurrent one at a key: the transaction is run again and then sees it.
var ErrAgain = errors.New("met a concurrent write; run the transaction again")

// attempts is how often a transaction is run again before the caller is told to try later.
const attempts = 8

// Write runs fn in a transaction and commits it. fn may be run more than once and must change nothing but the
// database and what it returns.
func (s *Store) Write(ctx context.Context, fn func(*Tx) error) error {
	var err error
	for range attempts {
		err = s.writeOnce(ctx, fn)
		if !again(err) {
			s.writes.Add(1)
			return err
		}
	}
	return &fault.Error{Kind: fault.Unavailable, Text: fault.New(fault.Unavailable, "fault.unavailable").Text, Cause: err}
}

// Writes counts the writes of this process: what was read since the count is as it was then, as far as this process goes.
func (s *Store) Writes() uint64 { return s.writes.Load() }

func (s *Store) writeOnce(ctx context.Context, fn func(*Tx) error) error {
	if around, ok := ctx.Value(together{s}).(*Tx); ok {
		return around.within(fn)
	}
	if s.queue != nil {
		return s.queue.do(ctx, func(db *gorm.DB) error { return fn(&Tx{db: db, dialect: SQLite}) })
	}
	select {
	case s.slots <- struct{}{}:
		defer func() { <-s.slots }()
	case <-ctx.Done():
		return ctx.Err()
	}
	return s.gorm.WithContext(ctx).Transaction(func(db *gorm.DB) error {
		return fn(&Tx{db: db, dialect: Postgres})
	})
}

// together marks a context whose reads and writes share one transaction of a store.
type together struct{ store *Store }

// Together runs fn so that every write and read it makes with its context is part of one transaction: all of it is
// kept or none. It holds up every other writer of an embedded database, so that it is for filling and importing.
func (s *Store) Together(ctx context.Context, fn func(ctx context.Context) error) error {
	return s.Write(ctx, func(tx *Tx) error { return fn(context.WithValue(ctx, together{s}, tx)) })
}

// within runs a write inside a larger one, taking back what it did when it fails.
func (t *Tx) within(fn func(*Tx) error) error {
	if err := t.db.Exec("SAVEPOINT part").Error; err != nil {
		return fmt.Errorf("set a savepoint: %w", err)
	}
	failed := fn(t)
	if failed != nil {
		if err := t.db.Exec("ROLLBACK TO SAVEPOINT part").Error; err != nil {
			return fmt.Errorf("take a part back: %w", errors.Join(err, failed))
		}
	}
	if err := t.db.Exec("RELEASE SAVEPOINT part").Error; err != nil {
		return fmt.Errorf("release a savepoint: %w", errors.Join(err, failed))
	}
	return failed
}

// again recognises what running the transaction once more may mend: ErrAgain, and Postgres' serialization failure
// (40001) and deadlock (40P01).
func again(err error) bool {
	var pg *pgconn.PgError
	if errors.As(err, &pg) && (pg.Code == "40001" || pg.Code == "40P01") {
		return true
	}
	return errors.Is(err, ErrAgain)
}

// Read runs fn on one snapshot.
func (s *Store) Read(ctx context.Context, fn func(*Tx) error) error {
	if around, ok := ctx.Value(together{s}).(*Tx); ok {
		return fn(around)
	}
	if s.dialect == SQLite {
		return s.readSQLite(ctx, fn)
	}
	opts := &sql.TxOptions{ReadOnly: true, Isolation: sql.LevelRepeatableRead}
	return s.gorm.WithContext(ctx).Transaction(func(db *gorm.DB) error {
		return fn(&Tx{db: db, dialect: Postgres})
	}, opts)
}

// readSQLite takes a reader for one snapshot. A reader whose transaction does not end well is not used again.
func (s *Store) readSQLite(ctx context.Context, fn func(*Tx) error) (err error) {
	var c *connection
	select {
	case c = <-s.readers:
	case <-s.closing:
		return &fault.Error{Kind: fault.Unavailable, Text: message.T("fault.unavailable"), Cause: errors.New("the store is closed")}
	case <-ctx.Done():
		return ctx.Err()
	}
	defer func() { s.readers <- c }()
	if c == nil {
		if c, err = connect(ctx, s.reading); err != nil {
			return fmt.Errorf("open a reader: %w", err)
		}
	}
	if err := c.db.WithContext(ctx).Exec("BEGIN").Error; err != nil {
		_ = c.close()
		c = nil
		return fmt.Errorf("begin to read: %w", err)
	}
	defer func() {
		if c.db.Exec("ROLLBACK").Error != nil { // nothing was written
			_ = c.close()
			c = nil
		}
	}()
	return fn(&Tx{db: c.db.WithContext(ctx), dialect: SQLite})
}

// locked makes a query take its rows for writing where the database has row locks.
func (t *Tx) locked() *gorm.DB { return t.db.Clauses(clause.Locking{Strength: "UPDATE"}) }

// one takes the only row of a query; no row is fault.NotFound.
func one[T any](q *gorm.DB) (T, error) {
	var row T
	err := q.Take(&row).Error
	if errors.Is(err, gorm.ErrRecordNotFound) {
		return row, fault.Missing()
	}
	if err != nil {
		return row, fmt.Errorf("read one %T: %w", row, err)
	}
	return row, nil
}

// many takes all rows of a query.
func many[T any](q *gorm.DB) ([]T, error) {
	var rows []T
	if err := q.Find(&rows).Error; err != nil {
		return nil, fmt.Errorf("read %T: %w", rows, err)
	}
	return rows, nil
}

// add inserts rows; a key that is taken means ErrAgain: the caller looked before, so somebody else was just faster.
func add[T any](t *Tx, rows ...T) error {
	if len(rows) == 0 {
		return nil
	}
	err := t.db.CreateInBatches(rows, 200).Error
	if errors.Is(err, gorm.ErrDuplicatedKey) {
		return fmt.Errorf("add %T: %w", rows[0], ErrAgain)
	}
	if err != nil {
		return fmt.Errorf("add %T: %w", rows[0], err)
	}
	return nil
}

// changed runs an update and demands that it met exactly one row.
func changed(q *gorm.DB, what string) error {
	if q.Error != nil {
		return fmt.Errorf("%s: %w", what, q.Error)
	}
	if q.RowsAffected != 1 {
		return fmt.Errorf("%s: met %d rows: %w", what, q.RowsAffected, ErrAgain)
	}
	return nil
}

// AppendOnly lists the tables whose rows the database's triggers keep from being changed or removed.
var AppendOnly = []string{"slip", "slip_name", "character_note", "naming_history", "placement", "publication", "audit",
	"change", "poison_contact", "head_mark", "head_count", "number_fate", "collection_link", "field_record", "field_word",
	"field_tally", "incident_note", "sweep", "private_read", "closing", "own_entry", "correction", "correction_act", "earlier_record",
	"dryer_reading", "voucher_word", "voucher_code", "rain"}

// ofEvent is the rows of one event.
func (t *Tx) ofEvent(society, event foray.ID) *gorm.DB {
	return t.db.Where("society_id = ? AND event_id = ?", society, event)
}
