// Package fault is the one error type of the house: it says what kind of failure something is and what to tell
// the reader. One function in each of pages and api turns it into a status; nothing else chooses one.
package fault

import (
	"context"
	"errors"
	"fmt"

	"forayhall/internal/message"
)

// Kind is a closed set.
type Kind int

const (
	// Internal is a failure nobody foresaw: logged with its cause, whose text never reaches a browser.
	Internal Kind = iota
	// NotFound is also what one may not see.
	NotFound
	// NotSignedIn means that nobody is known; signing in may help.
	NotSignedIn
	// NotAllowed means that the actor is known and has no right to this.
	NotAllowed
	// Conflict means that somebody else was first; Other holds what is there now.
	Conflict
	// Invalid means that fields are wrong; Fields says which and why.
	Invalid
	// Refused means that a rule of the hall forbids it now.
	Refused
	// Mismatch means that a command id was used before with another body.
	Mismatch
	// TooMany means that a limit was met; try later.
	TooMany
	// Unavailable means that the database or disk cannot be reached just now.
	Unavailable
)

var kindNames = [...]string{"internal", "not-found", "not-signed-in", "not-allowed", "conflict", "invalid",
	"refused", "mismatch", "too-many", "unavailable"}

func (k Kind) String() string { return kindNames[k] }

// Error is a failure with its kind and what to say.
type Error struct {
	Kind   Kind
	Text   message.Text
	Fields map[string]message.Text // by form field, for Invalid
	Other  any                     // what is there now, for Conflict; marshals to JSON
	Cause  error                   // for the log
}

func (e *Error) Error() string {
	s := e.Kind.String() + ": " + message.For(message.English).Text(e.Text)
	for field, t := range e.Fields {
		s += fmt.Sprintf("; %s: %s", field, message.For(message.English).Text(t))
	}
	if e.Cause != nil {
		s += ": " + e.Cause.Error()
	}
	return s
}

func (e *Error) Unwrap() error { return e.Cause }

// New makes an error of a kind with a text by key.
func New(kind Kind, key string, pairs ...any) *Error {
	return &Error{Kind: kind, Text: message.T(key, pairs...)}
}

// Missing is the answer for what is not there or may not be seen.
func Missing() *Error { return New(NotFound, "fault.not-found") }

// Wrong makes an Invalid error for one field.
func Wrong(field, key string, pairs ...any) *Error {
	return Many(map[string]message.Text{field: message.T(key, pairs...)})
}

// Many makes an Invalid error for several fields.
func Many(fields map[string]message.Text) *Error {
	return &Error{Kind: Invalid, Text: message.T("fault.invalid"), Fields: fields}
}

// From finds the Error in a chain; a wait that ended is Unavailable; anything else is Internal with the chain as its cause.
func From(err error) *Error {
	var e *Error
	if errors.As(err, &e) {
		return e
	}
	if errors.Is(err, context.DeadlineExceeded) || errors.Is(err, context.Canceled) {
		return &Error{Kind: Unavailable, Text: message.T("fault.unavailable"), Cause: err}
	}
	return &Error{Kind: Internal, Text: message.T("fault.internal"), Cause: err}
}

// Is reports whether err is of a kind.
func Is(err error, kind Kind) bool {
	return err != nil && From(err).Kind == kind
}
