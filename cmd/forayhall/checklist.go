package main

import (
	"context"
	"os"

	"forayhall/internal/archive"
	"forayhall/internal/message"
	"forayhall/internal/taxon"
)

// checklists gathers names from lists. Of two lists with one name the first decides; homonyms in one list all stand.
type checklists struct {
	names *taxon.Builder
	from  map[string]int // by key, the list that a name is from
	list  int
	read  int
	left  int // rows that could not be used
	first any // what was wrong with the first of them
}

func (c *checklists) Name(r taxon.Row) error {
	key := taxon.Key(r.Name)
	if from, there := c.from[key]; there && from != c.list {
		return nil
	}
	if err := c.names.Add(r); err != nil {
		c.leave(1, err)
		return nil
	}
	c.from[key] = c.list
	c.read++
	return nil
}

func (c *checklists) Common(r taxon.CommonRow) error {
	if err := c.names.AddCommon(r); err != nil {
		c.leave(1, err)
	}
	return nil
}

func (c *checklists) leave(n int, why any) {
	if c.left == 0 {
		c.first = why
	}
	c.left += n
}

func (e *env) readChecklists(ctx context.Context, files []string) (*taxon.Index, error) {
	c := &checklists{names: taxon.NewBuilder(), from: map[string]int{}}
	for i, name := range files {
		c.list = i
		if err := e.readChecklist(ctx, name, c); err != nil {
			return nil, err
		}
	}
	names, wrong := c.names.Finish()
	for _, w := range wrong {
		c.leave(1, w)
	}
	if c.left > 0 {
		e.note(message.T("cli.checklist-left", "n", c.left, "first", c.first))
	}
	e.note(message.T("cli.checklist-read", "n", c.read))
	return names, nil
}

// readChecklist reads one file or folder, and says what was said of it.
func (e *env) readChecklist(ctx context.Context, name string, c *checklists) error {
	src, done, err := openChecklist(name)
	if err != nil {
		return err
	}
	defer done()
	report, err := archive.ReadChecklist(ctx, src, c, nil)
	if err != nil {
		return err
	}
	e.notes(report.Notes)
	for _, r := range report.Reasons {
		first := message.T("cli.checklist-row", "file", r.First.File, "line", r.First.Line, "name", r.First.Name, "why", r.First.Why)
		c.leave(r.N, first)
		if len(report.Reasons) > 1 {
			e.note(message.T("cli.checklist-reason", "n", r.N, "first", first))
		}
	}
	return nil
}

// openChecklist opens a file, or a folder that no link leads out of.
func openChecklist(name string) (src archive.ChecklistSource, done func() error, err error) {
	info, err := os.Stat(name)
	if err != nil {
		return src, nil, unreadable(name, err)
	}
	if info.IsDir() {
		root, err := os.OpenRoot(name)
		if err != nil {
			return src, nil, unreadable(name, err)
		}
		return archive.ChecklistFolder(name, root.FS()), root.Close, nil
	}
	f, err := os.Open(name)
	if err != nil {
		return src, nil, unreadable(name, err)
	}
	return archive.ChecklistFile(name, f, info.Size()), f.Close, nil
}
