// Package checklist takes in lists of names of others' making and lets a society choose which it follows. A list decides
// what a name is called today and how it is classified; it never alters a name as determined, and hides no warning.
package checklist

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"

	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// Imported is a list that was taken in, and what was not.
type Imported struct {
	store.Checklist
	Already bool // it was there: nothing was added
	Report  archive.ChecklistReport
	Twice   []*taxon.RowError // what the reader took and the index did not, the first thousand
}

// mostTold is how many rows are told one by one.
const mostTold = 1000

// Import reads a list, compiles it into an index file and adds it to the installation: all of it or nothing. Rows that
// cannot be used are left out and told. Importing the same again adds nothing. progress hears bytes and may be nil.
func Import(ctx context.Context, h *hall.Hall, src archive.ChecklistSource, file string, progress func(done, total int64)) (Imported, error) {
	if h.Blobs == nil {
		return Imported{}, fault.New(fault.Refused, "checklist.no-blobs")
	}
	c := &compiler{names: taxon.NewBuilder()}
	report, err := archive.ReadChecklist(ctx, src, c, progress)
	if err != nil {
		return Imported{}, err
	}
	ix, left := c.names.Finish()
	for _, l := range left {
		c.leave(l)
	}
	if ix.Len() == 0 {
		return Imported{}, fault.New(fault.Invalid, "checklist.no-name-taken", "file", file)
	}
	if err := ctx.Err(); err != nil { // stopped while it was compiled
		return Imported{}, err
	}
	in := Imported{Report: report, Twice: c.told, Checklist: store.Checklist{Title: cmp.Or(report.Title, file), Edition: cmp.Or(report.Version, report.Issued), File: file,
		Revision: ix.Revision(), Former: former(ix), Refused: report.RefusedRows() + c.left, ImportedAt: store.At(h.Now())}}
	in.Accepted = ix.Len() - in.Former
	var index bytes.Buffer
	if err := ix.Write(&index); err != nil {
		return Imported{}, fmt.Errorf("write the index of %s: %w", file, err)
	}
	sum := sha256.Sum256(index.Bytes())
	in.IndexSha256 = hex.EncodeToString(sum[:])
	// The blob is there before the row that names it; one that no row names is cleared out after a while.
	if err := h.Blobs.Put(ctx, in.IndexSha256, index.Bytes()); err != nil {
		return Imported{}, fmt.Errorf("keep the index of %s: %w", file, err)
	}
	return add(ctx, h, in)
}

// add stores the row, unless the same list is there.
func add(ctx context.Context, h *hall.Hall, in Imported) (Imported, error) {
	err := h.Store.Write(ctx, func(tx *store.Tx) error {
		all, err := tx.Checklists()
		if err != nil {
			return err
		}
		same := func(c store.Checklist) bool {
			return c.IndexSha256 == in.IndexSha256 && c.Title == in.Title && c.Edition == in.Edition
		}
		if i := slices.IndexFunc(all, same); i >= 0 {
			in.Checklist, in.Already = all[i], true
			return nil
		}
		if in.ID, err = h.NewID(); err != nil {
			return err
		}
		return tx.AddChecklist(in.Checklist)
	})
	return in, err
}

func former(ix *taxon.Index) int {
	n := 0
	for name := range ix.All() {
		if name.Accepted != nil {
			n++
		}
	}
	return n
}

// compiler hands what a list holds to the builder of an index.
type compiler struct {
	names *taxon.Builder
	left  int
	told  []*taxon.RowError
}

func (c *compiler) Name(r taxon.Row) error {
	if err, wrong := c.names.Add(r).(*taxon.RowError); wrong {
		c.leave(err)
	}
	return nil
}

func (c *compiler) Common(r taxon.CommonRow) error {
	if err, wrong := c.names.AddCommon(r).(*taxon.RowError); wrong {
		c.leave(err)
	}
	return nil
}

func (c *compiler) leave(err *taxon.RowError) {
	if c.left++; len(c.told) < mostTold {
		c.told = append(c.told, err)
	}
}
