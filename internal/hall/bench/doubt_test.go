package bench_test

import (
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/halltest"
)

// The same rule as the hall's property test, through the bench and both databases: each line widens what is there.
func TestSuggestionsOnlyEverWidenTheWarning(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := logged(t, g, 1)
		weight := 0
		for _, step := range []struct {
			by    access.Right
			names []string
			least int
		}{
			{access.TeamLeader, []string{"Boletus edulis"}, 0},
			{access.TeamLeader, []string{"Boletus edulis", "Imleria badia"}, 0},
			{access.Desk, []string{"cf. Boletus edulis"}, 0},
			{access.Steward, []string{"Boletus sp."}, 0},
			{access.Identifier, []string{"Amanita muscaria"}, 30},
			{access.Desk, []string{"cf. Boletus edulis", "aff. Galerina marginata"}, 50},
			{access.Organiser, []string{"Mycena pura"}, 50},
		} {
			in := bench.FieldName{Collection: c}
			for _, n := range step.names {
				in.Names = append(in.Names, hall.NameInput{Text: n})
			}
			if _, err := bench.GiveFieldName(ctx, g.Hall, g.As[step.by], g.Scope, g.Command(t), in); err != nil {
				t.Fatal(err)
			}
			s, err := bench.SeeCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, foray.Number{Base: 1})
			if err != nil || s.Assessment.Weight < max(weight, step.least) {
				t.Errorf("%q by %s: weight %d after %d, %v", step.names, step.by, s.Assessment.Weight, weight, err)
			}
			weight = s.Assessment.Weight
		}
	})
}

func TestWhoMayNameAndSign(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := logged(t, g, 1)
		for _, right := range access.Rights {
			in := bench.FieldName{Collection: c, Names: []hall.NameInput{name("Boletus edulis")}}
			_, err := bench.GiveFieldName(ctx, g.Hall, g.As[right], g.Scope, g.Command(t), in)
			if may := access.Allows(right, access.NameAny); (err == nil) != may {
				t.Errorf("%s names: %v", right, err)
			}
			s := logged(t, g, 100+int(right[0])*256+int(right[len(right)-1])*7+len(right))
			_, err = sign(g, g.On(t, 0), g.As[right], s, "Boletus edulis", "")
			if may := access.Allows(right, access.SignOff); (err == nil) != may {
				t.Errorf("%s signs: %v", right, err)
			}
		}
		_, err := bench.GiveFieldName(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), bench.FieldName{Collection: c})
		if _, ok := fault.From(err).Fields["name_1"]; !ok {
			t.Errorf("a field name without a name: %v", err)
		}
	})
}
