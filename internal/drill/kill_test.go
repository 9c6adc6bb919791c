package drill

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"syscall"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/keeping"
	"forayhall/internal/hall/tables"
	"forayhall/internal/store"
	"forayhall/internal/store/pgtest"
)

func drillsOnly(t *testing.T) {
	t.Helper()
	if os.Getenv("FORAYHALL_DRILLS") != "1" {
		t.Skip("FORAYHALL_DRILLS is not set")
	}
}

const rounds = 20

// moments are when the kills come: 50 to 300 ms after the first acknowledged write, the same in every run.
func moments() func() time.Duration {
	random := rand.New(rand.NewPCG(26, 10))
	return func() time.Duration {
		return 50*time.Millisecond + time.Duration(random.Int64N(int64(250*time.Millisecond)))
	}
}

func TestKillingTheProgramLosesNothingOnSQLite(t *testing.T) {
	drillsOnly(t)
	o := ordersFor(t, store.Config{Dir: t.TempDir()})
	after, total := moments(), 0
	for round := range rounds {
		total += killRound(t, o, round, after(), nil)
	}
	t.Logf("%d rounds, %d acknowledged commands, all there", rounds, total)
}

func TestKillingTheProgramOrTheServerLosesNothingOnPostgres(t *testing.T) {
	drillsOnly(t)
	server := pgtest.NewServer(t, pgtest.Options{})
	o := ordersFor(t, store.Config{URL: server.URL("postgres")})
	after, total, servers := moments(), 0, 0
	for round := range rounds {
		crashed := server
		if round%3 != 2 {
			crashed = nil
		} else {
			servers++
		}
		total += killRound(t, o, round, after(), crashed)
	}
	t.Logf("%d rounds, in %d of them the server too, %d acknowledged commands, all there", rounds, servers, total)
}

// killRound lets a child write, kills the server below it, if one is given, and then the child, and looks at what is left.
// It gives the number of commands that were acknowledged.
func killRound(t *testing.T, o orders, round int, after time.Duration, server *pgtest.Server) int {
	t.Helper()
	o.First = 1 + round*5000
	p := start(t, o)
	killed := make(chan error, 1)
	told := p.heard(t, func() {
		time.AfterFunc(after, func() {
			var err error
			if server != nil {
				err = server.Kill()
			}
			if kill := p.cmd.Process.Kill(); kill != nil && server == nil {
				err = kill // a child whose server was killed may have ended by itself
			}
			killed <- err
		})
	})
	if len(told) == 0 {
		t.Fatalf("round %d: the child wrote nothing: %s", round, p.complaint(t))
	}
	if err := <-killed; err != nil {
		t.Fatal(err)
	}
	_ = p.cmd.Wait()
	if status, ok := p.cmd.ProcessState.Sys().(syscall.WaitStatus); server == nil && (!ok || status.Signal() != syscall.SIGKILL) {
		t.Fatalf("round %d: the child ended by itself: %v, %s", round, p.cmd.ProcessState, p.complaint(t))
	}
	if server != nil {
		if err := server.Start(); err != nil {
			t.Fatal(err)
		}
	}
	h, err := openHall(o.Store)
	if err != nil {
		t.Fatal(err)
	}
	defer h.Store.Close()
	survived(t, h, o, fmt.Sprint("round ", round), told)
	return len(told)
}

// survived: the database is whole, every acknowledged command is there with its effect, and sent again it changes nothing
// and answers the same.
func survived(t *testing.T, h *hall.Hall, o orders, when string, told []acknowledged) {
	t.Helper()
	before := healthy(t, h, when)
	for _, a := range told {
		if err := a.isThere(h, o); err != nil {
			t.Errorf("%s: %s %s was acknowledged and %v", when, a.Kind, a.ID, err)
		}
		again, err := a.apply(h, o)
		if err != nil || !bytes.Equal(again, a.Result) {
			t.Errorf("%s: %s %s sent again answered %s, %v; before %s", when, a.Kind, a.ID, again, err, a.Result)
		}
	}
	if after := healthy(t, h, when); after.Changes != before.Changes || after.Slips != before.Slips {
		t.Errorf("%s: sending again changed something: %+v, before %+v", when, after, before)
	}
}

