package people

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"io"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/store"
)

// secretLength is bytes: 160 bits, so that a secret cannot be guessed and needs no limit on guesses.
const secretLength = 20

// Link is the answer to an invitation or a pass that was made. Path holds the secret and is in the first answer only:
// the store knows no more than its hash, so that a command sent again is told that the link was shown.
type Link struct {
	ID        foray.ID  `json:"id"`
	ExpiresAt time.Time `json:"expires_at,omitzero"`
	Path      string    `json:"path,omitempty"`
}

// keptLink is what the command log keeps of a Link.
type keptLink struct {
	ID        foray.ID  `json:"id"`
	ExpiresAt time.Time `json:"expires_at,omitzero"`
	Before    string    `json:"before"` // the address before the secret
}

func newSecret(random io.Reader) (string, error) {
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

func (k keptLink) link(secret string, already bool) Link {
	l := Link{ID: k.ID, ExpiresAt: k.ExpiresAt}
	if !already {
		l.Path = k.Before + secret
	}
	return l
}

// told sets what Do would have set.
func told(cmd hall.Command, already bool, err error) {
	if cmd.Already != nil {
		*cmd.Already = already && err == nil
	}
}

// stillOrganises reports whether whoever made a link could make it now: what an organiser hung up goes with their
// right. A zero event asks for any event of the society.
func stillOrganises(tx *store.Tx, society, event, maker foray.ID) (bool, error) {
	person, err := tx.PersonByID(society, maker)
	if err != nil || person.Kind == "installation" {
		return err == nil, err
	}
	rights, err := tx.RightsHeld(society, maker)
	for _, r := range rights {
		if r.Held == access.Organiser && (event.IsZero() || r.EventID == event) {
			return true, err
		}
	}
	return false, err
}
