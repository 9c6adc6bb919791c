package main

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"forayhall/internal/archive"
	"forayhall/internal/knowledge"
	"forayhall/internal/taxon"
	"forayhall/seed"
)

func runNamesMatch(ctx context.Context, e *env, args []string) error {
	f := e.flags("names match")
	lists, json := f.several("checklist"), f.yes("json")
	words, err := f.parse(args, 0, 1)
	if err != nil {
		return err
	}
	names, err := e.names(ctx, *lists)
	if err != nil {
		return err
	}
	t, err := e.input(words)
	if err != nil {
		return err
	}
	e.notes(t.Notes())
	return matchPass(ctx, names).Run(e.stdout, t, form(*json))
}

// names is the built-in list of names, or what the files hold instead.
func (e *env) names(ctx context.Context, files []string) (*taxon.Index, error) {
	if len(files) == 0 {
		return knowledge.ReadNames(seed.Files)
	}
	return e.readChecklists(ctx, files)
}

func matchPass(ctx context.Context, names *taxon.Index) archive.Pass {
	return archive.Pass{
		Required: []string{"name"},
		Output: []string{"name", "matched", "author", "rank", "qualifier", "how", "score", "accepted", "accepted_author",
			"family", "order", "class", "kingdom", "candidates"},
		Numbers: []string{"score"},
		Row: func(in archive.Input) ([][]string, error) {
			return [][]string{matchRow(in.Get("name"), names.Match(in.Get("name")))}, ctx.Err()
		},
	}
}

func matchRow(name string, m taxon.Match) []string {
	row := []string{name, "", "", "", string(m.Written.Qualifier), string(m.How), score(m.Score)}
	if m.Found == nil {
		return append(row, "", "", "", "", "", "", candidates(m))
	}
	row[1], row[2], row[3] = m.Found.Name, m.Found.Author, string(m.Found.Rank)
	current := m.Found.Current()
	return append(row, current.Name, current.Author, current.Family, current.Order, current.Class, current.Kingdom, candidates(m))
}

// candidates is what could be meant, where it is several; never the nearest thing to a name that is not there.
func candidates(m taxon.Match) string {
	if m.How != taxon.Several {
		return ""
	}
	parts := make([]string, len(m.Candidates))
	for i, c := range m.Candidates {
		parts[i] = fmt.Sprintf("%s|%s", c.Name.Name, score(c.Score))
	}
	return strings.Join(parts, "; ")
}

func score(s float64) string { return strconv.FormatFloat(s, 'f', 3, 64) }
