package hazard_test

import (
	"testing"

	"forayhall/internal/hazard"
)

// The pairs are in the tables with their sources.
func TestDoubles(t *testing.T) {
	base := smallBase(t)
	tests := []struct {
		rule, written string
		role          hazard.Role
		other         string
		severity      int
	}{
		{"the gathered side", "Kuehneromyces mutabilis", hazard.Gathered, "Galerina marginata", 5},
		{"a former name of the gathered side", "Galerina mutabilis", hazard.Gathered, "Galerina marginata", 5},
		{"the poisonous side", "Galerina marginata", hazard.Poisonous, "Kuehneromyces mutabilis", 5},
		{"a former name of the poisonous side", "Inocybe patouillardii", hazard.Poisonous, "Calocybe gambosa", 3},
		{"a misspelling", "Inocybe patouilardi", hazard.Poisonous, "Calocybe gambosa", 3},
		{"a name in doubt", "Amanita cf. rubescens", hazard.Gathered, "Amanita pantherina", 3},
		{"a genus, by its species", "Galerina sp.", hazard.Poisonous, "Kuehneromyces mutabilis", 5},
		{"a former genus, by its species", "Inocybe", hazard.Poisonous, "Calocybe gambosa", 3},
		{"a species of a genus that is a double as a whole", "Cortinarius rubellus", hazard.Poisonous, "Lepista nuda", 5},
		{"a pair with a whole genus", "Lepista nuda", hazard.Gathered, "Cortinarius", 5},
	}
	for _, test := range tests {
		t.Run(test.rule, func(t *testing.T) {
			for _, d := range base.Doubles(test.written) {
				if d.Role == test.role && d.Other == test.other && d.Severity == test.severity {
					return
				}
			}
			t.Errorf("%s: %s %s %d is not among %v", test.written, test.role, test.other, test.severity, base.Doubles(test.written))
		})
	}
	if got := base.Doubles("Boletus badius"); len(got) != 0 {
		t.Errorf("a species of another name takes part in %v", got)
	}
}

func TestDoublesStandTheMostDangerousFirst(t *testing.T) {
	list := smallBase(t).Doubles("Cantharellus cibarius")
	for i := 1; i < len(list); i++ {
		if list[i].Severity > list[i-1].Severity {
			t.Errorf("%s stands below %s", list[i].Other, list[i-1].Other)
		}
	}
	if len(list) < 4 || list[0].Severity != 5 {
		t.Errorf("%v", list)
	}
}
