// Package photographs keeps the pictures of finds, of their paper slips, of what was seen outside and of what was
// eaten. Pictures of finds are for everybody, those of slips and incidents for few. Where one was taken is never kept
// and never told, and no picture is decoded or written while a transaction waits.
package photographs

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/media"
	"forayhall/internal/store"
)

// What a photograph shows.
const (
	OfFind     = "find"
	OfSlip     = "slip" // private
	OfField    = "field"
	OfIncident = "incident" // private
)

// Kinds lists what a photograph may show.
var Kinds = []string{OfFind, OfSlip, OfField, OfIncident}

// Most is how many pictures one collection, field record or incident may have: all round, cut, gills, base, spores,
// slip, and again (common practice: three to six).
const Most = 12

// captionMost is in characters.
const captionMost = 200

// TakenForm is how a camera's wall clock is written where it comes apart from the picture.
const TakenForm = "2006-01-02T15:04:05"

// Upload is a photograph as somebody sends it.
type Upload struct {
	Kind    string
	Subject string // of a find or slip its number or id; of a field record or an incident its id
	Caption string
	Taken   string // TakenForm: for a browser that made the picture smaller, and so silent about itself
}

// Addition is the body of the command: a picture whose blobs are there already.
type Addition struct {
	Kind        string    `json:"kind"`
	Subject     foray.ID  `json:"subject"`
	SHA256      string    `json:"sha256"`
	SmallSHA256 string    `json:"small_sha256"`
	Width       int       `json:"width"`
	Height      int       `json:"height"`
	Bytes       int       `json:"bytes"`
	Caption     string    `json:"caption,omitempty"`
	TakenAt     time.Time `json:"taken_at,omitzero"`
}

// Added is the answer.
type Added struct {
	Photograph foray.ID `json:"photograph"`
	Number     string   `json:"number,omitempty"` // of the collection, where it is of one
}

// Add keeps a photograph. The picture is decoded and its blobs are written before the command begins, and only for
// somebody who may send it; the row comes last. Sent again it is there once.
func Add(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Upload, r io.Reader) (Added, error) {
	if h.Blobs == nil {
		return Added{}, fault.New(fault.Refused, "photograph.no-place")
	}
	body := Addition{Kind: in.Kind, Caption: strings.Join(strings.Fields(in.Caption), " ")}
	zone := time.UTC
	err := h.View(ctx, actor, access.NameOwn, scope, func(l *hall.Look) error {
		event, err := l.Tx.EventByID(scope.Society, scope.Event)
		if err != nil {
			return err
		}
		zone = hall.Zone(event)
		s, err := named(l, in.Kind, in.Subject)
		if err != nil {
			return err
		}
		body.Subject = s.id
		return s.mayAdd(l)
	})
	if err != nil {
		return Added{}, fmt.Errorf("add a photograph: %w", err)
	}
	if utf8.RuneCountInString(body.Caption) > captionMost {
		return Added{}, fault.Wrong("caption", "text.too-long", "most", captionMost)
	}
	p, err := media.Prepare(ctx, r)
	if err != nil {
		return Added{}, err
	}
	body.describe(p, in.Taken, zone)
	if err := put(ctx, h.Blobs, p); err != nil {
		return Added{}, err
	}
	done, err := add(ctx, h, actor, scope, cmd, body)
	if err != nil {
		return Added{}, err
	}
	// A clearing out that met these very blobs, old and unnamed, just before the row was written took them away.
	return done, mend(ctx, h.Blobs, p)
}

// describe writes down what is known of a picture, but not where it was taken: nobody needs that, and it may be a
// garden.
func (a *Addition) describe(p media.Prepared, taken string, zone *time.Location) {
	a.SHA256, a.SmallSHA256, a.Width, a.Height, a.Bytes = p.Full.SHA256, p.Small.SHA256, p.Full.Width, p.Full.Height, len(p.Full.Data)
	at, ok := p.TakenIn(zone)
	if !ok {
		at, _ = time.ParseInLocation(TakenForm, taken, zone)
	}
	if !at.IsZero() {
		a.TakenAt = at.UTC().Truncate(time.Second)
	}
}

func put(ctx context.Context, blobs media.Blobs, p media.Prepared) error {
	for _, one := range []media.Picture{p.Full, p.Small} {
		if err := blobs.Put(ctx, one.SHA256, one.Data); err != nil {
			return err
		}
	}
	return nil
}

// mend puts back what is not there.
func mend(ctx context.Context, blobs media.Blobs, p media.Prepared) error {
	for _, one := range []media.Picture{p.Full, p.Small} {
		if there, err := blobs.Has(ctx, one.SHA256); err != nil || there {
			continue // what cannot be looked for now was put a moment ago
		}
		if err := blobs.Put(ctx, one.SHA256, one.Data); err != nil {
			return err
		}
	}
	return nil
}

