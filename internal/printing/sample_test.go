package printing

import (
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"forayhall/internal/hazard"
	"forayhall/internal/knowledge"
	"forayhall/internal/taxon"
	"forayhall/seed"
)

// The hall of the samples: the invented society's HB26 on its Saturday afternoon, real fungi under their names in
// question.
var made = time.Date(2026, time.October, 10, 15, 40, 0, 0, time.UTC)

var known = sync.OnceValues(func() (*knowledge.Snapshot, error) { return knowledge.Load(seed.Files) })

func shipped(t testing.TB) *knowledge.Snapshot {
	t.Helper()
	k, err := known()
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// inHall are names in question, a plate each; "|" parts the names of one plate.
var inHall = []string{
	"Amanita phalloides", "Amanita phalloides", "Amanita virosa|Amanita citrina", "Galerina marginata|Kuehneromyces mutabilis",
	"Lepiota subincarnata", "Cortinarius rubellus", "Cortinarius orellanus|Cortinarius limonius", "Paxillus involutus", "Paxillus involutus",
	"Gyromitra esculenta", "Inosperma erubescens", "Clitocybe rivulosa|Clitocybe dealbata", "Pseudosperma rimosum", "Amanita muscaria",
	"Amanita muscaria", "Amanita pantherina", "Entoloma sinuatum", "Tricholoma pardinum", "Hypholoma fasciculare", "Hypholoma fasciculare",
	"Agaricus xanthodermus", "Chlorophyllum rhacodes cf.", "Rubroboletus satanas", "Omphalotus illudens", "Coprinopsis atramentaria",
	"Scleroderma citrinum", "Russula emetica", "Lactarius torminosus", "Hebeloma crustuliniforme", "Hapalopilus rutilans",
	"Tricholoma equestre", "Pholiotina rugosa", "Clitocybe nebularis", "Armillaria mellea", "Psilocybe semilanceata",
	"Agaricus campestris", "Boletus edulis", "Cantharellus cibarius", "Macrolepiota procera", "Lepista nuda", "Clitopilus prunulus",
	"Craterellus tubaeformis", "Marasmius oreades", "Coprinus comatus", "Conocybe sp.", "Inocybe sp.", "Lepiota sp.", "Cortinarius sp.",
	"Clitocybe sp.", "Galerina sp.", "Amanita sp.", "Ramaria sp.", "Hymenochaete rubiginosa", "Mycena pelianthina", "Peniophora quercina",
}

// inFullHall makes some sixty-five lines of block A, as many dangerous among them as halls have that clear their tables.
var inFullHall = []string{
	"Amanita phalloides", "Amanita virosa", "Galerina marginata|Kuehneromyces mutabilis", "Lepiota subincarnata", "Lepiota brunneoincarnata",
	"Cortinarius rubellus", "Cortinarius sp.", "Tricholoma terreum", "Paxillus involutus", "Mycena pura", "Inocybe lacera", "Clitocybe rivulosa",
	"Inosperma erubescens|Pseudosperma rimosum", "Hypholoma fasciculare", "Hypholoma fasciculare", "Amanita muscaria",
	"Russula emetica|Russula nobilis", "Russula sardonia", "Lactarius chrysorrheus", "Lactarius torminosus", "Lactarius helvus", "Tricholoma saponaceum",
	"Tricholoma virgatum", "Hebeloma sinapizans", "Hebeloma crustuliniforme", "Agaricus xanthodermus", "Agaricus moelleri", "Amanita citrina",
	"Chalciporus piperatus", "Phaeolus schweinitzii", "Pholiota squarrosa", "Scleroderma citrinum", "Hypholoma lateritium", "Tylopilus felleus",
	"Caloboletus calopus", "Caloboletus radicans", "Gymnopus dryophilus", "Stropharia coronilla", "Clitocybe nebularis", "Lactifluus piperatus",
	"Lactifluus vellereus", "Gymnopilus junonius", "Helvella sp.", "Hygrophoropsis aurantiaca", "Peziza badia", "Echinoderma asperum",
	"Coprinopsis atramentaria", "Laccaria amethystina", "Agaricus arvensis", "Panaeolina foenisecii", "Panaeolus cinctulus", "Psilocybe semilanceata",
	"Leccinum sp.", "Neoboletus luridiformis", "Amanita rubescens", "Armillaria sp.", "Armillaria mellea", "Suillus luteus", "Suillellus luridus",
	"Chlorophyllum rhacodes", "Lentinula edodes", "Ramaria pallida", "Russula foetens", "Lactarius scrobiculatus",
	"Agaricus campestris", "Boletus edulis", "Cantharellus cibarius", "Macrolepiota procera", "Lepista nuda", "Clitopilus prunulus",
	"Craterellus tubaeformis", "Marasmius oreades", "Coprinus comatus", "Conocybe sp.", "Inocybe sp.", "Lepiota sp.", "Russula sp.", "Galerina sp.",
	"Amanita sp.", "Mycena sp.", "Entoloma sp.", "Hymenochaete rubiginosa", "Mycena pelianthina", "Peniophora quercina", "Trametes versicolor",
}

// fullHall has signs to look for as well.
func fullHall(t testing.TB) WarningSheet {
	k := shipped(t)
	s := sampleSheet(t, inFullHall)
	for i, l := range s.Here {
		if l.Severity >= hazard.Deadly {
			var signs []string
			for _, sign := range k.Hazards.Signs(l.Name.withoutAuthor().String()) {
				signs = append(signs, sign.Text)
			}
			s.Here[i].Signs = strings.Join(signs, "; ")
		}
	}
	return s
}

// tableOf is how a hall calls a table: by its number, some by a title as well.
func tableOf(n int) string {
	titles := map[int]string{5: "Brackets and crusts", 14: "Hazards, behind the barrier"}
	return strings.TrimSpace(fmt.Sprint(n, " ", titles[n]))
}

func hallPlates(names []string) []hazard.Plate {
	states := []hazard.State{hazard.Confirmed, hazard.Provisional, hazard.Confirmed, hazard.Disputed}
	var plates []hazard.Plate
	for i, n := range names {
		p := hazard.Plate{Number: fmt.Sprintf("%04d", 11+i*7), State: states[i%4], Names: strings.Split(n, "|"), Group: "small brown agaric"}
		if i%9 != 8 {
			p.Table = tableOf(i%14 + 1)
		}
		plates = append(plates, p)
	}
	for i := range 12 {
		plates = append(plates, hazard.Plate{Number: fmt.Sprintf("%04d", 600+i), Table: fmt.Sprint(i%3 + 1), State: hazard.BroughtIn})
	}
	return plates
}

func sampleSheet(t testing.TB, names []string) WarningSheet {
	k := shipped(t)
	contact := hazard.Contact{Name: "Hollinbeck Poison Line", Phone: "0191 555 0142", TypedBy: "Ines Okafor", TypedAt: made.Add(-8 * time.Hour),
		TestedBy: "Bartosz Wójcik", TestedAt: made.Add(-7 * time.Hour)}
	return fromHazard(k, k.Hazards.MakeSheet(hazard.SheetInput{Plates: hallPlates(names), Region: "EU", Contact: contact}))
}

func fromHazard(k *knowledge.Snapshot, h hazard.Sheet) WarningSheet {
	s := WarningSheet{Society: "Hollinbeck Fungus Society", Event: "Autumn foray", Code: "HB26", Place: "Hollinbeck Hall", At: made,
		Made: "Saturday 10 October 2026, 15:40", Version: "version 7", Knowledge: k.Revision[:8], Final: h.Final, Lacks: h.Lacks, Eaten: h.Eaten,
		Caution: h.Caution, Live: "https://hall.example.org/hollinbeck/hb26/sheet",
		Contact: Contact{h.Contact.Name, h.Contact.Phone, "day and night", h.Contact.TypedBy, "Saturday 07:40", h.Contact.TestedBy, "Saturday 08:40"}}
	for _, l := range h.Here {
		line := HereLine{Name: nameOf(k, l.Taxon), Common: commonOf(k, l.Taxon), Severity: l.Finding.Severity, Syndrome: l.Finding.Syndrome.Name,
			Plain: l.Finding.Syndrome.Plain, Onset: l.Onset, Plates: platesOf(l.Plates), Matched: l.Finding.Matched, OutOfRegion: l.Finding.OutOfRegion}
		if l.Finding.Via != hazard.Listed {
			line.Via = l.Finding.Via.Text()
		}
		if l.Finding.Entry.Exposure != hazard.Meal {
			line.Exposure = l.Finding.Entry.Exposure.Text()
		}
		for _, d := range l.MistakenFor {
			if !hereabouts(d.Region) {
				continue
			}
			line.Taken = append(line.Taken, Taken{nameOf(k, d.Other), commonOf(k, d.Other), d.Differences})
		}
		s.Here = append(s.Here, line)
	}
	s.Nameless = platesOf(h.Nameless)
	for _, l := range h.Wide {
		line := WideLine{Name: nameOf(k, l.Name), Plates: platesOf(l.Plates), Worst: memberOf(k, l.Worst), OutOfRegion: l.Worst.OutOfRegion}
		if l.Nearer != nil {
			m := memberOf(k, *l.Nearer)
			line.Nearer = &m
		}
		s.Wide = append(s.Wide, line)
	}
	for _, d := range h.Doubles {
		if !hereabouts(d.Region) {
			continue
		}
		s.Doubles = append(s.Doubles, DoubleLine{Gathered: nameOf(k, d.Matched), Common: commonOf(k, d.Matched), Plates: platesOf(d.Plates),
			Poisonous: nameOf(k, d.Other), PoisonousCommon: commonOf(k, d.Other), Severity: d.Severity, Differences: d.Differences, Here: standing(h, d.Other)})
	}
	for _, p := range h.NoEntry {
		s.NoEntry = append(s.NoEntry, Unlisted{nameOf(k, p.Names[0]), platesOf([]hazard.Standing{p})})
	}
	return s
}

// standing are the plates of a poisonous name that is in the hall.
func standing(h hazard.Sheet, name string) []Plate {
	for _, l := range h.Here {
		if l.Taxon == name {
			return platesOf(l.Plates)
		}
	}
	return nil
}

// hereabouts keeps the mistakes of the event's region.
func hereabouts(region string) bool {
	return region == "" || strings.Contains(region, "EU") || strings.Contains(region, "both") || strings.Contains(region, "world")
}

func memberOf(k *knowledge.Snapshot, f hazard.Finding) Member {
	return Member{nameOf(k, f.Entry.Taxon), f.Severity, f.Syndrome.Plain}
}

func platesOf(list []hazard.Standing) []Plate {
	var plates []Plate
	for _, p := range list {
		plates = append(plates, Plate{p.Number, p.Table, State(p.State)})
	}
	return plates
}

func nameOf(k *knowledge.Snapshot, written string) Name {
	m := k.Names.Match(written)
	if m.Found == nil || m.How == taxon.GenusOnly {
		return Upright(written)
	}
	n := Name{{m.Found.Name, true}}
	if q := string(m.Written.Qualifier); q != "" {
		n = append(n, Run{" " + q, false})
	}
	return append(n, Run{" " + m.Found.Author, false})
}

func commonOf(k *knowledge.Snapshot, written string) string {
	m := k.Names.Match(written)
	if m.Found == nil {
		return ""
	}
	for _, c := range m.Found.Current().Common {
		if c.Language == "en" {
			return c.Name
		}
	}
	return ""
}
