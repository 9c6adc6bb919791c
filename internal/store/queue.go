package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"runtime/debug"
	"sync"

	"gorm.io/gorm"

	"forayhall/internal/fault"
)

// batchMost is how many waiting commands share one transaction: one sync of the disk for all of them.
const batchMost = 32

// queue is the one writer of an embedded database: first come, first served. Each command has a savepoint of its
// own, so that one that fails takes nothing of the others with it, and each is answered after the commit.
type queue struct {
	pool   *sql.DB
	conn   *connection
	jobs   chan *job
	closed chan struct{}
	once   sync.Once
	stop   chan struct{}
}

type job struct {
	ctx  context.Context
	fn   func(*gorm.DB) error
	err  error
	done chan struct{}
}

func newQueue(pool *sql.DB) (*queue, error) {
	conn, err := connect(context.Background(), pool)
	if err != nil {
		return nil, err
	}
	q := &queue{pool: pool, conn: conn, jobs: make(chan *job, batchMost), closed: make(chan struct{}), stop: make(chan struct{})}
	go q.run()
	return q, nil
}

// do waits for fn to be applied and committed.
func (q *queue) do(ctx context.Context, fn func(*gorm.DB) error) error {
	j := &job{ctx: ctx, fn: fn, done: make(chan struct{})}
	select {
	case q.jobs <- j:
	case <-ctx.Done():
		return ctx.Err()
	case <-q.stop:
		return fault.New(fault.Unavailable, "fault.unavailable")
	}
	select {
	case <-j.done:
		return j.err
	case <-q.closed:
		select {
		case <-j.done:
			return j.err
		default:
			return fault.New(fault.Unavailable, "fault.unavailable")
		}
	}
}

func (q *queue) close() {
	q.once.Do(func() { close(q.stop) })
	<-q.closed
}

func (q *queue) run() {
	defer func() {
		if q.conn != nil {
			_ = q.conn.close()
		}
		close(q.closed)
	}()
	for {
		select {
		case j := <-q.jobs:
			q.apply(q.waiting(j))
		case <-q.stop:
			for {
				select {
				case j := <-q.jobs:
					q.apply(q.waiting(j))
				default:
					return
				}
			}
		}
	}
}

func (q *queue) waiting(first *job) []*job {
	batch := []*job{first}
	for len(batch) < batchMost {
		select {
		case j := <-q.jobs:
			batch = append(batch, j)
		default:
			return batch
		}
	}
	return batch
}

func (q *queue) apply(batch []*job) {
	err := q.transaction(batch)
	for _, j := range batch {
		if err != nil && j.err == nil {
			j.err = &fault.Error{Kind: fault.Unavailable, Text: fault.New(fault.Unavailable, "fault.unavailable").Text, Cause: err}
		}
		close(j.done)
	}
}

func (q *queue) transaction(batch []*job) error {
	db, err := q.begin()
	if err != nil {
		return err
	}
	for _, j := range batch {
		if j.err = j.ctx.Err(); j.err != nil {
			continue
		}
		if err := q.one(db, j); err != nil {
			return errors.Join(err, q.giveUp())
		}
	}
	if err := db.Exec("COMMIT").Error; err != nil {
		return errors.Join(fmt.Errorf("commit: %w", err), q.giveUp())
	}
	return nil
}

// begin takes the write lock at once: a read that turns into a write could meet another process in between.
func (q *queue) begin() (*gorm.DB, error) {
	if q.conn == nil {
		conn, err := connect(context.Background(), q.pool)
		if err != nil {
			return nil, fmt.Errorf("open the writer again: %w", err)
		}
		q.conn = conn
	}
	if err := q.conn.db.Exec("BEGIN IMMEDIATE").Error; err != nil {
		return nil, errors.Join(fmt.Errorf("begin: %w", err), q.giveUp())
	}
	return q.conn.db, nil
}

// giveUp rolls back by closing the connection, whatever state it is in; the next batch gets a new one.
func (q *queue) giveUp() error {
	conn := q.conn
	q.conn = nil
	if conn.db.Exec("ROLLBACK").Error == nil {
		q.conn = conn
		return nil
	}
	return conn.close()
}

// one runs a command in its savepoint. The returned error means that the shared transaction is broken.
func (q *queue) one(tx *gorm.DB, j *job) error {
	if err := tx.Exec("SAVEPOINT command").Error; err != nil {
		return fmt.Errorf("set a savepoint: %w", err)
	}
	j.err = guarded(j.fn, tx.WithContext(j.ctx))
	if j.err != nil {
		if err := tx.Exec("ROLLBACK TO SAVEPOINT command").Error; err != nil {
			return fmt.Errorf("take a command back: %w", err)
		}
	}
	if err := tx.Exec("RELEASE SAVEPOINT command").Error; err != nil {
		return fmt.Errorf("release a savepoint: %w", err)
	}
	return nil
}

// guarded turns a panic of a command into its error, so that it cannot end the writer.
func guarded(fn func(*gorm.DB) error, tx *gorm.DB) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("panic in a command: %v\n%s", p, debug.Stack())
		}
	}()
	return fn(tx)
}
