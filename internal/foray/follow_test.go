package foray_test

import (
	"testing"
	"time"

	"forayhall/internal/fault"
	"forayhall/internal/foray"
)

// The people of these tests. dora determines without an account; the scribe writes for her.
var (
	mia, nils      = foray.ID{1}, foray.ID{2} // members; the collection is mia's
	ada, ben, carl = foray.ID{3}, foray.ID{4}, foray.ID{5}
	chief, scribe  = foray.ID{6}, foray.ID{7}
	dora           = foray.ID{8}
	everybody      = []foray.ID{mia, nils, ada, ben, carl, chief, scribe, dora}
	determines     = map[foray.ID]bool{ada: true, ben: true, carl: true, chief: true, dora: true}
)

var start = time.Date(2026, 10, 24, 13, 40, 0, 0, time.UTC)

// hand is what the table of rights gives a person of these tests.
func hand(person, determiner foray.ID) foray.Hand {
	signs := determines[person] && person != dora
	return foray.Hand{Person: person, MaySign: signs, MaySettle: signs, MayName: signs || person == scribe,
		MayScribe: person == scribe, OwnsThis: person == mia, Determiner: determines[determiner]}
}

// act is one slip as somebody brings it.
type act struct {
	kind   foray.SlipKind
	by     foray.ID // zero writer: the determiner writes
	writer foray.ID
	name   string
	reason string
	strike int // the seq that is taken back
	later  time.Duration
}

func (a act) slip(seq int, now time.Time) foray.Slip {
	s := foray.Slip{ID: foray.ID{100, byte(seq)}, Seq: seq, Kind: a.kind, Determiner: a.by, Writer: a.writer, HappenedAt: now,
		RecordedAt: now, Basis: "macroscopic", Remarks: a.reason}
	if s.Writer.IsZero() {
		s.Writer = a.by
	}
	if a.name != "" {
		s.Names = []foray.SlipName{called(a.name, 1)}
	}
	if a.strike > 0 {
		s.Strikes = foray.ID{100, byte(a.strike)}
	}
	return s
}

func called(name string, rank int) foray.SlipName {
	return foray.SlipName{Rank: rank, Verbatim: name, Name: name, Key: name, CurrentKey: name}
}

// play brings acts one after the other and gives what stands and what the last was answered.
func play(t *testing.T, acts []act) (foray.Standing, error) {
	t.Helper()
	var slips []foray.Slip
	now := start
	for i, a := range acts {
		now = now.Add(a.later)
		st := foray.Replay(slips)
		slip := a.slip(i+1, now)
		if err := st.Permit(slip, hand(slip.Writer, slip.Determiner), slips, now); err != nil {
			if i < len(acts)-1 {
				t.Fatalf("act %d was refused: %v", i+1, err)
			}
			return st, err
		}
		slips = append(slips, slip)
	}
	return foray.Replay(slips), nil
}

func field(by foray.ID, name string) act { return act{kind: foray.FieldName, by: by, name: name} }
func signs(by foray.ID, name string) act { return act{kind: foray.SignOff, by: by, name: name} }
func wrote(for_ foray.ID, name string) act {
	return act{kind: foray.SignOff, by: for_, writer: scribe, name: name}
}
func because(a act) act { a.reason = "seen under the lens"; return a }
func strikes(by foray.ID, seq int) act {
	return act{kind: foray.Strike, by: by, strike: seq, reason: "wrong plate"}
}
func says(by foray.ID, kind foray.SlipKind) act { return act{kind: kind, by: by} }
func after(d time.Duration, a act) act          { a.later = d; return a }

// disputed is the start of every case that begins in a dispute of ada and ben.
func disputed(more ...act) []act {
	return append([]act{signs(ada, "X"), because(signs(ben, "Y"))}, more...)
}

