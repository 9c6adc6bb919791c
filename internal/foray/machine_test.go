package foray_test

import (
	"maps"
	"reflect"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"forayhall/internal/foray"
)

// machine brings random slips by random hands to one collection and compares what stands with a second reckoning.
type machine struct {
	slips []foray.Slip
	now   time.Time
	last  foray.Standing // before the newest slip
}

var (
	named      = rapid.SampledFrom([]string{"A", "B", "C"})
	qualifiers = rapid.SampledFrom([]string{"", "", "cf.", "group"})
	somebody   = rapid.SampledFrom(everybody)
)

func randomName(t *rapid.T, rank int) foray.SlipName {
	n := called(named.Draw(t, "name"), rank)
	n.Qualifier = qualifiers.Draw(t, "qualifier")
	return n
}

func (m *machine) bring(t *rapid.T, s foray.Slip) {
	m.now = m.now.Add(time.Duration(rapid.IntRange(0, 40).Draw(t, "minutes")) * time.Minute)
	before := foray.Replay(m.slips)
	s.Seq = before.Version + 1
	s.ID = foray.ID{100, byte(s.Seq >> 8), byte(s.Seq)}
	s.HappenedAt, s.RecordedAt, s.Basis = m.now, m.now, "macroscopic"
	if before.Permit(s, hand(s.Writer, s.Determiner), m.slips, m.now) != nil {
		return
	}
	m.last, m.slips = before, append(m.slips, s)
	if s.Kind == foray.FieldName {
		m.noNarrower(t, s)
	}
}

// noNarrower: doubt widens a warning, never narrows it; a field name takes nobody else's name out of question.
func (m *machine) noNarrower(t *rapid.T, s foray.Slip) {
	if m.last.Naming == foray.NotAFungus {
		return
	}
	now := senses(foray.Replay(m.slips).Question)
	for _, a := range m.last.Question {
		if a.By != s.Determiner && !now[sense(a.SlipName)] {
			t.Fatalf("a field name by %v took %q of %v out of question", s.Determiner, a.Verbatim, a.By)
		}
	}
	for _, n := range s.Names {
		if !now[sense(n)] {
			t.Fatalf("the field name %q is not in question", n.Verbatim)
		}
	}
}

func (m *machine) fieldName(t *rapid.T) {
	by := somebody.Draw(t, "by")
	s := foray.Slip{Kind: foray.FieldName, Determiner: by, Writer: by}
	for range rapid.IntRange(1, 3).Draw(t, "names") {
		s.Names = append(s.Names, randomName(t, len(s.Names)+1))
	}
	m.bring(t, s)
}

func (m *machine) word(kind foray.SlipKind) func(*rapid.T) {
	return func(t *rapid.T) {
		by := somebody.Draw(t, "by")
		s := foray.Slip{Kind: kind, Determiner: by, Writer: by, Remarks: rapid.SampledFrom([]string{"", "a reason"}).Draw(t, "reason")}
		if rapid.Bool().Draw(t, "through the scribe") {
			s.Writer = scribe
		}
		if kind == foray.SignOff {
			s.Names = []foray.SlipName{randomName(t, 1)}
		}
		m.bring(t, s)
	}
}

func (m *machine) strike(t *rapid.T) {
	if len(m.slips) == 0 {
		t.Skip("nothing to strike")
	}
	by := somebody.Draw(t, "by")
	s := foray.Slip{Kind: foray.Strike, Determiner: by, Writer: by, Remarks: "misheard"}
	s.Strikes = rapid.SampledFrom(m.slips).Draw(t, "slip").ID
	m.bring(t, s)
}

// check holds the standing against every promise, whatever was brought.
func (m *machine) check(t *rapid.T) {
	st := foray.Replay(m.slips)
	m.checkNothingLost(t, st)
	m.checkConfirmed(t, st)
	m.checkDispute(t, st)
	if want := m.reckon(); want.naming != st.Naming || want.disputed() != st.Disputed || !maps.Equal(want.sides, sidesOf(st)) {
		t.Fatalf("stands %s disputed=%v %v, reckoned %+v", st.Naming, st.Disputed, sidesOf(st), want)
	}
	if got, want := senses(st.Question), m.questions(st); !maps.Equal(got, want) {
		t.Fatalf("in question %v, want %v", got, want)
	}
	if shuffled := foray.Replay(rapid.Permutation(m.slips).Draw(t, "order")); !reflect.DeepEqual(shuffled, st) {
		t.Fatalf("another order of the same slips gives %+v, not %+v", shuffled, st)
	}
}

func (m *machine) checkNothingLost(t *rapid.T, st foray.Standing) {
	if st.Version != len(m.slips) {
		t.Fatalf("version %d after %d slips", st.Version, len(m.slips))
	}
	for struck, by := range st.Struck {
		i := slices.IndexFunc(m.slips, func(s foray.Slip) bool { return s.ID == struck })
		if i < 0 || by.Kind != foray.Strike || by.Strikes != struck || m.slips[i].Kind == foray.Strike {
			t.Fatalf("a strike %+v takes back no slip", by)
		}
	}
}

