package demo_test

import (
	"cmp"
	"encoding/csv"
	"regexp"
	"slices"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/demo"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hazard"
	"forayhall/internal/message"
	"forayhall/internal/taxon"
	"forayhall/seed"
)

// table reads a table of the scenario by its columns.
func table(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := seed.Demo.Open("demo/" + name + ".csv")
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

func this_year_is_in_full_swing(t *testing.T, l laid) {
	plates := l.plates(t, "HB26")
	count := map[string]int{}
	for _, p := range plates {
		count[string(p.Naming)]++
		count["at "+string(p.Whereabouts)]++
		count["basis "+string(basisOf(p))]++
		for what, is := range map[string]bool{"disputed": p.Standing.Disputed, "outside": p.Outside, "cultivated": p.Cultivated,
			"struck": len(p.Standing.Struck) > 0, "settled": settled(p), "split": p.NumberSuffix != "", "unnamed without a group": p.FormGroup == ""} {
			if is {
				count[what]++
			}
		}
	}
	for what, want := range map[string][2]int{"brought_in": {30, 70}, "provisional": {60, 110}, "confirmed": {100, 160},
		"not_nameable": {4, 4}, "not_fungus": {2, 2}, "disputed": {4, 8}, "settled": {3, 6}, "struck": {3, 6}, "split": {2, 2},
		"outside": {3, 3}, "cultivated": {1, 1}, "unnamed without a group": {0, 0}, "at lost": {1, 1}, "at sent": {1, 4}, "at dryer": {4, 15},
		"at discarded": {4, 15}, "at back_table": {3, 20}, "at table": {80, 140}, "at bench": {40, 100}, "at desk": {30, 90},
		"basis microscopy": {10, 60}, "basis reagent": {3, 30}, "basis spore_print": {1, 30}, "basis comparison": {2, 30}, "basis macroscopic": {50, 130}} {
		if got := count[what]; got < want[0] || got > want[1] {
			t.Errorf("%s: %d, want %d to %d", what, got, want[0], want[1])
		}
	}
	if len(plates) < 250 || len(plates) > 270 {
		t.Errorf("%d collections", len(plates))
	}
}

func basisOf(p hall.Plate) foray.Basis {
	slip, _ := p.Standing.Current()
	return slip.Basis
}

// settled: two sign-offs once stood against each other, and do no longer.
func settled(p hall.Plate) bool {
	for i := range p.Slips {
		if foray.Replay(p.Slips[:i+1]).Disputed {
			return !p.Standing.Disputed
		}
	}
	return false
}

func disputes_stand_between_two_determiners(t *testing.T, l laid) {
	for _, p := range l.plates(t, "HB26") {
		if !p.Standing.Disputed {
			continue
		}
		if len(p.Standing.Sides) != 2 || p.Standing.Sides[0].Determiner == p.Standing.Sides[1].Determiner {
			t.Errorf("%s has %d sides", p.Number(), len(p.Standing.Sides))
		}
		if p.Standing.Sides[1].Remarks == "" {
			t.Errorf("%s: the dissent gives no reason", p.Number())
		}
	}
}

// Deadly species of this scenario, as the sheet calls them, and wide names that could be one.
var (
	deadly = []string{"Amanita phalloides", "Amanita virosa", "Galerina marginata", "Cortinarius rubellus", "Lepiota subincarnata"}
	wide   = []string{"Galerina", "Conocybe", "Lepiota", "Inocybe"}
)

func warning_sheet_has_the_deadly_ones_and_is_final(t *testing.T, l laid) {
	sheet, err := safety.WarningSheet(t.Context(), l.Hall, access.Nobody, l.scope(t, "HB26"))
	if err != nil {
		t.Fatal(err)
	}
	if !sheet.Final {
		t.Errorf("not final: %v", sheet.Lacks)
	}
	for _, name := range deadly {
		if !slices.ContainsFunc(sheet.Here, func(h hazard.HereLine) bool { return h.Taxon == name }) {
			t.Errorf("%s is not on the sheet", name)
		}
	}
	for _, name := range wide {
		if !slices.ContainsFunc(sheet.Wide, func(w hazard.WideLine) bool { return w.Name == name || w.Name == name+" sp." }) {
			t.Errorf("%s is not among the wide names", name)
		}
	}
	doubles := 0
	for _, d := range sheet.Doubles {
		if d.PoisonousHere {
			doubles++
		}
	}
	if doubles < 8 {
		t.Errorf("%d doubles stand in the hall with what they are taken for", doubles)
	}
}

// What could do worse than upset a stomach stands on the hazards' table; nothing mild takes its place there.
func hazards_stand_on_their_own_table(t *testing.T, l laid) {
	room, err := setup.See(t.Context(), l.Hall, access.Actor{Society: l.scope(t, "HB26").Society, Installation: true,
		Person: l.plates(t, "HB26")[0].LoggedBy}, l.scope(t, "HB26"))
	if err != nil {
		t.Fatal(err)
	}
	if len(room.Tables) != 14 || len(room.Teams) != 6 || len(room.Sites) != 8 {
		t.Errorf("%d tables, %d teams, %d sites", len(room.Tables), len(room.Teams), len(room.Sites))
	}
	hazards := map[foray.ID]bool{}
	for _, table := range room.Tables {
		hazards[table.ID] = table.Hazards
	}
	for _, p := range l.plates(t, "HB26") {
		if p.Whereabouts != foray.OnTable {
			continue
		}
		worst := l.Knowledge.Hazards.Worst(p.Questions(), room.Event.Region)
		if bad := worst.Severity >= 3; bad != hazards[p.TableID] {
			t.Errorf("%s %v, severity %d: on the hazards' table %t", p.Number(), p.Questions(), worst.Severity, hazards[p.TableID])
		}
	}
}

func people_are_many_and_some_determine_without_an_account(t *testing.T, l laid) {
	people := table(t, "people")
	credits, logins, without, determine := map[string]int{}, map[string]bool{}, 0, 0
	for _, p := range people {
		credits[p["credit"]]++
		logins[p["key"]] = p["login"] != ""
		if regexp.MustCompile(`identifier`).MatchString(p["hb26"]) {
			determine++
			if p["login"] == "" {
				without++
			}
		}
	}
	if len(people) < 60 || determine != 7 || without != 2 || min(credits["full"], credits["initials"], credits["none"]) < 4 {
		t.Errorf("%d people, %d determine, %d of them without an account, credited %v", len(people), determine, without, credits)
	}
	for _, name := range []string{"slips", "characters", "places", "collections"} {
		for _, row := range table(t, name) {
			if who := cmp.Or(row["writer"], row["by"]); name != "characters" && !logins[who] {
				t.Errorf("%s %s %s: %s has no account to write with", name, row["event"], row["number"], who)
			}
		}
	}
	if len(l.signs) < 11 {
		t.Errorf("%d sign-ins", len(l.signs))
	}
}

// misspelt are written as people write them; the value is what a list may take them for, or empty.
var misspelt = map[string]string{"Amanita rubesens": "", "Boletus edulus": "", "Hypholoma fasiculare": "", "Mycena galericulatta": "",
	"Mycena skelberensis ined.": "", "brown job with a pink foot": ""}

func TestNames_are_known_but_those_meant_to_be_misspelt_or_unknown(t *testing.T) {
	look := &hall.Look{Hall: &hall.Hall{Knowledge: halltest.Knowledge(t)}}
	seen := map[string]bool{}
	for _, slip := range table(t, "slips") {
		for _, column := range []string{"name", "name_2", "name_3"} {
			written := slip[column]
			if written == "" || seen[written] {
				continue
			}
			seen[written] = true
			n, err := look.ReadName(hall.NameInput{Text: written}, 1, nil)
			if err != nil {
				t.Fatal(err)
			}
			m := look.Hall.Knowledge.Names.Match(written)
			_, odd := misspelt[written]
			if exact := n.CurrentKey != "" && m.How == taxon.Same; exact == odd {
				t.Errorf("%q is read as %q by %s", written, n.Name, m.How)
			}
			if n.Verbatim != written {
				t.Errorf("%q is kept as %q", written, n.Verbatim)
			}
		}
	}
	for written := range misspelt {
		if !seen[written] {
			t.Errorf("%q is written nowhere", written)
		}
	}
}

func former_names_and_qualifiers_are_among_what_is_written(t *testing.T, l laid) {
	qualifiers, former := map[string]int{}, map[string]bool{}
	for _, p := range l.plates(t, "HB26") {
		for _, slip := range p.Slips {
			for _, n := range slip.Names {
				if slip.Kind == foray.SignOff {
					qualifiers[n.Qualifier]++
					if n.NameRank == "genus" {
						qualifiers["genus only"]++
					}
				}
				if n.CurrentKey != "" && n.CurrentKey != n.Key {
					former[n.Verbatim] = true
				}
			}
		}
	}
	for q, least := range map[string]int{"cf.": 3, "aff.": 2, "s.l.": 3, "genus only": 6} {
		if qualifiers[q] < least {
			t.Errorf("%s: %d sign-offs", q, qualifiers[q])
		}
	}
	for _, name := range []string{"Inocybe patouillardii", "Cortinarius speciosissimus", "Panaeolus subbalteatus", "Clitocybe dealbata", "Pholiota mutabilis"} {
		if !former[name] {
			t.Errorf("%s is written nowhere as a former name", name)
		}
	}
	if len(former) < 15 {
		t.Errorf("%d former names", len(former))
	}
}

// Telephone numbers for use in TV and radio drama programmes, Ofcom: 01632 960000 to 960999 reach nobody.
var drama = regexp.MustCompile(`^01632 960\d{3}$`)

func TestPoison_contacts_are_nobodys(t *testing.T) {
	for _, e := range table(t, "events") {
		if !drama.MatchString(e["phone"]) || e["contact"] != "Demo contact – not a real line" {
			t.Errorf("%s calls %q %q", e["code"], e["contact"], e["phone"])
		}
	}
}

// Ink caps and slime moulds that were picked in the morning and have no name yet head everybody's queue.
func some_plates_will_not_last(t *testing.T, l laid) {
	hours := map[string]int{}
	for _, g := range l.Knowledge.Groups {
		hours[g.Key] = g.SpoilsH
	}
	late := 0
	for _, p := range l.plates(t, "HB26") {
		waiting := p.Naming == foray.BroughtIn || p.Naming == foray.Provisional
		urgent := p.FormGroup == "inkcap" || p.FormGroup == "slime_mould"
		if waiting && urgent && !p.PickedAt.IsZero() && demo.Present.Sub(p.PickedAt.Time).Hours() > float64(hours[p.FormGroup]) {
			late++
		}
	}
	if late < 6 {
		t.Errorf("%d urgent plates wait", late)
	}
}

func TestOne_team_is_still_out(t *testing.T) {
	teams := map[string]int{}
	for _, c := range table(t, "collections") {
		if c["event"] == "HB26" {
			teams[c["team"]]++
		}
	}
	for _, back := range []string{"1", "2", "3", "4", "5"} {
		if teams[back] < 40 {
			t.Errorf("team %s brought %d", back, teams[back])
		}
	}
	if teams["6"] > 5 {
		t.Errorf("team 6 is out and brought %d", teams["6"])
	}
}

// What the forms offer as a choice is kept by its key, so that every page finds the word for it.
func TestCoded_fields_are_what_the_forms_offer(t *testing.T) {
	offered := func(area, key string) {
		if key != "" && !message.Has("pages."+area+"."+key) {
			t.Errorf("%s: no form offers %q", area, key)
		}
	}
	for _, c := range table(t, "collections") {
		offered("substrate", c["substrate"])
		offered("growth", c["growth"])
		offered("plate", c["plate"])
	}
	for _, n := range table(t, "characters") {
		if n["character"] == "stickiness" || n["character"] == "texture" {
			offered(n["character"], n["words"])
		}
	}
}
