package foray_test

import (
	"testing"
	"time"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
)

// Would catch a form that slips through without a basis, and old records that are refused for want of one.
func TestOnlyRecordsOfThePastMaySayNothingOfTheirBasis(t *testing.T) {
	me := foray.ID{1}
	for _, c := range []struct {
		what  string
		basis foray.Basis
		past  bool
		good  bool
	}{
		{"a form without a basis", "", false, false},
		{"a form that sends the word for none", foray.NotStated, false, false},
		{"an old record without a basis", foray.NotStated, true, true},
		{"an old record with one that is unknown", "guess", true, false},
		{"an old record with one that is known", "microscopy", true, true},
	} {
		slip := foray.Slip{ID: foray.ID{2}, Kind: foray.SignOff, Determiner: me, Writer: me, Basis: c.basis,
			Names: []foray.SlipName{{Rank: 1, Verbatim: "Amanita citrina"}}}
		err := foray.Replay(nil).Permit(slip, foray.Hand{Person: me, MaySign: true, Past: c.past}, nil, time.Time{})
		if c.good != (err == nil) || err != nil && !fault.Is(err, fault.Invalid) {
			t.Errorf("%s: %v", c.what, err)
		}
	}
}
