package store

import (
	"context"
	"errors"
	"fmt"
)

// CopyTo writes a whole and tidy copy of an embedded database to a new file, also while others write.
func (s *Store) CopyTo(ctx context.Context, path string) error {
	if s.dialect != SQLite {
		return errors.New("copy the database: only an embedded database is one file")
	}
	// Safety: the path is a bound parameter.
	if _, err := s.pool.ExecContext(ctx, "VACUUM INTO ?", path); err != nil {
		return fmt.Errorf("copy the database to %s: %w", path, err)
	}
	return nil
}
