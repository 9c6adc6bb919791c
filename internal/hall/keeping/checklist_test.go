package keeping_test

import (
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/hall/checklist"
	"forayhall/internal/hall/keeping"
	"forayhall/internal/media"
	"forayhall/internal/store"
)

const ownList = `taxonID,scientificName,taxonRank,taxonomicStatus,acceptedNameUsageID
1,Venenarius phalloides,species,accepted,
2,Amanita phalloides,species,synonym,1
`

// A list of names that was taken in comes along with a backup, and the society follows it there too. An event's package
// leaves it behind: whose names are followed is for those who take the event in.
func TestAListOfNamesComesAlongWithABackup(t *testing.T) {
	for _, way := range [][2]store.Dialect{{store.SQLite, store.Postgres}, {store.Postgres, store.SQLite}} {
		t.Run(string(way[0]), func(t *testing.T) {
			g, _, _ := pictured(t, way[0])
			in := must[checklist.Imported](t)(checklist.Import(ctx, g.Hall, archive.ChecklistFile("own.csv", strings.NewReader(ownList), int64(len(ownList))), "own.csv", nil))
			must[checklist.Choice](t)(checklist.Choose(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), checklist.Choice{Checklist: in.ID}))
			h := freshWithBlobs(t, way[1])
			if done := must[keeping.Restored](t)(restore(h, backup(t, g.Hall))); done.Blobs != 5 {
				t.Errorf("%d files came along, want four pictures and an index", done.Blobs)
			}
			own, err := h.For(ctx, g.Society.ID)
			if err != nil {
				t.Fatal(err)
			}
			if n, ok := own.Knowledge.Names.Lookup("amanita phalloides"); !ok || n.Current().Name != "Venenarius phalloides" {
				t.Errorf("there it is called %+v", n)
			}
			brought := freshWithBlobs(t, way[1])
			if in := must[keeping.Imported](t)(bringIn(brought, packageOf(t, g.Hall, g.Machine, g.Scope))); in.Blobs != 4 {
				t.Errorf("an event's package brought %d files", in.Blobs)
			}
		})
	}
}

// An index that is gone is reported, and the hall works on with the names that ship.
func TestALostIndexOfNamesIsReportedAndDoneWithout(t *testing.T) {
	g, _, _ := pictured(t, store.SQLite)
	in := must[checklist.Imported](t)(checklist.Import(ctx, g.Hall, archive.ChecklistFile("own.csv", strings.NewReader(ownList), int64(len(ownList))), "own.csv", nil))
	must[checklist.Choice](t)(checklist.Choose(ctx, g.Hall, g.As[access.Organiser], g.Scope, g.Command(t), checklist.Choice{Checklist: in.ID}))
	if err := g.Blobs.Delete(ctx, in.IndexSha256); err != nil {
		t.Fatal(err)
	}
	broken := must[store.Checked](t)(keeping.Check(ctx, g.Hall)).Broken
	if len(broken) != 1 || broken[0].Rule != "checklists" {
		t.Errorf("reported: %+v", broken)
	}
	own, err := g.For(ctx, g.Society.ID)
	if err != nil {
		t.Fatal(err)
	}
	if n, ok := own.Knowledge.Names.Lookup("amanita phalloides"); !ok || n.Current().Name != "Amanita phalloides" {
		t.Errorf("without the index it is called %+v", n)
	}
	var blobs int
	if err := g.Blobs.Walk(ctx, func(media.Blob) error { blobs++; return nil }); err != nil || blobs != 4 {
		t.Errorf("%d files, %v", blobs, err)
	}
}