func (m *machine) checkConfirmed(t *rapid.T, st foray.Standing) {
	current, ok := st.Current()
	if ok != (st.Naming == foray.Confirmed) {
		t.Fatalf("%s with current=%v", st.Naming, ok)
	}
	if _, gone := st.Struck[current.ID]; ok && (gone || current.Kind != foray.SignOff || !determines[current.Determiner]) {
		t.Fatalf("confirmed by %+v", current)
	}
}

// checkDispute: settled only by one who was no party, by agreement, or because a slip was taken back.
func (m *machine) checkDispute(t *rapid.T, st foray.Standing) {
	if !m.last.Disputed || st.Disputed || st.Naming != foray.Confirmed || len(m.slips) == 0 {
		return
	}
	newest := m.slips[len(m.slips)-1]
	if newest.Kind == foray.SignOff && m.last.IsParty(newest.Determiner) && len(st.Sides) < 2 {
		t.Fatalf("a party settled its own dispute: %+v", newest)
	}
}

// reckoning is the table of what may follow what, written a second time.
type reckoning struct {
	naming foray.Naming
	sides  map[foray.ID]string
}

func (r reckoning) disputed() bool {
	var words []string
	for _, w := range r.sides {
		words = append(words, w)
	}
	slices.Sort(words)
	return len(slices.Compact(words)) > 1
}

func (m *machine) reckon() reckoning {
	r := reckoning{naming: foray.BroughtIn, sides: map[foray.ID]string{}}
	for _, s := range m.standing() {
		switch s.Kind {
		case foray.FieldName:
			if r.naming != foray.Confirmed {
				r.naming = foray.Provisional
			}
		case foray.NotNameable, foray.NotFungus:
			r = reckoning{naming: foray.Unnameable, sides: map[foray.ID]string{}}
			if s.Kind == foray.NotFungus {
				r.naming = foray.NotAFungus
			}
		case foray.SignOff:
			if _, party := r.sides[s.Determiner]; r.disputed() && !party {
				clear(r.sides)
			}
			r.sides[s.Determiner] = sense(s.Name())
			r.naming = foray.Confirmed
			if r.disputed() {
				r.naming = foray.Provisional
			}
		}
	}
	return r
}

// standing is the slips that were not taken back.
func (m *machine) standing() []foray.Slip {
	return slices.DeleteFunc(slices.Clone(m.slips), func(s foray.Slip) bool {
		return s.Kind == foray.Strike || slices.ContainsFunc(m.slips, func(x foray.Slip) bool { return x.Kind == foray.Strike && x.Strikes == s.ID })
	})
}

// questions is the rule of the names in question, written a second time.
func (m *machine) questions(st foray.Standing) map[string]bool {
	want := map[string]bool{}
	if st.Naming == foray.NotAFungus {
		return want
	}
	from := 0
	for i, side := range st.Sides {
		want[sense(side.Name())] = true
		if i == 0 || !st.Disputed {
			from = max(from, side.Seq)
		}
	}
	if st.Disputed {
		for _, side := range st.Sides {
			from = min(from, side.Seq)
		}
	}
	newest := map[foray.ID]foray.Slip{}
	for _, s := range m.standing() {
		if s.Seq > from && (s.Kind == foray.FieldName || s.Kind == foray.SignOff && len(st.Sides) == 0) {
			newest[s.Determiner] = s
		}
	}
	for _, s := range newest {
		for _, n := range s.Names {
			want[sense(n)] = true
		}
	}
	return want
}

func sense(n foray.SlipName) string { return n.CurrentKey + " " + n.Qualifier }

func senses(asked []foray.Asked) map[string]bool {
	set := map[string]bool{}
	for _, a := range asked {
		set[sense(a.SlipName)] = true
	}
	return set
}

func sidesOf(st foray.Standing) map[foray.ID]string {
	sides := map[foray.ID]string{}
	for _, s := range st.Sides {
		sides[s.Determiner] = sense(s.Name())
	}
	return sides
}

func TestNoSequenceOfSlipsBreaksWhatWasPromised(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := &machine{now: start}
		t.Repeat(map[string]func(*rapid.T){
			"field name": m.fieldName, "sign-off": m.word(foray.SignOff), "sign-off again": m.word(foray.SignOff),
			"not nameable": m.word(foray.NotNameable), "not a fungus": m.word(foray.NotFungus), "strike": m.strike, "": m.check,
		})
		if len(m.slips) > 0 && len(foray.Replay(m.slips).Question) == 0 {
			m.mustBeEmpty(t)
		}
	})
}

// mustBeEmpty: while somebody's naming slip stands there is a name in question, unless the thing is no fungus.
func (m *machine) mustBeEmpty(t *rapid.T) {
	if foray.Replay(m.slips).Naming == foray.NotAFungus {
		return
	}
	for _, s := range m.standing() {
		if s.Kind == foray.FieldName || s.Kind == foray.SignOff {
			t.Fatalf("nothing is in question, but %+v stands", s)
		}
	}
}
