// Package corrections is how a list stays right after the event: anybody who reads it may say that something is wrong,
// a keeper of the list answers, and what was asked and answered is kept. It must never show who asked to anybody but
// those who answer, unless they said so, nor what they wrote before a keeper let it be read; it sends nothing to anybody.
package corrections

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/message"
	"forayhall/internal/store"
)

// Kinds lists what may be wrong.
var Kinds = []string{"name", "place", "date", "person", Private, "other"}

// Private is the kind of a request that something should not be public. What it is about is not public either.
const Private = store.CorrectionPrivate

// Limits. Who does not sign in is counted by event, for a hall is one address; who does, by person.
const (
	unsignedMost = 20
	signedMost   = 30
	window       = time.Hour
	mostWords    = 2000
	mostName     = 200
	mostReplies  = 10
)

// Ask is a request that something be put right.
type Ask struct {
	About    string `json:"about,omitempty"`   // a number, the id of a field record, or a name as the list prints it; empty: the list as a whole
	Version  int    `json:"version,omitempty"` // the signed version that was read; 0: the newest, or the running list
	Kind     string `json:"kind"`
	Name     string `json:"name,omitempty"` // that is proposed
	Words    string `json:"words"`
	Evidence string `json:"evidence,omitempty"`
	From     string `json:"from,omitempty"`  // the sender's name; of whoever is signed in it is known
	Reach    string `json:"reach,omitempty"` // how to reach them
	ShowName bool   `json:"show_name,omitempty"`
	// Secret opens the sender's page: 20 random bytes in URL-safe base64, made by the sender. Empty: it is made here, and
	// its path is in the first answer only.
	Secret string `json:"secret,omitempty"`
}

// Asked is the answer.
type Asked struct {
	Request foray.ID `json:"request"`
	Seq     int      `json:"number"`         // by which people speak of it
	Path    string   `json:"path,omitempty"` // of the sender's page
}

// secretLength is bytes, as of invitations: a secret cannot be guessed and needs no limit on guesses.
const secretLength = 20

// NewSecret makes what opens a sender's page.
func NewSecret(random io.Reader) (string, error) {
	secret := make([]byte, secretLength)
	if _, err := io.ReadFull(random, secret); err != nil {
		return "", fmt.Errorf("make a secret: %w", err)
	}
	return base64.RawURLEncoding.EncodeToString(secret), nil
}

