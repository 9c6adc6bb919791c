package foray

import (
	"database/sql/driver"
	"fmt"
	"io"
	"time"

	"github.com/google/uuid"
)

// ID is the key of a row: a UUID of version 7, made by whoever creates the row, also on a device that is offline.
type ID uuid.UUID

// NewID makes an ID whose order follows at (milliseconds) and whose rest comes from random (RFC 9562, 5.7).
func NewID(at time.Time, random io.Reader) (ID, error) {
	var id ID
	if _, err := io.ReadFull(random, id[6:]); err != nil {
		return ID{}, fmt.Errorf("make an id: %w", err)
	}
	ms := at.UnixMilli()
	for i := range 6 {
		id[i] = byte(ms >> (40 - 8*i))
	}
	id[6] = id[6]&0x0f | 0x70
	id[8] = id[8]&0x3f | 0x80
	return id, nil
}

// ParseID reads an ID in its usual form or as urn:uuid:.
func ParseID(s string) (ID, error) {
	u, err := uuid.Parse(s)
	if err != nil {
		return ID{}, fmt.Errorf("%q is not an id", s)
	}
	return ID(u), nil
}

// String gives the usual form in lower case; an empty ID gives "".
func (id ID) String() string {
	if id.IsZero() {
		return ""
	}
	return uuid.UUID(id).String()
}

// URN gives the form in which ids leave the house.
func (id ID) URN() string { return "urn:uuid:" + id.String() }

// IsZero reports whether there is no ID.
func (id ID) IsZero() bool { return id == ID{} }

// Value stores an ID as text, which a uuid column takes too; an empty one as NULL.
func (id ID) Value() (driver.Value, error) {
	if id.IsZero() {
		return nil, nil
	}
	return id.String(), nil
}

// Scan reads an ID from a database.
func (id *ID) Scan(src any) error {
	switch v := src.(type) {
	case nil:
		*id = ID{}
		return nil
	case string:
		parsed, err := ParseID(v)
		*id = parsed
		return err
	case []byte:
		return id.Scan(string(v))
	case [16]byte:
		*id = v
		return nil
	}
	return fmt.Errorf("cannot read an id from %T", src)
}

// MarshalText is the usual form.
func (id ID) MarshalText() ([]byte, error) { return []byte(id.String()), nil }

// UnmarshalText reads the usual form; empty text gives an empty ID.
func (id *ID) UnmarshalText(b []byte) error {
	if len(b) == 0 {
		*id = ID{}
		return nil
	}
	parsed, err := ParseID(string(b))
	*id = parsed
	return err
}
