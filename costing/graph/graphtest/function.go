package graphtest

import (
	"kerfbook/costing/graph"
)

var (
	power      = binary(graph.Scope.Power)
	squareRoot = unary(graph.Scope.SquareRoot)
	naturalLog = unary(graph.Scope.NaturalLog)
	arcCosine  = unary(graph.Scope.ArcCosine)
)

// Published digits, typed from memory and cut and rounded by hand to 34
// significant digits; a test of this package computes each again.
const (
	rootTwo   = "1.414213562373095048801688724209698"  // OEIS A002193
	rootThree = "1.732050807568877293527446341505872"  // OEIS A002194
	rootTen   = "3.162277660168379331998893544432719"  // OEIS A010467
	pi        = "3.141592653589793238462643383279503"  // OEIS A000796
	halfPi    = "1.570796326794896619231321691639751"  // OEIS A019669
	thirdPi   = "1.047197551196597746154214461093168"  // OEIS A019670
	logTwo    = "0.6931471805599453094172321214581766" // OEIS A002162
	logTen    = "2.302585092994045684017991454684364"  // OEIS A002392
)

func functionCases() []Case {
	out := cases("square-root", false, []row{
		{"two", squareRoot, []string{"2"}, rootTwo},
		{"three", squareRoot, []string{"3"}, rootThree},
		{"ten", squareRoot, []string{"10"}, rootTen},
		{"two-hundredths", squareRoot, []string{"0.02"}, "0.1414213562373095048801688724209698"},
		{"exact", squareRoot, []string{"144"}, "12"},
		{"exact-fraction", squareRoot, []string{"0.0625"}, "0.25"},
		{"exact-odd-exponent", squareRoot, []string{"0.4e1"}, "2"},
		{"exact-long", squareRoot, []string{"1.524157875019052100"}, "1.23456789"},
		{"zero", squareRoot, []string{"0"}, "0"},
		{"negative", squareRoot, []string{"-0.01"}, Undefined},
		{"undefined", squareRoot, []string{Undefined}, Undefined},
	})
	out = append(out, cases("natural-log", false, []row{
		{"one", naturalLog, []string{"1.000"}, "0"},
		{"two", naturalLog, []string{"2"}, logTwo},
		{"half", naturalLog, []string{"0.5"}, "-" + logTwo},
		{"ten", naturalLog, []string{"10"}, logTen},
		{"zero", naturalLog, []string{"0"}, Undefined},
		{"negative", naturalLog, []string{"-1"}, Undefined},
		{"undefined", naturalLog, []string{Undefined}, Undefined},
	})...)
	out = append(out, cases("arc-cosine", false, []row{
		{"one", arcCosine, []string{"1"}, "0"},
		{"half", arcCosine, []string{"0.5"}, thirdPi},
		{"zero", arcCosine, []string{"0"}, halfPi},
		{"minus-one", arcCosine, []string{"-1"}, pi},
		{"above-one", arcCosine, []string{"1.0000000001"}, Undefined},
		{"below-minus-one", arcCosine, []string{"-2"}, Undefined},
		{"undefined", arcCosine, []string{Undefined}, Undefined},
	})...)
	// Near one the functions bend: series worked by hand, ln(1+d) = d − d²/2 + …,
	// arccos(1−d) = √(2d)·(1 + d/12 + …).
	out = append(out, cases("near-one", true, []row{
		{"natural-log", naturalLog, []string{"1.000000000000000000000000000000001"},
			"0.0000000000000000000000000000000009999999999999999999999999999999995"},
		{"natural-log-tie", naturalLog, []string{"1.000000000000000000000000000000003"},
			"0.000000000000000000000000000000002999999999999999999999999999999996"},
		{"arc-cosine", arcCosine, []string{"0.99999999999999999999999999999998"}, "0.0000000000000002000000000000000000000000000000003"},
	})...)
	return append(out, powerCases()...)
}

func powerCases() []Case {
	return cases("power", false, []row{
		{"square", power, []string{"1.5", "2"}, "2.25"},
		{"zero", power, []string{"17.3", "0"}, "1"},
		{"one", power, []string{"17.3", "1"}, "17.3"},
		{"inverse", power, []string{"8", "-1"}, "0.125"},
		{"inverse-third", power, []string{"3", "-1"}, "0.3333333333333333333333333333333333"},
		{"negative-whole", power, []string{"2", "-10"}, "0.0009765625"},
		{"hundred", power, []string{"2", "100"}, "1267650600228229401496703205376"},
		{"interest", power, []string{"1.05", "4"}, "1.21550625"},
		{"root", power, []string{"2", "0.5"}, rootTwo},
		{"exact-root", power, []string{"4", "0.5"}, "2"},
		{"exact-fifth-root", power, []string{"32", "0.2"}, "2"},
		{"exact-tenth-root", power, []string{"1024", "-0.1"}, "0.5"},
		{"exact-three-halves", power, []string{"0.04", "1.5"}, "0.008"},
		{"root-of-ten", power, []string{"10", "0.50"}, rootTen},
		{"base-one", power, []string{"1", "0.3333333333333333333333333333333333"}, "1"},
		{"base-zero", power, []string{"0", "2"}, Undefined},
		{"base-negative", power, []string{"-2", "2"}, Undefined},
		{"exponent-too-large", power, []string{"1", "100.0000000001"}, Undefined},
		{"exponent-too-small", power, []string{"1", "-101"}, Undefined},
		{"undefined", power, []string{Undefined, "2"}, Undefined},
		{"undefined-exponent", power, []string{"2", Undefined}, Undefined},
	})
}
