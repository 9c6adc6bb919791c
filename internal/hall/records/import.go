// Package records brings the records of the past in and takes records out for recording schemes. What was written
// down is kept as it was written; what cannot be taken is said line by line. It must never guess a name or a person,
// and never bring half a file in because of an error of its own.
package records

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// Options is what whoever brings records decides.
type Options struct {
	MonthFirst       bool // 03/04/2025 is 4 March
	AutoNumbers      bool // rows without a number get the next free ones
	KnownDeterminers bool // nobody becomes an identifier of the event by being named as one
	SensitiveSites   bool // sites that are added show the public a grid only
	AllOrNothing     bool // one row that cannot be taken keeps all of them out
	DryRun           bool // say what would happen and write nothing
}

// Outcome is what became of a table.
type Outcome struct {
	Taken   int               `json:"taken"`
	Refused []archive.Refused `json:"refused"`
	Notes   []message.Text    `json:"notes"`
	Lines   []int             `json:"lines"` // those taken, so that they are not taken again
}

// errKeepNothing ends a command whose writes are taken back although nothing went wrong.
var errKeepNothing = errors.New("nothing is kept")

// body is what the command remembers of a table; which attempt it was is part of it.
type body struct {
	SHA256  string `json:"sha256"`
	Attempt int    `json:"attempt"`
}

// Import brings a recorder's table into an event in one command: the rows that can be taken are taken, and each of
// the others is explained. Where cmd has no id, one is made of the table and the event, so that a table brought again
// adds only what could not be taken before.
func Import(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, t *archive.Table,
	opts Options) (Outcome, error) {
	sum, err := digest(t)
	if err != nil {
		return Outcome{}, err
	}
	return run(ctx, h, actor, scope, cmd, brought{t.Name, sum}, opts, func(im *importer) (Outcome, error) { return im.bring(t) })
}

// brought is a file that is brought in, with the SHA-256 of what it says.
type brought struct{ name, sum string }

// run is one command that brings a file in. Both what it takes and what it refuses come from bring.
func run(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, file brought, opts Options,
	bring func(*importer) (Outcome, error)) (Outcome, error) {
	earlier, err := before(ctx, h, actor, scope, file.sum)
	if err != nil {
		return Outcome{}, err
	}
	if cmd.ID.IsZero() {
		cmd.ID = commandID(file.sum, scope.Event, earlier.attempts)
	}
	cmd.Type, cmd.Body = "records.import.v1", body{SHA256: file.sum, Attempt: earlier.attempts}
	var out Outcome
	kept, err := hall.Do(ctx, h, actor, access.SetUp, scope, cmd, func(w *hall.Write) (Outcome, error) {
		im, err := newImporter(w, opts, earlier.lines)
		if err != nil {
			return Outcome{}, err
		}
		if out, err = bring(im); err != nil {
			return Outcome{}, err
		}
		if opts.DryRun || out.Taken == 0 {
			return Outcome{}, errKeepNothing
		}
		w.Note("records.import", scope.Event, fmt.Sprintf("%s, sha256 %s: %d rows taken, %d refused", file.name, file.sum, out.Taken, len(out.Refused)))
		return out, nil
	})
	if errors.Is(err, errKeepNothing) {
		return out, nil
	}
	return kept, err
}

// digest is of what a table says, so that it is the same table when it was saved in another format.
func digest(t *archive.Table) (string, error) {
	data, err := json.Marshal([]any{t.Header, t.Rows})
	if err != nil {
		return "", fmt.Errorf("read %s: %w", t.Name, err)
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:]), nil
}

// commandID is a UUID of version 8 (RFC 9562, 5.8): the beginning of a SHA-256.
func commandID(sum string, event foray.ID, attempt int) foray.ID {
	return uuid8(fmt.Appendf(nil, "records.import %s %s %d", event, sum, attempt))
}

// earlierImports is what was brought of the same table before.
type earlierImports struct {
	attempts int
	lines    map[int]bool
}

