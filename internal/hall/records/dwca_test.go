package records_test

import (
	"bytes"
	"context"
	"os"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/records"
	"forayhall/internal/hall/setup"
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

// unpacked reads an archive with the reader that imports use.
func unpacked(t *testing.T, data []byte) *archive.Finds {
	t.Helper()
	f, err := archive.ReadFinds(context.Background(), archive.ChecklistFile("archive.zip", bytes.NewReader(data), int64(len(data))))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// beside makes another society with an event of the same code and days, and gives its scope and the machine there.
func (d played) beside(t *testing.T, like hall.Address) (access.Scope, access.Actor) {
	t.Helper()
	ctx := context.Background()
	id, err := setup.AddSociety(ctx, d.Hall, strings.ToLower("skelder-"+like.Event.Code), "Skelder Moss Naturalists "+like.Event.Code)
	if err != nil {
		t.Fatal(err)
	}
	machine, err := d.desk.Installation(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	made, err := setup.AddEvent(ctx, d.Hall, machine, access.Scope{Society: id}, d.command(t), setup.Event{Code: like.Event.Code, Name: like.Event.Name,
		Place: like.Event.Place, StartsOn: like.Event.StartsOn, EndsOn: like.Event.EndsOn, TimeZone: like.Event.TimeZone, Region: like.Event.Region})
	if err != nil {
		t.Fatal(err)
	}
	return access.Scope{Society: id, Event: made.ID}, machine
}

func TestScratch(t *testing.T) {
	eachDemo(t, func(t *testing.T, d played) {
		for _, e := range []string{"HB25", "HB26"} {
			_, data, done := packed(t, d.Hall, d.at(t, "hollinbeck", e).Scope, records.ArchiveOptions{Base: "https://hall.example/hollinbeck/" + e})
			t.Logf("%+v", done)
			os.WriteFile("/tmp/dwca-demo/"+e+".zip", data, 0o644)
		}
	})
}

// ofTheDataset are the terms that say which dataset a row is of, and not what was found.
var ofTheDataset = strings.Fields("eventID parentEventID eventType samplingEffort datasetID datasetName rightsHolder references associatedMedia")

func TestRound(t *testing.T) {
	eachDemo(t, func(t *testing.T, d played) {
		for _, e := range []string{"HB25", "HB26"} {
			t.Run(e, func(t *testing.T) {
				from := d.at(t, "hollinbeck", e)
				star, data, done := packed(t, d.Hall, from.Scope, records.ArchiveOptions{})
				scope, machine := d.beside(t, from)
				_ = foray.ID{}
				out, err := records.ImportArchive(context.Background(), d.Hall, machine, scope, hall.Command{}, unpacked(t, data), records.Options{})
				if err != nil {
					t.Fatal(err)
				}
				t.Logf("%d taken, %d refused of %d", out.Taken, len(out.Refused), done.Records)
				for i, r := range out.Refused {
					if i < 10 {
						t.Log(r)
					}
				}
				t.Log(said(out.Notes))
				again, _, _ := packed(t, d.Hall, scope, records.ArchiveOptions{Licence: "CC-BY-4.0"})
				diff(t, star.Core, again.Core)
				for i := range star.Extensions {
					diff(t, star.Extensions[i], again.Extensions[i])
				}
			})
		}
	})
}

func diff(t *testing.T, a, b archive.StarPart) {
	t.Helper()
	if len(a.Rows) != len(b.Rows) {
		t.Errorf("%s: %d rows, then %d", a.File, len(a.Rows), len(b.Rows))
	}
	seen := map[string]int{}
	for i := range min(len(a.Rows), len(b.Rows)) {
		for j, term := range a.Terms {
			local := term[strings.LastIndex(term, "/")+1:]
			skip := false
			for _, s := range ofTheDataset {
				skip = skip || s == local
			}
			if skip || a.Rows[i][j] == b.Rows[i][j] {
				continue
			}
			if seen[local]++; seen[local] < 4 {
				t.Errorf("%s row %d %s: %q, then %q", a.File, i, local, a.Rows[i][j], b.Rows[i][j])
			}
		}
	}
	t.Log(a.File, seen)
}
