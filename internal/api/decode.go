package api

import (
	"errors"
	"fmt"
	"io"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"forayhall/internal/fault"
	"forayhall/internal/message"
)

// mostBytes is the longest body.
const mostBytes = 1 << 20

func decodeBody(body io.Reader, into any) error {
	data, err := io.ReadAll(body)
	if err != nil {
		return fmt.Errorf("read a body: %w", err)
	}
	return decode(data, into, "")
}

// decode reads JSON strictly: unknown and repeated fields are refused, names are compared exactly. An error says
// where, as a JSON pointer (RFC 6901) below under.
func decode(data []byte, into any, under string) error {
	err := json.Unmarshal(data, into, json.RejectUnknownMembers(true))
	if err == nil {
		return nil
	}
	at, text := misread(err)
	return &fault.Error{Kind: fault.Invalid, Text: message.T("api.body-not-read"),
		Fields: map[string]message.Text{under + at: text}, Cause: err}
}

func misread(err error) (pointer string, text message.Text) {
	var semantic *json.SemanticError
	if errors.As(err, &semantic) {
		at := string(semantic.JSONPointer)
		if errors.Is(err, json.ErrUnknownName) {
			return at, message.T("api.field-unknown", "offset", semantic.ByteOffset)
		}
		return at, message.T("api.value-misfit", "offset", semantic.ByteOffset)
	}
	var syntactic *jsontext.SyntacticError
	if errors.As(err, &syntactic) {
		at := string(syntactic.JSONPointer)
		if errors.Is(err, jsontext.ErrDuplicateName) {
			return at, message.T("api.field-twice", "offset", syntactic.ByteOffset)
		}
		return at, message.T("api.not-json", "offset", syntactic.ByteOffset)
	}
	return "", message.T("api.not-json", "offset", 0)
}
