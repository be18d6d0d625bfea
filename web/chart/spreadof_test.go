package chart

import (
	"strings"
	"testing"
)

func TestSpreadOf(t *testing.T) {
	t.Parallel()
	for _, shape := range []string{"", "triangular", "pert", "uniform", "normal"} {
		for _, likely := range []float64{4, 5, 7} {
			got, ok := NewSpreadOf(4, likely, 7, 0.5, shape)
			if !ok || !strings.HasPrefix(got.Path, "M4.0 34.0L4.0") || !strings.HasSuffix(got.Path, "L116.0 34.0Z") || strings.Contains(got.Path, "NaN") {
				t.Errorf("%s with %v: %v %s", shape, likely, ok, got.Path)
			}
			if !strings.Contains(got.Path, " 4.0L") && !strings.Contains(got.Path, " 4.1L") {
				t.Errorf("%s with %v does not reach its height: %s", shape, likely, got.Path)
			}
		}
	}
	for name, ok := range map[string]bool{
		"outside": second(NewSpreadOf(4, 8, 7, 0, "")), "one number": second(NewSpreadOf(4, 4, 4, 0, "")),
		"no deviation": second(NewSpreadOf(4, 5, 7, 0, "normal")), "no such shape": second(NewSpreadOf(4, 5, 7, 0, "square")),
	} {
		if ok {
			t.Errorf("%s is drawn", name)
		}
	}
}

func second(_ SpreadOf, ok bool) bool { return ok }
