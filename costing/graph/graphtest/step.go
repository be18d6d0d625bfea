package graphtest

import (
	"kerfbook/costing/graph"
)

var (
	floor     = binary(graph.Scope.Floor)
	ceiling   = binary(graph.Scope.Ceiling)
	round     = binary(graph.Scope.Round)
	roundEven = binary(graph.Scope.RoundEven)
)

func stepCases() []Case {
	out := cases("floor", false, []row{
		{"half", floor, []string{"2.5", "1"}, "2"},
		{"whole", floor, []string{"3", "1"}, "3"},
		{"negative-half", floor, []string{"-2.5", "1"}, "-3"},
		{"negative-whole", floor, []string{"-3.00", "1"}, "-3"},
		{"zero", floor, []string{"0", "0.05"}, "0"},
		{"small-step", floor, []string{"1.09", "0.05"}, "1.05"},
		{"step-above-x", floor, []string{"7", "12"}, "0"},
		{"negative-step-above-x", floor, []string{"-7", "12"}, "-12"},
		{"snaps-up", floor, []string{"1.9999999996", "1"}, "2"},
		{"does-not-snap", floor, []string{"1.9999999994", "1"}, "1"},
		{"negative-snaps-up", floor, []string{"-2.0000000004", "1"}, "-2"},
		{"negative-does-not-snap", floor, []string{"-2.0000000006", "1"}, "-3"},
		{"zero-step", floor, []string{"2", "0"}, Undefined},
		{"negative-step", floor, []string{"2", "-1"}, Undefined},
		{"undefined-x", floor, []string{Undefined, "1"}, Undefined},
		{"undefined-step", floor, []string{"1", Undefined}, Undefined},
	})
	out = append(out, cases("ceiling", false, []row{
		{"half", ceiling, []string{"2.5", "1"}, "3"},
		{"whole", ceiling, []string{"3", "1"}, "3"},
		{"negative-half", ceiling, []string{"-2.5", "1"}, "-2"},
		{"negative-fraction", ceiling, []string{"-0.25", "1"}, "0"},
		{"small-step", ceiling, []string{"1.01", "0.05"}, "1.05"},
		{"step-above-x", ceiling, []string{"1", "12"}, "12"},
		{"exact-tenths", ceiling, []string{"0.3", "0.1"}, "0.3"},
		{"thirds-of-step", ceiling, []string{"2", "0.75"}, "2.25"},
		{"snaps-down", ceiling, []string{"2.0000000004", "1"}, "2"},
		{"does-not-snap", ceiling, []string{"2.0000000006", "1"}, "3"},
		{"quotient-is-snapped", ceiling, []string{"2000.0000004", "1000"}, "2000"},
		{"tiny-excess-of-small-step", ceiling, []string{"0.0020000000000006", "0.001"}, "0.002"},
		{"most-steps", ceiling, []string{"99999.5", "1"}, "100000"},
		{"zero-step", ceiling, []string{"2", "0"}, Undefined},
		{"negative-step", ceiling, []string{"-2", "-1"}, Undefined},
	})...)
	out = append(out, roundStepCases()...)
	return append(out, wholeCases()...)
}

