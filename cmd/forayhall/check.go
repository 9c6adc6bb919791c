package main

import (
	"context"
	"fmt"

	"forayhall/internal/fault"
	"forayhall/internal/hall/keeping"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

func runCheck(ctx context.Context, e *env, args []string) error {
	f := e.flags("check")
	p := f.place()
	if _, err := f.parse(args, 0, 0); err != nil {
		return err
	}
	return p.with(ctx, e, func(in *installation) error {
		checked, err := keeping.Check(ctx, in.Hall)
		if err != nil {
			return err
		}
		for _, b := range checked.Broken {
			if _, err := fmt.Fprintf(e.stdout, "%s: %s\n", b.Rule, e.say.Text(b.Text)); err != nil {
				return err
			}
		}
		if n := len(checked.Broken); n > 0 {
			return fault.New(fault.Refused, "check.broken", "n", n)
		}
		_, err = fmt.Fprintln(e.stdout, e.say.Text(counts(checked)))
		return err
	})
}

func counts(c store.Checked) message.Text {
	return message.T("check.clean", "societies", c.Societies, "events", c.Events, "collections", c.Collections, "slips", c.Slips,
		"changes", c.Changes)
}
