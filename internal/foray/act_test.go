package foray_test

import (
	"testing"

	"pgregory.net/rapid"

	"forayhall/internal/foray"
)

func TestWhatASignOffWouldBe(t *testing.T) {
	sign := func(by foray.ID, name, reason string) act {
		return act{kind: foray.SignOff, by: by, name: name, reason: reason}
	}
	agreed := []act{sign(ada, "A", ""), sign(ben, "A", "")}
	disputed := []act{sign(ada, "A", ""), sign(ben, "B", "spores")}
	for rule, c := range map[string]struct {
		before []act
		by     foray.ID
		name   string
		want   foray.Act
	}{
		"the first sign-off confirms":                            {nil, ada, "A", foray.Confirms},
		"after a field name a sign-off confirms":                 {[]act{{kind: foray.FieldName, by: mia, name: "A"}}, ada, "A", foray.Confirms},
		"after not nameable a sign-off confirms anew":            {[]act{sign(ada, "A", ""), {kind: foray.NotNameable, by: ben}}, ben, "B", foray.Confirms},
		"the name that stands, by somebody else, agrees":         {agreed[:1], ben, "A", foray.Agrees},
		"one's own name once more agrees":                        {agreed[:1], ada, "A", foray.Agrees},
		"another name by the same determiner redetermines":       {agreed[:1], ada, "B", foray.Redetermines},
		"another name by somebody else dissents":                 {agreed[:1], ben, "B", foray.Dissents},
		"leaving a name that another one shares dissents":        {agreed, ada, "B", foray.Dissents},
		"a third person settles, with either name":               {disputed, carl, "A", foray.Settles},
		"a third person settles, with a name of their own":       {disputed, carl, "C", foray.Settles},
		"a party that agrees with the other settles":             {disputed, ada, "B", foray.Settles},
		"a party that keeps to its word settles nothing":         {disputed, ada, "A", foray.Redetermines},
		"a party with a third name settles nothing":              {disputed, ben, "C", foray.Redetermines},
		"once it is settled the parties' words stand no more":    {append(disputed[:2:2], sign(carl, "A", "")), ada, "A", foray.Agrees},
		"and another name than the settled one is a new dissent": {append(disputed[:2:2], sign(carl, "A", "")), ben, "B", foray.Dissents},
		"a struck sign-off is none": {[]act{sign(ada, "A", ""), {kind: foray.Strike, by: ada, strike: 1, reason: "misheard"}},
			ben, "B", foray.Confirms},
	} {
		st, err := play(t, c.before)
		if err != nil {
			t.Fatalf("%s: %v", rule, err)
		}
		if got := st.Act(called(c.name, 1), c.by); got != c.want {
			t.Errorf("%s: %s, want %s", rule, got, c.want)
		}
	}
}

// What the page says beforehand is what comes: the two rules are written apart.
func (m *machine) tells(t *rapid.T) {
	by := somebody.Draw(t, "by")
	name := randomName(t, 1)
	before := foray.Replay(m.slips)
	said := before.Act(name, by)
	count := len(m.slips)
	m.bring(t, foray.Slip{Kind: foray.SignOff, Determiner: by, Writer: by, Names: []foray.SlipName{name}, Remarks: rapid.SampledFrom([]string{"", "a reason"}).Draw(t, "reason")})
	if len(m.slips) == count {
		return
	}
	after := foray.Replay(m.slips)
	var came foray.Act
	switch own := ownSide(before, by); {
	case before.Disputed && !after.Disputed:
		came = foray.Settles
	case before.Disputed:
		came = foray.Redetermines
	case after.Disputed:
		came = foray.Dissents
	case len(before.Sides) == 0:
		came = foray.Confirms
	case own != nil && !own.Name().SameAs(name):
		came = foray.Redetermines
	default:
		came = foray.Agrees
	}
	if came != said {
		t.Fatalf("it was said that it would %s, and it came to %s", said, came)
	}
}

func ownSide(s foray.Standing, by foray.ID) *foray.Slip {
	for _, side := range s.Sides {
		if side.Determiner == by {
			return &side
		}
	}
	return nil
}

func TestWhatIsSaidBeforehandIsWhatComes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := &machine{now: start}
		t.Repeat(map[string]func(*rapid.T){"field name": m.fieldName, "sign-off": m.tells, "not nameable": m.word(foray.NotNameable), "strike": m.strike})
	})
}

// A society may follow another list of names between two words about one plate.
func TestOneNameIsTheSameThoughTheClassificationChanged(t *testing.T) {
	before := foray.SlipName{Key: "lepista nuda", CurrentKey: "lepista nuda", Author: "(Bull.) Cooke"}
	after := foray.SlipName{Key: "lepista nuda", CurrentKey: "collybia nuda", Author: "(Bull.) Cooke"}
	homonym := foray.SlipName{Key: "lepista nuda", CurrentKey: "something else", Author: "Somebody"}
	doubted := after
	doubted.Qualifier = "cf."
	if !before.SameAs(after) || before.SameAs(homonym) || before.SameAs(doubted) {
		t.Errorf("same %v, a homonym %v, doubted %v", before.SameAs(after), before.SameAs(homonym), before.SameAs(doubted))
	}
}
