package photographs

import (
	"context"
	"fmt"
	"time"

	"forayhall/internal/hall"
	"forayhall/internal/media"
	"forayhall/internal/store"
)

// Unnamed is how long a blob may lie without a row before it is cleared out. A blob comes before its row, so this is
// far longer than any command, restore or import takes.
const Unnamed = 24 * time.Hour

// clearing is how many blobs one query asks for.
const clearing = 200

// ClearBlobs takes away blobs that were put before a time, by the clock of where they are kept, and that no
// photograph of any society names: what a refused command, a broken import or an erased event left behind.
func ClearBlobs(ctx context.Context, h *hall.Hall, before time.Time) (cleared int, err error) {
	if h.Blobs == nil {
		return 0, nil
	}
	var old []string
	some := func() error {
		n, err := clearSome(ctx, h, old)
		cleared, old = cleared+n, old[:0]
		return err
	}
	err = h.Blobs.Walk(ctx, func(b media.Blob) error {
		if !b.PutAt.Before(before) {
			return nil
		}
		if old = append(old, b.SHA256); len(old) < clearing {
			return nil
		}
		return some()
	})
	if err == nil {
		err = some()
	}
	if err != nil {
		err = fmt.Errorf("clear out blobs: %w", err)
	}
	return cleared, err
}

func clearSome(ctx context.Context, h *hall.Hall, shas []string) (cleared int, err error) {
	if len(shas) == 0 {
		return 0, nil
	}
	var named map[string]bool
	if err := h.Store.Read(ctx, func(tx *store.Tx) (err error) { named, err = tx.BlobsNamed(shas); return err }); err != nil {
		return 0, err
	}
	for _, sha := range shas {
		if named[sha] {
			continue
		}
		if err := h.Blobs.Delete(ctx, sha); err != nil {
			return cleared, err
		}
		cleared++
	}
	return cleared, nil
}
