package graphtest

import (
	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

var (
	subtract = binary(graph.Scope.Subtract)
	divide   = binary(graph.Scope.Divide)
)

func arithmeticCases() []Case {
	rows := []row{
		{"add/one", graph.Scope.Add, []string{"2.50"}, "2.5"},
		{"add/tenths", graph.Scope.Add, []string{"0.1", "0.2"}, "0.3"},
		{"add/many", graph.Scope.Add, []string{"1", "20", "300", "-0.5", "0.25"}, "320.75"},
		{"add/to-zero", graph.Scope.Add, []string{"1.5", "-1.5"}, "0"},
		{"add/undefined", graph.Scope.Add, []string{"1", Undefined, "2"}, Undefined},
		{"multiply/one", graph.Scope.Multiply, []string{"-7"}, "-7"},
		{"multiply/tenth", graph.Scope.Multiply, []string{"0.1", "3"}, "0.3"},
		{"multiply/many", graph.Scope.Multiply, []string{"1.19", "139.90", "12", "0.5"}, "998.886"},
		{"multiply/signs", graph.Scope.Multiply, []string{"-2", "-3", "-4"}, "-24"},
		{"multiply/zero", graph.Scope.Multiply, []string{"0", "-3.25"}, "0"},
		{"multiply/zero-by-undefined", graph.Scope.Multiply, []string{"0", Undefined}, Undefined},
		{"subtract/below-zero", subtract, []string{"1.00", "2.345"}, "-1.345"},
		{"subtract/negative", subtract, []string{"-1", "-1"}, "0"},
		{"subtract/undefined", subtract, []string{Undefined, "1"}, Undefined},
		{"divide/whole", divide, []string{"84", "7"}, "12"},
		{"divide/eighth", divide, []string{"1", "8"}, "0.125"},
		{"divide/third", divide, []string{"1", "3"}, "0.3333333333333333333333333333333333"},
		{"divide/two-thirds", divide, []string{"2", "3"}, "0.6666666666666666666666666666666667"},
		{"divide/negative", divide, []string{"-7", "2"}, "-3.5"},
		{"divide/small", divide, []string{"0.000001", "7"}, "0.0000001428571428571428571428571428571429"},
		{"divide/nothing", divide, []string{"0", "5"}, "0"},
		{"divide/by-zero", divide, []string{"5", "0"}, Undefined},
		{"divide/zero-by-zero", divide, []string{"0", "0.00"}, Undefined},
		{"sum-products/one-pair", graph.Scope.SumProducts, []string{"3", "0.25"}, "0.75"},
		{"sum-products/three-pairs", graph.Scope.SumProducts, []string{"2", "1.5", "-4", "0.25", "10", "0.1"}, "3"},
		{"sum-products/undefined", graph.Scope.SumProducts, []string{"2", "1.5", "0", Undefined}, Undefined},
		{"minimum/one", graph.Scope.Minimum, []string{"4"}, "4"},
		{"minimum/signs", graph.Scope.Minimum, []string{"3", "-2", "0", "-1.999"}, "-2"},
		{"minimum/not-snapped", graph.Scope.Minimum, []string{"1.00000000002", "1.00000000001"}, "1.00000000001"},
		{"minimum/undefined", graph.Scope.Minimum, []string{"1", Undefined}, Undefined},
		{"maximum/signs", graph.Scope.Maximum, []string{"-3", "-2", "-2.5"}, "-2"},
		{"maximum/not-snapped", graph.Scope.Maximum, []string{"1.00000000001", "1.00000000002"}, "1.00000000002"},
		{"maximum/undefined", graph.Scope.Maximum, []string{Undefined, "1"}, Undefined},
	}
	return append(cases("arithmetic", false, rows), rangeCase(), thirdOfThree())
}

// rangeCase is evaluated at the likely value, which need not be in the middle.
func rangeCase() Case {
	return Case{Name: "range/likely", Want: []string{"12"}, Build: func(s graph.Scope) []graph.ID {
		return []graph.ID{s.Range("r", "estimated", graph.Minute,
			decimal.New(10, 0), decimal.New(12, 0), decimal.New(20, 0))}
	}}
}

// thirdOfThree loses a unit of the last place, and keeps it lost: nothing but a
// snap may hide a rounding.
func thirdOfThree() Case {
	return Case{Name: "arithmetic/third-times-three", Precise: true,
		Want: []string{"0.9999999999999999999999999999999999"},
		Build: func(s graph.Scope) []graph.ID {
			a := numbers(s, "1", "3")
			return []graph.ID{s.Multiply("out", "three thirds", s.Divide("third", "a third", a[0], a[1]), a[1])}
		}}
}

const (
	allNines = "9999999999999999999999999999999999" // 34 digits
	even34   = "1000000000000000000000000000000000" // 34 digits, last even
	odd34    = "1000000000000000000000000000000001" // 34 digits, last odd
)

// roundingCases hold the one rounding, half even, of the 35th digit.
func roundingCases() []Case {
	return cases("rounding", true, []row{
		{"add/tie-to-even-down", graph.Scope.Add, []string{even34, "0.5"}, even34},
		{"add/tie-to-even-up", graph.Scope.Add, []string{odd34, "0.5"}, "1000000000000000000000000000000002"},
		{"add/above-tie", graph.Scope.Add, []string{even34, "0.5000000000000000000000000000000001"}, odd34},
		{"add/far-below", graph.Scope.Add, []string{even34, "0.000000000000000000000000000000000000001"}, even34},
		{"add/carry", graph.Scope.Add, []string{allNines, "0.5"}, "10000000000000000000000000000000000"},
		{"add/once", graph.Scope.Add, []string{even34, "0.5", "0.0000001"}, odd34},
		{"add/once-cancelling", graph.Scope.Add, []string{even34, "0.25", "-" + even34}, "0.25"},
		{"subtract/tie", subtract, []string{"-" + odd34, "0.5"}, "-1000000000000000000000000000000002"},
		{"subtract/cancel", subtract, []string{"1.000000000000000000000000000000001", "1"}, "0.000000000000000000000000000000001"},
		{"multiply/still-exact", graph.Scope.Multiply, []string{odd34, "0.5", "1"}, "500000000000000000000000000000000.5"},
		{"multiply/tie-up", graph.Scope.Multiply, []string{"3000000000000000000000000000000001", "0.5", "3"}, "4500000000000000000000000000000002"},
		{"multiply/tie-even", graph.Scope.Multiply, []string{"2000000000000000000000000000000001", "2.5"}, "5000000000000000000000000000000002"},
		{"multiply/carry", graph.Scope.Multiply, []string{"999999999999999999", "1000000000000000001"}, "1000000000000000000000000000000000000"},
		{"multiply/once", graph.Scope.Multiply, []string{allNines, allNines, "0.0000000000000000000000000000000001"}, "9999999999999999999999999999999998"},
		{"divide/tie", divide, []string{"2000000000000000000000000000000005", "2"}, "1000000000000000000000000000000002"},
		{"divide/tie-odd", divide, []string{"2000000000000000000000000000000007", "2"}, "1000000000000000000000000000000004"},
		{"divide/by-nines", divide, []string{"1", allNines}, "0.0000000000000000000000000000000001"},
		{"sum-products/once", graph.Scope.SumProducts, []string{even34, "1", "0.5", "1", "0.001", "0.001"}, odd34},
		{"sum-products/cancel", graph.Scope.SumProducts, []string{"1.0000000000000001", "1.0000000000000001", "-1", "1"}, "0.00000000000000020000000000000001"},
	})
}

// extremeCases reach the ends of the range of values, where digits no longer
// overlap.
func extremeCases() []Case {
	const large = "1000000000000000000000000000000"  // 10^30
	const small = "0.000000000000000000000000000001" // 10^-30
	return cases("extreme", true, []row{
		{"multiply/largest", graph.Scope.Multiply, []string{large, large},
			"1000000000000000000000000000000000000000000000000000000000000"},
		{"multiply/smallest", graph.Scope.Multiply, []string{small, small},
			"0.000000000000000000000000000000000000000000000000000000000001"},
		{"multiply/over-and-back", graph.Scope.Multiply, []string{large, large, large, small, small}, large},
		{"sum-products/apart", graph.Scope.SumProducts, []string{large, large, small, small, "-" + large, large},
			"0.000000000000000000000000000000000000000000000000000000000001"},
		{"maximum/apart", graph.Scope.Maximum, []string{small, "-" + large}, small},
	})
}
