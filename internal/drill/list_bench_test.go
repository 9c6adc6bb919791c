package drill

import (
	"bytes"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"testing"
	"time"

	"forayhall/internal/access"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/people"
	"forayhall/internal/pages"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

// BenchmarkList is the list page of a national foray: made anew after each change of the event (the server's own time
// for the whole request), and unchanged, asked for as fast as can be beside nginx with the same bytes in the same run.
func BenchmarkList(b *testing.B) {
	for _, dialect := range []store.Dialect{store.SQLite, store.Postgres} {
		b.Run(string(dialect), func(b *testing.B) {
			g := halltest.New(b, storetest.New(b, dialect))
			plates := layForay(b, g)
			if dialect == store.Postgres { // the database does so by itself a minute after much was written
				run(b, openPeer(b, "pgx", g.Hall.Store.URL()), `ANALYZE`)
			}
			counter := &people.Desk{Hall: g.Hall, Cost: halltest.Cheap, Keys: []people.Key{{ID: "drill", Secret: bytes.Repeat([]byte("k"), 32)}}}
			site := pages.New(pages.Config{Hall: g.Hall, Desk: counter, Log: slog.New(slog.NewTextHandler(io.Discard, nil))})
			b.Run("changed", func(b *testing.B) {
				var took []time.Duration
				for i := range 3 + b.N*15 {
					name := []string{"Boletus edulis", "Imleria badia"}[i%2]
					if _, err := bench.GiveFieldName(b.Context(), g.Hall, g.As[access.TeamLeader], g.Scope, g.Command(b), bench.FieldName{Collection: plates[i%len(plates)],
						Names: []hall.NameInput{{Text: name}}}); err != nil {
						b.Fatal(err)
					}
					begun := time.Now()
					body := ask(b, site, "/hollinbeck/HB26/list", "")
					if took = append(took, time.Since(begun)); !bytes.Contains(body, []byte(name)) {
						b.Fatalf("%s is not on the list", name)
					}
				}
				took = took[3:]
				slices.Sort(took)
				b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "ms-median")
				b.ReportMetric(0, "ns/op")
			})
			b.Run("unchanged", func(b *testing.B) { besideNginx(b, site) })
		})
	}
}

// ask is one request within the process.
func ask(b *testing.B, site http.Handler, path, tag string) []byte {
	b.Helper()
	req := httptest.NewRequest(http.MethodGet, path, nil)
	if tag != "" {
		req.Header.Set("If-None-Match", tag)
	}
	rec := httptest.NewRecorder()
	site.ServeHTTP(rec, req)
	if rec.Code != http.StatusOK {
		b.Fatalf("%s answers %d", path, rec.Code)
	}
	return rec.Body.Bytes()
}

// targets are what share of nginx' rate is wanted for a long body, a short one, and for "not modified".
var targets = map[string]float64{"long": 0.5, "short": 0.4, "not-modified": 0.4}

func besideNginx(b *testing.B, site http.Handler) {
	for _, tool := range []string{"nginx", "wrk"} {
		if _, err := exec.LookPath(tool); err != nil {
			if os.Getenv("FORAYHALL_TEST_ALL") == "1" {
				b.Fatal(err)
			}
			b.Skip(tool + " is not installed")
		}
	}
	ours := httptest.NewServer(site)
	defer ours.Close()
	bare := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNotModified) }))
	defer bare.Close()
	long, short := "/hollinbeck/HB26/list", "/hollinbeck/HB26"
	beside := nginx(b, map[string][]byte{long: ask(b, site, long, ""), short: ask(b, site, short, "")})
	rounds := 3
	if testing.Short() {
		rounds = 1
	}
	for kind, path := range map[string]string{"long": long, "short": short, "not-modified": long} {
		var ratios []float64
		for range rounds {
			mine, theirs := rate(b, ours.URL+path, kind), rate(b, beside+path, kind)
			if ratios = append(ratios, mine/theirs); kind == "not-modified" {
				b.Logf("%s: %.2f of a handler of Go's net/http that says nothing else", kind, mine/rate(b, bare.URL+path, "short"))
			}
		}
		slices.Sort(ratios)
		median := ratios[len(ratios)/2]
		b.ReportMetric(median, kind+"/nginx")
		b.Logf("%s: %.2f of nginx (wanted %.2f)", kind, median, targets[kind])
	}
	b.ReportMetric(0, "ns/op")
}

// nginx serves files from a folder, as it would from a cache of pages, and ends with the benchmark.
func nginx(b *testing.B, files map[string][]byte) string {
	b.Helper()
	dir := b.TempDir()
	for path, body := range files {
		file := filepath.Join(dir, "html", path, "index.html")
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			b.Fatal(err)
		}
		if err := os.WriteFile(file, body, 0o644); err != nil {
			b.Fatal(err)
		}
	}
	free, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		b.Fatal(err)
	}
	at := free.Addr().String()
	free.Close()
	conf := fmt.Sprintf(`daemon off; master_process off; worker_processes 1; pid %[1]s/pid; error_log %[1]s/error.log;
events { worker_connections 512; }
http { access_log off; sendfile on; tcp_nopush on; keepalive_requests 10000000; types { text/html html; } charset utf-8;
 open_file_cache max=16;
 client_body_temp_path %[1]s/b; proxy_temp_path %[1]s/p; fastcgi_temp_path %[1]s/f; uwsgi_temp_path %[1]s/u; scgi_temp_path %[1]s/s;
 server { listen %[2]s; root %[1]s/html; location / { try_files $uri/index.html =404; } } }`, dir, at)
	if err := os.WriteFile(filepath.Join(dir, "nginx.conf"), []byte(conf), 0o644); err != nil {
		b.Fatal(err)
	}
	cmd := exec.Command("nginx", "-p", dir, "-c", filepath.Join(dir, "nginx.conf"))
	cmd.Env = []string{"PATH=" + os.Getenv("PATH")}
	if err := cmd.Start(); err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = cmd.Process.Kill(); _ = cmd.Wait() })
	for range 100 {
		if res, err := http.Get("http://" + at + "/hollinbeck/HB26"); err == nil {
			res.Body.Close()
			return "http://" + at
		}
		time.Sleep(50 * time.Millisecond)
	}
	said, _ := os.ReadFile(filepath.Join(dir, "error.log"))
	b.Fatalf("nginx does not answer: %s", said)
	return ""
}

var perSecond = regexp.MustCompile(`Requests/sec:\s+([\d.]+)`)

// rate is answers a second for two seconds, or in short one, from eight connections.
func rate(b *testing.B, url, kind string) float64 {
	b.Helper()
	args := []string{"-t", "1", "-c", "8", "-d", "2s", url}
	if testing.Short() {
		args = []string{"-t", "1", "-c", "8", "-d", "1s", url}
	}
	if kind == "not-modified" {
		res, err := http.Get(url)
		if err != nil {
			b.Fatal(err)
		}
		res.Body.Close()
		args = append([]string{"-H", "If-None-Match: " + res.Header.Get("ETag")}, args...)
	}
	out, err := exec.Command("wrk", args...).CombinedOutput()
	found := perSecond.FindSubmatch(out)
	if err != nil || found == nil {
		b.Fatalf("wrk: %v\n%s", err, out)
	}
	if bad := regexp.MustCompile(`Non-2xx or 3xx responses: (\d+)`).FindSubmatch(out); bad != nil {
		b.Fatalf("%s answers %s errors", url, bad[1])
	}
	n, err := strconv.ParseFloat(string(found[1]), 64)
	if err != nil {
		b.Fatal(err)
	}
	return n
}
