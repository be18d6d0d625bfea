package answer

import (
	"context"
	"errors"

	"kerfbook/bom/variant"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

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
