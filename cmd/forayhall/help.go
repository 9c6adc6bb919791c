package main

import (
	"context"
	"fmt"
	"io"
	"strings"
)

func runHelp(ctx context.Context, e *env, args []string) error {
	if len(args) == 0 {
		e.help(e.stdout)
		return nil
	}
	c, _, ok := find(args)
	if !ok {
		return unknown(args)
	}
	if c.name == "help" {
		e.help(e.stdout)
		return nil
	}
	return c.run(ctx, e, []string{"--help"})
}

// help lists the commands with a line of description each.
func (e *env) help(w io.Writer) {
	fmt.Fprintln(w, e.say.Say("cli.help"))
	fmt.Fprintln(w)
	for _, c := range commands() {
		fmt.Fprintf(w, "  forayhall %s %s\n      %s\n", c.name, c.usage, e.say.Say(c.about()))
	}
	fmt.Fprintln(w)
	fmt.Fprintln(w, e.say.Say("cli.help-common"))
}

func (c command) about() string { return "cli.about." + strings.ReplaceAll(c.name, " ", "-") }
