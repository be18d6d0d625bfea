package web

import (
	"errors"
	"fmt"
	"strings"

	"kerfbook/api/answer"
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
	return fieldID(p.Field)
}

// problems are all that is wrong with what was sent.
type problems []problem

func (p *problems) add(field, message string) { *p = append(*p, problem{field, message}) }

func (p problems) empty() bool { return len(p) == 0 }

// of gives the message for a field.
func (p problems) of(field string) string {
	for _, one := range p {
		if one.Field == field {
			return one.Message
		}
	}
	return ""
}

// faultsOf turns what a use case says is wrong into problems of one field. A
// message without fields stands for itself.
func faultsOf(err error, field, label string) problems {
	var found problems
	var known *answer.Error
	if !errors.As(err, &known) {
		return found
	}
	for _, f := range known.Fields {
		found.add(field, label+placed(f))
	}
	if len(known.Fields) == 0 {
		found.add(field, label+known.Message)
	}
	return found
}

// placed writes a fault with its place in the text or the book.
func placed(f answer.FieldError) string {
	text := f.Message
	if f.Path != "" && !strings.Contains(f.Path, "/") {
		text = f.Path + ": " + text
	}
	if f.Line > 0 {
		text = fmt.Sprintf("line %d, column %d: %s", f.Line, f.Column, text)
	}
	return text
}
