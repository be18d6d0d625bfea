package compare

import "fmt"

// FigureError is a headline that cannot be compared.
type FigureError struct {
	Side   string // "before" or "after"
	Detail string
}

func (e *FigureError) Error() string { return e.Detail }

func missing(side, key string) error {
	return &FigureError{side, fmt.Sprintf("there is no figure %s on the side %s: name one that both sides have", key, side)}
}

// EvaluateError is a side that cannot be computed; Err is that of the evaluation.
type EvaluateError struct {
	Side string
	Err  error
}

func (e *EvaluateError) Error() string { return fmt.Sprintf("on the side %s: %v", e.Side, e.Err) }
func (e *EvaluateError) Unwrap() error { return e.Err }

// betweenError is a figure without a value with only some inputs changed.
type betweenError struct{ what string }

func (e *betweenError) Error() string {
	return "with only some of the inputs changed, " + e.what
}
