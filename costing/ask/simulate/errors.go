package simulate

import (
	"fmt"
	"strings"
)

// RequestError is a request that cannot be followed: which field of it, what is
// wrong, and what would be right.
type RequestError struct {
	Field  string // as the request names it: "draws", "correlations[1].rank"
	Detail string
	Remedy string
}

func (e *RequestError) Error() string {
	return fmt.Sprintf("%s: %s; %s", e.Field, e.Detail, e.Remedy)
}

// NotDefiniteError is a set of correlations that no joint spread can have: they
// contradict one another.
type NotDefiniteError struct {
	Field  string   // "correlations"
	Inputs []string // the inputs of the group, in words
}

func (e *NotDefiniteError) Error() string {
	return fmt.Sprintf("%s: the rank correlations between %s contradict one another; bring them nearer to 0",
		e.Field, strings.Join(e.Inputs, "; "))
}

// UndefinedError is a figure without a value at the likely values, so that there
// is nothing to draw.
type UndefinedError struct {
	Field string // "outputs[0]"
	Cause error
}

func (e *UndefinedError) Error() string {
	return fmt.Sprintf("%s: %v at the likely values; choose another figure or fill in what is missing", e.Field, e.Cause)
}

func (e *UndefinedError) Unwrap() error { return e.Cause }

// PanicError is a fault of this program in one of its goroutines. Its text is for
// the log; the value of the panic, which may hold what a user typed, is left out.
type PanicError struct {
	Block int
	Kind  string // type of the value
	Stack []byte
}

func (e *PanicError) Error() string {
	return fmt.Sprintf("panic of %s in block %d\n%s", e.Kind, e.Block, e.Stack)
}
