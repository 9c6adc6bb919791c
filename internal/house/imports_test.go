package house

import (
	"go/ast"
	"path"
	"slices"
	"strings"
	"testing"
)

// The layers, from the top: a room may import rooms of the layers below its own, never of its own or above.
const (
	command = iota
	scenario
	handlers
	uses
	core
	services
	views
	pure
	shipped // folders that only embed files
)

var layers = map[string]int{
	"cmd/forayhall":  command,
	"internal/demo":  scenario,
	"internal/pages": handlers, "internal/api": handlers,
	"internal/hall/desk": uses, "internal/hall/bench": uses, "internal/hall/outside": uses,
	"internal/hall/tables": uses, "internal/hall/vouchers": uses, "internal/hall/list": uses, "internal/hall/setup": uses, "internal/hall/people": uses,
	"internal/hall/keeping": uses, "internal/hall/records": uses, "internal/hall/safety": uses,
	"internal/hall/visit": uses, "internal/hall/wall": uses, "internal/hall/closing": uses, "internal/hall/fieldwork": uses, "internal/hall/corrections": uses,
	"internal/hall/photographs": uses, "internal/hall/checklist": uses, "internal/hall/earlier": uses, "internal/hall/booklet": uses, "internal/hall/worth": uses,
	"internal/hall":  core,
	"internal/store": services, "internal/knowledge": services, "internal/archive": services,
	"internal/printing": services, "internal/media": services, "internal/live": services,
	"web/view":       views,
	"internal/taxon": pure, "internal/hazard": pure, "internal/character": pure, "internal/foray": pure,
	"internal/display": pure, "internal/muster": pure, "internal/tally": pure, "internal/access": pure,
	"internal/message": pure, "internal/fault": pure,
	"migrations": shipped, "seed": shipped, "web": shipped,
}

// reserved libraries may be imported by these rooms alone.
var reserved = map[string][]string{
	"gorm.io/":                 {"internal/store"},
	"github.com/libtnb/sqlite": {"internal/store"},
	"github.com/labstack/echo": {"internal/pages", "internal/api", "cmd/forayhall"},
	"github.com/minio/":        {"internal/media"},
	"github.com/kovidgoyal/":   {"internal/media"}, // its own Decode may run programs of the computer
	"github.com/bep/imagemeta": {"internal/media"},
}

// roomOf is the room of the plan that a folder belongs to; "" for none.
func roomOf(folder string) string {
	for f := folder; f != "." && f != ""; f = parent(f) {
		if _, ok := layers[f]; ok && (f != "internal/hall" || f == folder) {
			return f
		}
	}
	return ""
}

func parent(folder string) string {
	i := strings.LastIndexByte(folder, '/')
	if i < 0 {
		return ""
	}
	return folder[:i]
}

func ownImports(s source) (rooms []string) {
	for _, p := range s.imports() {
		if folder, ok := strings.CutPrefix(p, module+"/"); ok {
			rooms = append(rooms, folder)
		}
	}
	return rooms
}

// breach says why one folder may not import another; "" when it may.
func breach(from, to string) string {
	a, b := roomOf(from), roomOf(to)
	switch {
	case isForTests(to):
		return "only tests may import it"
	case b == "":
		return "it is in no room of the plan"
	case a == b:
		return ""
	case layers[a] == command, layers[a] == pure && layers[b] == pure:
		return ""
	case layers[a] == handlers && b == "internal/store":
		return "pages and api speak to the hall, never to the store"
	case layers[b] == views && a != "internal/pages":
		return "views are rendered by pages"
	case layers[a] == views && layers[b] != pure:
		return "views take pure rooms and their own structs"
	case layers[a] == pure:
		return "pure rooms import pure rooms"
	case layers[a] == shipped:
		return "folders that ship files import nothing of the house"
	case layers[a] >= layers[b]:
		return "arrows point down only"
	}
	return ""
}

func TestImports_point_down_only(t *testing.T) {
	for _, s := range code(t) {
		if roomOf(s.room()) == "" {
			t.Errorf("%s is in no room of the plan", s.name)
			continue
		}
		for _, to := range ownImports(s) {
			if why := breach(s.room(), to); why != "" {
				t.Errorf("%s imports %s: %s", s.name, to, why)
			}
		}
	}
}

