package desk

import (
	"context"
	"strings"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Split is a mixed collection that is to become several.
type Split struct {
	Collection foray.ID `json:"collection"`
	Parts      []Part   `json:"parts"`
	Reason     string   `json:"reason,omitempty"`
}

// Part is one of them.
type Part struct {
	ID      foray.ID `json:"id,omitzero"`     // made by the sender, or by the hall
	Group   string   `json:"group,omitempty"` // empty: that of the whole
	Remarks string   `json:"remarks,omitempty"`
}

// Parts is what a number was split into, in the order of the parts.
type Parts struct {
	Of    string   `json:"of"`
	Parts []Logged `json:"parts"`
}

// mostSplit is more kinds than were ever found in one bag.
const mostSplit = 26

// SplitCollection makes parts of a mixed collection. Each keeps the field data and starts where the whole stood; what
// was in question of the whole is in question of each part, by the same people, until somebody looks at the part:
// doubt never narrows. How many fruitbodies each part has, nobody has counted yet.
func SplitCollection(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Split) (Parts, error) {
	cmd.Type, cmd.Body = "collection.split.v1", in
	return hall.Do(ctx, h, actor, access.LogCollection, scope, cmd, func(w *hall.Write) (Parts, error) {
		whole, err := w.LockPlate(in.Collection)
		if err != nil {
			return Parts{}, err
		}
		if err := in.check(w); err != nil {
			return Parts{}, err
		}
		if err := w.AfterClosing(in.Reason); err != nil {
			return Parts{}, err
		}
		numbers, err := partNumbers(w, whole.NumberBase, len(in.Parts))
		if err != nil {
			return Parts{}, err
		}
		if err := w.Tx.SetFate(whole.Collection, store.Split); err != nil { // before its parts take its place
			return Parts{}, err
		}
		done := Parts{Of: whole.Number().String()}
		for i, part := range in.Parts {
			made, err := addPart(w, whole, part, numbers[i], in.Reason)
			if err != nil {
				return Parts{}, err
			}
			done.Parts = append(done.Parts, made)
		}
		w.Note("collection.split", whole.ID, done.Of+" "+in.Reason)
		w.Changed("collection", whole.ID)
		return done, nil
	})
}

func (in Split) check(w *hall.Write) error {
	if len(in.Parts) < 2 || len(in.Parts) > mostSplit {
		return fault.Wrong("parts", "split.two-parts", "most", mostSplit)
	}
	for _, p := range in.Parts {
		if p.Group != "" && !knownGroup(w, p.Group) {
			return fault.Wrong("parts", "split.group-missing")
		}
		if len(p.Remarks) > 500 {
			return fault.Wrong("parts", "text.too-long", "most", 500)
		}
	}
	if len(in.Reason) > 500 {
		return fault.Wrong("reason", "text.too-long", "most", 500)
	}
	return nil
}

func partNumbers(w *hall.Write, base, n int) ([]foray.Number, error) {
	rows, err := w.Tx.CollectionsOfBase(w.Scope.Society, w.Scope.Event, base)
	if err != nil {
		return nil, err
	}
	used := make([]foray.Number, len(rows))
	for i, c := range rows {
		used[i] = c.Number()
	}
	said, err := fatesSaid(&w.Look)
	if err != nil {
		return nil, err
	}
	for n, fate := range said {
		if fate == string(foray.Spoilt) || fate == string(foray.LostNumber) {
			used = append(used, n)
		}
	}
	return foray.NextParts(base, used, n)
}

func addPart(w *hall.Write, whole hall.Plate, in Part, n foray.Number, reason string) (Logged, error) {
	c := whole.Collection
	c.ID, c.NumberBase, c.NumberSuffix = in.ID, n.Base, n.Suffix
	c.Fruitbodies, c.WeightG = nil, nil
	c.Naming, c.Disputed, c.Version = foray.BroughtIn, false, 0
	c.LoggedBy, c.RecordedAt = w.Actor.Person, w.Stamp()
	if in.Group != "" {
		c.FormGroup = in.Group
	}
	if remarks := strings.TrimSpace(in.Remarks); remarks != "" {
		c.Remarks = remarks
	}
	if err := identify(w, &c); err != nil {
		return Logged{}, err
	}
	stood := foray.Placement{Where: c.Whereabouts, TableID: c.TableID, Position: c.Position, With: c.WithWhom}
	c.Whereabouts, c.TableID, c.Position, c.WithWhom = foray.AtDesk, foray.ID{}, "", ""
	if err := w.Tx.AddCollection(c); err != nil {
		return Logged{}, err
	}
	if free, err := freeWhere(w, c, stood); err != nil {
		return Logged{}, err
	} else if free {
		if err := w.Stand(c, stood); err != nil {
			return Logged{}, err
		}
	}
	if err := link(w, store.OfSplit, whole.ID, c.ID, reason); err != nil {
		return Logged{}, err
	}
	if err := w.CarryVoucher(whole.Collection, c); err != nil {
		return Logged{}, err
	}
	w.Changed("collection", c.ID)
	part := hall.Plate{Collection: c, Standing: foray.Replay(nil)}
	return Logged{ID: c.ID, Number: n.String()}, bring(w, whole, &part, whole.Unnamed(), "slip.from-split")
}

// freeWhere reports whether a part stands where the whole stood. In the dryer one lies at each place: the first part keeps
// it, and the others are at the desk until they have places of their own.
func freeWhere(w *hall.Write, part store.Collection, stood foray.Placement) (bool, error) {
	if stood.Where != foray.InDryer {
		return stood.Where != foray.AtDesk, nil
	}
	part.Position = stood.Position
	return w.SlotFree(part)
}

func link(w *hall.Write, kind string, from, into foray.ID, reason string) error {
	id, err := w.NewID()
	if err != nil {
		return err
	}
	return w.Tx.AddCollectionLinks([]store.CollectionLink{{SocietyID: w.Scope.Society, EventID: w.Scope.Event, ID: id, Kind: kind,
		FromID: from, IntoID: into, Reason: strings.TrimSpace(reason), LinkedBy: w.Actor.Person, RecordedAt: w.Stamp()}})
}
