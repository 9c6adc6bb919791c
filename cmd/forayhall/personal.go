package main

import (
	"context"
	"log/slog"
	"time"

	"forayhall/internal/hall/keeping"
	"forayhall/internal/message"
)

// How often a server looks whether the date has come on which personal data goes; after a long sleep it looks once,
// waits, and looks again.
const (
	tidyEvery = 24 * time.Hour
	tidyHeld  = 61 * time.Minute
)

// tendPersonal deletes personal data on its date: at once and then daily, until the context ends. Several instances
// may do so: they take turns, and what is gone is gone.
func tendPersonal(ctx context.Context, in *installation, log *slog.Logger) {
	for {
		wait := tidyEvery
		done, err := keeping.Tend(ctx, in.Hall)
		switch {
		case err != nil && ctx.Err() == nil:
			log.Error("personal data could not be deleted on its date", "error", err)
		case done.Held:
			wait = tidyHeld
			log.Warn("nobody looked for a month whether personal data is due: it is deleted in an hour if the clock is right", "now", in.Now())
		case done.Rows() > 0:
			log.Info("personal data was deleted on its date", "events", len(done.Events), "rows", done.Rows())
		}
		select {
		case <-time.After(wait):
		case <-ctx.Done():
			return
		}
	}
}

// runPersonal deletes now what is due, beside a server or without one.
func runPersonal(ctx context.Context, e *env, args []string) error {
	f := e.flags("personal")
	p := f.place()
	if _, err := f.parse(args, 0, 0); err != nil {
		return err
	}
	return p.with(ctx, e, func(in *installation) error {
		done, err := keeping.DeleteDue(ctx, in.Hall)
		if err == nil && done.Rows() == 0 {
			e.note(message.T("cli.personal.nothing"))
		}
		e.tellDeleted(done)
		return err
	})
}

// tellDeleted says what was deleted.
func (e *env) tellDeleted(done keeping.Deleted) {
	for _, one := range done.Events {
		e.note(message.T("cli.personal.event", "event", one.Code, "n", one.Rows))
	}
	if done.Contacts > 0 {
		e.note(message.T("cli.personal.contacts", "n", done.Contacts))
	}
	if done.Traces > 0 {
		e.note(message.T("cli.personal.traces", "n", done.Traces))
	}
}
