package api_test

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"sort"
	"strings"
	"testing"

	"github.com/labstack/echo/v4"
	"github.com/pb33f/libopenapi"
	validator "github.com/pb33f/libopenapi-validator"

	"forayhall/internal/api"
	"forayhall/internal/foray"
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

func checker(t *testing.T, s *served) validator.Validator {
	t.Helper()
	_, data := s.get(t, "visitor", "/openapi.json")
	doc, err := libopenapi.NewDocument(data)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := doc.BuildV3Model(); err != nil {
		t.Fatal(err)
	}
	v, errs := validator.NewValidator(doc)
	if len(errs) > 0 {
		t.Fatal(errs)
	}
	return v
}

func TestTheDocumentIsOpenAPI(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		if ok, errs := checker(t, s).ValidateDocument(); !ok {
			for _, e := range errs {
				t.Error(e)
			}
		}
	})
}

func TestRealAnswersAreAsTheDocumentSays(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		furnish(t, s)
		v := checker(t, s)
		for _, path := range []string{"/events", "/names?q=am", "/hollinbeck/HB26", "/hollinbeck/HB26/collections?limit=2",
			"/hollinbeck/HB26/collections/0001", "/hollinbeck/HB26/queue", "/hollinbeck/HB26/list", "/hollinbeck/HB26/list/1", "/hollinbeck/HB26/tables",
			"/hollinbeck/HB26/warnings", "/hollinbeck/HB26/changes", "/hollinbeck/HB26/collections/9999", "/hollinbeck/HB26/changes?since=x"} {
			for _, as := range []string{"visitor", "desk", "scribe"} {
				resp := s.call(t, as, http.MethodGet, path, nil)
				conform(t, v, path+" as "+as, resp)
			}
		}
	})
}

func conform(t *testing.T, v validator.Validator, what string, resp *http.Response) {
	t.Helper()
	ok, errs := v.ValidateHttpResponse(resp.Request, resp)
	if ok {
		return
	}
	for _, e := range errs {
		t.Errorf("%s: %d %s %s", what, resp.StatusCode, e.Message, e.Reason)
		for _, s := range e.SchemaValidationErrors {
			t.Errorf("    %s: %s", s.FieldPath, s.Reason)
		}
	}
}

func TestEveryCommandThatIsTakenAndItsAnswerAreAsTheDocumentSays(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		furnish(t, s)
		v := checker(t, s)
		for _, row := range strings.Split(strings.TrimSpace(drawnCommands), "\n") {
			kind, way, _ := strings.Cut(strings.Fields(row)[0], "/")
			for _, as := range personas[1 : len(personas)-1] {
				data, err := json.Marshal(object{"society": "hollinbeck", "event": "HB26", "commands": []object{complete(t, s, kind, way)}})
				if err != nil {
					t.Fatal(err)
				}
				resp := s.call(t, as, http.MethodPost, "/commands", data)
				asked := resp.Request.Clone(ctx)
				asked.Body = io.NopCloser(bytes.NewReader(data))
				if ok, errs := v.ValidateHttpRequest(asked); !ok {
					t.Errorf("%s %s: %v %s", kind, way, errs, data)
				}
				conform(t, v, kind+" as "+as, resp)
			}
		}
	})
}

// complete gives a command the fields that the document asks for and the hall can do without.
func complete(t *testing.T, s *served, kind, way string) object {
	o := s.whole(t, kind, way)
	if kind == "collection.log.v1" {
		o["body"].(object)["id"] = s.Command(t).ID
	}
	return o
}

func TestABodyOutsideTheDocumentIsSeenAsSuch(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		v := checker(t, s)
		for _, command := range []object{{"id": foray.ID{1}.String(), "type": "table.add.v1", "body": object{"number": "one"}},
			{"id": foray.ID{1}.String(), "type": "table.bring.v1", "body": object{"number": 1}},
			{"id": foray.ID{1}.String(), "type": "table.add.v1", "body": object{"number": 1, "colour": "red"}}} {
			data, err := json.Marshal(object{"society": "hollinbeck", "event": "HB26", "commands": []object{command}})
			if err != nil {
				t.Fatal(err)
			}
			req, err := http.NewRequest(http.MethodPost, s.url+api.Prefix+"/commands", bytes.NewReader(data))
			if err != nil {
				t.Fatal(err)
			}
			req.Header.Set("Content-Type", "application/json")
			req.Header.Set("Authorization", "Bearer x")
			if ok, _ := v.ValidateHttpRequest(req); ok {
				t.Errorf("the document lets %s through", data)
			}
		}
	})
}