func roundStepCases() []Case {
	out := cases("round", false, []row{
		{"down", round, []string{"2.4", "1"}, "2"},
		{"up", round, []string{"2.6", "1"}, "3"},
		{"half", round, []string{"2.5", "1"}, "3"},
		{"next-half", round, []string{"3.5", "1"}, "4"},
		{"negative-half", round, []string{"-2.5", "1"}, "-3"},
		{"negative-down", round, []string{"-2.4", "1"}, "-2"},
		{"cash-step", round, []string{"1.025", "0.05"}, "1.05"},
		{"cents", round, []string{"10.075", "0.01"}, "10.08"},
		{"snaps-to-half", round, []string{"2.4999999996", "1"}, "3"},
		{"does-not-snap", round, []string{"2.4999999994", "1"}, "2"},
		{"zero-step", round, []string{"2", "0"}, Undefined},
		{"negative-step", round, []string{"2", "-0.01"}, Undefined},
		{"undefined", round, []string{Undefined, "0.01"}, Undefined},
	})
	out = append(out, cases("round-even", false, []row{
		{"half-down", roundEven, []string{"2.5", "1"}, "2"},
		{"half-up", roundEven, []string{"3.5", "1"}, "4"},
		{"half-to-zero", roundEven, []string{"0.5", "1"}, "0"},
		{"above-half", roundEven, []string{"2.500000001", "1"}, "3"},
		{"negative-half", roundEven, []string{"-2.5", "1"}, "-2"},
		{"negative-next-half", roundEven, []string{"-3.5", "1"}, "-4"},
		{"below-half", roundEven, []string{"-2.4", "1"}, "-2"},
		{"cash-step", roundEven, []string{"1.025", "0.05"}, "1"},
		{"cents", roundEven, []string{"10.085", "0.01"}, "10.08"},
		{"snaps-to-half", roundEven, []string{"2.5000000004", "1"}, "2"},
		{"zero-step", roundEven, []string{"2", "0"}, Undefined},
	})...)
	// The ninth place is a tie: it goes away from zero in every operation.
	return append(out, cases("snap-tie", true, []row{
		{"ceiling", ceiling, []string{"2.0000000005", "1"}, "3"},
		{"floor", floor, []string{"1.9999999995", "1"}, "2"},
		{"negative-floor", floor, []string{"-2.0000000005", "1"}, "-3"},
		{"negative-ceiling", ceiling, []string{"-1.9999999995", "1"}, "-2"},
		{"just-below", ceiling, []string{"2.000000000499999999999999999999999", "1"}, "2"},
		{"round", round, []string{"2.4999999995", "1"}, "3"},
		{"round-even", roundEven, []string{"2.4999999995", "1"}, "2"},
		{"many-digits", floor, []string{"1234567890123456789012345678.901234", "0.01"}, "1234567890123456789012345678.9"},
	})...)
}

// wholeCases step a figure that has been through a division: what is exactly
// whole on paper stays whole.
func wholeCases() []Case {
	quotient := func(name string, step operation, a, b, times, by, want string) Case {
		return Case{Name: "whole-after-division/" + name, Want: []string{want},
			Build: func(s graph.Scope) []graph.ID {
				n := numbers(s, a, b, times, by)
				q := s.Divide("q", "quotient", n[0], n[1])
				return []graph.ID{step(s, "out", "stepped", s.Multiply("x", "product", q, n[2]), n[3])}
			}}
	}
	return []Case{
		quotient("ceiling-third", ceiling, "1", "3", "3", "1", "1"),
		quotient("floor-third", floor, "1", "3", "3", "1", "1"),
		quotient("floor-sevenths", floor, "1", "7", "49", "1", "7"),
		quotient("ceiling-elevenths", ceiling, "5", "11", "22", "1", "10"),
		quotient("ceiling-step-tenth", ceiling, "1", "3", "0.9", "0.1", "0.3"),
		quotient("round-half-of-sixths", round, "1", "6", "15", "1", "3"),
		quotient("round-even-half-of-sixths", roundEven, "1", "6", "15", "1", "2"),
		quotient("negative-floor", floor, "-1", "3", "6", "1", "-2"),
		quotient("negative-ceiling", ceiling, "-1", "3", "6", "1", "-2"),
		{Name: "whole-after-division/pieces", Want: []string{"4", "3"}, Build: func(s graph.Scope) []graph.ID {
			bars := s.Divide("bars", "bars", amount(s, "need", graph.Piece, "10"), number(s, "per-bar", "3"))
			three := s.Divide("three", "three bars", amount(s, "need9", graph.Piece, "9"), number(s, "per", "3"))
			return []graph.ID{s.Whole("whole", "whole bars", bars), s.Whole("three-whole", "whole bars", three)}
		}},
	}
}
