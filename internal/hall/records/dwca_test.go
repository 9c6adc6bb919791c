package records_test

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/csv"
	"encoding/xml"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/hall"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/records"
)

// packed is an event's archive and its bytes.
func packed(t *testing.T, h *hall.Hall, scope access.Scope, opts records.ArchiveOptions) (archive.Star, []byte, records.Packed) {
	t.Helper()
	star, done, err := records.Archive(context.Background(), h, access.Nobody, scope, opts)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := archive.WriteStar(&b, star); err != nil {
		t.Fatal(err)
	}
	return star, b.Bytes(), done
}

// members unpacks an archive.
func members(t *testing.T, data []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	files := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		files[f.Name] = string(text)
	}
	return files
}

// reference is a file of the reference data.
func reference(t *testing.T, parts ...string) string {
	t.Helper()
	folder := os.Getenv("FORAYHALL_REFERENCE")
	if folder == "" {
		t.Skip("FORAYHALL_REFERENCE is not set")
	}
	return filepath.Join(append([]string{folder, "dwc"}, parts...)...)
}

// The XML is held against the TDWG schema of meta.xml (2009) and the GBIF metadata profile 1.3 with EML 2.2.0 whole.
func TestMetaAndEMLOfBothDemoEventsAreValid(t *testing.T) {
	validate := reference(t, "schemas", "validate.sh")
	if _, err := exec.LookPath("xmllint"); err != nil {
		if os.Getenv("FORAYHALL_TEST_ALL") != "" {
			t.Fatal("xmllint is not installed (Debian: libxml2-utils)")
		}
		t.Skip("xmllint is not installed (Debian: libxml2-utils)")
	}
	d := play(t, "sqlite")
	for _, event := range []string{"HB25", "HB26"} {
		for _, base := range []string{"", "https://hall.example/hollinbeck/" + event} {
			_, data, _ := packed(t, d.Hall, d.at(t, "hollinbeck", event).Scope, records.ArchiveOptions{Base: base})
			files := members(t, data)
			for _, check := range [][2]string{{"meta", "meta.xml"}, {"eml", "eml.xml"}, {"emlfull", "eml.xml"}} {
				name := filepath.Join(t.TempDir(), check[1])
				if err := os.WriteFile(name, []byte(files[check[1]]), 0o600); err != nil {
					t.Fatal(err)
				}
				if out, err := exec.Command("sh", validate, check[0], name).CombinedOutput(); err != nil {
					t.Errorf("%s of %s: %v\n%s", check[0], event, err, out)
				}
			}
		}
	}
}

// definition is a GBIF definition of a core or an extension.
type definition struct {
	RowType    string `xml:"rowType,attr"`
	Properties []struct {
		QualName string `xml:"qualName,attr"`
		Required bool   `xml:"required,attr"`
	} `xml:"property"`
}

func definitions(t *testing.T) map[string]definition {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(reference(t, "extensions"), "*.xml"))
	if err != nil || len(files) == 0 {
		t.Fatal("no definitions", err)
	}
	all := map[string]definition{}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		var d definition
		if err := xml.Unmarshal(data, &d); err != nil {
			t.Fatal(f, err)
		}
		all[d.RowType] = d
	}
	return all
}

