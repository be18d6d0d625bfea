package chart

import "fmt"

// DataError says what of its data a chart cannot draw, and where it stands.
type DataError struct {
	Chart, Place, Problem string
}

func (e *DataError) Error() string {
	return fmt.Sprintf("chart %q: %s: %s", e.Chart, e.Place, e.Problem)
}

// checkAll refuses numbers that are infinite, not a number, or too large.
func checkAll(chart, place string, values ...float64) error {
	for _, v := range values {
		if !drawable(v) {
			return &DataError{chart, place, fmt.Sprintf("%v cannot be drawn", v)}
		}
	}
	return nil
}
