package frame

import (
	"errors"
	"fmt"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/costing/book/field"
)

// problem is one thing to put right: the field it is about, empty for the whole
// form, and what to do, which names the field by its label.
type problem struct {
	Field, Message string
}

// Anchor is the id of the field, or of the form.
func (p problem) Anchor() string {
	if p.Field == "" {
		return "form"
	}
	return FieldID(p.Field)
}

// Problems are all that is wrong with what was sent.
type Problems []problem

func (p *Problems) Add(field, message string) { *p = append(*p, problem{field, message}) }

// Wrong notes what is wrong with a field, and marks the field.
func (p *Problems) Wrong(f *Field, message string) {
	p.Add(f.Name, f.Label+": "+message)
	f.Error = p.Of(f.Name)
}

func (p Problems) Empty() bool { return len(p) == 0 }

// Of gives the message for a field.
func (p Problems) Of(field string) string {
	for _, one := range p {
		if one.Field == field {
			return one.Message
		}
	}
	return ""
}

// At gives the message for a field whose name stands close beside it, without that name.
func (p Problems) At(field string) string {
	whole := p.Of(field)
	if _, rest, named := strings.Cut(whole, ": "); named {
		return rest
	}
	return whole
}

// Refused reports that what was asked cannot be answered: something is wrong with it,
// or the book lacks something.
func Refused(err error) bool {
	code := answer.CodeOf(err)
	return code == answer.Invalid || code == answer.Incomplete
}

// FaultsOf turns what a use case says is wrong into problems of one field. A
// message without fields stands for itself.
func FaultsOf(err error, at, label string) Problems {
	var found Problems
	var known *answer.Error
	if !errors.As(err, &known) {
		return found
	}
	for _, f := range known.Fields {
		found.Add(at, label+Placed(f))
	}
	if len(known.Fields) == 0 {
		found.Add(at, label+known.Message)
	}
	for i := range found {
		if at != "book" && !strings.HasSuffix(at, "text") { // there the names are those that are typed
			found[i].Message = field.Spoken(found[i].Message)
		}
	}
	return found
}

// Placed writes a fault with its place in the text or the book.
func Placed(f answer.FieldError) string {
	text := f.Message
	if f.Path != "" && !strings.Contains(f.Path, "/") {
		text = f.Path + ": " + text
	}
	if f.Line > 0 {
		text = fmt.Sprintf("line %d, column %d: %s", f.Line, f.Column, text)
	}
	return text
}
