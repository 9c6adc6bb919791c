package foray_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"forayhall/internal/foray"
)

// The example of the GRid standard, which uses the same system: A12425GABC1234002M (IFPI, Global Release Identifier
// Standard 2.1, 2011).
func TestTheCheckCharacterIsThatOfISO7064(t *testing.T) {
	if got := foray.CheckCharacter("A12425GABC1234002", foray.Number{}); got != 'M' {
		t.Errorf("the check character is %c, want M", got)
	}
}

func TestALabelsCodeIsReadBackAndAWrongCharacterIsFound(t *testing.T) {
	const characters = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
	rapid.Check(t, func(t *rapid.T) {
		n, event := numbers.Draw(t, "number"), rapid.StringMatching("[A-Z]{1,6}[0-9]{0,4}").Draw(t, "event")
		code := foray.LabelCode(event, n)
		if back, err := foray.ParseNumber(code, event); err != nil || back != n {
			t.Fatalf("%q of %s is read as %v, %v", code, event, back, err)
		}
		at := rapid.IntRange(len(event)+1, len(code)-1).Draw(t, "at")
		other := characters[rapid.IntRange(0, len(characters)-1).Draw(t, "other")]
		if code[at] == other || code[at] == '-' {
			return
		}
		wrong := code[:at] + string(other) + code[at+1:]
		if back, err := foray.ParseNumber(wrong, event); err == nil && strings.Count(wrong, "-") == 2 {
			t.Fatalf("%q, with one character wrong, is read as %v", wrong, back)
		}
	})
}
