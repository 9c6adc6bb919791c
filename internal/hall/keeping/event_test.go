package keeping_test

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/archive"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/keeping"
	"forayhall/internal/hall/setup"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

func packageOf(t testing.TB, h *hall.Hall, actor access.Actor, scope access.Scope) []byte {
	t.Helper()
	var b bytes.Buffer
	must[keeping.Packed](t)(keeping.ExportEvent(ctx, h, actor, scope, &b))
	return b.Bytes()
}

func bringIn(h *hall.Hall, b []byte) (keeping.Imported, error) {
	return keeping.ImportEvent(ctx, h, bytes.NewReader(b), int64(len(b)))
}

func TestAnEventGoesToTheOtherDatabaseAndItsPackageThereIsTheSame(t *testing.T) {
	for _, way := range [][2]store.Dialect{{store.SQLite, store.Postgres}, {store.Postgres, store.SQLite}} {
		t.Run(string(way[0]), func(t *testing.T) {
			g := busy(t, storetest.New(t, way[0]))
			packed := packageOf(t, g.Hall, g.Machine, g.Scope)
			h := fresh(t, way[1])
			done := must[keeping.Imported](t)(bringIn(h, packed))
			if done.Already || done.Event != "HB26" || done.Society != "hollinbeck" || done.Checked.Collections != 3 {
				t.Errorf("brought in %+v", done)
			}
			if !bytes.Equal(packed, packageOf(t, h, g.Machine, g.Scope)) {
				t.Error("the package of the event there is another")
			}
			before := backup(t, h)
			again := must[keeping.Imported](t)(bringIn(h, packed))
			if !again.Already || !bytes.Equal(before, backup(t, h)) {
				t.Errorf("brought in again: %+v", again)
			}
			must[desk.Logged](t)(desk.LogCollection(ctx, h, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: "600", Field: desk.Field{Group: "bolete", Team: "3"}}))
		})
	}
}

func TestAnEventsPackageHoldsWhomItNamesAndNobodysSignIn(t *testing.T) {
	g := busy(t, storetest.New(t, store.SQLite))
	packed := packageOf(t, g.Hall, g.Machine, g.Scope)
	rows := rowsOf(t, packed)
	if _, there := rows["account"]; there || bytes.Contains(packed, []byte("argon2")) {
		t.Error("the package holds sign-ins")
	}
	people := strings.Join(rows["person"], "\n")
	for _, name := range []string{"Ines Halloway", "Åsa Ødegård", "Person second", "Person steward", "Person safety_lead"} {
		if !strings.Contains(people, name) {
			t.Errorf("%s is named in the event and not in the package", name)
		}
	}
	if strings.Contains(people, `"Person member"`) {
		t.Error("somebody came along who did nothing in the event")
	}
	if len(rows["society"]) != 1 || len(rows["event"]) != 1 || strings.Contains(strings.Join(rows["audit"], ""), "elmstead") {
		t.Errorf("societies %q, events %q", rows["society"], rows["event"])
	}
}

func TestOnlyOrganisersAndTheMachineMayTakeAnEventAway(t *testing.T) {
	g := halltest.New(t, storetest.New(t, store.SQLite))
	for right, who := range g.As {
		_, err := keeping.ExportEvent(ctx, g.Hall, who, g.Scope, &bytes.Buffer{})
		if (err == nil) != (right == access.Organiser) {
			t.Errorf("%s: %v", right, err)
		}
	}
}

func TestAChangedCopyOfAnEventIsRefusedAndWhatIsHereStays(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		g := busy(t, s)
		old := packageOf(t, g.Hall, g.Machine, g.Scope)
		must[desk.Logged](t)(desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: "600", Field: desk.Field{Group: "bolete", Team: "3"}}))
		before := backup(t, g.Hall)
		if _, err := bringIn(g.Hall, old); !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), "its home is here") {
			t.Errorf("an older copy: %v", err)
		}
		if !bytes.Equal(before, backup(t, g.Hall)) {
			t.Error("the refused import changed something")
		}
	})
}