func TestBreach_knows_the_plan(t *testing.T) {
	for name, c := range map[string]struct {
		from, to string
		allowed  bool
	}{
		"pages may use a use case":               {"internal/pages", "internal/hall/desk", true},
		"pages may not use the store":            {"internal/pages", "internal/store", false},
		"api may not use pages":                  {"internal/api", "internal/pages", false},
		"a use case may use the core":            {"internal/hall/desk", "internal/hall", true},
		"the core may not use a use case":        {"internal/hall", "internal/hall/desk", false},
		"siblings in the hall stay apart":        {"internal/hall/desk", "internal/hall/bench", false},
		"a use case may use the store":           {"internal/hall/list", "internal/store", true},
		"services stay apart":                    {"internal/store", "internal/archive", false},
		"a service may use a pure room":          {"internal/printing", "internal/hazard", true},
		"a pure room may use another":            {"internal/hazard", "internal/taxon", true},
		"a pure room may not use a service":      {"internal/foray", "internal/knowledge", false},
		"pages may use views":                    {"internal/pages", "web/view", true},
		"a use case may not use views":           {"internal/hall/desk", "web/view", false},
		"views may not use the hall":             {"web/view", "internal/hall", false},
		"views may use messages":                 {"web/view", "internal/message", true},
		"the store may use its migrations":       {"internal/store", "migrations", true},
		"a folder inside a room is of that room": {"internal/store/journal", "internal/store", true},
		"a new use case needs a place":           {"internal/pages", "internal/hall/kitchen", false},
		"the command may use all":                {"cmd/forayhall", "internal/live", true},
		"nothing but tests uses test packages":   {"cmd/forayhall", "internal/store/pgtest", false},
	} {
		if why := breach(c.from, c.to); (why == "") != c.allowed {
			t.Errorf("%s: %s → %s gave %q", name, c.from, c.to, why)
		}
	}
}

func TestLibraries_stay_in_their_rooms(t *testing.T) {
	for _, s := range code(t) {
		for _, p := range s.imports() {
			for library, rooms := range reserved {
				if strings.HasPrefix(p, library) && !slices.Contains(rooms, roomOf(s.room())) {
					t.Errorf("%s imports %s, which is for %v", s.name, p, rooms)
				}
			}
		}
	}
}

// outside are standard packages that reach out of the process, or bring in what should be an argument.
var outside = []string{"crypto/rand", "database/sql", "io/ioutil", "log", "net", "os", "path/filepath", "plugin", "syscall"}

// computing are libraries that only compute.
var computing = []string{"golang.org/x/text/", "github.com/google/uuid"}

func reaches(p string) bool {
	if p == "net/url" || p == "net/netip" || p == "database/sql/driver" {
		return false // they parse, or name the types of a stored value
	}
	for _, o := range outside {
		if within(p, o) {
			return true
		}
	}
	return false
}

func isLibrary(p string) bool {
	first, _, _ := strings.Cut(p, "/")
	return strings.Contains(first, ".")
}

func TestPure_rooms_import_no_input_or_output(t *testing.T) {
	for _, s := range pureCode(t) {
		for _, p := range s.imports() {
			if reaches(p) {
				t.Errorf("%s imports %s", s.name, p)
			}
			if isLibrary(p) && !hasPrefixOf(p, computing) {
				t.Errorf("%s imports %s, which is not on the list of libraries that only compute", s.name, p)
			}
		}
	}
}

// A view that could ask anything but its struct would hold a rule.
func TestViews_import_no_library_but_templ(t *testing.T) {
	for _, s := range code(t) {
		if roomOf(s.room()) != "web/view" {
			continue
		}
		for _, p := range s.imports() {
			if reaches(p) || isLibrary(p) && !within(p, "github.com/a-h/templ") {
				t.Errorf("%s imports %s", s.name, p)
			}
		}
	}
}

// impure are functions of allowed packages that read the clock, the zone of the computer or global randomness, or print.
var impure = map[string]string{
	"time": "Now Since Until Sleep After AfterFunc Tick NewTicker NewTimer Local",
	"uuid": "New NewString NewUUID NewRandom NewV6 NewV7 NewDCESecurity NewDCEGroup NewDCEPerson",
	"fmt":  "Print Printf Println Scan Scanf Scanln",
}

// seeded are what a pure room may take from math/rand: generators made from a seed that came in.
const seeded = "New NewSource NewPCG NewChaCha8 NewZipf Rand Source Source64 PCG ChaCha8 Zipf"

func TestPure_rooms_have_no_clock_and_no_randomness_of_their_own(t *testing.T) {
	for _, s := range pureCode(t) {
		imports := s.imports()
		ast.Inspect(s.syntax, func(n ast.Node) bool {
			selector, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			name, ok := selector.X.(*ast.Ident)
			if ok && isImpure(imports[name.Name], selector.Sel.Name) {
				t.Errorf("%s uses %s.%s: it should come in as an argument", s.at(n), name.Name, selector.Sel.Name)
			}
			return true
		})
	}
}

func isImpure(p, function string) bool {
	if p == "math/rand" || p == "math/rand/v2" {
		return !slices.Contains(strings.Fields(seeded), function)
	}
	return slices.Contains(strings.Fields(impure[path.Base(p)]), function)
}

func pureCode(t *testing.T) (sources []source) {
	t.Helper()
	for _, s := range code(t) {
		if room := roomOf(s.room()); room != "" && layers[room] == pure {
			sources = append(sources, s)
		}
	}
	if len(sources) == 0 {
		t.Fatal("no pure rooms were found: the test looks in the wrong place")
	}
	return sources
}

func hasPrefixOf(s string, prefixes []string) bool {
	for _, p := range prefixes {
		if strings.HasPrefix(s, p) {
			return true
		}
	}
	return false
}
