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

// Would catch a history that cannot be brought in because somebody else had settled its dispute, and a form that settles one
// for another.
func TestADisputeOfThePastWasSettledByWhomItWas(t *testing.T) {
	say := func(seq int, by byte, name string) foray.Slip {
		return foray.Slip{ID: foray.ID{9, byte(seq)}, Seq: seq, Kind: foray.SignOff, Determiner: foray.ID{by}, Writer: foray.ID{1}, Basis: "macroscopic",
			Names: []foray.SlipName{{Rank: 1, Verbatim: name}}}
	}
	slips := []foray.Slip{say(1, 2, "Amanita citrina"), say(2, 3, "Amanita phalloides")}
	settles := say(3, 4, "Amanita citrina")
	hand := foray.Hand{Person: foray.ID{1}, MaySign: true, MayScribe: true, MaySettle: true, Determiner: true}
	if err := foray.Replay(slips).Permit(settles, hand, slips, time.Time{}); !fault.Is(err, fault.NotAllowed) {
		t.Errorf("now: %v", err)
	}
	hand.Past = true
	if err := foray.Replay(slips).Permit(settles, hand, slips, time.Time{}); err != nil {
		t.Errorf("then: %v", err)
	}
	if st := foray.Replay(append(slips, settles)); st.Naming != foray.Confirmed || st.Disputed {
		t.Errorf("it stands %+v", st)
	}
}
