package keeping

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"slices"

	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// Restored is what a restore brought back.
type Restored struct {
	SHA256  string // of the file
	Rows    int
	Blobs   int // pictures
	Checked store.Checked
	Deleted Deleted // personal data in the backup whose date has come
}

// Restore fills an empty database from a backup, in one transaction: it is committed only when every table was read
// back as it was packed, every picture is there and no rule is broken. Each society's audit says that it was restored, and from which file.
// Personal data whose date has come is deleted within that transaction.
func Restore(ctx context.Context, h *hall.Hall, file io.ReaderAt, size int64) (Restored, error) {
	p, err := open(ctx, h, file, size, archive.Backup)
	if err != nil {
		return Restored{}, err
	}
	hash, err := fileHash(file, size)
	if err != nil {
		return Restored{}, err
	}
	if err := takeBlobs(ctx, h, p); err != nil {
		return Restored{}, fmt.Errorf("restore: %w", err)
	}
	var done Restored
	err = h.Store.Write(ctx, func(tx *store.Tx) error {
		done = Restored{SHA256: hash, Blobs: len(p.Blobs())}
		if err := tx.Alone(); err != nil {
			return err
		}
		if err := empty(tx); err != nil {
			return err
		}
		now := store.At(h.Now())
		err := tx.Maintain("restore of "+hash, now, func() (err error) {
			done.Rows, err = load(tx, p)
			return err
		})
		if err != nil {
			return err
		}
		if err := asPacked(tx, p, store.Part{}); err != nil {
			return err
		}
		if done.Deleted, err = deleteDueIn(h, tx, foray.ID{}); err != nil {
			return err
		}
		if done.Checked, err = sound(tx); err != nil {
			return err
		}
		return noteEverySociety(h, tx, now, hash)
	})
	if err != nil {
		return Restored{}, fmt.Errorf("restore: %w", err)
	}
	return done, nil
}

func empty(tx *store.Tx) error {
	for _, table := range (store.Part{}).Tables() {
		n, err := tx.CountRows(table)
		if err != nil {
			return err
		}
		if n > 0 {
			return fault.New(fault.Refused, "keeping.not-empty", "table", table)
		}
	}
	return nil
}

// shared are tables of an event's package whose rows other events have too: what is known here of a society or a
// person stays as it is here. What the society knows of harm and the paper for its cards are added to what is here.
var shared = []string{"society", "person", "own_entry", "card_stock"}

func load(tx *store.Tx, p *archive.Package) (int, error) {
	rows := 0
	for _, table := range p.Tables() {
		into, err := tx.Load(table, p.Manifest.Kind == archive.Event && slices.Contains(shared, table))
		if err != nil {
			return rows, err
		}
		if err := p.Each(table, func(_ int, raw json.RawMessage) error { return into.Add(raw) }); err != nil {
			return rows, err
		}
		n, err := into.Close()
		if err != nil {
			return rows, err
		}
		rows += n
	}
	return rows, nil
}

// asPacked dumps what was stored and compares it, table by table, with what the package says.
func asPacked(tx *store.Tx, p *archive.Package, part store.Part) error {
	differs, err := different(tx, p, part)
	if err == nil && differs != "" {
		err = fault.New(fault.Invalid, "keeping.not-as-packed", "table", differs)
	}
	if err != nil {
		return err
	}
	return blobsMatch(tx, p, part)
}

// different names a table that is not here as it is in the package; "" when there is none.
func different(tx *store.Tx, p *archive.Package, part store.Part) (string, error) {
	here, err := tablesHere(tx, part)
	if err != nil {
		return "", err
	}
	packed := p.Manifest.Members
	for i, table := range part.Tables() {
		if !part.Event.IsZero() && slices.Contains(shared, table) {
			continue
		}
		if here[i] != packed[i] {
			return table, nil
		}
	}
	return "", nil
}

// sound refuses to commit what breaks a rule.
func sound(tx *store.Tx) (store.Checked, error) {
	checked, err := tx.Check()
	if err != nil || len(checked.Broken) == 0 {
		return checked, err
	}
	n := len(checked.Broken)
	return checked, fault.New(fault.Invalid, "keeping.broken", "n", n, "first", checked.Broken[0].Text)
}

func noteEverySociety(h *hall.Hall, tx *store.Tx, now store.Stamp, hash string) error {
	societies, err := tx.Societies()
	if err != nil {
		return err
	}
	for _, s := range societies {
		if err := note(h, tx, now, s.ID, foray.ID{}, "restore", hash); err != nil {
			return err
		}
	}
	return nil
}

// fromHash is how the audit names a file.
func fromHash(hash string) string { return "from sha256 " + hash }

// note writes an audit row of the society as a whole, by the machine. It is none of the event's, so that an event that
// was brought in is the same here and there.
func note(h *hall.Hall, tx *store.Tx, now store.Stamp, society, subject foray.ID, kind, hash string) error {
	by, err := h.MachineIn(tx, society)
	if err != nil {
		return err
	}
	id, err := h.NewID()
	if err != nil {
		return err
	}
	return tx.AddAudit([]store.Audit{{SocietyID: society, ID: id, PersonID: by, Action: "installation", Kind: kind,
		Subject: subject, Detail: fromHash(hash), RecordedAt: now}})
}

// Imported is what became of an event's package.
type Imported struct {
	Society string // code
	Event   string // code
	Already bool   // it was here, as it is in the package; nothing was changed
	Rows    int
	Blobs   int    // pictures
	SHA256  string // of the file
	Checked store.Checked
	Deleted Deleted // personal data in the package whose date has come
}

