package list_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/setup"
	"forayhall/internal/store"
	"forayhall/internal/tally"
)

var ctx = context.Background()

func logged(t testing.TB, g *halltest.Ground, number int, field desk.Field) foray.ID {
	t.Helper()
	field.Group = "bolete"
	c, err := desk.LogCollection(ctx, g.Hall, g.As[access.Desk], g.Scope, g.Command(t), desk.Log{Number: fmt.Sprint(number), Field: field})
	if err != nil {
		t.Fatal(err)
	}
	return c.ID
}

func suggest(t testing.TB, g *halltest.Ground, by access.Actor, c foray.ID, names ...string) {
	t.Helper()
	in := bench.FieldName{Collection: c}
	for _, n := range names {
		in.Names = append(in.Names, hall.NameInput{Text: n})
	}
	if _, err := bench.GiveFieldName(ctx, g.Hall, by, g.Scope, g.Command(t), in); err != nil {
		t.Fatal(err)
	}
}

func sign(t testing.TB, g *halltest.Ground, version int, by access.Actor, c foray.ID, name string) {
	t.Helper()
	in := bench.Word{Collection: c, Name: hall.NameInput{Text: name}, Basis: "macroscopic", Remarks: "seen under the lens"}
	if _, err := bench.SignOff(ctx, g.Hall, by, g.Scope, g.On(t, version), in); err != nil {
		t.Fatal(err)
	}
}

func see(t testing.TB, g *halltest.Ground) list.Running {
	t.Helper()
	r, err := list.See(ctx, g.Hall, access.Nobody, g.Scope)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func publish(g *halltest.Ground, cmd hall.Command, seq int64) (list.Published, error) {
	return list.Publish(ctx, g.Hall, g.As[access.ListKeeper], g.Scope, cmd, list.Sign{Seq: seq, Remarks: "on the day"})
}

func credit(t testing.TB, g *halltest.Ground, who access.Actor, how string) {
	t.Helper()
	if err := g.Store.Write(ctx, func(tx *store.Tx) error { return tx.SetCredit(g.Scope.Society, who.Person, how) }); err != nil {
		t.Fatal(err)
	}
}

func lineOf(r list.Running, name string, apart tally.Apart) (tally.Line, bool) {
	for _, l := range r.List.Lines {
		if l.Name == name && l.Apart == apart {
			return l, true
		}
	}
	return tally.Line{}, false
}

func TestTheRunningListFollowsTheSlips(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := logged(t, g, 1, desk.Field{})
		if r := see(t, g); r.Unnamed != 1 || r.List.Total != 0 || len(r.List.Lines) != 0 {
			t.Errorf("brought in: %+v", r.List)
		}
		suggest(t, g, g.As[access.TeamLeader], c, "Imleria badia", "Boletus edulis")
		suggest(t, g, g.As[access.Desk], c, "Imleria badia", "Rubroboletus satanas")
		if _, ok := lineOf(see(t, g), "Imleria badia", tally.Unconfirmed); !ok {
			t.Errorf("the newest first choice is not listed: %+v", see(t, g).List.Lines)
		}
		sign(t, g, 2, g.As[access.Identifier], c, "Xerocomus badius")
		if l, ok := lineOf(see(t, g), "Imleria badia", tally.Counted); !ok || !l.Counts || len(l.Determined) != 1 {
			t.Errorf("confirmed under a former name: %+v", see(t, g).List.Lines)
		}
		sign(t, g, 3, g.Second, c, "Boletus edulis")
		r := see(t, g)
		_, one := lineOf(r, "Imleria badia", tally.InDispute)
		_, other := lineOf(r, "Boletus edulis", tally.InDispute)
		if !one || !other || r.List.Total != 0 || r.List.Finds != 1 {
			t.Errorf("disputed: %+v", r.List)
		}
		sign(t, g, 4, g.Third, c, "Boletus edulis")
		if r := see(t, g); r.List.Total != 1 || len(r.List.Lines) != 1 {
			t.Errorf("settled: %+v", r.List)
		}
	})
}

