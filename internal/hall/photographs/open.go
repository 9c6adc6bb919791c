package photographs

import (
	"context"
	"fmt"
	"io"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// The sizes that a photograph is kept in.
const (
	Full  = "full"
	Small = "small"
)

// Opened is a photograph's bytes: a JPEG in sRGB that says nothing of itself.
type Opened struct {
	Body    io.ReadCloser
	Size    int64
	SHA256  string
	Private bool
}

// OpenPublic opens a photograph that anybody may see, and no other.
func OpenPublic(ctx context.Context, h *hall.Hall, scope access.Scope, id foray.ID, size string) (Opened, error) {
	return open(ctx, h, size, func(find func(*hall.Look) (store.Photograph, error)) error {
		return h.View(ctx, access.Nobody, access.ReadPublic, scope, func(l *hall.Look) error { _, err := find(l); return err })
	}, id)
}

// OpenPrivate opens a private photograph for whoever may see it; that they did is written down first.
func OpenPrivate(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, id foray.ID, size string) (Opened, error) {
	return open(ctx, h, size, func(find func(*hall.Look) (store.Photograph, error)) error {
		return h.ViewPrivate(ctx, actor, access.NameOwn, scope, "photograph", id, func(l *hall.Look) error {
			p, err := find(l)
			if err == nil && !p.Private {
				err = fault.Missing()
			}
			return err
		})
	}, id)
}

// Open opens a photograph for somebody.
func Open(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, id foray.ID, size string) (Opened, error) {
	o, err := OpenPublic(ctx, h, scope, id, size)
	if fault.Is(err, fault.NotFound) {
		return OpenPrivate(ctx, h, actor, scope, id, size)
	}
	return o, err
}

func open(ctx context.Context, h *hall.Hall, size string, view func(func(*hall.Look) (store.Photograph, error)) error, id foray.ID) (Opened, error) {
	if size != Full && size != Small {
		return Opened{}, fault.Missing()
	}
	var p store.Photograph
	if err := view(func(l *hall.Look) (_ store.Photograph, err error) { p, err = inView(l, id); return p, err }); err != nil {
		return Opened{}, fmt.Errorf("open a photograph: %w", err)
	}
	if h.Blobs == nil {
		return Opened{}, fault.New(fault.Unavailable, "photograph.no-place")
	}
	o := Opened{SHA256: p.Sha256, Private: p.Private}
	if size == Small {
		o.SHA256 = p.SmallSha256
	}
	var err error
	if o.Body, o.Size, err = h.Blobs.Get(ctx, o.SHA256); err != nil {
		return Opened{}, fmt.Errorf("open photograph %s: %w", id, err)
	}
	return o, nil
}

// inView finds a photograph that these eyes may see.
func inView(l *hall.Look, id foray.ID) (store.Photograph, error) {
	p, err := l.Tx.PhotographByID(l.Scope.Society, l.Scope.Event, id)
	if err != nil {
		return p, err
	}
	sees, err := seenBy(l, p)
	if err == nil && (!sees || !p.HiddenAt.IsZero()) {
		err = fault.Missing()
	}
	return p, err
}