func before(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, sum string) (earlierImports, error) {
	e := earlierImports{lines: map[int]bool{}}
	err := h.View(ctx, actor, access.SetUp, scope, func(l *hall.Look) error {
		for ; ; e.attempts++ {
			old, ok, err := l.Tx.CommandByID(actor.Society, actor.Person, commandID(sum, scope.Event, e.attempts))
			if err != nil || !ok {
				return err
			}
			var out Outcome
			if err := json.Unmarshal([]byte(old.Result), &out); err != nil {
				return fmt.Errorf("read what an earlier import answered: %w", err)
			}
			for _, line := range out.Lines {
				e.lines[line] = true
			}
		}
	})
	return e, err
}

// bring reads the table, takes what it can and writes it.
func (im *importer) bring(t *archive.Table) (Outcome, error) {
	recs, refused, notes, err := archive.CollectionRecords(t, im.reading())
	if err != nil {
		return Outcome{}, err
	}
	im.out = Outcome{Refused: refused}
	recs = im.fresh(recs)
	if err := im.readNames(recs); err != nil {
		return Outcome{}, err
	}
	im.number(recs)
	for _, rec := range recs {
		if err := im.take(rec); err != nil {
			return Outcome{}, err
		}
	}
	return im.end(notes)
}

// reading is what the reader of records must be told.
func (im *importer) reading() archive.Options {
	return archive.Options{EventCode: im.event.Code, MonthFirst: im.opts.MonthFirst, AutoNumbers: im.opts.AutoNumbers, Today: im.today(),
		Groups: groupNames(im.Hall.Knowledge.Groups)}
}

// end writes what was taken, unless one row keeps all of them out.
func (im *importer) end(notes []message.Text) (Outcome, error) {
	sortByLine(im.out.Refused)
	if im.opts.AllOrNothing && len(im.out.Refused) > 0 {
		notes = append(notes, message.T("records.note-all-or-nothing"))
		return Outcome{Refused: im.out.Refused, Notes: notes}, nil
	}
	im.out.Notes = append(notes, im.notes()...)
	return im.out, im.write()
}

// fresh leaves out the rows that an earlier import of the same table took.
func (im *importer) fresh(recs []archive.Record) []archive.Record {
	kept := make([]archive.Record, 0, len(recs))
	for _, rec := range recs {
		if im.earlier[rec.Line] {
			im.again++
			continue
		}
		kept = append(kept, rec)
	}
	return kept
}

// write stores what was taken: people and places before what refers to them.
func (im *importer) write() error {
	for _, p := range im.newPeople {
		if err := im.Tx.AddPerson(p); err != nil {
			return err
		}
		im.Note("person.add", p.ID, p.Name)
	}
	if err := im.writePlaces(); err != nil {
		return err
	}
	for _, r := range im.newRights {
		if err := im.Tx.GiveRight(r); err != nil {
			return err
		}
		im.Note("right.give", r.PersonID, string(r.Held))
		im.Changed("right", r.PersonID)
	}
	if err := im.Tx.AddCollections(im.collections); err != nil {
		return err
	}
	for _, c := range im.collections {
		im.Changed("collection", c.ID)
	}
	for _, add := range []func() error{
		func() error { return im.Tx.AddSlips(im.Scope.Society, im.Scope.Event, im.slips) },
		func() error { return im.Tx.AddNamingHistories(im.history) },
		func() error { return im.Tx.AddCharacterNotes(im.characters) },
		func() error { return im.Tx.AddPlacements(im.placements) },
		im.writeSeen, im.writeVouchers,
	} {
		if err := add(); err != nil {
			return err
		}
	}
	return nil
}

func (im *importer) writePlaces() error {
	for _, s := range im.newSites {
		if err := im.Tx.AddSite(s.asSite()); err != nil {
			return err
		}
		im.Note("site.add", s.ID, s.Name)
		im.Changed("site", s.ID)
	}
	for _, m := range im.newTeams {
		if err := im.Tx.AddTeam(m); err != nil {
			return err
		}
		im.Note("team.add", m.ID, fmt.Sprint(m.Number))
		im.Changed("team", m.ID)
	}
	return nil
}

// person is somebody who is added.
func (im *importer) person(id foray.ID, name string) store.Person {
	return store.Person{SocietyID: im.Scope.Society, ID: id, Name: name, Credit: "full", Kind: "person", CreatedAt: im.Stamp()}
}
