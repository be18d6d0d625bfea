package answer

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"kerfbook/bom/variant"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// Code says what kind of error it is; there are no others.
type Code string

// The codes.
const (
	Invalid        Code = "invalid"          // what was sent is wrong; see the fields
	NotFound       Code = "not_found"        // no such thing
	Conflict       Code = "version_conflict" // it has changed since the version named
	VersionMissing Code = "version_missing"  // a change must name the version it changes
	Exists         Code = "exists"           // it is there already
	Unauthorized   Code = "unauthorized"     // nobody known asks
	Forbidden      Code = "forbidden"        // somebody known asks who may not
	Gone           Code = "gone"             // it was there once: a spent or expired link
	TooLarge       Code = "too_large"        // more than the program takes
	Busy           Code = "busy"             // try again soon; nothing was changed
	Unverified     Code = "unverified"       // rests on figures without a source
	Incomplete     Code = "incomplete"       // rests on something that is missing in the book
	FiguresChanged Code = "figures_changed"  // it would not come to what was previewed
	NoSpace        Code = "no_space"         // the disk is full; nothing was changed
	StoreFailed    Code = "store_failed"     // the disk or the database fails; nothing was changed
	OutcomeUnknown Code = "outcome_unknown"  // it is not known whether it was changed
	Internal       Code = "internal"         // our fault
)

// Server says that the fault lies with the server and its store, and not with
// what was asked.
func (c Code) Server() bool {
	return c == Busy || c == NoSpace || c == StoreFailed || c == OutcomeUnknown || c == Internal
}

// Error is what went wrong in a use case. Message and Fields may be shown to
// whoever asked; Err is for the log only.
type Error struct {
	Code    Code
	Message string
	Fields  []FieldError
	Err     error
}

func (e *Error) Error() string {
	var b strings.Builder
	if len(e.Fields) == 1 && e.Fields[0].Message == e.Message { // said once, with its place
		return e.Fields[0].Error()
	}
	b.WriteString(e.Message)
	for _, f := range e.Fields {
		b.WriteString("\n" + f.Error())
	}
	if e.Err != nil {
		b.WriteString(": " + e.Err.Error())
	}
	return b.String()
}

func (e *Error) Unwrap() error { return e.Err }

// FieldError is one thing wrong with what was sent. Path is the place in words
// (routing[0].yield), Pointer the same as a JSON pointer into what was sent, Line
// and Column its place in the text sent; these are empty for a fault somewhere
// else in the book, whose Path begins with the list it is in.
type FieldError struct {
	Path    string `json:"path,omitempty"`
	Pointer string `json:"-"`
	Line    int    `json:"line,omitempty"`
	Column  int    `json:"column,omitempty"`
	Message string `json:"message"`
}

func (f FieldError) Error() string {
	text := f.Message
	if f.Path != "" {
		text = f.Path + ": " + text
	}
	if f.Line > 0 {
		text = fmt.Sprintf("line %d, column %d: %s", f.Line, f.Column, text)
	}
	return text
}

// CodeOf gives the code of an error, Internal for one that has none.
func CodeOf(err error) Code {
	var e *Error
	if errors.As(err, &e) {
		return e.Code
	}
	return Internal
}

// asked are the fields of what a quote is asked for with.
var asked = []string{"lines", "destination", "channel", "buyer", "buyer_reason", "discount", "seller", "customer", "valid_days", "valid_until",
	"delivery", "payment_terms", "lead_time", "notes", "language"}

// Closed is an error as it is told to somebody who may not see cost: what is wrong with what
// they asked, and nothing of what is wrong with the book.
func Closed(err error) error {
	var known *Error
	if !errors.As(err, &known) || known.Code != Invalid && known.Code != Incomplete {
		return err
	}
	out := &Error{Code: known.Code, Message: known.Message}
	for _, f := range known.Fields {
		name, _, _ := strings.Cut(strings.TrimPrefix(f.Pointer, "/"), "/")
		if slices.Contains(asked, name) {
			out.Fields = append(out.Fields, f)
		}
	}
	if len(out.Fields) == 0 {
		out.Message = "this price cannot be given: something in the book is missing or does not fit together; whoever may see costs sees what"
	}
	return out
}

func Invalidf(format string, args ...any) *Error { return Errorf(Invalid, format, args...) }

func Errorf(code Code, format string, args ...any) *Error {
	return &Error{Code: code, Message: fmt.Sprintf(format, args...)}
}

// Unexpected hides an unexpected error behind words that are safe to show.
func Unexpected(err error) error {
	var e *Error
	if err == nil || errors.As(err, &e) {
		return err
	}
	return &Error{Code: Internal, Message: "something went wrong on our side", Err: err}
}

// Uncomputable words an error of an evaluation.
func Uncomputable(err error) error {
	var outOfRange *exact.RangeError
	var pin *exact.PinError
	var outside *exact.OutsideDecisionError
	if errors.As(err, &outOfRange) || errors.As(err, &pin) || errors.As(err, &outside) {
		return &Error{Code: Invalid, Message: err.Error()}
	}
	if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return Errorf(Busy, "it took too long")
	}
	return Unexpected(err)
}

// Unbuildable words all that is wrong with a batch.
func Unbuildable(err error) error {
	out := Invalidf("the batch cannot be estimated")
	for _, one := range graph.Joined(err) {
		var place *estimate.BuildError
		var node *graph.FaultError
		var selection *variant.InvalidError
		switch {
		case errors.As(one, &place):
			out.Fields = append(out.Fields, FieldError{Path: place.Path, Message: place.Message})
		case errors.As(one, &node) && node.Kind == graph.TooLarge:
			out = Errorf(TooLarge, "%s", node.Detail)
			out.Fields = append(out.Fields, FieldError{Path: node.Path, Message: node.Detail})
			return out
		case errors.As(one, &node):
			return Unexpected(err)
		case errors.As(one, &selection):
			out.Fields = append(out.Fields, FieldError{Message: one.Error()})
		default:
			return Unexpected(err)
		}
	}
	if len(out.Fields) == 1 {
		out.Message = out.Fields[0].Message
	}
	return out
}
