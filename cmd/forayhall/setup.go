package main

import (
	"context"
	"errors"

	"forayhall/internal/access"
	"forayhall/internal/hall/setup"
)

func runSocietyAdd(ctx context.Context, e *env, args []string) error {
	f := e.flags("society add")
	p := f.place()
	words, err := f.parse(args, 2, 2)
	if err != nil {
		return err
	}
	in, err := p.openOrMake(ctx, e) // the first society is where an installation begins
	if err != nil {
		return err
	}
	id, err := setup.AddSociety(ctx, in.Hall, words[0], words[1])
	if err == nil {
		err = e.printID(id)
	}
	return errors.Join(err, in.close())
}

func runEventAdd(ctx context.Context, e *env, args []string) error {
	f := e.flags("event add")
	p, society, code := f.place(), f.text("society", ""), f.text("code", "")
	name, where := f.text("name", ""), f.text("place", "")
	from, to := f.text("from", ""), f.text("to", "")
	zone, region := f.text("zone", ""), f.text("region", setup.Regions[0])
	if _, err := f.parse(args, 0, 0); err != nil {
		return err
	}
	if err := f.need("code", "name", "from", "zone"); err != nil {
		return err
	}
	return p.with(ctx, e, func(in *installation) error {
		owner, err := in.society(ctx, *society)
		if err != nil {
			return err
		}
		actor, err := in.Desk.Installation(ctx, owner.ID)
		if err != nil {
			return err
		}
		cmd, err := in.command()
		if err != nil {
			return err
		}
		made, err := setup.AddEvent(ctx, in.Hall, actor, access.Scope{Society: owner.ID}, cmd, setup.Event{Code: *code, Name: *name,
			Place: *where, StartsOn: *from, EndsOn: *to, TimeZone: *zone, Region: *region})
		if err != nil {
			return err
		}
		return e.printID(made.ID)
	})
}
