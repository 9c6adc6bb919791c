package access_test

import (
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/foray"
)

// The table as the plan of the hall draws it, one line an action, columns in the order of access.Rights.
const drawn = `
read_public      x x x x x x x x x x x
name_own         . x x x x x x x x x x
run_own_team     . . x . . . . . . . x
sign_anyone_in   . . . x . . . . x . x
log_collection   . . . x . . x x . x x
name_any         . . x x x x x x . x x
sign_off         . . . . . . x x . . .
scribe_sign_off  . . . . x . . . . . .
settle           . . . . . . x x . . .
place_plates     . . . . . x . . . . x
remove_plates    . . . x . x x x . x x
tend_hazards     . . . . . . . . x . .
publish_list     . . . . . . . . . x .
set_up           . . . . . . . . . . x
`

func TestTableIsTheOneDrawn(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(drawn), "\n")
	if len(lines) != len(access.Actions) {
		t.Fatalf("%d lines drawn, %d actions", len(lines), len(access.Actions))
	}
	for i, line := range lines {
		cells := strings.Fields(line)
		if cells[0] != string(access.Actions[i]) {
			t.Errorf("line %d is %s, want %s", i, cells[0], access.Actions[i])
		}
		for j, right := range access.Rights {
			if got := access.Allows(right, access.Actions[i]); got != (cells[1+j] == "x") {
				t.Errorf("%s may %s: %v", right, access.Actions[i], got)
			}
		}
	}
}

func TestRightsEndAtTheSociety(t *testing.T) {
	here, there := foray.ID{1}, foray.ID{2}
	actor := access.Actor{Society: here, Person: foray.ID{9}}
	given := []access.Right{access.Organiser, access.Identifier}
	if !access.For(actor, access.Scope{Society: here}, given).Can(access.SetUp) {
		t.Error("an organiser cannot set up at home")
	}
	abroad := access.For(actor, access.Scope{Society: there}, given)
	if len(abroad) != 1 || !abroad.Has(access.Visitor) {
		t.Errorf("abroad: %v, want a visitor", abroad)
	}
	if held := access.For(access.Nobody, access.Scope{}, given); held.Can(access.NameOwn) {
		t.Errorf("nobody holds %v", held)
	}
}

func TestTokenNeverWidensRights(t *testing.T) {
	actor := access.Actor{Society: foray.ID{1}, Person: foray.ID{9}, Only: []access.Right{access.Desk, access.SafetyLead}}
	held := access.For(actor, access.Scope{Society: foray.ID{1}}, []access.Right{access.Organiser, access.Desk})
	if held.Can(access.SetUp) || held.Can(access.TendHazards) || !held.Can(access.LogCollection) {
		t.Errorf("a desk token of an organiser holds %v", held)
	}
}

func TestOrganiserWhoIsNoIdentifierCannotSignOff(t *testing.T) {
	if access.Allows(access.Organiser, access.SignOff) {
		t.Error("an organiser signs off")
	}
}