func hashOf(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

// SendRequest keeps a request with who asked. Sent again it is the same request. No change is numbered: pages that
// everybody reads do not show it, and nobody outside can make a keeper's list look changed.
func SendRequest(ctx context.Context, h *hall.Hall, actor access.Actor, scope access.Scope, cmd hall.Command, in Ask) (Asked, error) {
	cmd.Type, cmd.Body = "correction.ask.v1", in
	actor, err := h.Unsigned(ctx, actor, scope.Society)
	if err != nil {
		return Asked{}, err
	}
	secret, made := in.Secret, false
	if secret == "" {
		if secret, err = NewSecret(h.Random); err != nil {
			return Asked{}, err
		}
		made = true
	}
	var path string
	kept, already, err := hall.DoSeen(ctx, h, actor, access.ReadPublic, scope, cmd, func(w *hall.Write) (Asked, error) {
		return ask(w, in, secret)
	})
	if err == nil && !(made && already) {
		path, err = senderPath(ctx, h, scope, secret)
	}
	if cmd.Already != nil {
		*cmd.Already = already && err == nil
	}
	kept.Path = path
	return kept, err
}

func senderPath(ctx context.Context, h *hall.Hall, scope access.Scope, secret string) (path string, err error) {
	err = h.Store.Read(ctx, func(tx *store.Tx) error {
		s, err := tx.SocietyByID(scope.Society)
		if err != nil {
			return err
		}
		e, err := tx.EventByID(scope.Society, scope.Event)
		path = "/" + s.Code + "/" + e.Code + "/correct/" + secret
		return err
	})
	return path, err
}

func ask(w *hall.Write, in Ask, secret string) (Asked, error) {
	e, err := w.Tx.LockEvent(w.Scope.Society, w.Scope.Event) // two who send at once are counted one after the other
	if err != nil {
		return Asked{}, err
	}
	if e.Home == hall.HomeLent {
		return Asked{}, fault.New(fault.Refused, "event.is-lent")
	}
	if err := in.check(w); err != nil {
		return Asked{}, err
	}
	s, err := subjectOf(&w.Look, in.About, in.Version)
	if err != nil {
		return Asked{}, err
	}
	if err := limited(w); err != nil {
		return Asked{}, err
	}
	c := store.Correction{SocietyID: w.Scope.Society, EventID: w.Scope.Event, About: s.About, CollectionID: s.Collection, RecordID: s.Record, Line: s.Line,
		Kind: in.Kind, Words: strings.TrimSpace(in.Words), Evidence: strings.TrimSpace(in.Evidence), SecretSha256: hashOf(secret), RecordedAt: w.Stamp()}
	if s.Version > 0 {
		c.Version = &s.Version
	}
	if err := propose(w, &c, in.Name); err != nil {
		return Asked{}, err
	}
	contact := store.CorrectionContact{SocietyID: c.SocietyID, EventID: c.EventID, Name: tidy(in.From), Reach: tidy(in.Reach), ShowName: in.ShowName}
	if known(w) {
		c.PersonID, contact.Name = w.Actor.Person, ""
	}
	if c.ID, err = w.NewID(); err != nil {
		return Asked{}, err
	}
	if c.Seq, err = w.Tx.NextCorrection(c.SocietyID, c.EventID); err != nil {
		return Asked{}, err
	}
	contact.CorrectionID = c.ID
	w.Note("correction.ask", c.ID, fmt.Sprint(c.Seq))
	return Asked{Request: c.ID, Seq: c.Seq}, w.Tx.AddCorrection(c, contact)
}

// known reports whether the sender is signed in to the society.
func known(w *hall.Write) bool { return w.Held.Can(access.NameOwn) }

func tidy(s string) string { return strings.Join(strings.Fields(s), " ") }

// check refuses what is missing or too long.
func (in Ask) check(w *hall.Write) error {
	wrong := map[string]message.Text{}
	if !slices.Contains(Kinds, in.Kind) {
		wrong["kind"] = message.T("correction.kind-missing")
	}
	if words := strings.TrimSpace(in.Words); words == "" {
		wrong["words"] = message.T("correction.words-missing")
	}
	for field, text := range map[string]string{"words": in.Words, "evidence": in.Evidence} {
		if len(text) > mostWords {
			wrong[field] = message.T("text.too-long", "most", mostWords)
		}
	}
	for field, text := range map[string]string{"name": in.Name, "from": in.From, "reach": in.Reach, "about": in.About} {
		if len(text) > mostName {
			wrong[field] = message.T("text.too-long", "most", mostName)
		}
	}
	if in.ShowName && !known(w) && tidy(in.From) == "" {
		wrong["from"] = message.T("correction.name-missing")
	}
	if in.Secret != "" {
		if err := in.secretFree(w); err != nil {
			return err
		}
	}
	if len(wrong) > 0 {
		return fault.Many(wrong)
	}
	return nil
}

// secretFree refuses a secret that is too weak, and one that another request has: nobody finds out about that one.
func (in Ask) secretFree(w *hall.Write) error {
	raw, err := base64.RawURLEncoding.DecodeString(in.Secret)
	if err != nil || len(raw) != secretLength {
		return fault.New(fault.Refused, "command.id-missing")
	}
	taken, err := w.Tx.SecretTaken(hashOf(in.Secret))
	if err == nil && taken {
		err = fault.New(fault.Refused, "correction.sent-before")
	}
	return err
}

// limited refuses what comes too fast.
func limited(w *hall.Write) error {
	person, most, key := foray.ID{}, unsignedMost, "correction.busy"
	if known(w) {
		person, most, key = w.Actor.Person, signedMost, "correction.busy-you"
	}
	came, err := w.Tx.CorrectionsSince(w.Scope.Society, w.Scope.Event, person, store.At(w.Now.Add(-window)))
	if err != nil || len(came) < most {
		return err
	}
	free := came[len(came)-most].RecordedAt.Add(window)
	return fault.New(fault.TooMany, key, "most", most, "minutes", int(free.Sub(w.Now).Minutes())+1)
}

// propose reads the proposed name by the taxonomy; what is not known is kept as it was written.
func propose(w *hall.Write, c *store.Correction, text string) error {
	if tidy(text) == "" {
		return nil
	}
	n, err := w.ReadName(hall.NameInput{Text: text}, 1, nil)
	c.Verbatim, c.NameKey, c.CurrentKey, c.Name, c.Author, c.Qualifier, c.ChecklistRev = n.Verbatim, n.Key, n.CurrentKey, n.Name, n.Author, n.Qualifier, n.ChecklistRev
	return err
}
