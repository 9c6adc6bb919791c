package hall

import (
	"context"

	"forayhall/internal/foray"
	"forayhall/internal/hazard"
	"forayhall/internal/knowledge"
	"forayhall/internal/store"
	"forayhall/internal/taxon"
)

// OwnEntry is what a society wrote over the knowledge of harm that ships.
type OwnEntry = store.OwnEntry

// ownKnown is the knowledge of a society with its entries over it, and from what it was made.
type ownKnown struct {
	ships   *knowledge.Snapshot
	entries int
	known   *knowledge.Snapshot
}

// mostOwn is for how many societies the joined knowledge is kept; it is made anew for one that was put out.
const mostOwn = 64

// withOwn lays a society's entries over what it knows without them. Entries are only ever added, so that what was made
// from as many is the same.
func (c *Checklists) withOwn(ctx context.Context, h *Hall, society foray.ID, ships *knowledge.Snapshot, entries int) (*knowledge.Snapshot, error) {
	if entries == 0 {
		return ships, nil
	}
	c.mu.Lock()
	made, ok := c.own[society]
	c.mu.Unlock()
	if ok && made.ships == ships && made.entries == entries {
		return made.known, nil
	}
	var rows []store.OwnEntry
	err := h.Store.Read(ctx, func(tx *store.Tx) (err error) {
		rows, err = tx.OwnEntries(society)
		return err
	})
	if err != nil {
		return nil, err
	}
	k, left := ships.WithOwn(OwnOf(rows))
	for _, l := range left {
		h.Log.WarnContext(ctx, "an entry of a society cannot be joined and is left out", "society", society, "entry", l.Own, "error", l.Err)
	}
	c.keepOwn(society, ownKnown{ships, len(rows), k})
	return k, nil
}

func (c *Checklists) keepOwn(society foray.ID, made ownKnown) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.own == nil {
		c.own = map[foray.ID]ownKnown{}
	}
	for other := range c.own {
		if len(c.own) >= mostOwn && other != society {
			delete(c.own, other)
		}
	}
	c.own[society] = made
}

// OwnOf is what of a society's entries holds: what was taken back does not.
func OwnOf(rows []store.OwnEntry) hazard.Own {
	gone := map[foray.ID]bool{}
	for _, r := range rows {
		gone[r.Withdraws] = true
	}
	var own hazard.Own
	for _, r := range rows {
		switch {
		case gone[r.ID]:
		case r.Kind == store.OwnHazard:
			own.Rows = append(own.Rows, OwnRow(r))
		case r.Kind == store.OwnPair:
			own.Pairs = append(own.Pairs, OwnPair(r))
		case r.Kind == store.OwnContest:
			own.Contests = append(own.Contests, hazard.Contest{About: r.About, Reason: r.Reason, Source: r.Source,
				By: r.WrittenBy.String(), At: r.RecordedAt.Time})
		}
	}
	return own
}

// OwnRow is a hazard of a society as the rules take it.
func OwnRow(r store.OwnEntry) hazard.Row {
	return hazard.Row{Taxon: r.Name, Rank: taxon.Read(r.Name).Rank, Scope: hazard.Scope(r.Scope), Syndrome: r.Syndrome,
		Exposure: hazard.Exposure(r.Exposure), Region: r.Region, Evidence: r.Evidence, Source: r.Source, Note: r.Note, Own: r.ID.String()}
}

// OwnPair is a look-alike pair of a society as the rules take it.
func OwnPair(r store.OwnEntry) hazard.Pair {
	return hazard.Pair{Gathered: r.Name, Poisonous: r.Other, Region: r.Region, Differences: r.Differences, Source: r.Source, Own: r.ID.String()}
}
