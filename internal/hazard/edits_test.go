package hazard

import "testing"

func TestWithinCountsSlipsMadeOneAfterTheOther(t *testing.T) {
	tests := []struct {
		rule, a, b string
		edits      int
		want       bool
	}{
		{"the same", "amanita", "amanita", 0, true},
		{"a swap is one slip", "amanita", "maanita", 1, true},
		{"a swap over a lost letter is two", "amanita", "anmita", 2, true},
		{"a swap around an added letter is two", "galerina", "gaxlerina", 1, true},
		{"a letter between two swapped ones", "abcd", "bxacd", 2, true},
		{"three letters lost", "amanita", "anit", 2, false},
		{"a swap and two changes", "galerina", "aglxriny", 2, false},
	}
	for _, test := range tests {
		if got := within(test.a, test.b, test.edits); got != test.want {
			t.Errorf("%s: %q and %q within %d: %t", test.rule, test.a, test.b, test.edits, got)
		}
	}
}
