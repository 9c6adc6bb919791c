package knowledge

import (
	"testing"

	"forayhall/internal/taxon"
	"forayhall/seed"
)

// Every name and common name that ships can be asked for, and every species knows its genus.
func TestTheNamesThatShipFindThemselves(t *testing.T) {
	ix, err := ReadNames(seed.Files)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := readNameRows(seed.Files)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows {
		m := ix.Match(row.Name + " " + row.Author)
		if m.How != taxon.Same || m.Found.Name != row.Name {
			t.Errorf("line %d: %s %s is matched as %s %v", row.Line, row.Name, row.Author, m.How, m.Found)
		}
		if genus := taxon.Key(taxon.Read(row.Name).Genus); row.Status == "accepted" && row.Rank == taxon.Species {
			if _, there := ix.Lookup(genus); !there {
				t.Errorf("line %d: %s has no row for its genus", row.Line, row.Name)
			}
		}
	}
	t.Logf("%d names, revision %s", ix.Len(), ix.Revision())
}

func TestTheCommonNamesThatShipFindTheirTaxon(t *testing.T) {
	ix, err := ReadNames(seed.Files)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := readCommonRows(seed.Files)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows {
		if m := ix.Match(row.Common); !names(m, taxon.Key(row.Name)) {
			t.Errorf("line %d: %q is matched as %s %v %v", row.Line, row.Common, m.How, m.Found, m.Candidates)
		}
	}
}

// names says whether a name, or another of its taxon, is among the answers.
func names(m taxon.Match, key string) bool {
	if m.Found != nil && (m.Found.Key == key || m.Found.Current().Key == key) {
		return true
	}
	for _, c := range m.Candidates {
		if c.Name.Key == key || c.Name.Current().Key == key {
			return true
		}
	}
	return false
}
