package hall_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hazard"
	"forayhall/internal/taxon"
)

// typedName draws names as people write them at a bench: deadly, poisonous, gathered, unknown, misspelt, in every
// doubt and at either part.
func typedName(t *rapid.T) string {
	name := rapid.SampledFrom([]string{"Amanita phalloides", "Galerina marginata", "Cortinarius rubellus", "Conocybe filaris",
		"Pholiotina rugosa", "Lepiota brunneoincarnata", "Clitocybe rivulosa", "Paralepistopsis acromelalga", "Amanita muscaria",
		"Boletus edulis", "Imleria badia", "Cantharellus cibarius", "Macrolepiota procera", "Galerina hollinbeckensis",
		"Galerina margynata", "Russula cyanoxantha", "Tricholoma equestre", "Gyromitra esculenta", "Mycena pura"}).Draw(t, "name")
	genus, epithet, _ := strings.Cut(name, " ")
	switch rapid.IntRange(0, 9).Draw(t, "doubt") {
	case 0:
		return "cf. " + name
	case 1:
		return genus + " cf. " + epithet
	case 2:
		return "aff. " + name
	case 3:
		return genus + " aff. " + epithet
	case 4:
		return genus + "? " + epithet
	case 5:
		return name + " ?"
	case 6:
		return name + " group"
	case 7:
		return name + " s.l."
	case 8:
		return genus + rapid.SampledFrom([]string{"", " sp."}).Draw(t, "genus")
	}
	return name
}

// A slip keeps a name in parts; put together again it must warn of all that the writing itself warns of.
func TestANameOnASlipWarnsAsMuchAsTheWriting(t *testing.T) {
	h := &hall.Hall{Knowledge: halltest.Knowledge(t)}
	look := &hall.Look{Hall: h}
	rapid.Check(t, func(t *rapid.T) {
		text := typedName(t)
		n, err := look.ReadName(hall.NameInput{Text: text}, 1, map[string]bool{})
		if err != nil {
			t.Fatal(err)
		}
		kept := h.Knowledge.Hazards.Worst([]hazard.Question{{Text: hall.Written(n), Group: "bolete"}}, "EU")
		typed := h.Knowledge.Hazards.Worst([]hazard.Question{{Text: text, Group: "bolete"}}, "EU")
		if kept.Weight < typed.Weight {
			t.Fatalf("%q weighs %d, on the slip as %q only %d", text, typed.Weight, hall.Written(n), kept.Weight)
		}
	})
}

// A qualifier chosen beside the name doubts it as one written with it.
func TestAQualifierChosenInAListWarnsAsOneWritten(t *testing.T) {
	h := &hall.Hall{Knowledge: halltest.Knowledge(t)}
	look := &hall.Look{Hall: h}
	for _, q := range []taxon.Qualifier{taxon.Confer, taxon.Affinis, taxon.Group, taxon.SensuLato, taxon.Doubt} {
		for _, name := range []string{"Galerina hypnorum", "Amanita muscaria", "Galerina hollinbeckensis", "Mycena pura"} {
			n, err := look.ReadName(hall.NameInput{Text: name, Qualifier: string(q)}, 1, map[string]bool{})
			if err != nil {
				t.Fatal(err)
			}
			plain := h.Knowledge.Hazards.Worst([]hazard.Question{{Text: name}}, "EU")
			if kept := h.Knowledge.Hazards.Worst([]hazard.Question{{Text: hall.Written(n)}}, "EU"); kept.Weight < plain.Weight {
				t.Errorf("%s %s weighs %d, without the doubt %d", name, q, kept.Weight, plain.Weight)
			}
		}
	}
}

// Doubt never lowers a hazard: before a sign-off, whatever somebody else suggests, and every further choice or doubt
// that a person adds to their own, leaves the collection at least as heavy.
func TestDoubtNeverLowersAHazard(t *testing.T) {
	h := &hall.Hall{Knowledge: halltest.Knowledge(t)}
	look := &hall.Look{Hall: h}
	rapid.Check(t, func(t *rapid.T) {
		var slips []foray.Slip
		own := map[foray.ID][]foray.SlipName{}
		weight := 0
		for i := range rapid.IntRange(1, 6).Draw(t, "slips") {
			by := foray.ID{byte(1 + rapid.IntRange(0, 2).Draw(t, "by"))}
			n, err := look.ReadName(hall.NameInput{Text: typedName(t)}, len(own[by])+1, map[string]bool{})
			if err != nil {
				t.Fatal(err)
			}
			own[by] = append(own[by][:len(own[by]):len(own[by])], n)
			slips = append(slips, foray.Slip{ID: foray.ID{9, byte(i)}, Seq: i + 1, Kind: foray.FieldName, Determiner: by, Writer: by, Names: own[by]})
			p := hall.Plate{Slips: slips, Standing: foray.Replay(slips)}
			p.FormGroup = "small_brown"
			now := h.Knowledge.Hazards.Worst(p.Questions(), "EU").Weight
			if now < weight {
				t.Fatalf("%q took the weight from %d to %d", n.Verbatim, weight, now)
			}
			for _, n := range slips[i].Names {
				if typed := h.Knowledge.Hazards.Worst([]hazard.Question{{Text: n.Verbatim}}, "EU").Weight; now < typed {
					t.Fatalf("%q weighs %d, the collection in which it is in question %d", n.Verbatim, typed, now)
				}
			}
			weight = now
		}
	})
}