// What may follow what, row by row, and who may not.
func TestWhatMayFollowWhat(t *testing.T) {
	const refused = foray.Naming("refused")
	for name, c := range map[string]struct {
		acts     []act
		naming   foray.Naming
		disputed bool
		kind     fault.Kind // where refused
	}{
		"nothing was said: brought in":                               {nil, foray.BroughtIn, false, 0},
		"brought in, field name by the collector: provisional":       {[]act{field(mia, "X")}, foray.Provisional, false, 0},
		"brought in, field name by one allowed: provisional":         {[]act{field(ada, "X")}, foray.Provisional, false, 0},
		"brought in, field name by another member: not allowed":      {[]act{field(nils, "X")}, refused, false, fault.NotAllowed},
		"provisional, field name: provisional":                       {[]act{field(mia, "X"), field(ada, "Y")}, foray.Provisional, false, 0},
		"brought in, sign-off by an identifier: confirmed":           {[]act{signs(ada, "X")}, foray.Confirmed, false, 0},
		"provisional, sign-off by an identifier: confirmed":          {[]act{field(mia, "X"), signs(ada, "Y")}, foray.Confirmed, false, 0},
		"brought in, sign-off by a scribe for a determiner":          {[]act{wrote(dora, "X")}, foray.Confirmed, false, 0},
		"sign-off by a scribe for one who may not determine":         {[]act{wrote(mia, "X")}, refused, false, fault.Invalid},
		"sign-off by a scribe in the own name: not allowed":          {[]act{signs(scribe, "X")}, refused, false, fault.NotAllowed},
		"sign-off by a member: not allowed":                          {[]act{signs(mia, "X")}, refused, false, fault.NotAllowed},
		"sign-off by an identifier for somebody else: not allowed":   {[]act{{kind: foray.SignOff, by: dora, writer: ada, name: "X"}}, refused, false, fault.NotAllowed},
		"sign-off without a basis: invalid":                          {[]act{{kind: foray.SignOff, by: ada}}, refused, false, fault.Invalid},
		"confirmed, field name: stays confirmed":                     {[]act{signs(ada, "X"), field(mia, "Y")}, foray.Confirmed, false, 0},
		"confirmed, redetermination by the same: confirmed anew":     {[]act{signs(ada, "X"), signs(ada, "Y")}, foray.Confirmed, false, 0},
		"confirmed, the same name by somebody else: confirmed":       {[]act{signs(ada, "X"), signs(ben, "X")}, foray.Confirmed, false, 0},
		"confirmed, dissent with a reason: provisional and disputed": {disputed(), foray.Provisional, true, 0},
		"confirmed, dissent without a reason: invalid":               {[]act{signs(ada, "X"), signs(ben, "Y")}, refused, false, fault.Invalid},
		"confirmed, dissent through a scribe: disputed":              {[]act{signs(ada, "X"), because(wrote(dora, "Y"))}, foray.Provisional, true, 0},
		"confirmed by two, one leaves the other: a dissent needs its reason": {
			[]act{signs(ada, "X"), signs(ben, "X"), signs(ben, "Y")}, refused, false, fault.Invalid},
		"confirmed by two, one leaves the other with a reason: disputed": {
			[]act{signs(ada, "X"), signs(ben, "X"), because(signs(ben, "Y"))}, foray.Provisional, true, 0},
		"disputed, sign-off by a third identifier: confirmed":   {disputed(signs(carl, "X")), foray.Confirmed, false, 0},
		"disputed, sign-off by the chief: confirmed":            {disputed(signs(chief, "Z")), foray.Confirmed, false, 0},
		"disputed, one party agrees with the other: confirmed":  {disputed(signs(ben, "X")), foray.Confirmed, false, 0},
		"disputed, the first party agrees: confirmed":           {disputed(signs(ada, "Y")), foray.Confirmed, false, 0},
		"disputed, a party moves to a third name: disputed":     {disputed(signs(ada, "Z")), foray.Provisional, true, 0},
		"disputed, a party repeats itself: disputed":            {disputed(signs(ada, "X")), foray.Provisional, true, 0},
		"disputed, sign-off through a scribe: not allowed":      {disputed(wrote(dora, "X")), refused, false, fault.NotAllowed},
		"disputed, sign-off by a member: not allowed":           {disputed(signs(mia, "X")), refused, false, fault.NotAllowed},
		"disputed, field name: stays disputed":                  {disputed(field(mia, "Z")), foray.Provisional, true, 0},
		"disputed, one side struck: the other stands confirmed": {disputed(strikes(ben, 2)), foray.Confirmed, false, 0},
		"settled, the settlement struck: disputed again":        {disputed(signs(carl, "X"), strikes(carl, 3)), foray.Provisional, true, 0},
		"the only sign-off struck: what the field name gives":   {[]act{field(mia, "X"), signs(ada, "Y"), strikes(ada, 2)}, foray.Provisional, false, 0},
		"the only slip struck: brought in":                      {[]act{field(mia, "X"), strikes(mia, 1)}, foray.BroughtIn, false, 0},
		"strike of somebody else's slip: not allowed":           {[]act{signs(ada, "X"), strikes(ben, 1)}, refused, false, fault.NotAllowed},
		"strike by the scribe within the hour": {
			[]act{wrote(dora, "X"), after(time.Hour, strikes(scribe, 1))}, foray.BroughtIn, false, 0},
		"strike by the scribe after the hour: not allowed": {
			[]act{wrote(dora, "X"), after(time.Hour+time.Second, strikes(scribe, 1))}, refused, false, fault.NotAllowed},
		"strike by the determiner long after":     {[]act{signs(ada, "X"), after(240*time.Hour, strikes(ada, 1))}, foray.BroughtIn, false, 0},
		"strike without a reason: invalid":        {[]act{signs(ada, "X"), {kind: foray.Strike, by: ada, strike: 1}}, refused, false, fault.Invalid},
		"strike of a slip struck before: refused": {[]act{signs(ada, "X"), strikes(ada, 1), strikes(ada, 1)}, refused, false, fault.Refused},
		"strike of a strike: refused":             {[]act{signs(ada, "X"), strikes(ada, 1), strikes(ada, 2)}, refused, false, fault.Refused},
		"strike of a slip that is not there":      {[]act{strikes(ada, 9)}, refused, false, fault.NotFound},
		"any, not nameable by an identifier":      {[]act{signs(ada, "X"), says(ben, foray.NotNameable)}, foray.Unnameable, false, 0},
		"any, not a fungus by an identifier":      {disputed(says(ben, foray.NotFungus)), foray.NotAFungus, false, 0},
		"any, not a fungus by a member":           {[]act{says(mia, foray.NotFungus)}, refused, false, fault.NotAllowed},
		"any, not nameable through a scribe":      {[]act{{kind: foray.NotNameable, by: dora, writer: scribe}}, foray.Unnameable, false, 0},
		"not nameable, field name reopens it":     {[]act{says(ada, foray.NotNameable), field(mia, "X")}, foray.Provisional, false, 0},
		"not a fungus, field name reopens it":     {[]act{says(ada, foray.NotFungus), field(mia, "X")}, foray.Provisional, false, 0},
		"not nameable, sign-off reopens it":       {[]act{signs(ada, "X"), says(ada, foray.NotNameable), signs(ben, "Y")}, foray.Confirmed, false, 0},
		"not nameable struck: what was before":    {disputed(says(carl, foray.NotNameable), strikes(carl, 3)), foray.Provisional, true, 0},
	} {
		t.Run(name, func(t *testing.T) {
			st, err := play(t, c.acts)
			if c.naming == refused {
				if !fault.Is(err, c.kind) {
					t.Fatalf("answered %v, want %s", err, c.kind)
				}
				return
			}
			if err != nil || st.Naming != c.naming || st.Disputed != c.disputed {
				t.Errorf("%s disputed=%v %v, want %s disputed=%v", st.Naming, st.Disputed, err, c.naming, c.disputed)
			}
		})
	}
}

