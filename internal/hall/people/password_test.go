package people

import (
	"crypto/rand"
	"errors"
	"strings"
	"testing"
	"testing/iotest"

	"forayhall/internal/fault"
)

var cheap = Cost{TimePasses: 1, MemoryKiB: 8, Lanes: 1}

// A hash of Argon2's reference implementation (its test.c, argon2id, version 19, 2 passes, 256 KiB, one lane).
const reference = "$argon2id$v=19$m=256,t=2,p=1$c29tZXNhbHQ$nf65EOgLrQMR/uIPnA4rEsF5h7TKyQwu9U1bMCHGi/4"

func TestTheHashOfTheReferenceImplementationIsUnderstood(t *testing.T) {
	if !checkPassword("password", reference) {
		t.Error("the right password is refused")
	}
	if checkPassword("Password", reference) || checkPassword("", reference) {
		t.Error("a wrong password is taken")
	}
}

func TestAHashThatIsNotWholeOpensNothingAndBreaksNothing(t *testing.T) {
	for name, phc := range map[string]string{
		"nothing":             "",
		"the password itself": "password",
		"another function":    strings.Replace(reference, "argon2id", "argon2i", 1),
		"another version":     strings.Replace(reference, "v=19", "v=16", 1),
		"no version":          strings.Replace(reference, "$v=19", "", 1),
		"no cost":             strings.Replace(reference, "m=256,t=2,p=1", "", 1),
		"no passes":           strings.Replace(reference, "t=2", "t=0", 1),
		"no lanes":            strings.Replace(reference, "p=1", "p=0", 1),
		"too many lanes":      strings.Replace(reference, "p=1", "p=300", 1),
		"a salt of no base64": strings.Replace(reference, "c29tZXNhbHQ", "***", 1),
		"an empty hash":       reference[:strings.LastIndex(reference, "$")+1],
		"a hash cut short":    reference[:len(reference)-4],
		"one part too many":   reference + "$",
	} {
		t.Run(name, func(t *testing.T) {
			if checkPassword("password", phc) || checkPassword("", phc) {
				t.Errorf("%q opens", phc)
			}
		})
	}
}

func TestAPasswordIsHashedWithItsOwnSalt(t *testing.T) {
	one, err := hashPassword("chanterelle-basket", cheap, rand.Reader)
	two, err2 := hashPassword("chanterelle-basket", cheap, rand.Reader)
	if err != nil || err2 != nil || one == two || !strings.HasPrefix(one, "$argon2id$v=19$m=8,t=1,p=1$") {
		t.Fatalf("%s %s %v %v", one, two, err, err2)
	}
	if !checkPassword("chanterelle-basket", one) || !checkPassword("chanterelle-basket", two) || checkPassword("chanterelle-baskets", one) {
		t.Error("a hash does not tell its password from another")
	}
	if _, err := hashPassword("chanterelle-basket", cheap, iotest.ErrReader(errors.New("no entropy"))); err == nil {
		t.Error("hashed without a salt")
	}
}

// NIST SP 800-63B, 5.1.1.2: length and nothing else; characters are counted, not bytes.
func TestAPasswordHasALengthAndNoOtherRule(t *testing.T) {
	for password, good := range map[string]bool{"": false, "123456789": false, "1234567890": true, "žžžžžžžžžž": true, "žžžžžžžžž": false,
		strings.Repeat("x", 512): true, strings.Repeat("x", 513): false} {
		_, err := hashPassword(password, cheap, rand.Reader)
		if (err == nil) != good || err != nil && !fault.Is(err, fault.Invalid) {
			t.Errorf("%d bytes: %v", len(password), err)
		}
	}
}

func TestKeysAreMadeOnceAndOnlyLongOnesTaken(t *testing.T) {
	dir := t.TempDir()
	one, err := LoadKeys("", dir, rand.Reader)
	two, err2 := LoadKeys("", dir, rand.Reader)
	if err != nil || err2 != nil || len(one) != 1 || one[0].ID != two[0].ID || string(one[0].Secret) != string(two[0].Secret) || len(one[0].Secret) != 32 {
		t.Fatalf("%v %v %v %v", one, two, err, err2)
	}
	for _, bad := range []string{"not base64!", "c2hvcnQ=", ","} {
		if keys, err := LoadKeys(bad, dir, rand.Reader); err == nil {
			t.Errorf("%q gives %d keys", bad, len(keys))
		}
	}
}
