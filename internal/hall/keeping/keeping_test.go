package keeping_test

import (
	"bytes"
	"context"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/keeping"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

var ctx = context.Background()

func must[R any](t testing.TB) func(R, error) R {
	return func(r R, err error) R {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
}

// busy fills a hall with an event as it is on a Saturday afternoon: disputes, strikes, places, lists, scripts and gaps.
func busy(t testing.TB, s *store.Store) *halltest.Ground {
	t.Helper()
	g := halltest.New(t, s)
	made, logged, done := must[setup.Made](t), must[desk.Logged](t), must[bench.Done](t)
	organiser, clerk := g.As[access.Organiser], g.As[access.Desk]
	lat, lon := 54.123456789012345, -1.1
	made(setup.AddSite(ctx, g.Hall, organiser, g.Scope, g.Command(t), setup.Site{Code: "A", Name: "Łęgi – Dolní háj", Latitude: &lat, Longitude: &lon, Sensitive: true, Permitted: true}))
	made(setup.AddSite(ctx, g.Hall, organiser, g.Scope, g.Command(t), setup.Site{Code: "B", Name: "Hollin Wood", Permitted: true}))
	made(setup.AddTeam(ctx, g.Hall, organiser, g.Scope, g.Command(t), setup.Team{Number: 3, Leader: "Åsa Ødegård", Site: "A"}))
	made(setup.AddTable(ctx, g.Hall, organiser, g.Scope, g.Command(t), setup.Table{Number: 4, Title: "Boletes"}))
	weight, bodies, seconds := 12.1, 3, 40
	first := logged(desk.LogCollection(ctx, g.Hall, clerk, g.Scope, g.Command(t), desk.Log{Number: "417", Field: desk.Field{Group: "bolete", Team: "3",
		Collector: "Ines Halloway", PickedAt: g.Hall.Now(), Host: "Quercus, “old” \\ <hollow> & damp", WeightG: &weight, Fruitbodies: &bodies, KeptCool: true, Remarks: "two\nlines\t𝔘"},
		Characters: []desk.Character{{Character: "cut_change", Words: "blue", Seconds: &seconds}, {Character: "odour", Words: "of meal"}}}))
	second := logged(desk.LogCollection(ctx, g.Hall, clerk, g.Scope, g.Command(t), desk.Log{Number: "417a", Field: desk.Field{Group: "ring_and_sack", Team: "3", PickedText: "early autumn"}}))
	logged(desk.LogCollection(ctx, g.Hall, clerk, g.Scope, g.Command(t), desk.Log{Number: "9", Field: desk.Field{Group: "waxcap", Outside: true}}))
	word := func(who access.Actor, version int, c foray.ID, name, remarks string) bench.Done {
		return done(bench.SignOff(ctx, g.Hall, who, g.Scope, g.On(t, version), bench.Word{Collection: c, Name: hall.NameInput{Text: name}, Basis: "macroscopic", Remarks: remarks}))
	}
	done(bench.GiveFieldName(ctx, g.Hall, g.As[access.Steward], g.Scope, g.Command(t), bench.FieldName{Collection: first.ID,
		Names: []hall.NameInput{{Text: "Boletus edulis"}, {Text: "Neoboletus luridiformis", Qualifier: "cf.", Reason: "blue – very"}, {Text: "Niet bekend"}}}))
	word(g.As[access.Identifier], 1, first.ID, "Boletus edulis", "")
	word(g.Second, 2, first.ID, "Imleria badia", "pores bruise")
	word(g.As[access.Identifier], 0, second.ID, "Amanita phalloides", "")
	slip := word(g.Second, 1, second.ID, "Amanita citrina", "bulb")
	done(bench.StrikeSlip(ctx, g.Hall, g.Second, g.Scope, g.On(t, 2), bench.Struck{Collection: second.ID, Slip: slip.Slip, Remarks: "wrong plate"}))
	placed := must[tables.Placed](t)
	placed(tables.PlacePlate(ctx, g.Hall, g.As[access.Steward], g.Scope, g.Command(t), tables.Place{Collection: second.ID, Where: foray.OnTable, Table: "4", Position: "b2"}))
	placed(tables.PlacePlate(ctx, g.Hall, g.As[access.Steward], g.Scope, g.Command(t), tables.Place{Collection: second.ID, Where: foray.InDryer, Position: "tray 2"}))
	typed := must[safety.Typed](t)
	contact := typed(safety.TypeContact(ctx, g.Hall, g.As[access.SafetyLead], g.Scope, g.Command(t), safety.Contact{Name: "Invented poison centre", Phone: "+44 1632 960 001"}))
	typed(safety.TestContact(ctx, g.Hall, g.As[access.SafetyLead], g.Scope, g.Command(t), contact))
	entered := must[safety.Entered](t)
	taken := entered(safety.AddHazard(ctx, g.Hall, g.As[access.SafetyLead], g.Scope, g.Command(t), safety.Hazard{Taxon: "Boletus edulis", Syndrome: "gut", Source: "minutes"}))
	entered(safety.Withdraw(ctx, g.Hall, g.As[access.SafetyLead], g.Scope, g.Command(t), safety.Withdrawal{Entry: taken.Entry, Reason: "another was meant"}))
	made(setup.TakeRight(ctx, g.Hall, organiser, g.Scope, g.Command(t), setup.Right{Person: g.Second.Person, Right: access.Identifier}))
	for range 2 {
		seen := must[list.Running](t)(list.See(ctx, g.Hall, g.As[access.ListKeeper], g.Scope))
		must[list.Published](t)(list.Publish(ctx, g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), list.Sign{Seq: seen.Seq, Remarks: "naïve"}))
	}
	g.Another(t, "elmstead", "Elmstead Field Club")
	keptThere(t, g)
	wholeHall(t, g)
	return g
}

func backup(t testing.TB, h *hall.Hall) []byte {
	t.Helper()
	var b bytes.Buffer
	must[keeping.Packed](t)(keeping.Backup(ctx, h, &b))
	return b.Bytes()
}

func restore(h *hall.Hall, b []byte) (keeping.Restored, error) {
	return keeping.Restore(ctx, h, bytes.NewReader(b), int64(len(b)))
}

func fresh(t testing.TB, d store.Dialect) *hall.Hall {
	t.Helper()
	return hall.New(storetest.New(t, d), halltest.Knowledge(t))
}

// rowsOf are the lines of a package's tables, without those that a restore adds to the audit.
func rowsOf(t testing.TB, b []byte) map[string][]string {
	t.Helper()
	p := must[*archive.Package](t)(archive.OpenPackage(bytes.NewReader(b), int64(len(b))))
	rows := map[string][]string{}
	for _, table := range p.Tables() {
		rows[table] = []string{}
		err := p.Each(table, func(_ int, raw json.RawMessage) error {
			var audit struct{ Kind, Action string }
			if table == "audit" && json.Unmarshal(raw, &audit) == nil && audit.Kind == "restore" && audit.Action == "installation" {
				return nil
			}
			rows[table] = append(rows[table], string(raw))
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return rows
}

func same(t testing.TB, one, other map[string][]string) {
	t.Helper()
	for table, rows := range one {
		if len(rows) == 0 && table != "installation" && table != "photograph" && table != "checklist" && table != "society_checklist" { // these have tests of their own
			t.Errorf("%s is empty, so nothing was compared", table)
		}
		if !slices.Equal(rows, other[table]) {
			t.Errorf("%s differs:\n%s\n%s", table, strings.Join(rows, "\n"), strings.Join(other[table], "\n"))
		}
	}
	if len(one) != len(other) {
		t.Errorf("%d tables and %d", len(one), len(other))
	}
}

func TestABackupGoesFromEitherDatabaseToTheOtherAndBackUnchanged(t *testing.T) {
	for _, way := range [][]store.Dialect{{store.SQLite, store.Postgres, store.SQLite}, {store.Postgres, store.SQLite, store.Postgres}} {
		t.Run(string(way[0]), func(t *testing.T) {
			g := busy(t, storetest.New(t, way[0]))
			first := backup(t, g.Hall)
			if !bytes.Equal(first, backup(t, g.Hall)) {
				t.Error("the same content gave other bytes")
			}
			file := first
			for i, d := range way[1:] {
				h := fresh(t, d)
				done, err := restore(h, file)
				if err != nil {
					t.Fatal(err)
				}
				if done.Checked.Societies != 2 || done.Checked.Collections != 3 || done.Rows == 0 {
					t.Errorf("restored %+v", done)
				}
				file = backup(t, h)
				same(t, rowsOf(t, first), rowsOf(t, file))
				restoredByTheMachine(t, h, i+1)
			}
		})
	}
}

func restoredByTheMachine(t *testing.T, h *hall.Hall, times int) {
	t.Helper()
	rows := map[string]int{}
	p := must[*archive.Package](t)(openBytes(backup(t, h)))
	err := p.Each("audit", func(_ int, raw json.RawMessage) error {
		var a struct{ Kind, Detail string }
		if err := json.Unmarshal(raw, &a); err != nil {
			return err
		}
		if a.Kind == "restore" {
			rows[a.Detail]++
		}
		return nil
	})
	if err != nil || len(rows) != times {
		t.Errorf("the audit tells of %v, %v", rows, err)
	}
	for detail, n := range rows {
		if n != 2 || !strings.HasPrefix(detail, "from sha256 ") {
			t.Errorf("%d societies say %q", n, detail)
		}
	}
}

func openBytes(b []byte) (*archive.Package, error) {
	return archive.OpenPackage(bytes.NewReader(b), int64(len(b)))
}

func TestARestoredHallGoesOnAndAnswersOldCommandsAsBefore(t *testing.T) {
	g := busy(t, storetest.New(t, store.SQLite))
	cmd := g.Command(t)
	in := desk.Log{Number: "500", Field: desk.Field{Group: "bolete", Team: "3"}}
	before := must[desk.Logged](t)(desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, cmd, in))
	h := fresh(t, store.Postgres)
	must[keeping.Restored](t)(restore(h, backup(t, g.Hall)))
	after := must[desk.Logged](t)(desk.LogCollection(ctx, h, g.As[access.Desk], g.Scope, cmd, in))
	if before != after {
		t.Errorf("answered %+v, before %+v", after, before)
	}
	in.Number = "501"
	must[desk.Logged](t)(desk.LogCollection(ctx, h, g.As[access.Desk], g.Scope, g.Command(t), in))
	if c := must[store.Checked](t)(keeping.Check(ctx, h)); len(c.Broken) > 0 {
		t.Errorf("broken: %+v", c.Broken)
	}
}

func TestARestoreRefusesWhatIsNotEmptyAndLeavesItAlone(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		g := busy(t, s)
		file := backup(t, g.Hall)
		if _, err := restore(g.Hall, file); !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), "empty") {
			t.Errorf("into a full database: %v", err)
		}
		if !bytes.Equal(file, backup(t, g.Hall)) {
			t.Error("the refused restore changed something")
		}
	})
}