// termList is the recommended terms of Darwin Core (tdwg/dwc, term_versions).
func termList(t *testing.T) map[string]bool {
	t.Helper()
	f, err := os.Open(reference(t, "terms", "dwc_terms_recommended.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	terms := map[string]bool{}
	for _, row := range rows[1:] {
		terms[row[0]] = true
	}
	return terms
}

func TestEveryTermOfAnArchiveIsInTheListAndInTheDefinitionOfItsRows(t *testing.T) {
	terms, defined := termList(t), definitions(t)
	d := play(t, "sqlite")
	star, _, _ := packed(t, d.Hall, d.at(t, "hollinbeck", "HB26").Scope, records.ArchiveOptions{Base: "https://hall.example"})
	for _, part := range append([]archive.StarPart{star.Core}, star.Extensions...) {
		def, known := defined[part.RowType]
		if !known {
			t.Errorf("%s is of no row type that is defined: %s", part.File, part.RowType)
		}
		for i, term := range part.Terms {
			if term == "" && i == 0 && part.File != star.Core.File {
				continue
			}
			listed := terms[term] || part.RowType == archive.MultimediaRows
			if !listed || !slices.ContainsFunc(def.Properties, func(p struct {
				QualName string `xml:"qualName,attr"`
				Required bool   `xml:"required,attr"`
			}) bool {
				return p.QualName == term
			}) {
				t.Errorf("%s: %q is no term of it", part.File, term)
			}
		}
		for _, p := range def.Properties {
			if at := slices.Index(part.Terms, p.QualName); p.Required && (at < 0 || slices.ContainsFunc(part.Rows, func(r []string) bool { return r[at] == "" })) {
				t.Errorf("%s: %s is required and not everywhere", part.File, p.QualName)
			}
		}
	}
}

// Would catch an id that is given twice, an extension's row that hangs in the air, a row without its licence, and taste.
func TestIdsAreUniqueRowsAreJoinedAndEachRecordBearsTheLicence(t *testing.T) {
	eachDemo(t, func(t *testing.T, d played) {
		for _, event := range []string{"HB25", "HB26"} {
			star, data, done := packed(t, d.Hall, d.at(t, "hollinbeck", event).Scope, records.ArchiveOptions{Base: "https://hall.example/" + event})
			t.Logf("%s: %+v, %d bytes", event, done, len(data))
			ids := map[string]bool{}
			once := func(part archive.StarPart, term string) {
				at := part.Column(term)
				for _, row := range part.Rows {
					if id := row[at]; ids[id] || !strings.HasPrefix(id, "urn:uuid:") {
						t.Errorf("%s: %s %q is given twice or no UUID", part.File, term, id)
					}
					ids[row[at]] = true
				}
			}
			once(star.Core, "occurrenceID")
			core := map[string]bool{}
			visits, coarse := 0, 0
			for _, row := range star.Core.Rows {
				core[row[0]] = true
				general, visit := row[star.Core.Column("dataGeneralizations")] != "", row[star.Core.Column("eventType")] == "siteVisit"
				if general && visit {
					t.Errorf("%s lies in a coarse cell and bears the walk whose other finds have a place", row[0])
				}
				if general {
					coarse++
				}
				if visit {
					visits++
				}
				if row[star.Core.Column("license")] != "http://creativecommons.org/licenses/by/4.0/legalcode" || row[star.Core.Column("occurrenceStatus")] != "present" {
					t.Errorf("%s: licence %q", row[0], row[star.Core.Column("license")])
				}
			}
			for _, part := range star.Extensions {
				for _, row := range part.Rows {
					if !core[row[0]] {
						t.Errorf("%s: a row of %q, which is not there", part.File, row[0])
					}
					if at := part.Column("measurementType"); at >= 0 && strings.Contains(row[at], "taste") {
						t.Errorf("%s tells of taste: %q", part.File, row)
					}
				}
			}
			if coarse == 0 || event == "HB26" && visits == 0 {
				t.Errorf("%s: %d rows of walks, %d in coarse cells, so that nothing was tried", event, visits, coarse)
			}
			once(star.Extensions[0], "identificationID")
			once(star.Extensions[1], "measurementID")
			if done.Records == 0 || done.Identifications < done.Records || done.Measurements == 0 || (event == "HB26") != (done.Version == 0) || (event == "HB26") != strings.Contains(star.About.Title, "draft") {
				t.Errorf("%s: %+v %q", event, done, star.About.Title)
			}
		}
	})
}

func TestWithoutALicenceNoArchiveGoesOut(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		ctx := context.Background()
		_, _, err := records.Archive(ctx, g.Hall, access.Nobody, g.Scope, records.ArchiveOptions{})
		if !fault.Is(err, fault.Refused) || fault.From(err).Text.Key != "publisher.licence-missing" {
			t.Errorf("without one: %v", err)
		}
		if _, _, err := records.Archive(ctx, g.Hall, access.Nobody, g.Scope, records.ArchiveOptions{Licence: "ODbL-1.0"}); !fault.Is(err, fault.Invalid) {
			t.Errorf("with one that GBIF does not take: %v", err)
		}
		star, _, err := records.Archive(ctx, g.Hall, access.Nobody, g.Scope, records.ArchiveOptions{Licence: "CC-BY-NC-4.0"})
		if err != nil || star.About.Licence.URL != "http://creativecommons.org/licenses/by-nc/4.0/legalcode" {
			t.Errorf("with one that was given: %+v, %v", star.About.Licence, err)
		}
	})
}

// secrets stand in every field of a find where somebody could write where it was.
func TestNothingOfASensitivePlaceIsInAnyPartOfAnArchiveOrMap(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		bring(t, g, g.Scope, table(t, "number,name,second choice,det,site,lat,lon,notes,habitat,smell",
			"1,Boletus badius,Boletus edulis,A. Kerr,Nether Holt,54.12345,-1.65432,behind the third gate,by the old well,plums"), records.Options{SensitiveSites: true})
		p := plates(t, g, g.Scope)["0001"]
		reasoned(t, g, p, "grew below the kiln")
		pictured(t, g, p, "the kiln beside it")
		star, data, _ := packed(t, g.Hall, g.Scope, records.ArchiveOptions{Licence: "CC0-1.0", Base: "https://hall.example/x"})
		var geo bytes.Buffer
		if _, _, err := records.WriteGeoJSON(context.Background(), g.Hall, access.Nobody, g.Scope, "https://hall.example/x", &geo); err != nil {
			t.Fatal(err)
		}
		files := members(t, data)
		files["records.geojson"] = geo.String()
		for name, text := range files {
			for _, secret := range []string{"Nether", "54.12345", "54.1234", "1.65432", "1.6543", "gate", "well", "kiln"} {
				if strings.Contains(text, secret) {
					t.Errorf("%q is in %s", secret, name)
				}
			}
		}
		if len(star.Extensions[2].Rows) != 1 || len(star.Extensions[0].Rows) < 3 || !strings.Contains(files["records.geojson"], `"cellSizeInMeters":1000`) {
			t.Errorf("the find itself is not there: %v", files)
		}
		box := star.About.Box
		if box == nil || box.West != box.East || fmt.Sprint(box.West) != star.Core.Rows[0][star.Core.Column("decimalLongitude")] {
			t.Errorf("the bounds are %+v", box)
		}
	})
}
