package api

import (
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"forayhall/internal/media"
	"forayhall/internal/message"
)

// document writes the OpenAPI 3.1 document from the routes, the commands and the types they read and write. It is made
// once, when the routes are registered.
func document(routes []route, cookie string) []byte {
	say := message.For(message.English)
	s := &schemas{named: map[string]schema{}}
	doc := schema{
		"openapi":           "3.1.0",
		"jsonSchemaDialect": "https://spec.openapis.org/oas/3.1/dialect/base",
		"info":              schema{"title": say.Say("api.document.title"), "version": "1.0.0", "description": say.Say("api.document.about")},
		"servers":           []schema{{"url": Prefix}},
		"paths":             paths(s, routes, cookie),
		"x-problems":        problems(say),
	}
	s.commands()
	doc["components"] = schema{"schemas": s.named, "responses": schema{"Problem": schema{"description": say.Say("api.document.problem"),
		"content": schema{"application/problem+json": schema{"schema": s.of(problemType, false)}}}},
		"securitySchemes": signIns(say, cookie)}
	data, err := json.Marshal(doc, json.Deterministic(true), jsontext.WithIndent(" "))
	if err != nil {
		panic("api: write the document: " + err.Error()) // maps of strings, numbers and the like
	}
	return data
}

func signIns(say message.Printer, cookie string) schema {
	all := schema{"bearer": schema{"type": "http", "scheme": "bearer", "bearerFormat": "JWT"}}
	if cookie != "" {
		all["session"] = schema{"type": "apiKey", "in": "cookie", "name": cookie, "description": say.Say("api.document.session")}
	}
	return all
}

// problems says of each kind of problem what it means; Problem.type leads here.
func problems(say message.Printer) schema {
	all := schema{}
	for _, k := range kinds {
		all[k.String()] = schema{"status": statuses[k], "title": say.Say("api.problem." + k.String())}
	}
	return all
}

func paths(s *schemas, routes []route, cookie string) schema {
	all := schema{}
	for _, rt := range routes {
		item, ok := all[rt.path].(schema)
		if !ok {
			item = schema{}
			all[rt.path] = item
		}
		item[strings.ToLower(rt.method)] = operation(s, rt, cookie)
	}
	return all
}

func operation(s *schemas, rt route, cookie string) schema {
	known := []schema{{"bearer": []string{}}}
	if cookie != "" {
		known = append(known, schema{"session": []string{}})
	}
	if rt.open {
		known = append(known, schema{})
	}
	op := schema{"operationId": rt.name, "summary": rt.about, "security": known, "responses": responses(s, rt)}
	if all := parameters(rt); len(all) > 0 {
		op["parameters"] = all
	}
	if rt.in != nil {
		op["requestBody"] = schema{"required": true, "content": schema{"application/json": schema{"schema": s.of(rt.in, true)}}}
	}
	if rt.upload {
		op["requestBody"] = pictureBody(rt)
	}
	return op
}

// pictureBody is a picture with the rest in the query, or a form in which it comes last.
func pictureBody(rt route) schema {
	fields := schema{}
	for _, q := range rt.query {
		fields[q.name] = q.schema
	}
	fields[media.Field] = schema{"type": "string", "contentMediaType": "image/*"}
	return schema{"required": true, "content": schema{"image/*": schema{"schema": schema{}},
		"multipart/form-data": schema{"schema": schema{"type": "object", "required": []string{"command", "kind", "subject", media.Field}, "properties": fields}}}}
}

func parameters(rt route) (all []schema) {
	for _, m := range placeholder.FindAllStringSubmatch(rt.path, -1) {
		all = append(all, schema{"name": m[1], "in": "path", "required": true, "schema": schema{"type": "string"}})
	}
	for _, q := range rt.query {
		all = append(all, schema{"name": q.name, "in": "query", "description": q.about, "schema": q.schema})
	}
	if rt.tagged() {
		all = append(all, schema{"name": "If-None-Match", "in": "header", "schema": schema{"type": "string"}})
	}
	if rt.media == "text/event-stream" {
		all = append(all, schema{"name": "Last-Event-ID", "in": "header", "schema": schema{"type": "integer"}})
	}
	return all
}

func responses(s *schemas, rt route) schema {
	media, body := rt.media, schema{}
	if rt.out != nil {
		media, body = "application/json", s.of(rt.out, false)
	}
	if media == "text/event-stream" {
		body = schema{"type": "string"}
	}
	ok := schema{"description": rt.about, "content": schema{media: schema{"schema": body}}}
	all := schema{"200": ok, "default": refer("responses", "Problem")}
	if rt.tagged() {
		ok["headers"] = schema{"ETag": schema{"schema": schema{"type": "string"}}}
		all["304"] = schema{"description": "Not modified"}
	}
	return all
}