func TestASlipThatIsNotWholeNamesItsField(t *testing.T) {
	six := make([]foray.SlipName, 6)
	for i := range six {
		six[i] = called(string(rune('A'+i)), i+1)
	}
	for name, c := range map[string]struct {
		slip  foray.Slip
		field string
	}{
		"a field name without a name":      {foray.Slip{Kind: foray.FieldName}, "name_1"},
		"a field name of six":              {foray.Slip{Kind: foray.FieldName, Names: six}, "name_1"},
		"a field name that repeats itself": {foray.Slip{Kind: foray.FieldName, Names: []foray.SlipName{called("A", 1), called("A", 2)}}, "name_2"},
		"a sign-off of two names":          {foray.Slip{Kind: foray.SignOff, Basis: "sequence", Names: six[:2]}, "name"},
		"a sign-off on an unknown basis":   {foray.Slip{Kind: foray.SignOff, Basis: "hearsay", Names: six[:1]}, "basis"},
		"a sign-off without stated basis":  {foray.Slip{Kind: foray.SignOff, Basis: foray.NotStated, Names: six[:1]}, "basis"},
		"an empty name":                    {foray.Slip{Kind: foray.SignOff, Basis: "sequence", Names: []foray.SlipName{{}}}, "name"},
		"a kind that is none":              {foray.Slip{Kind: "shrug"}, "kind"},
	} {
		t.Run(name, func(t *testing.T) {
			c.slip.Determiner, c.slip.Writer = ada, ada
			err := foray.Standing{}.Permit(c.slip, hand(ada, ada), nil, start)
			if _, ok := fault.From(err).Fields[c.field]; !ok || !fault.Is(err, fault.Invalid) {
				t.Errorf("answered %v, want the field %s", err, c.field)
			}
		})
	}
}
