package taxon_test

import (
	"strings"
	"testing"

	"forayhall/internal/taxon"
)

func TestNamesAreItalicAndTheRestUpright(t *testing.T) {
	for _, c := range []struct {
		rule string
		name taxon.Setting
		want string
	}{
		{"author upright", taxon.Setting{Name: "Amanita phalloides", Author: "(Vaill. ex Fr.) Link", Rank: taxon.Species}, "/Amanita phalloides/ (Vaill. ex Fr.) Link"},
		{"cf. before the epithet", taxon.Setting{Name: "Tricholoma equestre", Author: "(L.) P. Kumm.", Rank: taxon.Species, Qualifier: taxon.Confer, Position: taxon.Species}, "/Tricholoma/ cf. /equestre/ (L.) P. Kumm."},
		{"cf. before the genus", taxon.Setting{Name: "Russula emetica", Rank: taxon.Species, Qualifier: taxon.Confer, Position: taxon.Genus}, "cf. /Russula emetica/"},
		{"rank of a variety upright", taxon.Setting{Name: "Russula emetica var. silvestris", Rank: taxon.Variety, Qualifier: taxon.Affinis, Position: taxon.Variety}, "/Russula emetica/ aff. var. /silvestris/"},
		{"sp. behind", taxon.Setting{Name: "Lepiota", Rank: taxon.Genus, Qualifier: taxon.OnlyGenus}, "/Lepiota/ sp."},
		{"group behind", taxon.Setting{Name: "Armillaria mellea", Rank: taxon.Species, Qualifier: taxon.Group}, "/Armillaria mellea/ group"},
		{"section upright in the middle", taxon.Setting{Name: "Amanita sect. Phalloideae", Rank: taxon.Section}, "/Amanita/ sect. /Phalloideae/"},
		{"family upright", taxon.Setting{Name: "Russulaceae", Author: "Lotsy", Rank: taxon.Family}, "Russulaceae Lotsy"},
		{"group of the hall upright", taxon.Setting{Name: "small brown agaric", Rank: taxon.Form}, "small brown agaric"},
		{"no name", taxon.Setting{}, ""},
	} {
		var b strings.Builder
		for _, p := range c.name.Runs() {
			text := p.Text
			if p.Italic {
				trimmed := strings.TrimLeft(text, " ")
				text = text[:len(text)-len(trimmed)] + "/" + trimmed + "/"
			}
			b.WriteString(text)
		}
		if b.String() != c.want {
			t.Errorf("%s: %q, want %q", c.rule, b.String(), c.want)
		}
	}
}
