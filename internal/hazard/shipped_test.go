package hazard_test

import (
	"encoding/csv"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"forayhall/internal/hazard"
	"forayhall/internal/taxon"
)

// Rows reach their own names without the list of names; but what the list lacks is reached by no family or section.
func TestEveryNameThatShipsIsInTheListOfNames(t *testing.T) {
	_, names := shippedBase(t)
	for name, where := range namesOf(tables(t)) {
		if _, ok := names.Lookup(taxon.Key(name)); !ok {
			t.Errorf("%s (%s) is not in the list of names", name, where)
		}
	}
}

func namesOf(tables hazard.Tables) map[string]string {
	names := map[string]string{}
	for _, r := range tables.Rows {
		names[r.Taxon], names[taxon.Read(r.Taxon).Genus] = "hazards", "genus of hazards"
	}
	for _, p := range tables.Pairs {
		names[p.Gathered], names[p.Poisonous] = "look-alikes", "look-alikes"
	}
	for _, g := range tables.Groups {
		for _, m := range g.Members {
			names[m] = "group " + g.Key
		}
	}
	return names
}

// The species that kill by one meal, and the size below which the tables are not worth printing.
func TestTheTablesHoldTheDeadlyOnes(t *testing.T) {
	tables := tables(t)
	taxa := map[string]bool{}
	for _, r := range tables.Rows {
		taxa[r.Taxon] = true
	}
	t.Logf("%d rows of %d taxa, %d pairs, %d syndromes, %d signs, %d gathered", len(tables.Rows), len(taxa), len(tables.Pairs), len(tables.Syndromes),
		len(tables.Signs), len(tables.Gathered))
	if len(taxa) < 350 || len(tables.Pairs) < 220 || len(tables.Syndromes) < 24 {
		t.Errorf("%d taxa, %d pairs, %d syndromes", len(taxa), len(tables.Pairs), len(tables.Syndromes))
	}
	base := smallBase(t)
	for _, name := range []string{"Amanita phalloides", "Amanita virosa", "Amanita ocreata", "Galerina marginata",
		"Lepiota brunneoincarnata", "Lepiota subincarnata", "Lepiota castanea", "Pholiotina rugosa",
		"Cortinarius orellanus", "Cortinarius rubellus", "Cortinarius orellanosus", "Russula subnigricans",
		"Trichoderma cornu-damae", "Trogia venenata"} {
		if f := base.Assess(name)[0]; f.Severity != 5 || f.Via != hazard.Listed {
			t.Errorf("%s: severity %d via %s", name, f.Severity, f.Via)
		}
	}
}

var (
	promises = regexp.MustCompile(`(?i)\b(edible|edibility|safe|safely|harmless|delicious|tasty|choice|good|eaten with)\b`)
	claims   = regexp.MustCompile(`(?i)\b(19|20)\d\d\b|n\.d\.|from memory|common practice|PMC|digital issue`)
)

func TestNoWordOfTheTablesSaysThatSomethingMayBeEaten(t *testing.T) {
	tables := tables(t)
	var texts []string
	for _, s := range tables.Syndromes {
		texts = append(texts, s.Plain, s.SeverityWhy)
	}
	for _, r := range tables.Rows {
		texts = append(texts, r.Note)
	}
	for _, p := range tables.Pairs {
		texts = append(texts, p.Differences)
	}
	for _, text := range texts {
		if word := promises.FindString(text); word != "" {
			t.Errorf("%q in %q", word, text)
		}
	}
}

func TestEverySourceNamesAYearOrSaysThatItIsMemory(t *testing.T) {
	tables := tables(t)
	sources := map[string]string{}
	for _, s := range tables.Syndromes {
		sources["syndrome "+s.Key] = s.Source
	}
	for _, r := range tables.Rows {
		sources["row "+r.Taxon+" "+r.Syndrome] = r.Source
	}
	for _, p := range tables.Pairs {
		sources["pair "+p.Gathered+" "+p.Poisonous] = p.Source
	}
	for _, g := range tables.Groups {
		sources["group "+g.Key] = g.Source
	}
	for what, source := range sources {
		if !claims.MatchString(source) {
			t.Errorf("%s: source %q", what, source)
		}
	}
}