// ImportEvent brings in one event, all of it or nothing. An event that is here as it is in the package is left alone;
// one that is here in another state is refused, and what was written here stays. People come with their ids.
func ImportEvent(ctx context.Context, h *hall.Hall, file io.ReaderAt, size int64) (Imported, error) {
	p, err := open(ctx, h, file, size, archive.Event)
	if err != nil {
		return Imported{}, err
	}
	hash, err := fileHash(file, size)
	if err != nil {
		return Imported{}, err
	}
	in, err := ownersOf(p)
	if err != nil {
		return Imported{}, err
	}
	if err := takeBlobs(ctx, h, p); err != nil {
		return Imported{}, fmt.Errorf("bring in an event: %w", err)
	}
	var done Imported
	err = h.Store.Write(ctx, func(tx *store.Tx) error {
		done = Imported{Society: in.society.Code, Event: in.event.Code, SHA256: hash, Blobs: len(p.Blobs())}
		if done.Already, err = in.here(tx, p, hash); err != nil || done.Already {
			return err
		}
		now := store.At(h.Now())
		if done.Rows, err = load(tx, p); err != nil {
			return err
		}
		if err := asPacked(tx, p, in.part()); err != nil {
			return err
		}
		if done.Deleted, err = deleteDueIn(h, tx, in.event.ID); err != nil {
			return err
		}
		if done.Checked, err = sound(tx); err != nil {
			return err
		}
		return note(h, tx, now, in.society.ID, in.event.ID, "event.import", hash)
	})
	if err != nil {
		return Imported{}, fmt.Errorf("bring in an event: %w", err)
	}
	h.Live.Publish(in.event.ID)
	return done, nil
}

// owners are the society and event of a package.
type owners struct {
	society struct {
		ID   foray.ID `json:"id"`
		Code string   `json:"code"`
	}
	event struct {
		SocietyID foray.ID `json:"society_id"`
		ID        foray.ID `json:"id"`
		Code      string   `json:"code"`
	}
}

// ownersOf reads the one society and the one event from the rows themselves; the manifest must say the same.
func ownersOf(p *archive.Package) (owners, error) {
	var in owners
	rows := 0
	for table, into := range map[string]any{"society": &in.society, "event": &in.event} {
		err := p.Each(table, func(_ int, raw json.RawMessage) error {
			rows++
			return json.Unmarshal(raw, into)
		})
		if err != nil {
			return in, &fault.Error{Kind: fault.Invalid, Text: message.T("keeping.one-event"), Cause: err}
		}
	}
	if err := in.peopleOwn(p); err != nil {
		return in, err
	}
	m := p.Manifest
	if rows != 2 || in.event.SocietyID != in.society.ID || m.Event.ID != in.event.ID.URN() || m.Society.ID != in.society.ID.URN() {
		return in, fault.New(fault.Invalid, "keeping.one-event")
	}
	return in, nil
}

// peopleOwn refuses people, entries and card stocks of another society. All other rows are read back as rows of the event; these are
// not.
func (in owners) peopleOwn(p *archive.Package) error {
	of := func(_ int, raw json.RawMessage) error {
		var row struct {
			SocietyID string `json:"society_id"`
		}
		if err := json.Unmarshal(raw, &row); err != nil || row.SocietyID != in.society.ID.String() {
			return fault.New(fault.Invalid, "keeping.one-event")
		}
		return nil
	}
	for _, table := range []string{"person", "own_entry", "card_stock"} {
		if err := p.Each(table, of); err != nil {
			return err
		}
	}
	return nil
}

func (in owners) part() store.Part { return store.Part{Society: in.society.ID, Event: in.event.ID} }

// here reports whether the event is here as it is in the package. A nil error and false mean that it can be taken.
func (in owners) here(tx *store.Tx, p *archive.Package, hash string) (bool, error) {
	if s, err := tx.SocietyByCode(in.society.Code); err == nil && s.ID != in.society.ID {
		return false, fault.New(fault.Refused, "keeping.society-taken", "society", s.Code)
	} else if err != nil && !fault.Is(err, fault.NotFound) {
		return false, err
	}
	event, err := tx.EventByID(in.society.ID, in.event.ID)
	if fault.Is(err, fault.NotFound) {
		return false, in.codeFree(tx)
	}
	if err != nil {
		return false, err
	}
	differs, err := different(tx, p, in.part())
	switch {
	case err != nil:
		return false, err
	case differs == "":
		return true, nil
	}
	if gone, err := tx.DeletedPersonal(in.society.ID, in.event.ID); err != nil || len(gone) > 0 {
		return in.deletedSince(tx, event, hash, err)
	}
	switch {
	case event.Home == "here":
		return false, fault.New(fault.Refused, "keeping.home-is-here", "event", event.Code)
	}
	return false, fault.New(fault.Refused, "keeping.other-state", "event", event.Code)
}

// deletedSince answers a package of an event whose personal data was deleted here: the one from which it came is taken
// already, and no other brings anything back.
func (in owners) deletedSince(tx *store.Tx, event store.Event, hash string, err error) (bool, error) {
	if err != nil {
		return false, err
	}
	if same, err := tx.ImportedBefore(in.society.ID, in.event.ID, fromHash(hash)); err != nil || same {
		return same, err
	}
	return false, fault.New(fault.Refused, "keeping.personal-gone", "event", event.Code)
}

func (in owners) codeFree(tx *store.Tx) error {
	_, err := tx.EventByCode(in.society.ID, in.event.Code)
	if fault.Is(err, fault.NotFound) {
		return nil
	}
	if err == nil {
		err = fault.New(fault.Refused, "keeping.event-taken", "event", in.event.Code)
	}
	return err
}