func healthy(t *testing.T, h *hall.Hall, when string) store.Checked {
	t.Helper()
	checked, err := keeping.Check(context.Background(), h)
	if err != nil {
		t.Fatalf("%s: %v", when, err)
	}
	for _, b := range checked.Broken {
		t.Errorf("%s: %s is broken: %v", when, b.Rule, b.Text)
	}
	return checked
}

// isThere looks for the command's own row and for what it did.
func (a acknowledged) isThere(h *hall.Hall, o orders) error {
	return h.Store.Read(context.Background(), func(tx *store.Tx) error {
		who := map[string]access.Right{"log": access.Desk, "field name": access.Steward, "sign-off": access.Identifier, "place": access.Steward}[a.Kind]
		row, ok, err := tx.CommandByID(o.Scope.Society, o.As[who].Person, a.ID)
		switch {
		case err != nil:
			return err
		case !ok:
			return fmt.Errorf("is not in the log of commands")
		case row.Result != string(a.Result):
			return fmt.Errorf("its answer was kept as %s", row.Result)
		}
		return a.effect(tx, o)
	})
}

func (a acknowledged) effect(tx *store.Tx, o orders) error {
	if a.Kind == "log" {
		var made desk.Logged
		if err := json.Unmarshal(a.Result, &made); err != nil {
			return err
		}
		number, err := foray.ParseNumber(made.Number, "")
		if err != nil {
			return err
		}
		c, err := tx.CollectionByNumber(o.Scope.Society, o.Scope.Event, number)
		if err == nil && c.ID != made.ID {
			err = fmt.Errorf("its number is another collection's")
		}
		return err
	}
	if a.Kind == "place" {
		var in tables.Place
		if err := json.Unmarshal(a.Body, &in); err != nil {
			return err
		}
		all, err := tx.Placements(o.Scope.Society, o.Scope.Event, in.Collection)
		if err == nil && (len(all) != 1 || all[0].Whereabouts != in.Where) {
			err = fmt.Errorf("its places are %+v", all)
		}
		return err
	}
	return a.slipThere(tx, o)
}

func (a acknowledged) slipThere(tx *store.Tx, o orders) error {
	var done bench.Done
	var in struct{ Collection foray.ID }
	if err := json.Unmarshal(a.Result, &done); err != nil {
		return err
	}
	if err := json.Unmarshal(a.Body, &in); err != nil {
		return err
	}
	slips, err := tx.Slips(o.Scope.Society, o.Scope.Event, in.Collection)
	for _, s := range slips {
		if s.ID == done.Slip && s.Seq == done.Version && len(s.Names) > 0 {
			return err
		}
	}
	return fmt.Errorf("its slip is not there: %w", err)
}

// Two programs on one file: a server, and an import beside it.
func TestDrillTwoProcessesWriteToOneSQLiteFileAndLoseNothing(t *testing.T) {
	drillsOnly(t)
	o := ordersFor(t, store.Config{Dir: t.TempDir()})
	o.Most = 150
	var children []*process
	for i := range 2 {
		o.First = 1 + i*5000
		children = append(children, start(t, o))
	}
	heard := make([][]acknowledged, len(children))
	done := make(chan int)
	for i, p := range children {
		go func() {
			heard[i] = p.heard(t, func() {})
			done <- i
		}()
	}
	for range children {
		<-done
	}
	var told []acknowledged
	for i, p := range children {
		if err := p.cmd.Wait(); err != nil {
			t.Errorf("child %d: %v: %s", i, err, p.complaint(t))
		}
		if complaint := p.complaint(t); strings.TrimSpace(complaint) != "" {
			t.Errorf("child %d complained: %s", i, complaint)
		}
		told = append(told, heard[i]...)
	}
	const commands = 4
	if len(told) != len(children)*o.Most*commands {
		t.Errorf("%d commands were acknowledged, want %d", len(told), len(children)*o.Most*commands)
	}
	h, err := openHall(o.Store)
	if err != nil {
		t.Fatal(err)
	}
	defer h.Store.Close()
	survived(t, h, o, "two processes", told)
	if c := healthy(t, h, "two processes"); c.Collections != 2*o.Most {
		t.Errorf("%d collections, want %d", c.Collections, 2*o.Most)
	}
}
