package api

import "reflect"

var (
	problemType  = reflect.TypeFor[Problem]()
	envelopeType = reflect.TypeFor[Envelope]()
)

// commands says what each command's body is, and what answers it: one of the types, told apart by their name.
func (s *schemas) commands() {
	var sent, results []schema
	for _, t := range commandTypes {
		name := "command." + t.name
		s.named[name] = s.commandOf(t)
		sent = append(sent, refer("schemas", name))
		if result := s.of(t.out, false); !contains(results, result) {
			results = append(results, result)
		}
	}
	s.named["Command"] = schema{"oneOf": sent, "discriminator": schema{"propertyName": "type", "mapping": mapping()}}
	s.property("Batch.body", "commands", schema{"type": "array", "minItems": 1, "maxItems": mostCommands, "items": refer("schemas", "Command")})
	s.property("Answer", "result", schema{"anyOf": results})
}

func (s *schemas) commandOf(t commandType) schema {
	o := schema{"type": "object", "description": t.about, "properties": schema{}, "additionalProperties": false}
	s.fields(o, envelopeType, true)
	o["properties"].(schema)["type"] = schema{"const": t.name}
	o["properties"].(schema)["body"] = s.of(t.in, true)
	return o
}

func mapping() map[string]string {
	m := map[string]string{}
	for _, t := range commandTypes {
		m[t.name] = "#/components/schemas/command." + t.name
	}
	return m
}

func (s *schemas) property(component, name string, is schema) {
	s.named[component]["properties"].(schema)[name] = is
}

func contains(all []schema, one schema) bool {
	for _, have := range all {
		if reflect.DeepEqual(have, one) {
			return true
		}
	}
	return false
}
