package landed

import (
	"errors"
	"fmt"

	"kerfbook/costing/graph"
)

// MissingError is something a consignment needs and the book lacks. Path is the
// place in the book where it can be added or corrected.
type MissingError struct {
	Place string // the destination
	What  string
	Path  string
}

func (e *MissingError) Error() string {
	return fmt.Sprintf("%s: %s", e.Path, e.Text())
}

// Text says what is missing without its place in the book.
func (e *MissingError) Text() string { return fmt.Sprintf("destination %s: %s", e.Place, e.What) }

// Missing takes an error of [Build] apart.
func Missing(err error) []*MissingError {
	var out []*MissingError
	for _, e := range graph.Joined(err) {
		var one *MissingError
		if e != err { // a place of its own may lack several things
			out = append(out, Missing(e)...)
		} else if errors.As(e, &one) {
			out = append(out, one)
		}
	}
	return out
}
