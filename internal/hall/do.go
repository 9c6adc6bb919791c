package hall

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/store"
)

// Do applies a command: authorise → transaction → seen before? → fn → audit → change row → commit → notify. A command
// that was applied before answers what it answered then; with another body it is fault.Mismatch. fn may run more than
// once and must change nothing but through w.
func Do[R any](ctx context.Context, h *Hall, actor access.Actor, action access.Action, scope access.Scope, cmd Command,
	fn func(w *Write) (R, error)) (R, error) {
	result, already, err := DoSeen(ctx, h, actor, action, scope, cmd, fn)
	if cmd.Already != nil {
		*cmd.Already = already && err == nil
	}
	return result, err
}

// DoSeen is Do that also says whether the command had been applied before.
func DoSeen[R any](ctx context.Context, h *Hall, actor access.Actor, action access.Action, scope access.Scope, cmd Command,
	fn func(w *Write) (R, error)) (result R, already bool, err error) {
	hash, err := cmd.hash()
	if err != nil {
		return result, false, err
	}
	var last int64
	err = h.Store.Write(ctx, func(tx *store.Tx) error {
		var zero R
		result, already, last = zero, false, 0
		w, err := h.begin(tx, actor, scope, cmd)
		if err != nil {
			return err
		}
		if err := w.authorise(action); err != nil {
			return err
		}
		if already, err = w.seen(hash, &result); already || err != nil {
			return err
		}
		if result, err = fn(w); err != nil {
			return err
		}
		last, err = w.finish(action, hash, result)
		return err
	})
	if err == nil && last > 0 {
		h.Live.Publish(scope.Event)
	}
	if err != nil {
		err = fmt.Errorf("%s: %w", cmd.Type, err)
	}
	return result, already, err
}

// begin reads the clock once: one now a transaction.
func (h *Hall) begin(tx *store.Tx, actor access.Actor, scope access.Scope, cmd Command) (*Write, error) {
	now := store.At(h.Now()).Time
	look, err := h.look(tx, actor, scope, now)
	if err != nil {
		return nil, err
	}
	look.writes = true
	w := &Write{Look: *look, Command: cmd, Happens: store.At(cmd.HappenedAt).Time}
	// A device's clock orders nothing, and nothing happens in the future.
	if w.Happens.IsZero() || w.Happens.After(now) {
		w.Happens = now
	}
	return w, nil
}

// hash refuses U+0000, which one database keeps and the other does not, and is the SHA-256 of type and body.
func (c Command) hash() (string, error) {
	if c.ID.IsZero() || c.Type == "" {
		return "", fault.Wrong("command", "command.id-missing")
	}
	body, err := json.Marshal(c.Body)
	if err != nil {
		return "", fmt.Errorf("marshal %s: %w", c.Type, err)
	}
	if bytes.Contains(body, []byte(`\u0000`)) {
		return "", fault.Wrong("text", "command.zero-byte")
	}
	sum := sha256.New()
	fmt.Fprintf(sum, "%s\n%s\n", c.Type, body)
	if c.BaseVersion != nil {
		fmt.Fprintf(sum, "%d\n", *c.BaseVersion)
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}

func (w *Write) seen(hash string, result any) (bool, error) {
	if !w.Actor.SignedIn() {
		return false, nil
	}
	if err := w.Tx.LockCommand(w.Actor.Person, w.Command.ID); err != nil {
		return false, err
	}
	old, ok, err := w.Tx.CommandByID(w.Actor.Society, w.Actor.Person, w.Command.ID)
	if err != nil || !ok {
		return false, err
	}
	if old.BodySha256 != hash {
		return true, fault.New(fault.Mismatch, "command.mismatch")
	}
	if err := json.Unmarshal([]byte(old.Result), result); err != nil {
		return true, fmt.Errorf("read the answer given before: %w", err)
	}
	return true, nil
}

// finish writes audit, command and, last, the change rows.
func (w *Write) finish(action access.Action, hash string, result any) (int64, error) {
	answer, err := json.Marshal(result)
	if err != nil {
		return 0, fmt.Errorf("marshal the answer: %w", err)
	}
	if len(w.audits) == 0 {
		w.Note("", foray.ID{}, "")
	}
	for i := range w.audits {
		if w.audits[i].ID, err = w.NewID(); err != nil {
			return 0, err
		}
		w.audits[i].Action = string(action)
	}
	if err := w.Tx.AddAudit(w.audits); err != nil {
		return 0, err
	}
	if err := w.Tx.AddCommand(store.CommandLog{SocietyID: w.Actor.Society, PersonID: w.Actor.Person, ID: w.Command.ID,
		EventID: w.Scope.Event, Kind: w.Command.Type, Device: w.Command.Device, BodySha256: hash, Result: string(answer),
		RecordedAt: store.At(w.Now)}); err != nil {
		return 0, err
	}
	if w.Scope.Event.IsZero() {
		return 0, nil
	}
	return w.Tx.AddChanges(w.Scope.Society, w.Scope.Event, w.changes)
}

// Changed says that something of the event is different now; it is numbered when the command is done.
func (w *Write) Changed(kind string, subject foray.ID) {
	if slices.ContainsFunc(w.changes, func(c store.Change) bool { return c.Kind == kind && c.Subject == subject }) {
		return // one command changes one thing once
	}
	w.changes = append(w.changes, store.Change{SocietyID: w.Scope.Society, EventID: w.Scope.Event, Kind: kind,
		Subject: subject, RecordedAt: store.At(w.Now)})
}

// Note adds an audit row: what was done to what, with what was there before where something is replaced.
func (w *Write) Note(kind string, subject foray.ID, detail string) {
	if kind == "" {
		kind = w.Command.Type
	}
	w.audits = append(w.audits, store.Audit{SocietyID: w.Actor.Society, EventID: w.Scope.Event, PersonID: w.Actor.Person,
		Kind: kind, Subject: subject, Detail: detail, RecordedAt: store.At(w.Now)})
}

// Stamp is now as the store keeps it.
func (w *Write) Stamp() store.Stamp { return store.At(w.Now) }

// HappenedStamp is when the command was done, by the word of whoever sent it.
func (w *Write) HappenedStamp() store.Stamp { return store.At(w.Happens) }

// Expect is the compare of compare-and-set: a decision made on another version than the collection has now is told
// what is there. other makes that answer.
func (w *Write) Expect(c store.Collection, other func() (any, error)) error {
	if w.Command.BaseVersion != nil && *w.Command.BaseVersion == c.Version {
		return nil
	}
	there, err := other()
	if err != nil {
		return err
	}
	e := fault.New(fault.Conflict, "slip.overtaken", "number", c.Number().String())
	e.Other = there
	return e
}

// Zone is the event's time zone; one that cannot be read counts as UTC.
func Zone(e store.Event) *time.Location {
	zone, err := time.LoadLocation(e.TimeZone)
	if err != nil {
		return time.UTC
	}
	return zone
}
