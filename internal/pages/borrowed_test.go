package pages_test

import (
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/setup"
)

// Would catch a mark that is missing where the society decides or where names are listed, one on what is printed for
// visitors, and a choice that the pages do not follow.
func TestAMarkStandsAtCommonNamesThatBorrow(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		s := newSite(t, g)
		for i, name := range []string{"Catathelasma imperiale", "Hypholoma capnoides", "Boletus edulis"} {
			c, err := desk.LogCollection(t.Context(), g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: foray.Number{Base: i + 1}.String(), Field: desk.Field{Group: "bolete"}})
			if err != nil {
				t.Fatal(err)
			}
			in := bench.FieldName{Collection: c.ID, Names: []hall.NameInput{{Text: name}}}
			if _, err := bench.GiveFieldName(t.Context(), g.Hall, g.As[access.Identifier], g.Scope, g.Command(t), in); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := setup.AddFlag(t.Context(), g.Hall, g.Machine, g.Scope, g.Command(t), setup.Flag{Name: "Catathelasma imperiale", Flag: "protected", Source: "Schedule"}); err != nil {
			t.Fatal(err)
		}
		const explained = "“Cat” is taken from Catathelasma, where this fungus stands now"
		organiser := s.as(t, access.Organiser)
		for path, marks := range map[string]int{"/list": 1, "/setup/event": 1, "/setup/flags": 1, "/setup/sites": 0} {
			organiser.get(event + path).want(200)
			if got := strings.Count(organiser.text(), explained); got != marks {
				t.Errorf("%s explains the mark %d times, want %d", path, got, marks)
			}
		}
		if list := organiser.get(event + "/list"); !strings.Contains(list.body, `title="`+explained) || strings.Count(list.body, "†") != 1 {
			t.Errorf("the list has %d marks, or one without its title", strings.Count(list.body, "†"))
		}
		organiser.get(event+"/setup/event").send(event+"/setup/borrowed", "choice", "left_out")
		if organiser.want(200); !strings.Contains(organiser.text(), "Smoky-gilled Naematoloma") {
			t.Error("what the society decides on is not shown any more")
		}
		visitor := s.browser(t)
		if list := visitor.get(event + "/list"); strings.Contains(list.body, "Imperial Cat") || !strings.Contains(list.body, "Conifer Tuft") {
			t.Error("a name that borrows is printed, or one that does not is left out")
		}
	})
}
