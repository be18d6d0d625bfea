package api

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"unicode/utf8"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
	"kerfbook/costing/text"
)

// Media types.
const (
	jsonType    = "application/json"
	yamlType    = "application/yaml"
	yamlType2   = "text/yaml" // as it was called before it was registered
	problemType = "application/problem+json"
)

var (
	onlyJSON   = []string{jsonType}
	jsonOrYAML = []string{jsonType, yamlType, yamlType2}
)

// decode reads the body of a call as a struct with the tags of books. All that is
// wrong with it comes back at once.
func decode[T any](c *call) (in T, err error) { return decodeBy[T](c, text.Decode) }

func decodeBy[T any](c *call, read func(data []byte, into any) (text.Places, error)) (in T, err error) {
	if err := c.checkSyntax(); err != nil {
		return in, err
	}
	_, err = read(c.body, &in)
	var found *text.Errors
	if !errors.As(err, &found) {
		return in, err
	}
	refusal := &edge.Refusal{Kind: edge.Invalid, Detail: "the body does not hold"}
	if found.More > 0 {
		refusal.Detail += fmt.Sprintf("; %d more faults are not listed", found.More)
	}
	for _, e := range found.List {
		refusal.Fields = append(refusal.Fields, edge.Field{
			Pointer: text.Pointer(e.Path), Path: e.Path, Line: e.Line, Column: e.Column, Detail: e.Message,
		})
	}
	return in, refusal
}

// reading gives a handler its body as a struct.
func reading[In any](handle func(context.Context, *call, In) (*reply, error)) func(context.Context, *call, *none) (*reply, error) {
	return func(ctx context.Context, c *call, _ *none) (*reply, error) {
		in, err := decode[In](c)
		if err != nil {
			return nil, err
		}
		return handle(ctx, c, in)
	}
}

// checkSyntax refuses what is called JSON and is none: the reader of books would
// take it for YAML and say something else about it.
func (c *call) checkSyntax() error {
	if c.mediaType != jsonType || json.Valid(c.body) {
		return nil
	}
	var syntax *json.SyntaxError
	var ignored json.RawMessage
	at := len(c.body)
	if err := json.Unmarshal(c.body, &ignored); errors.As(err, &syntax) {
		at = max(0, int(syntax.Offset)-1)
	}
	line, column := position(c.body[:min(at, len(c.body))])
	return &edge.Refusal{Kind: edge.BadRequest, Detail: "the body is no JSON", Fields: []edge.Field{{
		Line: line, Column: column, Detail: "this does not belong here, or the body ends too early",
	}}}
}

// position counts lines and columns from 1.
func position(before []byte) (line, column int) {
	last := bytes.LastIndexByte(before, '\n') + 1
	return bytes.Count(before, []byte("\n")) + 1, utf8.RuneCount(before[last:]) + 1
}

// below puts the faults of a part of the body under the pointer of that part.
func below(pointer string, err error) error {
	var known *answer.Error
	if !errors.As(err, &known) {
		return err
	}
	moved := *known
	moved.Fields = make([]answer.FieldError, len(known.Fields))
	for i, f := range known.Fields {
		f.Pointer = pointer + f.Pointer
		moved.Fields[i] = f
	}
	return &moved
}

// faults makes one refusal of everything that is wrong with a body that could be
// read.
type faults []edge.Field

func (f *faults) add(pointer, format string, args ...any) {
	*f = append(*f, edge.Field{Pointer: pointer, Detail: fmt.Sprintf(format, args...)})
}

func (f *faults) parameter(name, format string, args ...any) {
	*f = append(*f, edge.Field{Parameter: name, Detail: fmt.Sprintf(format, args...)})
}

func (f *faults) err(detail string) error {
	if len(*f) == 0 {
		return nil
	}
	return &edge.Refusal{Kind: edge.Invalid, Detail: detail, Fields: *f}
}
