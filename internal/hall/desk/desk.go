// Package desk is the intake: a collection is logged while the collector stands there, before smell and colour fade.
// Taste is never asked for and never suggested.
package desk

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strconv"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// Field is the field data of a collection as a form or device sends it. Empty is not known yet: incomplete ones are
// a list, not an error.
type Field struct {
	Group       string    `json:"group"`
	Team        string    `json:"team,omitempty"` // its id, or its number
	Site        string    `json:"site,omitempty"` // its id, or its code
	Collector   string    `json:"collector,omitempty"`
	PickedAt    time.Time `json:"picked_at,omitzero"`
	PickedText  string    `json:"picked_text,omitempty"`
	PickedFrom  string    `json:"picked_from,omitempty"`
	PickedTo    string    `json:"picked_to,omitempty"`
	Substrate   string    `json:"substrate,omitempty"`
	Host        string    `json:"host,omitempty"`
	Habitat     string    `json:"habitat,omitempty"`
	Growth      string    `json:"growth,omitempty"`
	Plate       string    `json:"plate,omitempty"`
	KeptCool    bool      `json:"kept_cool,omitempty"`
	Fruitbodies *int      `json:"fruitbodies,omitempty"`
	WeightG     *float64  `json:"weight_g,omitempty"`
	Outside     bool      `json:"outside,omitempty"`
	Cultivated  bool      `json:"cultivated,omitempty"`
	Remarks     string    `json:"remarks,omitempty"`
}

// Character is a fleeting character as said.
type Character struct {
	Character string `json:"character"`
	Words     string `json:"words"`
	Seconds   *int   `json:"seconds,omitempty"`
}

// Log is a collection to be logged.
type Log struct {
	ID         foray.ID    `json:"id"`     // made by the sender
	Number     string      `json:"number"` // as on the label
	Field      Field       `json:"field"`
	Characters []Character `json:"characters,omitempty"`
	// Name is the collector's first word of it, kept as a field name; nobody need give one.
	Name hall.NameInput `json:"name,omitzero"`
}

// Logged is the answer.
type Logged struct {
	ID     foray.ID `json:"id"`
	Number string   `json:"number"`
}

// Taken is what the desk is told when the number was used before.
type Taken struct {
	Number string    `json:"number"`
	At     time.Time `json:"at"`
	By     string    `json:"by"`
	Fate   string    `json:"fate"`           // live; split, merged, spoilt; label where only the label was spoilt
	Next   string    `json:"next,omitempty"` // the number that a new label would most likely bear
}

// HasPlate reports whether something bears the number, and not only its label was spoilt.
func (t Taken) HasPlate() bool { return t.Fate != labelSpoilt }

// LogCollection gives a find its number. A number that was used before is a Conflict that says by whom and when:
// the second one gets a new label.
func LogCollection(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Log) (Logged, error) {
	cmd.Type, cmd.Body = "collection.log.v1", in
	return hall.Do(ctx, h, actor, access.LogCollection, scope, cmd, func(w *hall.Write) (Logged, error) {
		event, err := w.Tx.EventByID(scope.Society, scope.Event)
		if err != nil {
			return Logged{}, err
		}
		c, err := newCollection(w, event, in)
		if err != nil {
			return Logged{}, err
		}
		if err := w.Tx.AddCollection(c); err != nil {
			return Logged{}, err
		}
		if err := addCharacters(w, c.ID, in.Characters); err != nil {
			return Logged{}, err
		}
		if err := firstName(w, c, in.Name); err != nil {
			return Logged{}, err
		}
		w.Note("collection.log", c.ID, c.Number().String())
		w.Changed("collection", c.ID)
		return Logged{ID: c.ID, Number: c.Number().String()}, nil
	})
}

