package main

import (
	"context"
	"flag"

	"forayhall/internal/access"
	"forayhall/internal/hall/setup"
)

// runSocietyPublisher says under whose name and on which terms a society gives its records out. What is not given stays as
// it is; without any flag it only shows what stands.
func runSocietyPublisher(ctx context.Context, e *env, args []string) error {
	f := e.flags("society publisher")
	p, society := f.place(), f.text("society", "")
	var said setup.Publisher
	fields := map[string]*string{"licence": &said.Licence, "publisher": &said.Name, "contact": &said.Contact, "mail": &said.Mail, "web": &said.Web,
		"about": &said.About, "institution": &said.Institution, "collection": &said.Collection}
	for name := range fields {
		f.text(name, "")
	}
	if _, err := f.parse(args, 0, 0); err != nil {
		return err
	}
	return p.with(ctx, e, func(in *installation) error {
		owner, err := in.society(ctx, *society)
		if err != nil {
			return err
		}
		said = setup.PublisherOf(owner)
		given := false
		f.Visit(func(flag *flag.Flag) {
			if at := fields[flag.Name]; at != nil {
				*at, given = flag.Value.String(), true
			}
		})
		if !given {
			return writeJSON(e.stdout, said)
		}
		actor, err := in.Desk.Installation(ctx, owner.ID)
		if err != nil {
			return err
		}
		cmd, err := in.command()
		if err != nil {
			return err
		}
		made, err := setup.SetPublisher(ctx, in.Hall, actor, access.Scope{Society: owner.ID}, cmd, said)
		if err != nil {
			return err
		}
		return writeJSON(e.stdout, made)
	})
}
