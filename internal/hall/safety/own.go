package safety

import (
	"context"
	"slices"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/knowledge"
	"forayhall/internal/store"
)

// Hazard is a hazardous taxon as a society says it, over what ships. What is left out is the usual: all of the taxon,
// by a meal, reported, everywhere.
type Hazard struct {
	Taxon    string `json:"taxon"`
	Scope    string `json:"scope,omitempty"`
	Syndrome string `json:"syndrome"` // its key, or its name
	Exposure string `json:"exposure,omitempty"`
	Region   string `json:"region,omitempty"`
	Evidence string `json:"evidence,omitempty"`
	Source   string `json:"source"`
	Note     string `json:"note,omitempty"`
}

// Lookalike is a mistake that happens, as a society knows it.
type Lookalike struct {
	Gathered    string `json:"gathered"`
	Poisonous   string `json:"poisonous"`
	Region      string `json:"region,omitempty"`
	Differences string `json:"differences"`
	Source      string `json:"source"`
}

// Contest is that a society does not agree with a row or a pair.
type Contest struct {
	About  string `json:"about"` // the id of the row or pair
	Reason string `json:"reason"`
	Source string `json:"source"`
}

// Withdrawal takes an entry of the society back.
type Withdrawal struct {
	Entry  foray.ID `json:"entry"`
	Reason string   `json:"reason"`
}

// Entered is the answer: which entry it is.
type Entered struct {
	Entry foray.ID `json:"entry"`
}

// AddHazard adds a hazard of the society. It lies over what ships and lowers nothing.
func AddHazard(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Hazard) (Entered, error) {
	cmd.Type, cmd.Body = "hazard.add.v1", in
	return tend(ctx, h, actor, scope, cmd, func(d *lead) (Entered, error) {
		e, err := d.hazard(in)
		if err == nil && d.there(e) {
			err = fault.Wrong("taxon", "hazards.there")
		}
		return d.addOne(e, err, "hazard.add", e.Name+" / "+e.Syndrome)
	})
}

// AddPair adds a look-alike pair of the society.
func AddPair(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Lookalike) (Entered, error) {
	cmd.Type, cmd.Body = "hazard.pair.v1", in
	return tend(ctx, h, actor, scope, cmd, func(d *lead) (Entered, error) {
		e, err := d.pair(in)
		if err == nil && d.there(e) {
			err = fault.Wrong("gathered", "hazards.there")
		}
		return d.addOne(e, err, "hazard.pair", e.Name+" / "+e.Other)
	})
}

// ContestRow says that the society does not agree with a row or pair, whether it ships or is its own. Its severity stays.
func ContestRow(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Contest) (Entered, error) {
	cmd.Type, cmd.Body = "hazard.contest.v1", in
	return tend(ctx, h, actor, scope, cmd, func(d *lead) (Entered, error) {
		e := store.OwnEntry{Kind: store.OwnContest, About: tidy(in.About), Reason: tidy(in.Reason), Source: tidy(in.Source)}
		wrong := wrongs{}
		wrong.text("reason", e.Reason, "hazards.reason-missing", mostWords)
		wrong.text("source", e.Source, "hazards.source-missing", mostSource)
		if err := wrong.err(); err != nil {
			return Entered{}, err
		}
		if !d.known.Hazards.Speaks(e.About) {
			return Entered{}, fault.Wrong("about", "hazards.about-unknown")
		}
		return d.addOne(e, nil, "hazard.contest", e.About)
	})
}

// Withdraw takes back an entry of the society: it no longer holds, and stays to be read. What ships cannot be taken
// back, and neither can a hazard on which a pair of the society leans.
func Withdraw(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Withdrawal) (Entered, error) {
	cmd.Type, cmd.Body = "hazard.withdraw.v1", in
	return tend(ctx, h, actor, scope, cmd, func(d *lead) (Entered, error) {
		e := store.OwnEntry{Kind: store.OwnWithdrawal, Withdraws: in.Entry, Reason: tidy(in.Reason)}
		wrong := wrongs{}
		wrong.text("reason", e.Reason, "hazards.reason-missing", mostWords)
		if err := wrong.err(); err != nil {
			return Entered{}, err
		}
		if err := d.mayGo(in.Entry); err != nil {
			return Entered{}, err
		}
		return d.addOne(e, nil, "hazard.withdraw", in.Entry.String())
	})
}

// lead is a safety lead at work: with everything that the society wrote, and the knowledge with it.
type lead struct {
	*hall.Write
	rows  []store.OwnEntry
	known *knowledge.Snapshot
}

