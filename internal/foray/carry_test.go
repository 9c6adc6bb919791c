package foray_test

import (
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
)

// The people who name plates in these tests.
var namers = []foray.ID{ada, ben, carl, mia}

var (
	anAct = rapid.Custom(func(t *rapid.T) foray.Slip {
		kinds := []foray.SlipKind{foray.FieldName, foray.FieldName, foray.SignOff, foray.NotNameable, foray.NotFungus}
		s := foray.Slip{Kind: rapid.SampledFrom(kinds).Draw(t, "kind"), Determiner: rapid.SampledFrom(namers).Draw(t, "by"), Basis: "macroscopic", Remarks: "as seen"}
		most := map[foray.SlipKind]int{foray.FieldName: 3, foray.SignOff: 1}[s.Kind]
		if most == 0 {
			return s
		}
		for i, n := range rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"V", "W", "X", "Y", "Z"}), 1, most, rapid.ID).Draw(t, "names") {
			s.Names = append(s.Names, called(n, i+1))
		}
		return s
	})
	aPile = rapid.Custom(func(t *rapid.T) []foray.Slip {
		slips := rapid.SliceOfN(anAct, 0, 8).Draw(t, "slips")
		for i := range slips {
			slips[i].Seq, slips[i].ID = i+1, foray.ID{77, byte(i + 1)}
			slips[i].Writer = slips[i].Determiner
		}
		if len(slips) > 0 && rapid.Bool().Draw(t, "one is taken back") {
			struck := rapid.SampledFrom(slips).Draw(t, "which")
			slips = append(slips, foray.Slip{Kind: foray.Strike, Seq: len(slips) + 1, ID: foray.ID{79}, Strikes: struck.ID,
				Determiner: struck.Determiner, Writer: struck.Determiner, Remarks: "misheard"})
		}
		return slips
	})
)

// carried adds what is carried from one pile to another, in a scribe's writing; nothing where somebody's slip has no room.
func carried(t *rapid.T, from, onto []foray.Slip) ([]foray.Slip, bool) {
	slips, err := foray.CarryOver(foray.Replay(from).Words, foray.Replay(onto))
	if err != nil {
		return nil, false
	}
	after := slices.Clone(onto)
	for _, s := range slips {
		st := foray.Replay(after)
		s.Seq, s.ID = st.Version+1, foray.ID{88, byte(st.Version + 1)}
		s.Writer, s.CarriedFrom, s.RecordedAt = scribe, foray.ID{99}, start
		if err := st.Permit(s, foray.Hand{Person: scribe, MayName: true}, after, start); err != nil {
			t.Fatalf("a slip that is carried is refused: %v", err)
		}
		after = append(after, s)
	}
	return after, true
}

func inQuestion(st foray.Standing, n foray.SlipName) bool {
	return slices.ContainsFunc(st.Question, func(a foray.Asked) bool { return a.SameAs(n) })
}

// What was in question of a plate is in question of whatever its names are carried onto, and what was in question there
// is so still; and each who said a name says it there, so that whoever replaces or takes back their own word takes
// nobody else's with it.
func TestCarryingNamesOverNeverNarrowsDoubt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from, onto := aPile.Draw(t, "from"), aPile.Draw(t, "onto")
		after, ok := carried(t, from, onto)
		if !ok {
			return
		}
		now := foray.Replay(after)
		for _, was := range slices.Concat(foray.Replay(from).Question, foray.Replay(onto).Question) {
			if !inQuestion(now, was.SlipName) {
				t.Fatalf("%s is in question no more", was.Name)
			}
		}
		who := rapid.SampledFrom(namers).Draw(t, "who speaks anew")
		anew := foray.Replay(slices.Concat(after, []foray.Slip{{Kind: foray.FieldName, Seq: now.Version + 1, ID: foray.ID{89}, Determiner: who, Writer: who,
			Names: []foray.SlipName{called("Q", 1)}}}))
		for _, word := range foray.Replay(from).Words {
			for _, name := range word.Names {
				if word.Determiner != who && !inQuestion(anew, name) {
					t.Fatalf("%v spoke anew, and what %v said, %s, is in question no more", who, word.Determiner, name.Name)
				}
			}
		}
	})
}

// The names in question are those of the words, each once, so that neither is without the other.
func TestTheWordsAreThoseWhoseNamesAreInQuestion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		st := foray.Replay(aPile.Draw(t, "slips"))
		said := map[string]bool{}
		for _, word := range st.Words {
			if len(word.Names) == 0 {
				t.Fatalf("a word without a name: %+v", word)
			}
			for _, n := range word.Names {
				said[sense(n)] = true
			}
		}
		if len(said) != len(st.Question) {
			t.Fatalf("said %v, in question %+v", said, st.Question)
		}
		for _, a := range st.Question {
			if !said[sense(a.SlipName)] {
				t.Fatalf("%s is in question, and nobody said it", a.Name)
			}
		}
	})
}

// Whoever split or merged wrote down what others had said elsewhere, and it is not theirs to take back.
func TestWhatIsCarriedIsTakenBackOnlyByWhoeverSaidIt(t *testing.T) {
	slip := foray.Slip{ID: foray.ID{1}, Seq: 1, Kind: foray.FieldName, Determiner: dora, Writer: scribe, RecordedAt: start,
		Names: []foray.SlipName{called("X", 1)}}
	own := slip
	own.Determiner = scribe
	for rule, c := range map[string]struct {
		slip           foray.Slip
		carried        bool
		by             foray.ID
		strikes, undos bool
	}{
		"written for somebody here: its writer":           {slip, false, scribe, true, true},
		"carried: not its writer":                         {slip, true, scribe, false, false},
		"carried: whoever said it, but not in one key":    {slip, true, dora, true, false},
		"one's own, carried by oneself: not in one key":   {own, true, scribe, true, false},
		"one's own, said here: at once and with a reason": {own, false, scribe, true, true},
	} {
		if c.carried {
			c.slip.CarriedFrom = foray.ID{9}
		}
		slips := []foray.Slip{c.slip}
		st, now := foray.Replay(slips), start.Add(time.Second)
		strike := foray.Slip{Kind: foray.Strike, Strikes: c.slip.ID, Determiner: c.by, Writer: c.by, Remarks: "misheard"}
		err := st.Permit(strike, foray.Hand{Person: c.by}, slips, now)
		if c.strikes != (err == nil) || err != nil && !fault.Is(err, fault.NotAllowed) {
			t.Errorf("%s: the strike is answered %v", rule, err)
		}
		if _, ok := st.Undo(c.by, slips, now); ok != c.undos {
			t.Errorf("%s: offered in one key: %v", rule, ok)
		}
	}
}