func TestAPersonWhoIsHereStaysAsHereAndTheEventIsTaken(t *testing.T) {
	g := busy(t, storetest.New(t, store.SQLite))
	packed := packageOf(t, g.Hall, g.Machine, g.Scope)
	h := fresh(t, store.SQLite)
	must[keeping.Imported](t)(bringIn(h, packed))
	if err := h.Store.Write(ctx, func(tx *store.Tx) error { return tx.SetCredit(g.Scope.Society, g.Second.Person, "initials") }); err != nil {
		t.Fatal(err)
	}
	if again := must[keeping.Imported](t)(bringIn(h, packed)); !again.Already {
		t.Errorf("again: %+v", again)
	}
	// A second event of the society finds society and people here.
	made := must[setup.Made](t)(setup.AddEvent(ctx, g.Hall, g.Machine, access.Scope{Society: g.Scope.Society}, g.Command(t), setup.Event{Code: "HB27", Name: "Next",
		StartsOn: "2027-10-23", TimeZone: "Europe/London", Region: "EU"}))
	scope := access.Scope{Society: g.Scope.Society, Event: made.ID}
	must[setup.Made](t)(setup.GiveRight(ctx, g.Hall, g.Machine, scope, g.Command(t), setup.Right{Person: g.Second.Person, Right: access.Identifier}))
	must[keeping.Imported](t)(bringIn(h, packageOf(t, g.Hall, g.Machine, scope)))
	err := h.Store.Read(ctx, func(tx *store.Tx) error {
		p, err := tx.PersonByID(g.Scope.Society, g.Second.Person)
		if p.Credit != "initials" {
			t.Errorf("the person's choice here was written over: %+v", p)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestCodesThatAreTakenAreRefusedWithTheirReason(t *testing.T) {
	g := busy(t, storetest.New(t, store.SQLite))
	packed := packageOf(t, g.Hall, g.Machine, g.Scope)
	h := fresh(t, store.SQLite)
	must[foray.ID](t)(setup.AddSociety(ctx, h, "hollinbeck", "Another of the same code"))
	if _, err := bringIn(h, packed); !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), "Another society has the code") {
		t.Errorf("society: %v", err)
	}
	h = fresh(t, store.SQLite)
	other := forged(t, packed, func(m *archive.Manifest) { m.Event.ID = foray.ID{15: 1}.URN() }, func(table string, row map[string]any) []map[string]any {
		switch table {
		case "society", "person":
		case "event":
			row["id"] = foray.ID{15: 1}.String()
		case "event_counter":
			row["event_id"], row["change_seq"] = foray.ID{15: 1}.String(), 0
		default:
			return nil
		}
		return []map[string]any{row}
	})
	must[keeping.Imported](t)(bringIn(h, other))
	if _, err := bringIn(h, packed); !fault.Is(err, fault.Refused) || !strings.Contains(err.Error(), "another event with the code") {
		t.Errorf("event: %v", err)
	}
}

// What a forged package could reach for: rows of other societies and events, and sign-ins.
func TestAnEventsPackageCannotWriteAnythingButItsEvent(t *testing.T) {
	g := busy(t, storetest.New(t, store.SQLite))
	packed := packageOf(t, g.Hall, g.Machine, g.Scope)
	h := fresh(t, store.SQLite)
	at := halltest.New(t, h.Store)
	twin := func(of string, change func(map[string]any)) func(string, map[string]any) []map[string]any {
		done := false
		return func(table string, row map[string]any) []map[string]any {
			if table != of || done {
				return []map[string]any{row}
			}
			done = true
			copied := map[string]any{}
			for k, v := range row {
				copied[k] = v
			}
			change(copied)
			return []map[string]any{row, copied}
		}
	}
	before := rowsOf(t, backup(t, h))
	for name, row := range map[string]func(string, map[string]any) []map[string]any{
		"a second society": twin("society", func(r map[string]any) { r["id"], r["code"] = foray.ID{15: 2}.String(), "second" }),
		"a second event":   twin("event", func(r map[string]any) { r["id"], r["code"] = foray.ID{15: 2}.String(), "XX1" }),
		"a person of another society": twin("person", func(r map[string]any) {
			r["society_id"], r["id"] = at.Scope.Society.String(), foray.ID{15: 2}.String()
		}),
		"a right in another event": twin("event_right", func(r map[string]any) {
			r["society_id"], r["event_id"], r["person_id"] = at.Scope.Society.String(), at.Scope.Event.String(), at.As[access.Member].Person.String()
			r["given_by"], r["held"] = at.Machine.Person.String(), "organiser"
		}),
		"no event": without("event"),
	} {
		// The society's code would be in the way before anything is looked at.
		coded := func(table string, r map[string]any) []map[string]any {
			if table == "society" && r["code"] == "hollinbeck" {
				r["code"] = "hollinbeck-two"
			}
			return row(table, r)
		}
		if _, err := bringIn(h, forged(t, packed, asIs, coded)); err == nil {
			t.Errorf("%s was taken", name)
		}
		same := rowsOf(t, backup(t, h))
		for table := range before {
			if !slices.Equal(before[table], same[table]) {
				t.Errorf("%s: %s was changed", name, table)
			}
		}
	}
	good := forged(t, packed, asIs, in("society", func(r map[string]any) { r["code"] = json.Number("0") }))
	if _, err := bringIn(h, good); !fault.Is(err, fault.Invalid) {
		t.Errorf("a code that is a number: %v", err)
	}
}
