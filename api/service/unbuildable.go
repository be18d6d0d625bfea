package service

import (
	"errors"

	"kerfbook/bom/variant"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// uncomputable words an error of an evaluation.
func uncomputable(err error) error {
	var outOfRange *exact.RangeError
	var pin *exact.PinError
	var outside *exact.OutsideDecisionError
	if errors.As(err, &outOfRange) || errors.As(err, &pin) || errors.As(err, &outside) {
		return &Error{Code: Invalid, Message: err.Error()}
	}
	return internal(err)
}

// unbuildable words all that is wrong with a batch.
func unbuildable(err error) error {
	out := invalid("the batch cannot be estimated")
	for _, one := range unjoined(err) {
		var place *estimate.BuildError
		var node *graph.FaultError
		var selection *variant.InvalidError
		switch {
		case errors.As(one, &place):
			out.Fields = append(out.Fields, FieldError{Path: place.Path, Message: place.Message})
		case errors.As(one, &node) && node.Kind == graph.TooLarge:
			out = newError(TooLarge, "%s", node.Detail)
			out.Fields = append(out.Fields, FieldError{Path: node.Path, Message: node.Detail})
			return out
		case errors.As(one, &node):
			return internal(err)
		case errors.As(one, &selection):
			out.Fields = append(out.Fields, FieldError{Message: one.Error()})
		default:
			return internal(err)
		}
	}
	if len(out.Fields) == 1 {
		out.Message = out.Fields[0].Message
	}
	return out
}

// unjoined takes errors.Join apart.
func unjoined(err error) []error {
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		return joined.Unwrap()
	}
	return []error{err}
}
