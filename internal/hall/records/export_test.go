package records_test

import (
	"bufio"
	"context"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/records"
)

// export gives the records by number and term.
func export(t *testing.T, g *halltest.Ground, scope access.Scope) (map[string]map[string]string, records.Darwin) {
	t.Helper()
	d, err := records.Export(context.Background(), g.Hall, access.Nobody, scope, "")
	if err != nil {
		t.Fatal(err)
	}
	by := map[string]map[string]string{}
	for _, row := range d.Rows {
		r := map[string]string{}
		for i, term := range d.Header {
			r[term] = row[i]
		}
		by[r["recordNumber"]] = r
	}
	return by, d
}

func TestRecordsSayWhatASchemeNeeds(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		scope := past(t, g)
		bring(t, g, scope, table(t, "number,name,det,date det,basis,leg,date found,site,lat,lon,tree,on,count,cultivated,outside,qualifier,group",
			"1,Boletus badius,A. Kerr,13/10/2024,macro,B. Lund,12/10/2024,Nether Holt,54.1,-1.6,pine,soil,3,,,,",
			"2,Russula emetica,A. Kerr,Oct 2024,,,,Nether Holt,54.1002,-1.6,,,,,,cf,",
			"3,Pleurotus ostreatus,,,,,,,,,,,,yes,yes,,",
			"4,,,,,,,,,,,,,,,,Bolete",
			"5,Inventaria nova,A. Kerr,,,,,,,,,,,,,,"), records.Options{})
		by, d := export(t, g, scope)
		if d.Unnamed != 1 || len(d.Rows) != 4 {
			t.Errorf("%d records, %d unnamed", len(d.Rows), d.Unnamed)
		}
		for _, c := range []struct{ number, term, want string }{
			{"HB24 0001", "scientificName", "Imleria badia"},
			{"HB24 0001", "verbatimIdentification", "Boletus badius"},
			{"HB24 0001", "family", "Boletaceae"},
			{"HB24 0001", "kingdom", "Fungi"},
			{"HB24 0001", "identifiedBy", "A. Kerr"},
			{"HB24 0001", "recordedBy", "B. Lund"},
			{"HB24 0001", "eventDate", "2024-10-12"},
			{"HB24 0001", "dateIdentified", "2024-10-13"},
			{"HB24 0001", "identificationRemarks", "macroscopic"},
			{"HB24 0001", "identificationVerificationStatus", "confirmed"},
			{"HB24 0001", "associatedTaxa", "pine"},
			{"HB24 0001", "substrate", "soil"},
			{"HB24 0001", "individualCount", "3"},
			{"HB24 0001", "locality", "Nether Holt"},
			{"HB24 0001", "decimalLatitude", "54.1001"}, // the middle of the site's two points
			{"HB24 0001", "coordinateUncertaintyInMeters", "12"},
			{"HB24 0001", "geodeticDatum", "EPSG:4326"},
			{"HB24 0002", "identificationQualifier", "cf. emetica"},
			{"HB24 0002", "dateIdentified", ""}, // a month is no day
			{"HB24 0002", "identificationRemarks", "not stated; Dated Oct 2024"},
			{"HB24 0002", "eventDate", "2024-10-12/2024-10-13"},
			{"HB24 0003", "establishmentMeans", "introduced"},
			{"HB24 0003", "degreeOfEstablishment", "cultivated"},
			{"HB24 0003", "identificationVerificationStatus", "unconfirmed"},
			{"HB24 0003", "identifiedBy", ""}, // the machine is nobody
			{"HB24 0003", "eventDate", ""},
			{"HB24 0003", "occurrenceRemarks", "Brought from outside the event's area."},
			{"HB24 0005", "scientificName", "Inventaria nova"},
			{"HB24 0005", "family", ""},
		} {
			if got := by[c.number][c.term]; got != c.want {
				t.Errorf("%s %s: %q, want %q", c.number, c.term, got, c.want)
			}
		}
		if id := by["HB24 0001"]["occurrenceID"]; !strings.HasPrefix(id, "urn:uuid:") {
			t.Errorf("the id is %q", id)
		}
	})
}

// Would catch an exact point or a name of a place that is kept from the public, also in words beside it.
func TestASensitivePlaceLeavesNoTraceInRecords(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		bring(t, g, g.Scope, table(t, "number,name,det,site,lat,lon,notes,habitat",
			"1,Boletus badius,A. Kerr,Nether Holt,54.12345,-1.65432,behind the third gate,by the old well"), records.Options{SensitiveSites: true})
		by, d := export(t, g, g.Scope)
		whole := strings.Join(d.Rows[0], "\n")
		for _, secret := range []string{"Nether", "54.12345", "-1.65432", "gate", "well"} {
			if strings.Contains(whole, secret) {
				t.Errorf("%q is in the record:\n%s", secret, whole)
			}
		}
		r := by["HB26 0001"]
		// Half the diagonal of a cell of 1000 m is 707 m.
		uncertainty, err := strconv.Atoi(r["coordinateUncertaintyInMeters"])
		if err != nil || r["decimalLatitude"] == "" || uncertainty < 707 || !strings.Contains(r["dataGeneralizations"], "1000 m") {
			t.Errorf("the grid is not stated: %v", r)
		}
		if r["informationWithheld"] == "" {
			t.Error("the record does not say that something is withheld")
		}
	})
}

func TestADisputedPlateIsRecordedAsWhatBothSidesShare(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ctx := context.Background()
		bring(t, g, g.Scope, table(t, "number,name", "1,Amanita"), records.Options{})
		p := plates(t, g, g.Scope)["0001"]
		word := bench.Word{Collection: p.ID, Basis: "macroscopic", Remarks: "the volva"}
		for i, name := range []string{"Amanita citrina", "Amanita phalloides"} {
			actor := []access.Actor{g.As[access.Identifier], g.Second}[i]
			word.Name.Text, word.Determiner = name, actor.Person
			if _, err := bench.SignOff(ctx, g.Hall, actor, g.Scope, g.On(t, i+1), word); err != nil {
				t.Fatal(err)
			}
		}
		r, _ := export(t, g, g.Scope)
		for term, want := range map[string]string{"scientificName": "Amanita", "taxonRank": "genus", "family": "Amanitaceae",
			"identificationVerificationStatus": "disputed", "verbatimIdentification": "Amanita citrina | Amanita phalloides"} {
			if got := r["HB26 0001"][term]; got != want {
				t.Errorf("%s: %q, want %q", term, got, want)
			}
		}
	})
}

// Simple Darwin Core (TDWG 2009, and its terms since) is the list that a recording scheme reads.
func TestEveryColumnIsATermOfDarwinCoreButSubstrate(t *testing.T) {
	folder := os.Getenv("FORAYHALL_REFERENCE")
	if folder == "" {
		t.Skip("FORAYHALL_REFERENCE is not set")
	}
	f, err := os.Open(filepath.Join(folder, "dwc", "terms", "simple_dwc_vertical.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var terms []string
	for lines := bufio.NewScanner(f); lines.Scan(); {
		terms = append(terms, strings.TrimSpace(lines.Text()))
	}
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		_, d := export(t, g, g.Scope)
		for _, column := range d.Header {
			if !slices.Contains(terms, column) && column != "substrate" {
				t.Errorf("%s is no term", column)
			}
		}
	})
}
