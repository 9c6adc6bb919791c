package hall

import (
	"context"
	"fmt"
	"io"
	"slices"
	"sync"
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/knowledge"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// Checklists holds the indexes of the installed lists of names, each opened once, and the knowledge of the societies that
// follow them. The zero value is ready; all halls on one store may share it.
type Checklists struct {
	mu        sync.Mutex
	opened    map[foray.ID]*taxon.Index
	known     map[foray.ID]*knowledge.Snapshot // by the list that is followed; the zero id: the names that ship
	installed []foray.ID
	looked    time.Time
	own       map[foray.ID]ownKnown // by society
}

// rest is how long the installed lists are taken for the same without looking: what another process imports is met
// within this time. What a society follows is looked up each time.
const rest = 20 * time.Second

// For gives the hall as a society knows it: with the names as the list that it follows has them, and with its own entries
// of what harms, which are counted each time: an entry holds with the next request, whichever instance wrote it. It is the
// hall itself where no list was ever imported and nothing was ever written.
func (h *Hall) For(ctx context.Context, society foray.ID) (*Hall, error) {
	if h.Checklists == nil || society.IsZero() {
		return h, nil
	}
	var followed foray.ID
	var rows []store.Checklist
	entries := 0
	look := h.Checklists.mustLook()
	err := h.Store.Read(ctx, func(tx *store.Tx) (err error) {
		if followed, err = tx.FollowedBy(society); err != nil {
			return err
		}
		if entries, err = tx.CountOwnEntries(society); err != nil {
			return err
		}
		if look = look || !h.Checklists.has(followed); look {
			rows, err = tx.Checklists()
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	if look {
		h.Checklists.install(ctx, h, rows)
	}
	k, err := h.Checklists.knowledge(h, followed)
	if err == nil {
		k, err = h.Checklists.withOwn(ctx, h, society, k, entries)
	}
	if err != nil || k == h.Knowledge {
		return h, err
	}
	own := *h
	own.Knowledge = k
	return &own, nil
}

// mustLook reports whether the installed lists have not been looked at for a while.
func (c *Checklists) mustLook() bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.known == nil || time.Since(c.looked) > rest
}

func (c *Checklists) has(followed foray.ID) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.known[followed] != nil || followed.IsZero() && len(c.installed) == 0
}

// knowledge gives what follows from a list and from those that are installed.
func (c *Checklists) knowledge(h *Hall, followed foray.ID) (*knowledge.Snapshot, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if followed.IsZero() && len(c.installed) == 0 {
		return h.Knowledge, nil
	}
	if c.known[followed] == nil {
		var lists []*taxon.Index
		for _, id := range c.installed {
			if ix := c.opened[id]; ix != nil {
				lists = append(lists, ix)
			}
		}
		k, err := h.Knowledge.With(c.opened[followed], lists...)
		if err != nil {
			return nil, err
		}
		c.known[followed] = k
	}
	return c.known[followed], nil
}

// install opens what is new among the installed lists; where there is anything new, all that follows is worked out anew.
// A list that cannot be opened is logged and done without: the hall works on, with the names that ship.
func (c *Checklists) install(ctx context.Context, h *Hall, rows []store.Checklist) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.opened == nil {
		c.opened = map[foray.ID]*taxon.Index{}
	}
	ids := make([]foray.ID, len(rows))
	for i, row := range rows {
		ids[i] = row.ID
		if c.opened[row.ID] != nil {
			continue
		}
		ix, err := openIndex(ctx, h, row)
		if err != nil {
			h.Log.ErrorContext(ctx, "a list of names cannot be opened", "title", row.Title, "error", err)
			continue
		}
		c.opened[row.ID], c.installed = ix, nil
	}
	if c.known == nil || !slices.Equal(ids, c.installed) {
		c.known, c.installed = map[foray.ID]*knowledge.Snapshot{}, ids
	}
	c.looked = time.Now()
}

func openIndex(ctx context.Context, h *Hall, row store.Checklist) (*taxon.Index, error) {
	file, err := h.ReadBlob(ctx, row.IndexSha256)
	if err != nil {
		return nil, fmt.Errorf("open the list of names %s: %w", row.Title, err)
	}
	ix, err := taxon.Open(file)
	if err != nil {
		return nil, fmt.Errorf("open the list of names %s, which must be imported anew: %w", row.Title, err)
	}
	return ix, nil
}

// ReadBlob reads a blob whole.
func (h *Hall) ReadBlob(ctx context.Context, sha string) ([]byte, error) {
	if h.Blobs == nil {
		return nil, fmt.Errorf("read blob %s: nothing keeps blobs here", sha)
	}
	r, size, err := h.Blobs.Get(ctx, sha)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	data := make([]byte, size)
	if _, err := io.ReadFull(r, data); err != nil {
		return nil, fmt.Errorf("read blob %s: %w", sha, err)
	}
	return data, nil
}
