package promise

import (
	"errors"
	"fmt"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/papers/quote"
	"kerfbook/costing/selling/landed"
)

// Unquotable words why a quote cannot be made or issued.
func Unquotable(err error) error {
	var request *quote.InvalidError
	var unverified *quote.UnverifiedError
	var gap *landed.MissingError
	var undefined *exact.UndefinedError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &request):
		out := answer.Invalidf("the quote cannot be made as asked for")
		for _, f := range request.Fields {
			out.Fields = append(out.Fields, answer.FieldError{Path: f.Path, Pointer: f.Pointer, Message: f.Message})
		}
		return out
	case errors.As(err, &unverified):
		return unconfirmed(unverified)
	case errors.As(err, &gap):
		return incomplete(err)
	case errors.As(err, &undefined) && undefined.Why != "":
		out := answer.Invalidf("the book lacks what this destination needs")
		out.Fields = []answer.FieldError{{Path: undefined.Path, Message: undefined.Why}}
		return out
	case errors.As(err, &undefined):
		return answer.Invalidf("the quote cannot be computed: %s", undefined)
	}
	var known *answer.Error
	if priced := answer.Unbuildable(err); errors.As(priced, &known) && known.Code != answer.Internal {
		return priced
	}
	return answer.Uncomputable(err)
}

// unconfirmed lists the rows and old prices that somebody must stand by.
func unconfirmed(e *quote.UnverifiedError) error {
	var what []string
	if n := len(e.Rows); n > 0 {
		what = append(what, fmt.Sprintf("%d rows without a source: confirm them or enter rows of your own", n))
	}
	if n := len(e.RanOut); n > 0 {
		what = append(what, fmt.Sprintf("%d prices that have run out: enter new ones, or confirm that the old are to be used", n))
	}
	out := answer.Errorf(answer.Unverified, "the quote rests on %s", strings.Join(what, "; and on "))
	for _, r := range e.RanOut {
		out.Fields = append(out.Fields, answer.FieldError{Path: "confirm_unverified", Pointer: "/confirm_unverified", Message: r.Words()})
	}
	for _, r := range e.Rows {
		message := r.Where
		if r.CheckedOn != "" {
			message += ", last looked at " + r.CheckedOn
		}
		out.Fields = append(out.Fields, answer.FieldError{Path: "confirm_unverified", Pointer: "/confirm_unverified", Message: message})
	}
	return out
}

// incomplete lists what the book lacks for the destination.
func incomplete(err error) error {
	out := answer.Invalidf("the book lacks what this destination needs")
	for _, one := range graph.Joined(err) {
		var gap *landed.MissingError
		if errors.As(one, &gap) {
			out.Fields = append(out.Fields, answer.FieldError{Path: gap.Path, Message: gap.Error()})
		}
	}
	return out
}

// stateProblem words a step that a quote cannot take any more.
func stateProblem(err error) error {
	var state *quote.StateError
	if errors.As(err, &state) {
		return answer.Errorf(answer.Conflict, "%s", state)
	}
	return err
}
