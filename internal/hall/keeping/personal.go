package keeping

import (
	"context"
	"fmt"
	"slices"
	"time"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Deleted is what a look for personal data whose date has come did.
type Deleted struct {
	Events   []DeletedEvent
	Contacts int  // of those who asked for corrections
	Traces   int  // rows that the installation keeps for a while only
	Held     bool // nothing was deleted: the clock moved on further than a server sleeps
}

// DeletedEvent is an event whose personal data was deleted.
type DeletedEvent struct {
	Code string
	Rows int
}

// Rows is how many rows went or were emptied.
func (d Deleted) Rows() int {
	n := d.Contacts + d.Traces
	for _, e := range d.Events {
		n += e.Rows
	}
	return n
}

const (
	// personalJob is the row of the table of jobs.
	personalJob = "personal"
	// longSleep: a server that looked last so long ago may have slept, or its clock is wrong.
	longSleep = 31 * 24 * time.Hour
	// heldFor is how long it then waits, so that somebody who sees a wrong date can stop it.
	heldFor = time.Hour
	// readsKept is how many months it stays known who read what was private, once that is gone itself.
	readsKept = 12
	// endedKept is how long sessions that ended and failed sign-ins are kept.
	endedKept = 30 * 24 * time.Hour
)

// Tend is DeleteDue for a server, at its start and daily. After a long sleep the first look deletes nothing and the next
// that comes an hour later does, for a clock that jumped ahead would make everything due.
func Tend(ctx context.Context, h *hall.Hall) (Deleted, error) {
	held := false
	err := h.Store.Write(ctx, func(tx *store.Tx) error {
		now := store.At(h.Now())
		job, ran, err := tx.LockChore(personalJob, now)
		if err != nil {
			return err
		}
		job, held = look(job, ran, now)
		return tx.SetChore(job)
	})
	if err != nil || held {
		return Deleted{Held: held}, err
	}
	return DeleteDue(ctx, h)
}

// look says whether a job waits.
func look(job store.Chore, ran bool, now store.Stamp) (store.Chore, bool) {
	slept := ran && now.Sub(job.LookedAt.Time) > longSleep
	switch {
	case slept && (job.HeldSince.IsZero() || job.HeldSince.After(now.Time)):
		job.HeldSince = now
		return job, true
	case slept && now.Sub(job.HeldSince.Time) < heldFor:
		return job, true
	}
	job.LookedAt, job.HeldSince = now, store.Stamp{}
	return job, false
}

// DeleteDue removes the personal data of every event whose date for it has come, who asked for corrections where that
// date has come, and what the installation keeps for a while only. An event is one transaction, under the job's lock:
// instances take turns, and what is gone is gone. A process that is killed leaves the rest for the next look.
func DeleteDue(ctx context.Context, h *hall.Hall) (Deleted, error) {
	var done Deleted
	var gone, asked []store.Event
	err := h.Store.Read(ctx, func(tx *store.Tx) (err error) {
		if gone, err = due(tx, h.Now()); err != nil {
			return err
		}
		asked, err = tx.EventsWithContacts()
		return err
	})
	if err != nil {
		return done, fmt.Errorf("look whose personal data is due: %w", err)
	}
	for _, e := range gone {
		n, err := alone(ctx, h, e.ID, func(tx *store.Tx) (int, error) { return deletePersonal(h, tx, e) })
		if err != nil {
			return done, fmt.Errorf("delete the personal data of %s: %w", e.Code, err)
		}
		if n > 0 {
			done.Events = append(done.Events, DeletedEvent{e.Code, n})
		}
	}
	for _, e := range asked {
		n, err := alone(ctx, h, e.ID, func(tx *store.Tx) (int, error) { return forgetSenders(h, tx, e) })
		if done.Contacts += n; err != nil {
			return done, fmt.Errorf("forget who asked for corrections of %s: %w", e.Code, err)
		}
	}
	done.Traces, err = alone(ctx, h, foray.ID{}, func(tx *store.Tx) (int, error) {
		now := store.At(h.Now())
		return tx.EraseTraces(gone, store.At(now.AddDate(0, -readsKept, 0)), store.At(now.Add(-endedKept)), now)
	})
	return done, err
}

// due lists the events whose date has come.
func due(tx *store.Tx, now time.Time) (events []store.Event, err error) {
	societies, err := tx.Societies()
	if err != nil {
		return nil, err
	}
	for _, s := range societies {
		of, err := tx.Events(s.ID)
		if err != nil {
			return nil, err
		}
		events = append(events, slices.DeleteFunc(of, func(e store.Event) bool { return !hall.PersonalDue(e, now) })...)
	}
	return events, nil
}

// alone runs a part of the job in a transaction of its own while no other instance does, and tells who looks at the event.
func alone(ctx context.Context, h *hall.Hall, event foray.ID, part func(*store.Tx) (int, error)) (n int, err error) {
	err = h.Store.Write(ctx, func(tx *store.Tx) error {
		if _, _, err := tx.LockChore(personalJob, store.At(h.Now())); err != nil {
			return err
		}
		n, err = part(tx)
		return err
	})
	if err != nil {
		return 0, err
	}
	if n > 0 && !event.IsZero() {
		h.Live.Publish(event)
	}
	return n, nil
}

// deletePersonal deletes an event's personal data, if its date has still come when its turn does, and writes down that
// the machine did and how many rows there were. Where nothing was left, nothing is written.
func deletePersonal(h *hall.Hall, tx *store.Tx, e store.Event) (int, error) {
	e, err := tx.LockEvent(e.SocietyID, e.ID)
	if err != nil || !hall.PersonalDue(e, h.Now()) {
		return 0, err
	}
	held, err := tx.PersonalHeld(e.SocietyID, e.ID, store.At(h.Now()))
	delete(held, "contacts") // go by dates of their own
	if err != nil || (hall.Personal{Held: held}).Total() == 0 {
		return 0, err
	}
	n, err := tx.ErasePersonal(e.SocietyID, e.ID, "the personal data of "+e.Code+" is due on "+e.DeletePersonalOn, store.At(h.Now()))
	if err != nil || n == 0 {
		return n, err
	}
	return n, wrote(h, tx, e, "personal", "personal.delete", e.ID, fmt.Sprint(n))
}

// forgetSenders forgets who asked for corrections, each on the day that is theirs; that they are forgotten, and why, is
// added to the request.
func forgetSenders(h *hall.Hall, tx *store.Tx, e store.Event) (n int, err error) {
	e, err = tx.LockEvent(e.SocietyID, e.ID)
	if err != nil {
		return 0, err
	}
	contacts, err := tx.CorrectionContacts(e.SocietyID, e.ID)
	if err != nil {
		return 0, err
	}
	today := h.Now().In(hall.Zone(e)).Format(time.DateOnly)
	for _, c := range contacts {
		row, err := tx.LockCorrection(e.SocietyID, e.ID, c.CorrectionID)
		if err != nil {
			return n, err
		}
		l := hall.Look{Tx: tx, Hall: h, Now: h.Now()}
		r, err := l.RequestOf(row)
		if err != nil {
			return n, err
		}
		day, why := hall.ContactUntil(e, r.RecordedAt.Time, r.AnsweredAt())
		if day > today {
			continue
		}
		if err := forget(h, tx, e, r, why); err != nil {
			return n, err
		}
		n++
	}
	return n, nil
}

func forget(h *hall.Hall, tx *store.Tx, e store.Event, r hall.Request, why hall.ContactReason) error {
	if _, err := tx.EraseContact(e.SocietyID, e.ID, r.ID); err != nil {
		return err
	}
	by, err := h.MachineIn(tx, e.SocietyID)
	if err != nil {
		return err
	}
	id, err := h.NewID()
	if err != nil {
		return err
	}
	if err := tx.AddCorrectionAct(store.CorrectionAct{SocietyID: e.SocietyID, EventID: e.ID, ID: id, CorrectionID: r.ID, Seq: len(r.Acts) + 1,
		Kind: store.CorrectionErased, Words: string(why), PersonID: by, RecordedAt: store.At(h.Now())}); err != nil {
		return err
	}
	return wrote(h, tx, e, "correction", "correction.forget", r.ID, string(why))
}

// wrote adds the audit row and the change of what the machine did in an event.
func wrote(h *hall.Hall, tx *store.Tx, e store.Event, change, kind string, subject foray.ID, detail string) error {
	by, err := h.MachineIn(tx, e.SocietyID)
	if err != nil {
		return err
	}
	id, err := h.NewID()
	if err != nil {
		return err
	}
	now := store.At(h.Now())
	if err := tx.AddAudit([]store.Audit{{SocietyID: e.SocietyID, ID: id, EventID: e.ID, PersonID: by, Action: "installation", Kind: kind,
		Subject: subject, Detail: detail, RecordedAt: now}}); err != nil {
		return err
	}
	_, err = tx.AddChanges(e.SocietyID, e.ID, []store.Change{{SocietyID: e.SocietyID, EventID: e.ID, Kind: change, Subject: subject, RecordedAt: now}})
	return err
}

// deleteDueIn is DeleteDue within the transaction that brings rows in: what was due before, or has become due since
// they were packed, is not there for a moment. A zero event means all.
func deleteDueIn(h *hall.Hall, tx *store.Tx, only foray.ID) (done Deleted, err error) {
	events, err := due(tx, h.Now())
	if err != nil {
		return done, err
	}
	for _, e := range events {
		if !only.IsZero() && e.ID != only {
			continue
		}
		n, err := deletePersonal(h, tx, e)
		if err != nil {
			return done, err
		}
		if n > 0 {
			done.Events = append(done.Events, DeletedEvent{e.Code, n})
		}
	}
	asked, err := tx.EventsWithContacts()
	if err != nil || !only.IsZero() {
		return done, err
	}
	for _, e := range asked {
		n, err := forgetSenders(h, tx, e)
		if done.Contacts += n; err != nil {
			return done, err
		}
	}
	return done, nil
}
