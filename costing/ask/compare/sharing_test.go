package compare

import (
	"context"
	"errors"
	"maps"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// TestDecisionIsAnInput: a solver chose another of two prices, and one price
// changed. The least of two offers is computed, so it is none.
func TestDecisionIsAnInput(t *testing.T) {
	t.Parallel()
	write := func(chosen, price string) Side {
		return built(t, func(s graph.Scope) {
			a, b := s.Input("a", "price of the small sheet", euro, dec("30")), s.Input("b", "price of the large sheet", euro, dec(price))
			layout := s.Decided("layout", "layout", graph.Plain, dec(chosen),
				graph.Choice{Solver: "sheet layout", Rule: "least cost", Options: []string{"small", "large"}})
			best := s.Least("best", "cheapest", a, b)
			s.Add("headline", "cost", s.At("sheet", "sheet", layout, a, b), s.At("cheapest", "cheapest", best, a, b))
		})
	}
	for rule, o := range rules() {
		r := compared(t, write("1", "24"), write("2", "28"), o)
		// Before 30 + 24, after 28 + 28. By Shapley the choice brings −6 or −2, the
		// price of the large sheet 4 or 8: −4 and 6. Half-way the price is 26, so the
		// choice brings −4, and the price 4 on the whole way and 2 on the second half.
		if r.Method.Rule != rule || len(r.Shares) != 2 {
			t.Fatalf("%s: %d shares", r.Method.Rule, len(r.Shares))
		}
		wantShares(t, r, "0.02", "layout", "-4", "b", "6")
		for _, s := range r.Shares {
			if decided := s.After.Key == "layout"; decided != (s.Kind == OfDecision) || decided && (s.Before.Chosen != "small" || s.After.Chosen != "large") {
				t.Errorf("share %+v", s)
			}
		}
	}
}

// TestOtherStructureKeepsItsLines: one sum has a term more, another one is the same
// on both sides.
func TestOtherStructureKeepsItsLines(t *testing.T) {
	t.Parallel()
	write := func(further bool, price string) Side {
		return built(t, func(s graph.Scope) {
			quantity := s.Input("quantity", "quantity", graph.Plain, dec("4"))
			terms := []graph.ID{
				s.Multiply("stock", "stock", quantity, s.Input("price", "price", euro, dec(price))),
				s.Multiply("machine", "machine time", quantity, s.Input("rate", "rate", euro, dec("2"))),
			}
			if further {
				terms = append(terms, s.Multiply("plating", "plating", quantity, s.Input("lot", "lot charge", euro, dec("1.5"))))
				terms[1] = s.Divide("machine-yield", "machine time for good ones", terms[1], s.Input("yield", "yield", graph.Plain, dec("0.8")))
			}
			s.Add("headline", "cost", terms...)
		})
	}
	before, after := write(false, "10"), write(true, "10.25")
	r := compared(t, before, after.at(t, "quantity", "6"), everyday)
	// 4 × 10 + 4 × 2 becomes 6 × 10.25 + 6 × 2 ÷ 0.8 + 6 × 1.5.
	if !r.Difference.Equal(dec("37.5")) || r.Alike {
		t.Fatalf("difference %s, alike %t", r.Difference, r.Alike)
	}
	wantShares(t, r, "0", "quantity", "20.25", "price", "1.25", "machine", "-8", "machine-yield", "15", "plating", "9")
	changes := map[string]Change{}
	for _, l := range r.Lines {
		changes[l.Name.Key] = l.Change
	}
	if want := map[string]Change{"stock": Changes, "machine": Vanishes, "machine-yield": Appears, "plating": Appears}; !maps.Equal(changes, want) {
		t.Errorf("changes %v, want %v", changes, want)
	}
}

// TestNoValueHalfWay: the divisor passes zero, on the way or with one input
// changed.
func TestNoValueHalfWay(t *testing.T) {
	t.Parallel()
	side := built(t, func(s graph.Scope) {
		a, b := s.Input("a", "a", graph.Plain, dec("2")), s.Input("b", "b", graph.Plain, dec("1"))
		s.Divide("headline", "cost", s.Input("cost", "cost", euro, dec("12")), s.Subtract("less", "a − b", a, b))
	})
	// With only b changed the divisor is nothing; on the way it never is.
	if r := compared(t, side, side.at(t, "a", "4", "b", "2"), everyday); r.Method.Rule != AumannShapley || len(r.Shares) != 2 {
		t.Errorf("%s, %d shares", r.Method.Rule, len(r.Shares))
	}
	// Half-way the divisor is nothing; with only one changed it never is.
	if r := compared(t, side, side.at(t, "a", "2.5", "b", "3.5"), everyday); r.Method.Rule != Shapley || len(r.Shares) != 2 {
		t.Errorf("%s, %d shares", r.Method.Rule, len(r.Shares))
	}
	r := compared(t, side, side.at(t, "a", "2.5", "b", "3.5", "cost", "13"), few(2))
	if r.Method.Rule != Together || len(r.Shares) != 1 || len(r.Shares[0].Inputs) != 3 || r.Method.Reason == "" {
		t.Errorf("%+v, %d shares", r.Method, len(r.Shares))
	}
}

// TestDecisionThatIsTheSame is taken as it stands between the sides, though neither side
// has taken it for what the other has.
func TestDecisionThatIsTheSame(t *testing.T) {
	t.Parallel()
	side := func(pieces, price string) Side {
		return built(t, func(s graph.Scope) {
			q := s.Input("quantity", "quantity", graph.Piece, dec(pieces))
			bars := s.Decided("bars", "bars", graph.Plain, dec("9"), graph.Choice{Valid: []graph.Window{{Input: q, Low: dec(pieces), High: dec(pieces)}}})
			each := s.Divide("each", "each", s.One(graph.Piece), q)
			s.Multiply("headline", "cost", bars, s.Input("price", "price", euro, dec(price)), each)
		})
	}
	r := compared(t, side("8", "30"), side("10", "20"), everyday)
	if r.Method.Rule != Shapley || len(r.Shares) != 2 || r.Method.Reason != "" {
		t.Errorf("%+v, %d shares", r.Method, len(r.Shares))
	}
	// By halves of both orders: 9 × 30 ÷ 8 = 33.75 becomes 9 × 20 ÷ 10 = 18.
	wantShares(t, r, "0", "price", "-10.125", "quantity", "-5.625")
}

func TestSameSides(t *testing.T) {
	t.Parallel()
	side := sideOf(estimateOf(t, demo(t), "glow"), glowCost)
	r := compared(t, side, side, everyday)
	if !r.Same || !r.Difference.IsZero() || len(r.Shares) != 0 || r.Method.Rule != NoInputs {
		t.Errorf("same %t, difference %s, %d shares", r.Same, r.Difference, len(r.Shares))
	}
	// Changes that make up for one another are not the same.
	small := built(t, func(s graph.Scope) {
		s.Add("headline", "cost", s.Input("a", "a", euro, dec("1")), s.Input("b", "b", euro, dec("2")))
	})
	if r := compared(t, small, small.at(t, "a", "2", "b", "1"), everyday); r.Same || len(r.Shares) != 2 || !r.Difference.IsZero() {
		t.Errorf("same %t, %d shares", r.Same, len(r.Shares))
	}
}

func TestRefusals(t *testing.T) {
	t.Parallel()
	side := built(t, func(s graph.Scope) {
		s.Divide("headline", "cost", s.Input("a", "a", euro, dec("1")), s.Input("b", "b", graph.Plain, dec("2")))
	})
	dollars := built(t, func(s graph.Scope) { s.Input("headline", "cost", graph.Currency("USD"), dec("1")) })
	held := built(t, func(s graph.Scope) {
		a := s.Input("a", "a", graph.Plain, dec("1"))
		s.Decided("headline", "decision", euro, dec("3"), graph.Choice{Valid: []graph.Window{{Input: a, Low: dec("0"), High: dec("2")}}})
	})
	other := side
	other.Headline = "nowhere"
	figure, evaluate := &FigureError{}, &EvaluateError{}
	outside := &exact.OutsideDecisionError{}
	for _, c := range []struct {
		name          string
		before, after Side
		want          any
		says          string
	}{
		{"missing after", side, other, &figure, "nowhere on the side after"},
		{"missing before", other, side, &figure, "on the side before"},
		{"undefined", side, side.at(t, "b", "0"), &figure, "has no value on the side after"},
		{"currencies", side, dollars, &figure, "in one currency"},
		{"decision outside", held, held.at(t, "a", "5"), &outside, "side after: decision"},
		{"evaluation", held, held.at(t, "a", "5"), &evaluate, "5"},
	} {
		_, err := Between(context.Background(), c.before, c.after)
		if !errors.As(err, c.want) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// stopping is a context that ends after having been asked a number of times.
type stopping struct {
	context.Context
	left int
}

func (c *stopping) Err() error {
	if c.left--; c.left < 0 {
		return context.Canceled
	}
	return nil
}

func TestCancelStopsSharing(t *testing.T) {
	t.Parallel()
	was, is := quoted(t), quoted(t, changedBook...)
	for _, o := range rules() {
		for _, after := range []int{0, 1} {
			ctx := &stopping{context.Background(), after}
			if r, err := between(ctx, was, is, o); !errors.Is(err, context.Canceled) || r != nil {
				t.Errorf("stopped after %d: %v", after, err)
			}
			if ctx.left < -2 {
				t.Errorf("went on after it was stopped")
			}
		}
	}
}

func TestRound(t *testing.T) {
	t.Parallel()
	// 0.00 to 1.00 in thirds: 0.33, 0.34, 0.33.
	third := dec("0.333333333333333333333333333333333333")
	list := []decimal.Decimal{third, third, dec("1").Sub(third).Sub(third)}
	r, err := Round(decimal.Zero, list, euro, dec("0.01"))
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []struct{ amount, level, percent string }{{"0.33", "0.33", "33.3"}, {"0.34", "0.67", "33.4"}, {"0.33", "1", "33.3"}} {
		s := r.Steps[i]
		if !s.Amount.Equal(dec(want.amount)) || !s.Level.Equal(dec(want.level)) || !s.Percent.Equal(dec(want.percent)) || !s.Known {
			t.Errorf("step %d: %+v", i, s)
		}
	}
	// From 1.004 to 2.006 is 1.002, which is 1.00 alone and 1.01 between what is shown.
	for _, c := range []struct{ from, want string }{{"0", "1"}, {"1.004", "1.01"}} {
		if r, err = Round(dec(c.from), []decimal.Decimal{dec("0.501"), dec("0.501")}, euro, dec("0.01")); err != nil || !r.Difference.Equal(dec(c.want)) {
			t.Errorf("from %s the difference is %v, %v", c.from, r.Difference, err)
		}
	}
	if r, err = Round(dec("120"), []decimal.Decimal{dec("0.5"), dec("-0.5")}, graph.Currency("JPY"), dec("1")); err != nil || r.Steps[0].Known || !r.Steps[0].Amount.Equal(dec("1")) {
		t.Errorf("%+v, %v", r, err)
	}
	if r, err = Round(dec("1"), nil, euro, dec("0.01")); err != nil || !r.Difference.IsZero() || len(r.Steps) != 0 {
		t.Errorf("%+v, %v", r, err)
	}
}

func TestRanked(t *testing.T) {
	t.Parallel()
	step := func(key, amount string) Step { return Step{Name: Name{Key: key}, Amount: dec(amount), Count: 1} }
	steps := []Step{step("a", "1"), step("b", "-5"), step("c", "0"), step("d", "2"), step("e", "-2"), step("f", "0.5")}
	got := Ranked(steps, 3)
	if len(got) != 4 || got[0].Key != "b" || got[1].Key != "d" || got[2].Key != "e" || got[3].Count != 2 || !got[3].Amount.Equal(dec("1.5")) {
		t.Errorf("ranked %+v", got)
	}
	if all := Ranked(steps, 5); len(all) != 5 || all[4].Key != "f" {
		t.Errorf("ranked %+v", all)
	}
	if steps[0].Key != "a" {
		t.Error("the list itself was changed")
	}
}