// firstName keeps the name that came with a find as its collector's field name, written at the desk; of a find without
// a collector it is the word of whoever writes.
func firstName(w *hall.Write, c store.Collection, in hall.NameInput) error {
	names, err := w.ReadNames([]hall.NameInput{in}, nil)
	if err != nil || len(names) == 0 {
		return err
	}
	by := c.CollectorID
	if by.IsZero() {
		by = w.Actor.Person
	}
	return w.AddFieldName(&hall.Plate{Collection: c, Standing: foray.Replay(nil)}, foray.Slip{Determiner: by, Names: names})
}

func newCollection(w *hall.Write, event store.Event, in Log) (store.Collection, error) {
	if event.State == "closed" {
		return store.Collection{}, fault.New(fault.Refused, "event.is-closed")
	}
	number, err := foray.ParseNumber(in.Number, event.Code)
	if err != nil {
		return store.Collection{}, err
	}
	if err := free(w, event, number, in.Field.Team); err != nil {
		return store.Collection{}, err
	}
	c := store.Collection{SocietyID: event.SocietyID, EventID: event.ID, ID: in.ID, NumberBase: number.Base,
		NumberSuffix: number.Suffix, Naming: foray.BroughtIn, Whereabouts: foray.AtDesk, LoggedBy: w.Actor.Person,
		HappenedAt: w.HappenedStamp(), RecordedAt: w.Stamp()}
	if err := identify(w, &c); err != nil {
		return c, err
	}
	if err := teamGiven(w, in.Field); err != nil {
		return c, err
	}
	return c, fill(w, &c, in.Field)
}

// identify gives the collection an id where the sender gave none. One that was used before is another find's.
func identify(w *hall.Write, c *store.Collection) (err error) {
	if c.ID.IsZero() {
		c.ID, err = w.NewID()
		return err
	}
	_, err = w.Tx.LockCollection(w.Scope.Society, w.Scope.Event, c.ID)
	switch {
	case fault.Is(err, fault.NotFound):
		return nil
	case err != nil:
		return err
	}
	return fault.New(fault.Mismatch, "command.mismatch")
}

// teamGiven asks for the team where the event has teams: with number and group it is all that intake needs.
func teamGiven(w *hall.Write, in Field) error {
	if in.Team != "" || in.Outside {
		return nil
	}
	teams, err := w.Tx.Teams(w.Scope.Society, w.Scope.Event)
	if err != nil || len(teams) == 0 {
		return err
	}
	return fault.Wrong("team", "field.team-missing")
}

// Correct is field data to be put right.
type Correct struct {
	Collection foray.ID `json:"collection"`
	Field      Field    `json:"field"`
	// Seen is the mark of the field data that was on the screen, where the sender wants to be told that it changed.
	Seen       string      `json:"seen,omitempty"`
	Characters []Character `json:"characters,omitempty"` // added to what others noted
	Reason     string      `json:"reason,omitempty"`     // needed once the event is closed
}

// CorrectField replaces field data; the audit keeps what was there, and the reason where one was given. What others noted
// stays. Once the event is closed it is for those who keep the list, with a reason.
func CorrectField(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Correct) (Logged, error) {
	cmd.Type, cmd.Body = "collection.correct.v1", in
	return hall.Do(ctx, h, actor, access.LogCollection, scope, cmd, func(w *hall.Write) (Logged, error) {
		plate, err := w.LockPlate(in.Collection)
		if err != nil {
			return Logged{}, err
		}
		if err := w.AfterClosing(in.Reason); err != nil {
			return Logged{}, err
		}
		was := plate.Collection
		if in.Seen != "" && in.Seen != MarkOf(was) {
			e := fault.New(fault.Conflict, "field.overtaken")
			e.Other = Overtaken{Number: was.Number().String(), Seen: MarkOf(was)}
			return Logged{}, e
		}
		if err := fill(w, &plate.Collection, in.Field); err != nil {
			return Logged{}, err
		}
		if err := w.Tx.CorrectField(plate.Collection); err != nil {
			return Logged{}, err
		}
		if err := addCharacters(w, was.ID, in.Characters); err != nil {
			return Logged{}, err
		}
		w.Note("collection.correct", was.ID, fieldsOf(was)+because(in.Reason))
		w.Changed("collection", was.ID)
		return Logged{ID: was.ID, Number: was.Number().String()}, nil
	})
}