func add(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Addition) (Added, error) {
	cmd.Type, cmd.Body = "photograph.add.v1", in
	return hall.Do(ctx, h, actor, access.NameOwn, scope, cmd, func(w *hall.Write) (Added, error) {
		s, err := locked(w, in.Kind, in.Subject)
		if err != nil {
			return Added{}, err
		}
		if err := s.mayAdd(&w.Look); err != nil {
			return Added{}, err
		}
		there, err := s.photographs(&w.Look)
		if err != nil {
			return Added{}, err
		}
		same := func(p store.Photograph) bool { return p.Kind == in.Kind && p.Sha256 == in.SHA256 }
		if i := slices.IndexFunc(there, same); i >= 0 {
			return Added{Photograph: there[i].ID, Number: s.number()}, nil
		}
		if len(there) >= Most {
			return Added{}, fault.Wrong(media.Field, "photograph.full", "most", Most)
		}
		return s.add(w, in)
	})
}

func (s subject) add(w *hall.Write, in Addition) (Added, error) {
	id, err := w.NewID()
	if err != nil {
		return Added{}, err
	}
	p := store.Photograph{SocietyID: w.Scope.Society, EventID: w.Scope.Event, ID: id, Kind: in.Kind, CollectionID: s.collection.ID,
		RecordID: s.record.ID, IncidentID: s.incident.ID, Private: in.Kind == OfSlip || in.Kind == OfIncident, Sha256: in.SHA256,
		SmallSha256: in.SmallSHA256, Width: in.Width, Height: in.Height, Bytes: in.Bytes, Caption: in.Caption, TakenBy: w.Actor.Person, RecordedAt: w.Stamp()}
	if !in.TakenAt.After(w.Now) { // a camera whose clock is ahead says nothing
		p.TakenAt = store.At(in.TakenAt)
	}
	if err := w.Tx.AddPhotograph(p); err != nil {
		return Added{}, err
	}
	w.Note("photograph.add", id, in.Kind)
	changed(w, p)
	return Added{Photograph: id, Number: s.number()}, nil
}

// changed says that there is another picture, or one less. Of an incident everybody sees that something moved, and nobody
// of which: the changes are told to all of the staff.
func changed(w *hall.Write, p store.Photograph) {
	if p.Kind == OfIncident {
		w.Changed("safety", w.Scope.Event)
		return
	}
	w.Changed("photograph", shownBy(p))
}

// Hidden is a photograph to be taken from view, with the reason.
type Hidden struct {
	Photograph foray.ID `json:"photograph"`
	Reason     string   `json:"reason"`
}

// Hide takes a photograph from view: one's own, or as whoever looks after records or safety. Its row stays.
func Hide(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Hidden) (Added, error) {
	cmd.Type, cmd.Body = "photograph.hide.v1", in
	return hall.Do(ctx, h, actor, access.NameOwn, scope, cmd, func(w *hall.Write) (Added, error) {
		p, err := w.Tx.LockPhotograph(scope.Society, scope.Event, in.Photograph)
		if err != nil {
			return Added{}, err
		}
		sees, err := seenBy(&w.Look, p)
		if err != nil {
			return Added{}, err
		}
		if !sees && p.TakenBy != w.Actor.Person {
			return Added{}, fault.Missing()
		}
		if !mayHide(&w.Look, p) {
			return Added{}, w.May(access.LogCollection, access.TendHazards)
		}
		if !p.HiddenAt.IsZero() {
			return Added{}, fault.New(fault.Refused, "photograph.hidden")
		}
		p.HiddenWhy = strings.Join(strings.Fields(in.Reason), " ")
		if n := utf8.RuneCountInString(p.HiddenWhy); n == 0 || n > captionMost {
			return Added{}, fault.Wrong("reason", "photograph.reason", "most", captionMost)
		}
		p.HiddenAt, p.HiddenBy = w.Stamp(), w.Actor.Person
		w.Note("photograph.hide", p.ID, p.HiddenWhy)
		changed(w, p)
		return Added{Photograph: p.ID}, w.Tx.HidePhotograph(p)
	})
}

func mayHide(l *hall.Look, p store.Photograph) bool {
	return p.TakenBy == l.Actor.Person && l.Actor.SignedIn() || l.Held.Can(access.LogCollection) || l.Held.Can(access.TendHazards)
}

// errBusy is what too many uploads at once meet.
var errBusy = errors.New("photographs: too many uploads at once")

// receiving bounds what uploads may hold in memory together: each at most media.MaxBytes.
var receiving = make(chan struct{}, 8)

// Receive waits for one of the places that uploads have in this process, and gives it back when done is called.
func Receive(ctx context.Context) (done func(), err error) {
	patience, cancel := context.WithTimeout(ctx, 10*time.Second)
	defer cancel()
	select {
	case receiving <- struct{}{}:
		return func() { <-receiving }, nil
	case <-patience.Done():
		e := fault.New(fault.TooMany, "photograph.busy")
		e.Cause = errBusy
		return nil, e
	}
}
