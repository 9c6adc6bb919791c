package api_test

import (
	"bytes"
	"encoding/json"
	"net/http"
	"os"
	"sort"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"forayhall/internal/api"
)

// operations are the method and path of every real route, as OpenAPI writes them.
func operations(s *served) []string {
	var all []string
	for _, r := range s.echo.Routes() {
		if r.Method == echo.RouteNotFound {
			continue
		}
		parts := strings.Split(strings.TrimPrefix(r.Path, api.Prefix), "/")
		for i, p := range parts {
			if name, ok := strings.CutPrefix(p, ":"); ok {
				parts[i] = "{" + name + "}"
			}
		}
		all = append(all, r.Method+" "+strings.Join(parts, "/"))
	}
	sort.Strings(all)
	return all
}

func TestTheDocumentHasTheRoutesThatTheRouterHas(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		_, data := s.get(t, "visitor", "/openapi.json")
		doc := read[struct{ Paths map[string]map[string]any }](t, data)
		var documented []string
		for path, item := range doc.Paths {
			for method := range item {
				documented = append(documented, strings.ToUpper(method)+" "+path)
			}
		}
		sort.Strings(documented)
		if got, want := strings.Join(documented, "\n"), strings.Join(operations(s), "\n"); got != want {
			t.Errorf("documented:\n%s\n\nreal:\n%s", got, want)
		}
	})
}

// checker holds what is sent and answered against the document.
type checker struct {
	*jsonschema.Compiler
	paths map[string]map[string]any
}

// standard is the OpenAPI Initiative's own schema of a 3.1 document, published under its $id.
const standard = "https://spec.openapis.org/oas/3.1/schema/2022-10-07"

func check(t *testing.T, s *served) checker {
	t.Helper()
	_, data := s.get(t, "visitor", "/openapi.json")
	c := checker{jsonschema.NewCompiler(), read[struct{ Paths map[string]map[string]any }](t, data).Paths}
	c.AssertFormat()
	file, err := os.ReadFile("testdata/openapi-3.1-schema-2022-10-07.json")
	if err != nil {
		t.Fatal(err)
	}
	for url, text := range map[string][]byte{"urn:document": data, standard: file} {
		parsed, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		if err := c.AddResource(url, parsed); err != nil {
			t.Fatal(err)
		}
	}
	return c
}

// holds checks JSON against a schema of the document, given by its place there.
func (c checker) holds(t *testing.T, data []byte, url string, place ...string) error {
	t.Helper()
	for _, part := range place {
		url += "/" + strings.ReplaceAll(part, "/", "~1")
	}
	compiled, err := c.Compile(url)
	if err != nil {
		t.Fatal(err)
	}
	parsed, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return compiled.Validate(parsed)
}

func (c checker) conform(t *testing.T, what, path string, resp *http.Response) {
	t.Helper()
	data := all(t, resp)
	place := []string{"paths", path, strings.ToLower(resp.Request.Method), "responses", "200", "content", "application/json", "schema"}
	if resp.StatusCode != 200 {
		place = []string{"components", "responses", "Problem", "content", "application/problem+json", "schema"}
	}
	if err := c.holds(t, data, "urn:document#", place...); err != nil {
		t.Errorf("%s: %d is not as documented: %v", what, resp.StatusCode, err)
	}
}

func TestTheDocumentIsOpenAPI(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		c := check(t, s)
		_, data := s.get(t, "visitor", "/openapi.json")
		if err := c.holds(t, data, standard); err != nil {
			t.Error(err)
		}
		doc := read[struct {
			Components struct{ Schemas map[string]any }
		}](t, data)
		for name := range doc.Components.Schemas {
			if _, err := c.Compile("urn:document#/components/schemas/" + name); err != nil {
				t.Errorf("%s: %v", name, err)
			}
		}
		if err := c.holds(t, []byte(`{"openapi":"3.1.0","info":{"title":"x"},"paths":{"x":{}}}`), standard); err == nil {
			t.Error("the standard lets anything through")
		}
	})
}

func TestRealAnswersAreAsTheDocumentSays(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		furnish(t, s)
		c := check(t, s)
		event := "/{society}/{event}"
		for _, one := range [][2]string{{"/events", ""}, {"/names", "?q=am"}, {event, ""}, {event + "/collections", "?limit=2"},
			{event + "/collections/{number}", ""}, {event + "/queue", ""}, {event + "/list", ""}, {event + "/list/{version}", ""},
			{event + "/tables", ""}, {event + "/warnings", ""}, {"/{society}", ""}, {event + "/tables/{number}", ""}, {event + "/finds/{number}", ""},
			{event + "/taxa/{name}", ""}, {event + "/plan", "?find=1"}, {event + "/papers", ""}, {event + "/vouchers", ""}, {event + "/wall", ""}, {event + "/seen", "?show=all"},
			{event + "/list/{version}/changes", ""}, {event + "/changes", ""}, {event + "/changes", "?since=x"}} {
			for _, as := range []string{"visitor", "desk", "scribe"} {
				c.conform(t, one[0]+one[1]+" as "+as, one[0], s.call(t, as, http.MethodGet, fillIn.Replace(one[0])+one[1], nil))
			}
		}
	})
}

func TestEveryCommandThatIsTakenAndItsAnswerAreAsTheDocumentSays(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		furnish(t, s)
		c := check(t, s)
		for _, row := range strings.Split(strings.TrimSpace(drawnCommands), "\n") {
			kind, way, _ := strings.Cut(strings.Fields(row)[0], "/")
			for _, as := range []string{"desk", "identifier", "organiser"} {
				data, err := json.Marshal(object{"society": "hollinbeck", "event": "HB26", "commands": []object{complete(t, s, as, kind, way)}})
				if err != nil {
					t.Fatal(err)
				}
				if err := c.holds(t, data, "urn:document#/components/schemas/Batch.body"); err != nil {
					t.Errorf("%s %s: %v", kind, way, err)
				}
				c.conform(t, kind+" as "+as, "/commands", s.call(t, as, http.MethodPost, "/commands", data))
			}
		}
	})
}

// complete gives a command the fields that the document asks for and the hall can do without.
func complete(t *testing.T, s *served, as, kind, way string) object {
	t.Helper()
	o := s.whole(t, as, kind, way)
	if kind == "collection.log.v1" {
		o["body"].(object)["id"] = s.Command(t).ID
	}
	return o
}

func TestABodyOutsideTheDocumentIsSeenAsSuch(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		c := check(t, s)
		for command, good := range map[string]bool{
			`{"id":"0195f000-0000-7000-8000-000000000001","type":"table.add.v1","body":{"number":1}}`:                true,
			`{"id":"0195f000-0000-7000-8000-000000000001","type":"table.add.v1","body":{"number":"one"}}`:            false,
			`{"id":"0195f000-0000-7000-8000-000000000001","type":"table.bring.v1","body":{"number":1}}`:              false,
			`{"id":"0195f000-0000-7000-8000-000000000001","type":"table.add.v1","body":{"number":1,"colour":"red"}}`: false,
			`{"id":"7","type":"table.add.v1","body":{"number":1}}`:                                                   false,
		} {
			batch := []byte(`{"society":"hollinbeck","event":"HB26","commands":[` + command + `]}`)
			if err := c.holds(t, batch, "urn:document#/components/schemas/Batch.body"); (err == nil) != good {
				t.Errorf("%s: %v", command, err)
			}
		}
	})
}
