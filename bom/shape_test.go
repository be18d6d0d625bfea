package bom_test

import (
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

func TestShapeWords(t *testing.T) {
	t.Parallel()
	names := bom.ShapeNames()
	if len(names) != int(bom.ShapeCount) {
		t.Fatalf("%d words for %d shapes", len(names), bom.ShapeCount)
	}
	for i, name := range names {
		if shape, ok := bom.ParseShape(name); !ok || shape != bom.Shape(i) || shape.String() != name || name == "" {
			t.Errorf("%q is shape %v (%v), want %d", name, shape, ok, i)
		}
	}
	for _, text := range []string{"", "Pert", "bell", "shape 4"} {
		if shape, ok := bom.ParseShape(text); ok || shape != bom.Triangular {
			t.Errorf("%q is shape %v, %v", text, shape, ok)
		}
	}
	if got := bom.ShapeCount.String(); got != "shape 4" {
		t.Errorf("what is no shape is called %q", got)
	}
}

func TestRangeFault(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		low, likely, high string
		shape             bom.Shape
		sd                string
		field, problem    string
	}{
		{"1", "2", "3", bom.Triangular, "0", "", ""},
		{"2", "2", "2", bom.Pert, "0", "", ""},
		{"-3", "-2", "-2", bom.Uniform, "0", "", ""},
		{"1", "2", "3", bom.Normal, "0.4", "", ""},
		{"1", "1", "3", bom.Normal, "800000", "", ""}, // 400,000 widths
		{"2", "2", "2", bom.Normal, "9000000", "", ""},
		{"2.50", "2", "3", bom.Triangular, "0", "low", "low 2.50 is above likely 2"},
		{"1", "4", "3", bom.Pert, "0", "high", "high 3 is below likely 4"},
		{"1", "2", "3", bom.ShapeCount, "0", "shape", "shape 4 is not known"},
		{"1", "2", "3", bom.Pert, "0.4", "sd", "this one is pert"},
		{"1", "2", "3", bom.Normal, "0", "sd", "must be more than 0"},
		{"1", "2", "3", bom.Normal, "-1", "sd", "must be more than 0"},
		{"1", "2", "3", bom.Normal, "800000.001", "sd", "less than a millionth"},
	} {
		dec := decimal.RequireFromString
		n := bom.Number{Low: dec(c.low), Likely: dec(c.likely), High: dec(c.high), IsRange: true, Shape: c.shape, SD: dec(c.sd)}
		fault := n.Fault()
		switch {
		case fault == nil && c.field != "":
			t.Errorf("%+v: no fault, want %s", c, c.problem)
		case fault != nil && (fault.Field != c.field || !strings.Contains(fault.Problem, c.problem) || c.field == ""):
			t.Errorf("%+v: %+v", c, fault)
		}
		n.IsRange = false
		if n.Fault() != nil {
			t.Errorf("%+v: a single figure has a fault", c)
		}
	}
}