func TestAPublishedVersionNeverChangesAByte(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := logged(t, g, 1, desk.Field{})
		sign(t, g, 0, g.As[access.Identifier], c, "Boletus edulis")
		done, err := publish(g, g.Command(t), see(t, g).Seq)
		if err != nil || done.Version != 1 {
			t.Fatalf("%+v %v", done, err)
		}
		before, frozen, err := list.Version(ctx, g.Hall, access.Nobody, g.Scope, 1)
		if err != nil || frozen.Total != 1 || frozen.Version != 1 || !frozen.SignedAt.Equal(halltest.Saturday) {
			t.Fatalf("%+v %v", frozen, err)
		}
		if done.SHA256 != sha(before.Canonical) || before.CanonicalSha256 != sha(before.Canonical) || before.CSVSha256 != sha(before.CSV) {
			t.Error("a stated SHA-256 is not that of the bytes")
		}
		sign(t, g, 1, g.As[access.Identifier], c, "Imleria badia") // a redetermination
		credit(t, g, g.As[access.Identifier], "none")
		credit(t, g, g.As[access.ListKeeper], "initials")
		again := *g.Hall
		again.Knowledge = halltest.Knowledge(t) // what a restart makes anew
		after, _, err := list.Version(ctx, &again, access.Nobody, g.Scope, 1)
		if err != nil || !bytes.Equal(before.Canonical, after.Canonical) || !bytes.Equal(before.CSV, after.CSV) {
			t.Errorf("version 1 changed: %v\n%s\n%s", err, before.Canonical, after.Canonical)
		}
		if done, err := publish(g, g.Command(t), see(t, g).Seq); err != nil || done.Version != 2 {
			t.Fatalf("version 2: %+v %v", done, err)
		}
		_, second, err := list.Version(ctx, g.Hall, access.Nobody, g.Scope, 2)
		if err != nil || second.SignedBy != "P.l." || len(second.Lines) != 1 || second.Lines[0].Name != "Imleria badia" || len(second.Lines[0].Determiners) != 0 {
			t.Errorf("version 2 is %+v %v", second, err)
		}
		if still, _, err := list.Version(ctx, g.Hall, access.Nobody, g.Scope, 1); err != nil || !bytes.Equal(before.Canonical, still.Canonical) {
			t.Errorf("version 1 changed with version 2: %v", err)
		}
		if _, _, err := list.Version(ctx, g.Hall, access.Nobody, g.Scope, 3); !fault.Is(err, fault.NotFound) {
			t.Errorf("a version that is not there: %v", err)
		}
	})
}

func sha(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

func TestWhatIsSignedIsWhatWasSeen(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		c := logged(t, g, 1, desk.Field{})
		seen := see(t, g).Seq
		sign(t, g, 0, g.As[access.Identifier], c, "Boletus edulis")
		if _, err := publish(g, g.Command(t), seen); !fault.Is(err, fault.Conflict) {
			t.Errorf("published a list that had changed: %v", err)
		}
		for _, right := range access.Rights {
			if right == access.ListKeeper {
				continue
			}
			if _, err := list.Publish(ctx, g.Hall, g.As[right], g.Scope, g.Command(t), list.Sign{Seq: see(t, g).Seq}); err == nil {
				t.Errorf("%s published", right)
			}
		}
		digest := func() string {
			d, err := list.Digest(list.Lines(g.Hall, g.Society, see(t, g)))
			if err != nil {
				t.Fatal(err)
			}
			return d
		}
		before := digest()
		credit(t, g, g.As[access.Identifier], "none") // of a person, whom no event's log names
		now := list.Sign{Seq: see(t, g).Seq, Lines: before}
		if _, err := list.Publish(ctx, g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), now); !fault.Is(err, fault.Conflict) {
			t.Errorf("published other lines than were seen: %v", err)
		}
		now.Lines = digest()
		if now.Lines == before {
			t.Fatal("the lines did not change")
		}
		if _, err := list.Publish(ctx, g.Hall, g.As[access.ListKeeper], g.Scope, g.Command(t), now); err != nil {
			t.Error(err)
		}
		cmd := g.Command(t)
		seq := see(t, g).Seq
		one, err := publish(g, cmd, seq)
		two, again := publish(g, cmd, seq)
		if err != nil || again != nil || one != two || len(see(t, g).Versions) != 2 {
			t.Errorf("the same command twice: %+v %v, %+v %v", one, err, two, again)
		}
	})
}

