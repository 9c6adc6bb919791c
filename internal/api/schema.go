package api

import (
	"encoding"
	"reflect"
	"strings"
	"time"

	"github.com/go-json-experiment/json/jsontext"

	"forayhall/internal/access"
	"forayhall/internal/foray"
)

// schema is a JSON Schema (draft 2020-12) or another object of the document.
type schema map[string]any

// schemas makes schemas from the types that are really written and read, so that the document cannot say another
// thing than the program does.
type schemas struct {
	named map[string]schema // components
}

var (
	timeType = reflect.TypeFor[time.Time]()
	idType   = reflect.TypeFor[foray.ID]()
	rawType  = reflect.TypeFor[jsontext.Value]()
	textType = reflect.TypeFor[encoding.TextMarshaler]()
)

// words are the closed sets among the types.
var words = map[reflect.Type][]string{
	reflect.TypeFor[foray.Naming]():      wordsOf(foray.Namings),
	reflect.TypeFor[foray.Whereabouts](): wordsOf(foray.AllWhereabouts),
	reflect.TypeFor[foray.Basis]():       wordsOf(foray.Bases),
	reflect.TypeFor[foray.SlipKind]():    wordsOf(foray.SlipKinds),
	reflect.TypeFor[access.Right]():      wordsOf(access.Rights),
	reflect.TypeFor[Status]():            {string(Applied), string(Already), string(Conflict), string(Refused)},
}

func wordsOf[T ~string](all []T) []string {
	out := make([]string, len(all))
	for i, w := range all {
		out[i] = string(w)
	}
	return out
}

// of gives the schema of a type; a struct becomes a component and is referred to. What is read (body) takes no field
// that it does not know; what is written may grow.
func (s *schemas) of(t reflect.Type, body bool) schema {
	if enum, ok := words[t]; ok {
		return schema{"type": "string", "enum": enum}
	}
	switch t {
	case timeType:
		return schema{"type": "string", "format": "date-time"}
	case idType:
		return schema{"type": "string", "format": "uuid"}
	case rawType:
		return schema{}
	}
	switch t.Kind() {
	case reflect.Pointer:
		return s.of(t.Elem(), body)
	case reflect.Slice:
		return schema{"type": "array", "items": s.of(t.Elem(), body)}
	case reflect.Map:
		return schema{"type": "object", "additionalProperties": s.of(t.Elem(), body)}
	case reflect.Struct:
		return s.object(t, body)
	}
	return plain(t)
}

func plain(t reflect.Type) schema {
	switch t.Kind() {
	case reflect.String:
		return schema{"type": "string"}
	case reflect.Bool:
		return schema{"type": "boolean"}
	case reflect.Int, reflect.Int64:
		return schema{"type": "integer"}
	case reflect.Float64:
		return schema{"type": "number"}
	case reflect.Interface:
		return schema{}
	}
	// A type of another kind has no place in the promise; the document is made at start, so that this is met in tests.
	panic("api: no schema for " + t.String())
}

func (s *schemas) object(t reflect.Type, body bool) schema {
	if t.Implements(textType) {
		return schema{"type": "string"}
	}
	name := strings.TrimPrefix(t.String(), "api.")
	if body {
		name += ".body"
	}
	if _, made := s.named[name]; !made {
		o := schema{"type": "object", "properties": schema{}}
		s.named[name] = o
		if body {
			o["additionalProperties"] = false
		}
		s.fields(o, t, body)
	}
	return refer("schemas", name)
}

func (s *schemas) fields(o schema, t reflect.Type, body bool) {
	for f := range t.Fields() {
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case f.Anonymous && name == "":
			s.fields(o, f.Type, body)
			continue
		case !f.IsExported() || name == "-":
			continue
		}
		o["properties"].(schema)[name] = s.of(f.Type, body)
		if !strings.Contains(options, "omit") {
			required, _ := o["required"].([]string)
			o["required"] = append(required, name)
		}
	}
}

func refer(section, name string) schema {
	return schema{"$ref": "#/components/" + section + "/" + name}
}
