package curve

import (
	"fmt"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// Limits of a request.
const (
	MaxPoints   = 20_000        // quantities in one sweep
	MaxQuantity = 1_000_000_000 // pieces
)

// Request says what is drawn over which quantities.
type Request struct {
	// Figure is what is drawn: full cost per piece, a cost kind, a price.
	Figure graph.ID
	// Quantity is the input that moves, From and To its first and last value.
	Quantity graph.ID
	From, To int64
	// Hold are figures held at other than their likely values.
	Hold exact.Pins
	// Full is the cost per piece. By it the effects of breaks are measured, in what
	// the batch costs.
	Full graph.ID
	// Marks are quantities to be evaluated exactly, such as the ticks of an axis.
	Marks []int64
}

func (r Request) check() error {
	switch {
	case r.From < 1:
		return &RequestError{"from", fmt.Sprintf("a batch of %d pieces is none", r.From), "start from 1 or more"}
	case r.To < r.From:
		return &RequestError{"to", fmt.Sprintf("the range ends at %d, before it starts at %d", r.To, r.From), "give the smaller quantity first"}
	case r.To > MaxQuantity:
		return &RequestError{"to", fmt.Sprintf("%d pieces are more than the %d that can be drawn", r.To, MaxQuantity), "end the range earlier"}
	case r.To-r.From >= MaxPoints:
		return &RequestError{"to", fmt.Sprintf("%d quantities are more than the %d of one curve", r.To-r.From+1, MaxPoints), "draw the range in pieces"}
	}
	for i, q := range r.Marks {
		if q < r.From || q > r.To {
			return &RequestError{fmt.Sprintf("marks[%d]", i), fmt.Sprintf("%d is outside the range from %d to %d", q, r.From, r.To), "mark quantities of the range"}
		}
	}
	return nil
}

// RequestError is a request that cannot be met as it stands.
type RequestError struct {
	Field   string // as in Request: "to", "figures[1]", "lines[0].quantity"
	Message string
	Remedy  string
}

func (e *RequestError) Error() string {
	return fmt.Sprintf("%s: %s; %s", e.Field, e.Message, e.Remedy)
}

// QuantityError is a quantity of the range, the first such, at which a figure
// cannot be computed. Err is an [*exact.UndefinedError], an
// [*exact.OutsideDecisionError] or an [*exact.RangeError].
type QuantityError struct {
	Quantity int64
	Err      error
	Remedy   string
}

func (e *QuantityError) Error() string {
	return fmt.Sprintf("at quantity %d: %v; %s", e.Quantity, e.Err, e.Remedy)
}

// Unwrap gives the error of the evaluator.
func (e *QuantityError) Unwrap() error { return e.Err }