func reference(t *testing.T, file string) []map[string]string {
	t.Helper()
	folder := os.Getenv("FORAYHALL_REFERENCE")
	if folder == "" {
		t.Skip("FORAYHALL_REFERENCE is not set")
	}
	f, err := os.Open(filepath.Join(folder, "hazards", file))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, column := range records[0] {
			row[column] = record[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// The hours and severities of the reference come from White et al. 2019, Toxicon 157:53-65, and the reviews that
// each row cites.
func TestSyndromesAgreeWithTheReference(t *testing.T) {
	byName := map[string]hazard.Syndrome{}
	for _, s := range tables(t).Syndromes {
		byName[s.Name] = s
	}
	for _, row := range reference(t, "syndromes.csv") {
		s, ok := byName[row["syndrome"]]
		if !ok {
			t.Errorf("%s is not there", row["syndrome"])
			continue
		}
		if hours(s.OnsetMin) != row["onset_min_h"] || hours(s.OnsetMax) != row["onset_max_h"] {
			t.Errorf("%s: %s to %s hours, want %s to %s", s.Name, hours(s.OnsetMin), hours(s.OnsetMax), row["onset_min_h"], row["onset_max_h"])
		}
		if strconv.Itoa(s.Severity) != row["severity_rank"] {
			t.Errorf("%s: severity %d, want %s", s.Name, s.Severity, row["severity_rank"])
		}
	}
}

func hours(h *float64) string {
	if h == nil {
		return ""
	}
	return strconv.FormatFloat(*h, 'f', -1, 64)
}

func TestHazardsOfTheReferenceWarnAsMuchUnderEveryName(t *testing.T) {
	base, _ := shippedBase(t)
	for _, row := range reference(t, "hazards.csv") {
		names := append([]string{row["taxon"]}, strings.FieldsFunc(row["former_names"], func(r rune) bool { return r == ';' })...)
		for _, name := range names {
			found := slices.ContainsFunc(base.Assess(name), func(f hazard.Finding) bool {
				return f.Syndrome != nil && f.Syndrome.Name == row["syndrome"]
			})
			if !found {
				t.Errorf("%s does not warn of %s", name, row["syndrome"])
			}
		}
	}
}

func TestPairsOfTheReferenceAreThereFromBothSides(t *testing.T) {
	base, _ := shippedBase(t)
	for _, row := range reference(t, "lookalikes.csv") {
		for _, side := range []struct {
			name, other string
			role        hazard.Role
		}{{row["collected_for"], row["toxic_lookalike"], hazard.Gathered}, {row["toxic_lookalike"], row["collected_for"], hazard.Poisonous}} {
			found := slices.ContainsFunc(base.Doubles(side.name), func(d hazard.Double) bool {
				return d.Role == side.role && d.Other == side.other && d.Severity > 0 && d.Differences != ""
			})
			if !found {
				t.Errorf("%s (%s): %s is not among its doubles", side.name, side.role, side.other)
			}
		}
	}
}

// A name as a tired hand writes it: one slip or two, anywhere in the word. None of a thousand may pass without the warning
// of the species it was meant for.
func TestAThousandMisspellingsOfDeadlySpeciesStillWarn(t *testing.T) {
	base, _ := shippedBase(t)
	var deadly []*hazard.Entry
	for _, e := range base.Entries() {
		if e.Syndrome.Severity == 5 && e.Rank == taxon.Species {
			deadly = append(deadly, e)
		}
	}
	hand := rand.New(rand.NewPCG(1, 2026))
	for n := range 1000 {
		e := deadly[n%len(deadly)]
		written := e.Taxon
		for range 1 + n/len(deadly)%2 {
			written = slip(hand, written)
		}
		warns := slices.ContainsFunc(base.Assess(written), func(f hazard.Finding) bool { return f.Syndrome == e.Syndrome })
		if !warns {
			t.Errorf("%q for %s: %+v", written, e.Taxon, base.Assess(written)[0])
		}
	}
}

// slip makes one slip of the pen: a letter lost, doubled, swapped with the next, or taken for another.
func slip(hand *rand.Rand, name string) string {
	letters := []rune(name)
	at := 1 + hand.IntN(len(letters)-2)
	other := rune('a' + hand.IntN(26))
	switch hand.IntN(4) {
	case 0:
		return string(append(letters[:at:at], letters[at+1:]...))
	case 1:
		return string(letters[:at]) + string(other) + string(letters[at:])
	case 2:
		letters[at], letters[at+1] = letters[at+1], letters[at]
		return string(letters)
	}
	letters[at] = other
	return string(letters)
}

// Genera as books drew them before they were parted: the name of the genus then warns of what left it.
func TestGeneraAsTheyWereDrawnBeforeWarnOfWhatLeftThem(t *testing.T) {
	base, _ := shippedBase(t)
	for genus, left := range map[string]string{
		"Conocybe":  "amatoxin",   // Pholiotina rugosa
		"Clitocybe": "acromelic",  // Paralepistopsis
		"Inocybe":   "muscarine",  // Inosperma erubescens
		"Lepiota":   "gut-severe", // Chlorophyllum molybdites
		"Coprinus":  "coprine",    // Coprinopsis atramentaria
		"Boletus":   "raw-bolete", // Rubroboletus satanas
	} {
		for _, written := range []string{genus, genus + " sp.", genus + " spec. indet.", "cf. " + genus} {
			warns := slices.ContainsFunc(base.Assess(written), func(f hazard.Finding) bool { return f.Syndrome != nil && f.Syndrome.Key == left })
			if !warns {
				t.Errorf("%s does not warn of %s", written, left)
			}
		}
	}
}

// A warning on every plate is read by nobody: species that people know well and that have no row stay without one,
// whatever list of names is installed.
func TestWellKnownSpeciesWithoutRowHaveNoEntry(t *testing.T) {
	base, _ := shippedBase(t)
	for _, name := range []string{"Boletus edulis", "Cantharellus cibarius", "Russula vesca", "Laccaria laccata",
		"Kuehneromyces mutabilis", "Agaricus campestris", "Macrolepiota procera", "Trametes versicolor", "Xylaria hypoxylon"} {
		if f := base.Assess(name)[0]; f.Via != hazard.NoEntry {
			t.Errorf("%s: severity %d via %s of %s", name, f.Severity, f.Via, f.Entry.ID)
		}
	}
}
