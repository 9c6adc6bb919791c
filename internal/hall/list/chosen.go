package list

import (
	"context"
	"slices"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
	"forayhall/internal/tally"
)

// Chosen is a list in the bytes that papers are made from: those of a signed version; for 0 those of the newest, or of the
// draft where nothing was signed yet, whose version is 0.
func Chosen(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, version int) (store.Publication, error) {
	var p store.Publication
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) (err error) {
		if version == 0 {
			signed, err := l.Tx.Publications(scope.Society, scope.Event)
			if err != nil {
				return err
			}
			if len(signed) == 0 {
				p, err = unsigned(l)
				return err
			}
			version = signed[0].Version
		}
		p, err = l.Tx.PublicationByVersion(scope.Society, scope.Event, version)
		return err
	})
	return p, err
}

// Unsigned is the running list in the bytes that it would be signed in.
func Unsigned(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope) (store.Publication, error) {
	var p store.Publication
	err := h.View(ctx, actor, access.ReadPublic, scope, func(l *hall.Look) (err error) {
		p, err = unsigned(l)
		return err
	})
	return p, err
}

func unsigned(l *hall.Look) (store.Publication, error) {
	r, err := running(l)
	if err != nil {
		return store.Publication{}, err
	}
	return freezeDraft(l, r)
}

// AtSite is the running list of one site in the same bytes, for whoever writes to the manager of its land: also what the
// public is not told of it, since it is theirs.
func AtSite(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, written string) (store.Publication, error) {
	var p store.Publication
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) error {
		if err := l.May(access.PublishList, access.SetUp); err != nil {
			return err
		}
		site, err := l.SiteWritten(written)
		if fault.Is(err, fault.NotFound) {
			return fault.Wrong("site", "letter.site-unknown", "site", written)
		}
		if err != nil {
			return err
		}
		r := Running{}
		if r.Event, err = l.Tx.EventByID(scope.Society, scope.Event); err != nil {
			return err
		}
		f, err := newFinder(l, r.Event)
		if err != nil {
			return err
		}
		finds, err := f.all()
		if err != nil {
			return err
		}
		at := f.sites()
		r.List = tally.Make(slices.DeleteFunc(finds, func(x tally.Find) bool { return at[x.ID] != site.ID }))
		if err := f.markFirsts(&r.List); err != nil {
			return err
		}
		elsewhere := func(first tally.First) bool { return first.Scope == store.OfSite && first.Place != site.Name }
		for i := range r.List.Lines {
			line := &r.List.Lines[i]
			line.Firsts = slices.DeleteFunc(line.Firsts, elsewhere)
		}
		p, err = freezeDraft(l, r)
		return err
	})
	return p, err
}

// sites is where each find was made.
func (f *finder) sites() map[string]foray.ID {
	at := map[string]foray.ID{}
	for _, p := range f.plates {
		at[p.ID.String()] = p.SiteID
	}
	for _, s := range f.seen {
		at[s.ID.String()] = s.SiteID
	}
	return at
}

func freezeDraft(l *hall.Look, r Running) (store.Publication, error) {
	society, err := l.Tx.SocietyByID(l.Scope.Society)
	if err != nil {
		return store.Publication{}, err
	}
	return freeze(canonical(society, r, 0, "", "", l.Now, l.Hall))
}
