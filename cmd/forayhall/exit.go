package main

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"

	"forayhall/internal/fault"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// exit says what went wrong and chooses the exit code: nothing else does.
func (e *env) exit(err error) int {
	if err == nil || errors.Is(err, errHelp) {
		return exitDone
	}
	f := fault.From(err)
	switch {
	case errors.Is(err, context.Canceled):
		e.note(message.T("cli.stopped"))
	case errors.Is(err, store.ErrSchema), f.Kind == fault.Internal:
		// Whoever types a command may read the cause, which a browser never gets.
		e.note(message.T("cli.failed", "cause", err.Error()))
	case len(f.Fields) > 0:
		for _, field := range slices.Sorted(maps.Keys(f.Fields)) {
			e.note(message.T("cli.field", "field", field, "problem", f.Fields[field]))
		}
	default:
		e.note(f.Text)
	}
	if f.Kind == fault.Unavailable && f.Cause != nil {
		e.note(message.T("cli.failed", "cause", f.Cause.Error()))
	}
	if f.Kind == fault.Invalid || f.Kind == fault.Mismatch {
		return exitWrong
	}
	return exitFailed
}

// note writes one message to standard error.
func (e *env) note(t message.Text) { fmt.Fprintln(e.stderr, e.say.Text(t)) }

func (e *env) notes(texts []message.Text) {
	for _, t := range texts {
		e.note(t)
	}
}
