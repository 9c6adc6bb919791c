package main

import (
	"context"

	"forayhall/internal/archive"
	"forayhall/internal/taxon"
)

func runNamesReview(ctx context.Context, e *env, args []string) error {
	f := e.flags("names review")
	lists, json := f.several("checklist"), f.yes("json")
	words, err := f.parse(args, 0, 1)
	if err != nil {
		return err
	}
	names, err := e.namesAnd(ctx, *lists)
	if err != nil {
		return err
	}
	t, err := e.input(words)
	if err != nil {
		return err
	}
	e.notes(t.Notes())
	return reviewPass(ctx, names).Run(e.stdout, t, form(*json))
}

// namesAnd is the built-in list of names together with what the files hold: what is current is for the files to say.
func (e *env) namesAnd(ctx context.Context, files []string) (taxon.Names, error) {
	built, err := e.names(ctx, nil)
	if err != nil || len(files) == 0 {
		return built, err
	}
	added, err := e.readChecklists(ctx, files)
	if err != nil {
		return nil, err
	}
	return taxon.NewLists(added, built), nil
}

func reviewPass(ctx context.Context, names taxon.Names) archive.Pass {
	return archive.Pass{
		Required: []string{"common_name", "scientific_name"},
		Output:   []string{"common_name", "scientific_name", "borrows", "part", "genus", "relation"},
		Row: func(in archive.Input) ([][]string, error) {
			common, scientific := in.Get("common_name"), in.Get("scientific_name")
			b := taxon.Borrows(names, common, scientific)
			borrows := "no"
			if b.Relation != taxon.BorrowsNothing {
				borrows = "yes"
			}
			return [][]string{{common, scientific, borrows, b.Part, b.Taxon, string(b.Relation)}}, ctx.Err()
		},
	}
}
