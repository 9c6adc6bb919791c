package people

import (
	"crypto/subtle"
	"encoding/base64"
	"fmt"
	"io"
	"strings"

	"golang.org/x/crypto/argon2"

	"forayhall/internal/fault"
)

// Cost is what a password hash costs. DefaultCost is the second recommended choice of RFC 9106, section 4; tests hash
// cheaply.
type Cost struct {
	TimePasses uint32
	MemoryKiB  uint32
	Lanes      uint8
}

// DefaultCost follows RFC 9106, 4: 3 passes, 64 MiB, 4 lanes.
var DefaultCost = Cost{TimePasses: 3, MemoryKiB: 64 * 1024, Lanes: 4}

const (
	saltLength = 16
	hashLength = 32
	// minPassword and maxPassword are characters and bytes (NIST SP 800-63B, 5.1.1.2 asks for at least 8).
	minPassword = 10
	maxPassword = 512
)

// hashPassword makes a PHC string of argon2id.
func hashPassword(password string, c Cost, random io.Reader) (string, error) {
	if len([]rune(password)) < minPassword || len(password) > maxPassword {
		return "", fault.Wrong("password", "people.password-length", "least", minPassword)
	}
	salt := make([]byte, saltLength)
	if _, err := io.ReadFull(random, salt); err != nil {
		return "", fmt.Errorf("make a salt: %w", err)
	}
	sum := argon2.IDKey([]byte(password), salt, c.TimePasses, c.MemoryKiB, c.Lanes, hashLength)
	b64 := base64.RawStdEncoding
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, c.MemoryKiB, c.TimePasses, c.Lanes,
		b64.EncodeToString(salt), b64.EncodeToString(sum)), nil
}

// checkPassword reports whether a password gives the hash.
func checkPassword(password, phc string) bool {
	var version int
	var c Cost
	parts := strings.Split(phc, "$")
	if len(parts) != 6 || parts[1] != "argon2id" {
		return false
	}
	if _, err := fmt.Sscanf(parts[2], "v=%d", &version); err != nil || version != argon2.Version {
		return false
	}
	if _, err := fmt.Sscanf(parts[3], "m=%d,t=%d,p=%d", &c.MemoryKiB, &c.TimePasses, &c.Lanes); err != nil || c.TimePasses == 0 || c.Lanes == 0 {
		return false // RFC 9106, 3.1: at least one pass and one lane
	}
	salt, err := base64.RawStdEncoding.DecodeString(parts[4])
	if err != nil {
		return false
	}
	want, err := base64.RawStdEncoding.DecodeString(parts[5])
	if err != nil || len(want) == 0 || len(password) > maxPassword {
		return false
	}
	got := argon2.IDKey([]byte(password), salt, c.TimePasses, c.MemoryKiB, c.Lanes, uint32(len(want)))
	return subtle.ConstantTimeCompare(got, want) == 1
}
