package compare

import "fmt"

// MissingError is a headline that one side does not have.
type MissingError struct {
	Side string // "before" or "after"
	Key  string
}

func (e *MissingError) Error() string {
	return fmt.Sprintf("there is no figure %s %s: name one that both sides have", e.Key, at(e.Side))
}

// UndefinedError is a headline without a value on one side.
type UndefinedError struct {
	Side  string
	Key   string
	Cause string // the figure whose own operation has no value
}

func (e *UndefinedError) Error() string {
	return fmt.Sprintf("%s has no value %s, because %s has none: put that right first", e.Key, at(e.Side), e.Cause)
}

// UnitError is a pair of headlines in different units, which have no difference.
type UnitError struct {
	Before, After string // the units
}

func (e *UnitError) Error() string {
	return fmt.Sprintf("a figure in %q and one in %q have no difference: compare figures in one currency and unit, "+
		"such as costs in the currency of the book", e.Before, e.After)
}

// EvaluateError is a side that cannot be computed; Err is that of the evaluation.
type EvaluateError struct {
	Side string
	Err  error
}

func (e *EvaluateError) Error() string { return fmt.Sprintf("%s: %v", at(e.Side), e.Err) }
func (e *EvaluateError) Unwrap() error { return e.Err }

// OptionError is an option out of its bounds.
type OptionError struct {
	Option string
	Detail string
}

func (e *OptionError) Error() string { return fmt.Sprintf("%s: %s", e.Option, e.Detail) }

// RemainderError is a list of parts that do not come to their total, beyond what
// rounding explains: a mistake in this package, which nothing hides.
type RemainderError struct {
	Of        string
	Remainder string
}

func (e *RemainderError) Error() string {
	return fmt.Sprintf("the parts of %s leave %s over", e.Of, e.Remainder)
}

func at(side string) string { return "on the side " + side }
