package recalctest

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"
)

// IsError reports whether a recalculated cell shows an error.
func IsError(text string) bool {
	return strings.HasPrefix(text, "#") || strings.HasPrefix(text, "Err:")
}

// Agrees compares a recalculated cell with an exact figure: to nine digits, and
// next to zero to twelve places.
func Agrees(got string, want decimal.Decimal) error {
	if IsError(got) {
		return fmt.Errorf("got %s, want %s", got, want)
	}
	g, err := strconv.ParseFloat(got, 64)
	if err != nil {
		return fmt.Errorf("got %q, want %s", got, want)
	}
	w, _ := want.Float64()
	if diff := math.Abs(g - w); diff > 1e-9*math.Abs(w) && diff > 1e-12 {
		return fmt.Errorf("got %s, want %s", got, want)
	}
	return nil
}