// tend is a write of the safety lead's. Others who write entries of the society wait, and every open event of the
// society is told, since its sheet is another one now.
func tend[R any](ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, fn func(*lead) (R, error)) (R, error) {
	var others []foray.ID
	result, err := hall.Do(ctx, h, actor, access.TendHazards, scope, cmd, func(w *hall.Write) (result R, err error) {
		others = nil
		if err := w.Tx.LockOwnEntries(w.Scope.Society); err != nil {
			return result, err
		}
		d := &lead{Write: w}
		if d.rows, err = w.Tx.OwnEntries(w.Scope.Society); err != nil {
			return result, err
		}
		d.known, _ = w.Hall.Knowledge.WithOwn(hall.OwnOf(d.rows))
		if result, err = fn(d); err != nil {
			return result, err
		}
		others, err = d.changeOthers()
		return result, err
	})
	if err == nil {
		for _, event := range others {
			h.Live.Publish(event)
		}
	}
	return result, err
}

// changeOthers numbers a change in each other event that goes on. They come in one order, so that no two wait for each
// other.
func (d *lead) changeOthers() ([]foray.ID, error) {
	events, err := d.Tx.Events(d.Scope.Society)
	if err != nil {
		return nil, err
	}
	var others []foray.ID
	for _, e := range events {
		if e.State != hall.EventClosed && e.ID != d.Scope.Event {
			others = append(others, e.ID)
		}
	}
	slices.SortFunc(others, func(a, b foray.ID) int { return strings.Compare(a.String(), b.String()) })
	for _, event := range others {
		if _, err := d.Tx.AddChanges(d.Scope.Society, event, []store.Change{{SocietyID: d.Scope.Society, EventID: event, Kind: "hazard",
			Subject: d.Scope.Society, RecordedAt: d.Stamp()}}); err != nil {
			return nil, err
		}
	}
	return others, nil
}

func (d *lead) addOne(e store.OwnEntry, err error, kind, detail string) (Entered, error) {
	if err != nil {
		return Entered{}, err
	}
	id, err := d.add(e)
	d.Note(kind, id, detail)
	return Entered{Entry: id}, err
}

func (d *lead) add(e store.OwnEntry) (foray.ID, error) {
	id, err := d.NewID()
	if err != nil {
		return id, err
	}
	e.SocietyID, e.ID, e.WrittenBy, e.HappenedAt, e.RecordedAt = d.Scope.Society, id, d.Actor.Person, d.HappenedStamp(), d.Stamp()
	d.rows = append(d.rows, e)
	d.Changed("hazard", d.Scope.Society)
	return id, d.Tx.AddOwnEntries([]store.OwnEntry{e})
}

// there reports whether the society says the same already.
func (d *lead) there(e store.OwnEntry) bool {
	gone := withdrawn(d.rows)
	return slices.ContainsFunc(d.rows, func(r store.OwnEntry) bool { return gone[r.ID] == nil && sameWords(r, e) })
}

func sameWords(a, b store.OwnEntry) bool {
	return a.Kind == b.Kind && a.Name == b.Name && a.Other == b.Other && a.Scope == b.Scope && a.Syndrome == b.Syndrome &&
		a.Exposure == b.Exposure && a.Region == b.Region && a.Differences == b.Differences
}

// withdrawn gives, for each entry that was taken back, how.
func withdrawn(rows []store.OwnEntry) map[foray.ID]*store.OwnEntry {
	gone := map[foray.ID]*store.OwnEntry{}
	for i, r := range rows {
		if r.Kind == store.OwnWithdrawal {
			gone[r.Withdraws] = &rows[i]
		}
	}
	return gone
}

// mayGo says why an entry cannot be taken back.
func (d *lead) mayGo(id foray.ID) error {
	i := slices.IndexFunc(d.rows, func(r store.OwnEntry) bool { return r.ID == id && r.Kind != store.OwnWithdrawal })
	switch {
	case i < 0:
		return fault.Missing()
	case withdrawn(d.rows)[id] != nil:
		return fault.New(fault.Conflict, "hazards.gone-already")
	}
	_, before := d.known.WithOwn(hall.OwnOf(d.rows))
	_, after := d.known.WithOwn(hall.OwnOf(append(slices.Clone(d.rows), store.OwnEntry{Kind: store.OwnWithdrawal, Withdraws: id})))
	was := map[string]bool{id.String(): true}
	for _, l := range before {
		was[l.Own] = true
	}
	for _, l := range after {
		if !was[l.Own] {
			j := slices.IndexFunc(d.rows, func(r store.OwnEntry) bool { return r.ID.String() == l.Own })
			return fault.New(fault.Refused, "hazards.leans", "gathered", d.rows[j].Name, "poisonous", d.rows[j].Other)
		}
	}
	return nil
}
