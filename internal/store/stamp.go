package store

import (
	"database/sql/driver"
	"fmt"
	"time"
)

// stampForm is of fixed width, so that text order is time order.
const stampForm = "2006-01-02T15:04:05.000000Z"

// Stamp is a moment in UTC cut to microseconds, the finest that both databases keep; the zero Stamp is NULL.
type Stamp struct{ time.Time }

// At makes a Stamp.
func At(t time.Time) Stamp {
	if t.IsZero() {
		return Stamp{}
	}
	return Stamp{t.UTC().Truncate(time.Microsecond)}
}

// Value is text, which timestamptz takes too.
func (s Stamp) Value() (driver.Value, error) {
	if s.IsZero() {
		return nil, nil
	}
	return s.UTC().Format(stampForm), nil
}

// Scan reads both databases' forms.
func (s *Stamp) Scan(src any) error {
	switch v := src.(type) {
	case nil:
		*s = Stamp{}
	case time.Time:
		*s = At(v)
	case string:
		t, err := time.Parse(stampForm, v)
		if err != nil {
			return fmt.Errorf("read a time: %w", err)
		}
		*s = At(t)
	case []byte:
		return s.Scan(string(v))
	default:
		return fmt.Errorf("cannot read a time from %T", src)
	}
	return nil
}
