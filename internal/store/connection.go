package store

import (
	"context"
	"database/sql"
	"fmt"

	"github.com/libtnb/sqlite"
	"gorm.io/gorm"
)

// connection is one connection of an embedded database that keeps its prepared statements. A pool's statements that
// were prepared inside a transaction cannot be used in the next one, so that every query would be compiled anew.
// One goroutine at a time uses it.
type connection struct {
	conn  *sql.Conn
	stmts map[string]*sql.Stmt
	db    *gorm.DB
}

// statementsMost bounds the statements that a connection keeps; statements of many rows have many forms.
const statementsMost = 400

func connect(ctx context.Context, pool *sql.DB) (*connection, error) {
	conn, err := pool.Conn(ctx)
	if err != nil {
		return nil, err
	}
	c := &connection{conn: conn, stmts: map[string]*sql.Stmt{}}
	if c.db, err = gorm.Open(sqlite.New(sqlite.Config{Conn: c}), gormConfig()); err != nil {
		return nil, fmt.Errorf("open a connection: %w", err)
	}
	return c, nil
}

func (c *connection) close() error {
	c.forget()
	return c.conn.Close()
}

func (c *connection) forget() {
	for query, stmt := range c.stmts {
		_ = stmt.Close()
		delete(c.stmts, query)
	}
}

// PrepareContext gives the kept statement of a query. With the three methods below it makes this a gorm.ConnPool.
func (c *connection) PrepareContext(ctx context.Context, query string) (*sql.Stmt, error) {
	if stmt, ok := c.stmts[query]; ok {
		return stmt, nil
	}
	if len(c.stmts) >= statementsMost {
		c.forget()
	}
	stmt, err := c.conn.PrepareContext(ctx, query)
	if err == nil {
		c.stmts[query] = stmt
	}
	return stmt, err
}

// ExecContext runs a statement.
func (c *connection) ExecContext(ctx context.Context, query string, args ...any) (sql.Result, error) {
	stmt, err := c.PrepareContext(ctx, query)
	if err != nil {
		return nil, err
	}
	return stmt.ExecContext(ctx, args...)
}

// QueryContext runs a query.
func (c *connection) QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error) {
	stmt, err := c.PrepareContext(ctx, query)
	if err != nil {
		return nil, err
	}
	return stmt.QueryContext(ctx, args...)
}

// QueryRowContext runs a query of one row.
func (c *connection) QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row {
	stmt, err := c.PrepareContext(ctx, query)
	if err != nil {
		return c.conn.QueryRowContext(ctx, query, args...) // carries the error
	}
	return stmt.QueryRowContext(ctx, args...)
}