func TestACreditIsPrintedAsItsPersonChose(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		for i, c := range []struct {
			by  access.Actor
			how string
		}{{g.As[access.Identifier], "full"}, {g.Second, "initials"}, {g.Third, "none"}} {
			credit(t, g, c.by, c.how)
			sign(t, g, 0, c.by, logged(t, g, i+1, desk.Field{}), []string{"Boletus edulis", "Imleria badia", "Rubroboletus satanas"}[i])
		}
		credit(t, g, g.As[access.ListKeeper], "none")
		if _, err := publish(g, g.Command(t), see(t, g).Seq); err != nil {
			t.Fatal(err)
		}
		p, frozen, err := list.Version(ctx, g.Hall, access.Nobody, g.Scope, 1)
		if err != nil {
			t.Fatal(err)
		}
		want := map[string]string{"Boletus edulis": "Person identifier", "Imleria badia": "P.s.", "Rubroboletus satanas": ""}
		for _, l := range frozen.Lines {
			if got := strings.Join(l.Determiners, ";"); got != want[l.Name] {
				t.Errorf("%s is by %q, want %q", l.Name, got, want[l.Name])
			}
		}
		for _, hidden := range []string{"Person second", "Person third", "Person list_keeper"} {
			if bytes.Contains(p.Canonical, []byte(hidden)) || bytes.Contains(p.CSV, []byte(hidden)) {
				t.Errorf("%s is named", hidden)
			}
		}
	})
}

func TestASensitiveSiteIsNowhereOnAPublicList(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		lat, lon := 53.123456, -1.543217
		for _, s := range []setup.Site{{Code: "SW", Name: "Secret Wood", Latitude: &lat, Longitude: &lon, Sensitive: true}, {Code: "OM", Name: "Open Meadow"}} {
			if _, err := setup.AddSite(ctx, g.Hall, g.Machine, g.Scope, g.Command(t), s); err != nil {
				t.Fatal(err)
			}
		}
		sign(t, g, 0, g.Second, logged(t, g, 1, desk.Field{Site: "SW"}), "Boletus edulis")
		sign(t, g, 0, g.Second, logged(t, g, 2, desk.Field{Site: "OM"}), "Boletus edulis")
		suggest(t, g, g.As[access.Desk], logged(t, g, 3, desk.Field{Site: "SW"}), "Imleria badia")
		if _, err := publish(g, g.Command(t), see(t, g).Seq); err != nil {
			t.Fatal(err)
		}
		p, frozen, err := list.Version(ctx, g.Hall, access.Nobody, g.Scope, 1)
		if err != nil {
			t.Fatal(err)
		}
		running, err := json.Marshal(see(t, g).List)
		if err != nil {
			t.Fatal(err)
		}
		for _, hidden := range []string{"Secret", `"SW"`, "53.12", "1.543"} {
			for name, data := range map[string][]byte{"canonical list": p.Canonical, "CSV": p.CSV, "running list": running} {
				if bytes.Contains(data, []byte(hidden)) {
					t.Errorf("%s is in the %s", hidden, name)
				}
			}
		}
		if len(frozen.Lines) != 2 || strings.Join(frozen.Lines[0].Places, ";") != "Open Meadow" || len(frozen.Lines[0].Numbers) != 2 {
			t.Errorf("lines %+v", frozen.Lines)
		}
	})
}

func TestTheCSVSaysWhatTheCanonicalListSays(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		sign(t, g, 0, g.Second, logged(t, g, 1, desk.Field{}), "Boletus edulis")
		sign(t, g, 0, g.Second, logged(t, g, 2, desk.Field{Outside: true}), "=cmd()")
		draft, err := list.Draft(ctx, g.Hall, access.Nobody, g.Scope)
		if err != nil {
			t.Fatal(err)
		}
		sheet, err := list.CSV(draft)
		if err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(bytes.NewReader(sheet)).ReadAll()
		if err != nil || len(rows) != 1+len(draft.Lines) || rows[1][0] != "Boletus edulis" || rows[1][7] != "yes" {
			t.Fatalf("%q %v", rows, err)
		}
		for _, cell := range rows[2] {
			if strings.HasPrefix(cell, "=") {
				t.Errorf("a spreadsheet would run %q", cell)
			}
		}
		if rows[2][8] != "outside" || rows[2][7] != "no" {
			t.Errorf("from outside: %q", rows[2])
		}
	})
}
