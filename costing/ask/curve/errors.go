package curve

import "fmt"

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
