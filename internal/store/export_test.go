package store

import "context"

// Exec runs a statement that no method of the store would run, to see the database refuse it.
func (s *Store) Exec(ctx context.Context, statement string) error {
	return s.Write(ctx, func(t *Tx) error { return t.db.Exec(statement).Error })
}
