package compare

import (
	"reflect"
	"testing"

	"kerfbook/costing/graph"
)

var euro = graph.Currency("EUR")

// rules are limits that lead to each of the rules, for two inputs or more.
func rules() map[Rule]limits {
	return map[Rule]limits{Shapley: few(12), AumannShapley: few(1)}
}

func TestEqualInputsGetEqualShares(t *testing.T) {
	t.Parallel()
	side := built(t, func(s graph.Scope) {
		a, b := s.Input("a", "a", graph.Plain, dec("3")), s.Input("b", "b", graph.Plain, dec("3"))
		s.Multiply("headline", "cost", s.Input("base", "base", euro, dec("2")), a, b, s.Add("sum", "sum", a, b))
	})
	for rule, o := range rules() {
		r := compared(t, side, side.at(t, "a", "5", "b", "5"), o)
		// 2 × 25 × 10 − 2 × 9 × 6 = 392
		wantShares(t, r, "1e-10", "a", "196", "b", "196")
		if r.Method.Rule != rule {
			t.Errorf("%s was asked for, %s came", rule, r.Method.Rule)
		}
	}
}

func TestInputWithoutEffectGetsNothing(t *testing.T) {
	t.Parallel()
	side := built(t, func(s graph.Scope) {
		idle := s.Input("idle", "price of the other offer", euro, dec("90"))
		one, two := s.Input("price", "price", euro, dec("3")), s.Input("fee", "fee", euro, dec("1.10"))
		s.Minimum("headline", "cost", s.Add("first", "first offer", one, two), idle)
	})
	for rule, o := range rules() {
		r := compared(t, side, side.at(t, "idle", "91", "price", "4", "fee", "1.25"), o)
		if got := amounts(r)["idle"]; len(r.Shares) != 3 || !got.IsZero() {
			t.Errorf("%s: %d shares, idle gets %s", rule, len(r.Shares), got)
		}
	}
}

func TestLinearIsExact(t *testing.T) {
	t.Parallel()
	side := built(t, func(s graph.Scope) {
		s.SumProducts("headline", "cost",
			s.Input("a", "a", euro, dec("10.10")), s.Input("fa", "factor", graph.Plain, dec("0.7")),
			s.Input("b", "b", euro, dec("20.20")), s.Input("fb", "factor", graph.Plain, dec("-1.3")),
			s.Input("c", "c", euro, dec("30.30")), s.Input("fc", "factor", graph.Plain, dec("12.345")))
	})
	for rule, o := range rules() {
		r := compared(t, side, side.at(t, "a", "11.13", "b", "19.07", "c", "30.31"), o)
		tolerance := "0"
		if rule == AumannShapley {
			tolerance = "1e-12"
		}
		wantShares(t, r, tolerance, "a", "0.721", "b", "1.469", "c", "0.12345")
	}
}

// TestOrderOfBuildingDoesNotMatter writes the same figures in another order.
func TestOrderOfBuildingDoesNotMatter(t *testing.T) {
	t.Parallel()
	write := func(turned bool) Side {
		return built(t, func(s graph.Scope) {
			names := []string{"a", "b", "c"}
			if turned {
				names = []string{"c", "a", "b"}
			}
			var factors []graph.ID
			for _, n := range names {
				factors = append(factors, s.Input(n, n, graph.Plain, dec("1.5")))
			}
			up := s.Whole("up", "up", s.Multiply("product", "product", factors...))
			s.Multiply("headline", "cost", s.Input("price", "price", euro, dec("7")), up)
		})
	}
	for rule, o := range rules() {
		pins := []string{"a", "2.25", "b", "3", "c", "1.75", "price", "6.5"}
		plain, turned := write(false), write(true)
		first, second := compared(t, plain, plain.at(t, pins...), o), compared(t, turned, turned.at(t, pins...), o)
		crossed := compared(t, plain, turned.at(t, pins...), o)
		if !reflect.DeepEqual(first.Shares, second.Shares) || !reflect.DeepEqual(first.Shares, crossed.Shares) || !crossed.Alike {
			t.Errorf("%s: %v, %v and %v", rule, amounts(first), amounts(second), amounts(crossed))
		}
		if again := compared(t, plain, plain.at(t, pins...), o); !reflect.DeepEqual(first, again) {
			t.Errorf("%s: the second run differs", rule)
		}
	}
}

// TestStepsAreSharedBySpeed: a whole number of boxes that two quantities fill, one
// three times as fast as the other, so that it accounts for three boxes in four.
func TestStepsAreSharedBySpeed(t *testing.T) {
	t.Parallel()
	side := built(t, func(s graph.Scope) {
		a, b := s.Input("a", "a", graph.Plain, dec("0.1")), s.Input("b", "b", graph.Plain, dec("0.1"))
		boxes := s.Whole("boxes", "boxes", s.Add("fill", "fill", a, b))
		s.Multiply("headline", "cost", boxes, s.Input("price", "price", euro, dec("10")))
	})
	r := compared(t, side, side.at(t, "a", "6.1", "b", "2.1"), few(1))
	if !r.Difference.Equal(dec("80")) || !r.Method.Settled {
		t.Errorf("difference %s, method %+v", r.Difference, r.Method)
	}
	wantShares(t, r, "0.5", "a", "60", "b", "20")
}
