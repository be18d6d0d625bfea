package landed

import "fmt"

// MissingError is something a consignment needs and the book lacks. Path is the
// place in the book where it can be added or corrected.
type MissingError struct {
	Place string // the destination
	What  string
	Path  string
}

func (e *MissingError) Error() string {
	return fmt.Sprintf("%s: destination %s: %s", e.Path, e.Place, e.What)
}
