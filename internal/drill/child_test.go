// Package drill shows what survives: a process, or its database's server, is killed while it writes, and everything
// that was acknowledged must be there afterwards, once, with its answer. It also measures what a write costs. It is
// for tests only and must never weaken the durability that it tests.
package drill

import (
	"bufio"
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strconv"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/foray"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/keeping"
	"forayhall/internal/hall/tables"
	"forayhall/internal/knowledge"
	"forayhall/internal/store"
	"forayhall/seed"
)

// orders is what a child process is told, in the environment.
type orders struct {
	Store   store.Config
	Scope   access.Scope
	As      map[access.Right]access.Actor
	First   int // the first number it may give
	Writers int
	Most    int    // collections; then it ends by itself
	Package string // when given, this event is brought in instead
}

const ordersIn = "FORAYHALL_DRILL_ORDERS"

// TestMain makes the test binary its own child.
func TestMain(m *testing.M) {
	told := os.Getenv(ordersIn)
	if told == "" {
		os.Exit(m.Run())
	}
	if err := obey(told); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// acknowledged is a command whose success the child was told, with what is needed to send it again.
type acknowledged struct {
	Kind   string
	ID     foray.ID
	Base   *int
	Body   json.RawMessage
	Result json.RawMessage
}

// ready is what the child says before its first write.
const ready = "ready"

func obey(told string) error {
	var o orders
	if err := json.Unmarshal([]byte(told), &o); err != nil {
		return err
	}
	h, err := openHall(o.Store)
	if err != nil {
		return err
	}
	c := &child{orders: o, hall: h, out: os.Stdout}
	fmt.Println(ready)
	if o.Package != "" {
		_, err := bringIn(h, o.Package)
		return errors.Join(err, h.Store.Close())
	}
	var wg sync.WaitGroup
	failures := make(chan error, o.Writers)
	for range o.Writers {
		wg.Go(func() { failures <- c.write() })
	}
	wg.Wait()
	close(failures)
	errs := []error{}
	for err := range failures {
		errs = append(errs, err)
	}
	return errors.Join(append(errs, h.Store.Close())...)
}

func bringIn(h *hall.Hall, name string) (keeping.Imported, error) {
	file, err := os.Open(name)
	if err != nil {
		return keeping.Imported{}, err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return keeping.Imported{}, err
	}
	return keeping.ImportEvent(context.Background(), h, file, info.Size())
}

func openHall(config store.Config) (*hall.Hall, error) {
	k, err := loadKnowledge()
	if err != nil {
		return nil, err
	}
	s, err := store.Open(context.Background(), config)
	if err != nil {
		return nil, err
	}
	return hall.New(s, k), nil
}

var loadKnowledge = sync.OnceValues(func() (*knowledge.Snapshot, error) { return knowledge.Load(seed.Files) })

type child struct {
	orders
	hall *hall.Hall
	next atomic.Int64
	mu   sync.Mutex
	out  io.Writer
}

// write logs one collection after another and takes each through the hall.
func (c *child) write() error {
	for {
		n := int(c.next.Add(1)) - 1
		if n >= c.Most {
			return nil
		}
		log := desk.Log{Number: strconv.Itoa(c.First + n), Field: desk.Field{Group: "bolete"}}
		var made desk.Logged
		if err := c.send("log", nil, log, &made); err != nil {
			return err
		}
		field := bench.FieldName{Collection: made.ID, Names: []hall.NameInput{{Text: "Boletus edulis"}, {Text: "Imleria badia"}}}
		if err := c.send("field name", nil, field, nil); err != nil {
			return err
		}
		version := 1
		word := bench.Word{Collection: made.ID, Name: hall.NameInput{Text: "Boletus edulis"}, Basis: "macroscopic"}
		if err := c.send("sign-off", &version, word, nil); err != nil {
			return err
		}
		if err := c.send("place", nil, tables.Place{Collection: made.ID, Where: foray.OnBackTable}, nil); err != nil {
			return err
		}
	}
}

// send applies a command and tells of it only once it was acknowledged: one write to a pipe, which is not cut in two.
func (c *child) send(kind string, base *int, body, result any) error {
	a := acknowledged{Kind: kind, Base: base}
	var err error
	if a.ID, err = foray.NewID(time.Now(), rand.Reader); err != nil {
		return err
	}
	if a.Body, err = json.Marshal(body); err != nil {
		return err
	}
	if a.Result, err = a.apply(c.hall, c.orders); err != nil {
		return fmt.Errorf("%s: %w", kind, err)
	}
	if result != nil {
		if err := json.Unmarshal(a.Result, result); err != nil {
			return err
		}
	}
	line, err := json.Marshal(a)
	if err != nil {
		return err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	_, err = c.out.Write(append(line, '\n'))
	return err
}

// apply sends the command to a hall, for the first time or again, and gives the answer.
func (a acknowledged) apply(h *hall.Hall, o orders) (json.RawMessage, error) {
	ctx := context.Background()
	cmd := hall.Command{ID: a.ID, BaseVersion: a.Base}
	switch a.Kind {
	case "log":
		return answer(a.Body, func(in desk.Log) (desk.Logged, error) {
			return desk.LogCollection(ctx, h, o.As[access.Desk], o.Scope, cmd, in)
		})
	case "field name":
		return answer(a.Body, func(in bench.FieldName) (bench.Done, error) {
			return bench.GiveFieldName(ctx, h, o.As[access.Steward], o.Scope, cmd, in)
		})
	case "sign-off":
		return answer(a.Body, func(in bench.Word) (bench.Done, error) {
			return bench.SignOff(ctx, h, o.As[access.Identifier], o.Scope, cmd, in)
		})
	}
	return answer(a.Body, func(in tables.Place) (tables.Placed, error) {
		return tables.PlacePlate(ctx, h, o.As[access.Steward], o.Scope, cmd, in)
	})
}

func answer[In, Out any](body json.RawMessage, do func(In) (Out, error)) (json.RawMessage, error) {
	var in In
	if err := json.Unmarshal(body, &in); err != nil {
		return nil, err
	}
	out, err := do(in)
	if err != nil {
		return nil, err
	}
	return json.Marshal(out)
}

// ordersFor lays the ground of a drill in a database.
func ordersFor(t testing.TB, config store.Config) orders {
	t.Helper()
	s, err := store.Open(context.Background(), config)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Migrate(context.Background()); err != nil {
		t.Fatal(err)
	}
	g := halltest.New(t, s)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return orders{Store: config, Scope: g.Scope, As: g.As, Writers: 6, Most: 100_000, First: 1}
}

// process is a child under way.
type process struct {
	cmd    *exec.Cmd
	stdout *bufio.Reader
	stderr *os.File
}

// start runs a child and waits until it is about to write.
func start(t testing.TB, o orders) *process {
	t.Helper()
	told, err := json.Marshal(o)
	if err != nil {
		t.Fatal(err)
	}
	p := &process{cmd: exec.Command(os.Args[0])}
	p.cmd.Env = append(os.Environ(), ordersIn+"="+string(told))
	out, err := p.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if p.stderr, err = os.Create(t.TempDir() + "/stderr"); err != nil {
		t.Fatal(err)
	}
	p.cmd.Stderr = p.stderr
	if err := p.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	p.stdout = bufio.NewReader(out)
	if line, err := p.stdout.ReadString('\n'); err != nil || line != ready+"\n" {
		t.Fatalf("the child said %q, %v: %v, %s", line, err, p.cmd.Wait(), p.complaint(t))
	}
	return p
}

func (p *process) complaint(t testing.TB) string {
	t.Helper()
	text, err := os.ReadFile(p.stderr.Name())
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// heard reads everything that the child acknowledges, until its end; writing is called at the first.
func (p *process) heard(t testing.TB, writing func()) []acknowledged {
	t.Helper()
	var all []acknowledged
	for {
		line, err := p.stdout.ReadBytes('\n')
		if err != nil {
			return all // a line that was cut off was not told
		}
		var a acknowledged
		if err := json.Unmarshal(line, &a); err != nil {
			t.Fatalf("the child said %q: %v", line, err)
		}
		if all = append(all, a); len(all) == 1 {
			writing()
		}
	}
}