// because is a reason as the audit keeps it.
func because(reason string) string {
	if reason = strings.TrimSpace(reason); reason == "" {
		return ""
	}
	return fmt.Sprintf(" reason=%q", reason)
}

// Overtaken is what a correction is told that came second: the mark of what stands there now.
type Overtaken struct {
	Number string `json:"number"`
	Seen   string `json:"seen"`
}

// Note is characters noted for a collection.
type Note struct {
	Collection foray.ID    `json:"collection"`
	Characters []Character `json:"characters"`
}

// NoteCharacters adds characters; what others noted stays.
func NoteCharacters(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Note) (Logged, error) {
	cmd.Type, cmd.Body = "character.note.v1", in
	return hall.Do(ctx, h, actor, access.NameOwn, scope, cmd, func(w *hall.Write) (Logged, error) {
		plate, err := w.LockPlate(in.Collection)
		if err != nil {
			return Logged{}, err
		}
		if plate.CollectorID != w.Actor.Person {
			if err := w.May(access.NameAny); err != nil {
				return Logged{}, err
			}
		}
		if len(in.Characters) == 0 {
			return Logged{}, fault.Wrong("odour", "character.nothing-noted")
		}
		if err := addCharacters(w, plate.ID, in.Characters); err != nil {
			return Logged{}, err
		}
		w.Note("character.note", plate.ID, "")
		w.Changed("collection", plate.ID)
		return Logged{ID: plate.ID, Number: plate.Number().String()}, nil
	})
}

// Noted lists the characters that may be noted at the desk; taste is not among them.
var Noted = []string{"odour", "latex", "latex_change", "cut_change", "stickiness", "texture", "other"}

func addCharacters(w *hall.Write, collection foray.ID, noted []Character) error {
	rows := make([]store.CharacterNote, 0, len(noted))
	for _, n := range noted {
		known := false
		for _, k := range Noted {
			known = known || k == n.Character
		}
		if !known {
			return fault.Wrong("character", "character.unknown", "character", n.Character)
		}
		if n.Seconds != nil && (*n.Seconds < 0 || *n.Seconds > 86400) {
			return fault.Wrong(n.Character, "character.seconds")
		}
		words := strings.TrimSpace(n.Words)
		if words == "" || len(words) > 500 {
			return fault.Wrong(n.Character, "text.too-long", "most", 500)
		}
		id, err := w.NewID()
		if err != nil {
			return err
		}
		rows = append(rows, store.CharacterNote{SocietyID: w.Scope.Society, EventID: w.Scope.Event, ID: id, CollectionID: collection,
			Character: n.Character, Words: words, Seconds: n.Seconds, NotedBy: w.Actor.Person,
			HappenedAt: w.HappenedStamp(), RecordedAt: w.Stamp()})
	}
	return w.Tx.AddCharacterNotes(rows)
}

// MarkOf is a mark that changes when any of a collection's field data does.
func MarkOf(c store.Collection) string {
	sum := sha256.Sum256([]byte(fieldsOf(c)))
	return hex.EncodeToString(sum[:8])
}

func fieldsOf(c store.Collection) string {
	return fmt.Sprintf("group=%q team=%s site=%s collector=%s picked=%s%s substrate=%q host=%q habitat=%q growth=%q plate=%q cool=%s fruitbodies=%s weight_g=%s outside=%t cultivated=%t remarks=%q",
		c.FormGroup, c.TeamID, c.SiteID, c.CollectorID, c.PickedAt.Format(time.RFC3339), c.PickedText, c.Substrate, c.Host, c.Habitat, c.Growth, c.Plate,
		strconv.FormatBool(c.KeptCool), number(c.Fruitbodies), number(c.WeightG), c.Outside, c.Cultivated, c.Remarks)
}

func number[N int | float64](n *N) string {
	if n == nil {
		return ""
	}
	return fmt.Sprint(*n)
}
