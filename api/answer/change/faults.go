package change

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/costing/book/check"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
)

// MaxFields is the most fields one error lists.
const MaxFields = text.MaxListed

// Malformed turns what is wrong with the form of a text into an error with a
// field for each.
func Malformed(what string, err error) error {
	var found *text.Errors
	if !errors.As(err, &found) {
		return answer.Unexpected(err)
	}
	out := answer.Invalidf("%s cannot be read", what)
	for _, e := range found.List {
		out.Fields = append(out.Fields, answer.FieldError{Path: e.Path, Pointer: text.Pointer(e.Path), Line: e.Line, Column: e.Column, Message: e.Message})
	}
	if found.More > 0 {
		out.Message += fmt.Sprintf("; %d more faults are not listed", found.More)
	}
	return out
}

// Broken refuses a book that does not fit together, with the place of each fault
// in its text; nil if it does.
func Broken(problems []check.Problem) error {
	out := answer.Invalidf("the records of the book do not fit together")
	for _, p := range problems {
		if p.Severity == check.Fault && len(out.Fields) < MaxFields {
			out.Fields = append(out.Fields, FieldOf(p))
		}
	}
	if len(out.Fields) == 0 {
		return nil
	}
	return out
}

func FieldOf(p check.Problem) answer.FieldError {
	return answer.FieldError{Path: p.Path, Pointer: text.Pointer(p.Path), Line: p.Line, Column: p.Column, Message: p.Message}
}

// Check refuses changes after which the book would not fit together, or would lack
// something it did not lack before.
func (s *Shelf) Check(drafts []Draft, next *Shelf) error {
	return misfits(s.caused(drafts, next), drafts)
}

// After gives the state after drafts, not stored yet, and what they leave lacking:
// references to what is not there. It refuses what does not fit together.
func (s *Shelf) After(drafts []Draft) (next *Shelf, lacking []answer.FieldError, err error) {
	next = s.With(drafts)
	var bad []fault
	for _, f := range s.caused(drafts, next) {
		if f.gap {
			lacking = append(lacking, f.field(drafts))
		} else {
			bad = append(bad, f)
		}
	}
	return next, lacking, misfits(bad, drafts)
}

// misfits refuses drafts that cause faults. A fault in one of the changed records
// is placed in the text it was sent as; one elsewhere names the record it is in.
func misfits(faults []fault, drafts []Draft) error {
	if len(faults) == 0 {
		return nil
	}
	out := answer.Invalidf("the records of the book would not fit together")
	for _, f := range faults[:min(len(faults), MaxFields)] {
		out.Fields = append(out.Fields, f.field(drafts))
	}
	return out
}

// caused lists the faults that drafts cause. Those that were there before stand in
// nobody's way.
func (s *Shelf) caused(drafts []Draft, next *Shelf) []fault {
	faults := next.faults()
	if len(faults) == 0 {
		return nil
	}
	before := s.faults()
	// What is deleted may have been missing before because it could not be read.
	before = slices.DeleteFunc(before, func(f fault) bool {
		return slices.ContainsFunc(drafts, func(d Draft) bool { return d.Deleted && strings.Contains(f.message, " "+d.ID) })
	})
	return slices.DeleteFunc(faults, func(f fault) bool { return slices.ContainsFunc(before, f.same) })
}

// fault is something that does not fit together, in a record.
type fault struct {
	kind, id string // empty for the book as a whole
	rest     string // of the path, within the record
	path     string // in the book
	message  string
	gap      bool // something is not there
}

// same compares faults of two states of a book, in which a record may stand at
// different places of its list.
func (f fault) same(other fault) bool {
	return f.kind == other.kind && f.id == other.id && f.rest == other.rest && f.message == other.message
}

func (s *Shelf) faults() []fault {
	var out []fault
	for _, p := range check.Book(s.Book, nil, "") {
		if p.Severity == check.Warning {
			continue
		}
		f := fault{path: p.Path, rest: p.Path, message: p.Message, gap: p.Severity == check.Gap}
		if k, position, rest, ok := record.Locate(p.Path); ok {
			if list := s.readable(k.Name); position < len(list) {
				f.kind, f.id, f.rest = k.Name, list[position].ID, rest
			}
		}
		out = append(out, f)
	}
	return out
}

func (f fault) field(drafts []Draft) answer.FieldError {
	for _, d := range drafts {
		if d.Kind.Name == f.kind && d.ID == f.id && !d.Deleted {
			path := f.rest
			if d.root != "" {
				path = text.Field(d.root, f.rest)
			}
			at := d.places.Of(path)
			return answer.FieldError{Path: path, Pointer: text.Pointer(path), Line: at.Line, Column: at.Column, Message: f.message}
		}
	}
	if f.id != "" && f.kind != f.id {
		return answer.FieldError{Path: f.path, Message: fmt.Sprintf("%s %s: %s", f.kind, f.id, f.message)}
	}
	return answer.FieldError{Path: f.path, Message: f.message}
}
