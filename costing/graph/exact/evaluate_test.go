package exact_test

import (
	"errors"
	"fmt"
	"sync"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
)

func dec(text string) decimal.Decimal { return decimal.RequireFromString(text) }

// build makes a graph with a scope at its root.
func build(t *testing.T, f func(s graph.Scope)) *graph.Graph {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	f(b.Root())
	g := graphtest.Built(t, b)
	return g
}

func find(t *testing.T, g *graph.Graph, key string) graph.ID {
	t.Helper()
	id, ok := g.Find(key)
	if !ok {
		t.Fatalf("no node %s", key)
	}
	return id
}

// price is quantity × rate, with a fee per lot of a decided size.
func price(t *testing.T) *graph.Graph {
	return build(t, func(s graph.Scope) {
		q := s.Input("quantity", "quantity", graph.Plain, dec("15"))
		lot := s.Decided("lot", "lot size", graph.Plain, dec("5"), graph.Choice{
			Solver: "lot size", Rule: "cheapest; smallest on ties",
			Valid: []graph.Window{{Input: q, Low: dec("10"), High: dec("20")}}})
		lots := s.Divide("lots", "lots", q, lot)
		s.Multiply("fees", "fees", lots, s.Input("fee", "fee", graph.Currency("EUR"), dec("7.50")))
	})
}

func TestPins(t *testing.T) {
	t.Parallel()
	g := price(t)
	for _, c := range []struct {
		name string
		pins map[string]string
		want string // of fees
	}{
		{"none", nil, "22.5"},
		{"input", map[string]string{"quantity": "20"}, "30"},
		{"decision", map[string]string{"lot": "3"}, "37.5"},
		{"decision held outside its window", map[string]string{"quantity": "40", "lot": "5"}, "60"},
		{"computed", map[string]string{"lots": "2"}, "15"},
		{"output", map[string]string{"fees": "1.25"}, "1.25"},
		{"no lots", map[string]string{"lot": "0"}, graphtest.Undefined},
		{"measured where undefined", map[string]string{"lot": "0", "lots": "4"}, "30"},
		{"34 digits", map[string]string{"lots": "0.1234567890123456789012345678901234"}, "0.9259259175925925917592592591759255"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			pins := exact.Pins{}
			for key, v := range c.pins {
				pins[find(t, g, key)] = dec(v)
			}
			v, err := exact.Evaluate(g, pins)
			if err != nil {
				t.Fatal(err)
			}
			got := graphtest.Undefined
			if d, ok := v.Raw(find(t, g, "fees")); ok {
				got = d.String()
			}
			if got != c.want {
				t.Errorf("fees are %s, want %s", got, c.want)
			}
		})
	}
}

func TestOutsideDecision(t *testing.T) {
	t.Parallel()
	g := price(t)
	for _, q := range []string{"9.999", "20.0000000000000000000000000000001", "-15"} {
		_, err := exact.Evaluate(g, exact.Pins{find(t, g, "quantity"): dec(q)})
		var outside *exact.OutsideDecisionError
		if !errors.As(err, &outside) {
			t.Fatalf("quantity %s: %v", q, err)
		}
		if outside.Key != "lot" || outside.Input != "quantity" || !outside.Value.Equal(dec(q)) ||
			!outside.Low.Equal(dec("10")) || !outside.High.Equal(dec("20")) {
			t.Errorf("quantity %s: %#v", q, outside)
		}
	}
}

func TestDecisionOnUndefinedInput(t *testing.T) {
	t.Parallel()
	g := build(t, func(s graph.Scope) {
		x := s.Divide("x", "x", s.One(graph.Plain), s.Zero(graph.Plain))
		s.Decided("d", "d", graph.Plain, dec("3"), graph.Choice{Valid: []graph.Window{{Input: x, Low: dec("0"), High: dec("1")}}})
	})
	v := graphtest.Evaluated(t, g)
	wantUndefined(t, g, v, "d", "x")
	if v, err := exact.Evaluate(g, exact.Pins{find(t, g, "d"): dec("3")}); err != nil || !v.Defined(find(t, g, "d")) {
		t.Errorf("a pinned decision is not held: %v", err)
	}
}

func wantUndefined(t *testing.T, g *graph.Graph, v *exact.Values, key, cause string) {
	t.Helper()
	id := find(t, g, key)
	_, err := v.Get(id)
	var undefined *exact.UndefinedError
	if !errors.As(err, &undefined) {
		t.Fatalf("%s: %v", key, err)
	}
	if undefined.Key != key || undefined.Cause != cause {
		t.Errorf("%s is undefined because of %s, want %s", undefined.Key, undefined.Cause, cause)
	}
	if _, ok := v.Raw(id); ok || v.Defined(id) {
		t.Errorf("%s has a value", key)
	}
}

func TestUndefinedNamesItsCause(t *testing.T) {
	t.Parallel()
	g := build(t, func(s graph.Scope) {
		n := s.Input("n", "n", graph.Plain, dec("-4"))
		zero := s.Input("zero", "zero", graph.Plain, dec("0"))
		root := s.SquareRoot("root", "root", n)
		over := s.Divide("over", "over", n, zero)
		s.Add("sum", "sum", n, over, root)
		s.Choose("choice", "choice", n, graph.Less, zero, root, n)
		s.At("at", "at", n, n, n)
		s.Band("band", "band", graph.Axis{X: n, Bands: graph.Bands{HasLow: true}, Low: zero}, n)
		s.Multiply("product", "product", s.Multiply("square", "square", over, over), n)
	})
	v := graphtest.Evaluated(t, g)
	for key, cause := range map[string]string{"root": "root", "sum": "over", "choice": "root", "at": "at",
		"band": "band", "product": "over"} {
		wantUndefined(t, g, v, key, cause)
	}
}

func TestRange(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, a, b string
		op         func(s graph.Scope, name, label string, a, b graph.ID) graph.ID
		ok         bool
	}{
		{"largest", "1e30", "1e30", two(graph.Scope.Multiply), true},
		{"too large", "1e30", "1.0000000001e30", two(graph.Scope.Multiply), false},
		{"far too large", "-9e59", "9e59", two(graph.Scope.Multiply), false},
		{"sum too large", "9e59", "1.1e59", two(graph.Scope.Add), false},
		{"smallest", "1e-30", "1e-30", two(graph.Scope.Multiply), true},
		{"too small", "1e-30", "0.99e-30", two(graph.Scope.Multiply), false},
		{"quotient", "1e-30", "1.01e30", graph.Scope.Divide, false},
		{"input", "1.1e60", "1", two(graph.Scope.Add), false},
		{"zero with a wild exponent", "0e900", "1", two(graph.Scope.Add), true},
		{"power", "10", "60", graph.Scope.Power, true},
		{"power too large", "10", "60.01", graph.Scope.Power, false},
		{"whole power too large", "1e60", "100", graph.Scope.Power, false},
		{"power too small", "1e-60", "99.5", graph.Scope.Power, false},
		{"negative power too small", "7", "-100", graph.Scope.Power, false},
		{"negative power", "7", "-70", graph.Scope.Power, true},
		{"stepped", "1e60", "1e-60", graph.Scope.Ceiling, true},
		{"stepped up", "1e-60", "1e60", graph.Scope.Ceiling, true}, // snaps to no step
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			g := build(t, func(s graph.Scope) {
				a, b := s.Input("a", "a", graph.Plain, dec(c.a)), s.Input("b", "b", graph.Plain, dec(c.b))
				c.op(s, "out", "out", a, b)
			})
			_, err := exact.Evaluate(g, nil)
			var outside *exact.RangeError
			switch {
			case c.ok && err != nil:
				t.Error(err)
			case !c.ok && !errors.As(err, &outside):
				t.Errorf("no range error but %v", err)
			case !c.ok && outside.Key != "out" && c.name != "input":
				t.Errorf("the error names %s", outside.Key)
			}
		})
	}
}

func TestBadPins(t *testing.T) {
	t.Parallel()
	g := price(t)
	for name, pins := range map[string]exact.Pins{
		"no such node": {99: dec("1")},
		"none":         {graph.None: dec("1")},
		"too long":     {0: dec("1.2345678901234567890123456789012345")},
	} {
		_, err := exact.Evaluate(g, pins)
		if bad := (*exact.PinError)(nil); !errors.As(err, &bad) {
			t.Errorf("%s: %v", name, err)
		}
	}
	_, err := exact.Evaluate(g, exact.Pins{0: decimal.New(1, 2_000_000_000)})
	if bad := (*exact.RangeError)(nil); !errors.As(err, &bad) || bad.Key != "quantity" {
		t.Errorf("wild exponent: %v", err)
	}
}

func TestNoSuchNode(t *testing.T) {
	t.Parallel()
	g := build(t, func(graph.Scope) {})
	v := graphtest.Evaluated(t, g)
	for _, id := range []graph.ID{graph.None, 0, 7} {
		_, err := v.Get(id)
		if missing := (*exact.NoNodeError)(nil); !errors.As(err, &missing) || v.Defined(id) {
			t.Errorf("node %d: %v", id, err)
		}
	}
}

// TestEvaluatorIsShared evaluates one graph from several goroutines; results do
// not depend on one another.
func TestEvaluatorIsShared(t *testing.T) {
	t.Parallel()
	g := price(t)
	e := exact.New(g)
	q, fees := find(t, g, "quantity"), find(t, g, "fees")
	var wait sync.WaitGroup
	for n := range int64(8) {
		wait.Go(func() {
			for i := range int64(50) {
				quantity := 10 + (n+i)%11
				v, err := e.Evaluate(exact.Pins{q: decimal.New(quantity, 0)})
				if err != nil {
					t.Error(err)
					return
				}
				if d, err := v.Get(fees); err != nil || !d.Equal(decimal.New(quantity*15, -1)) {
					t.Errorf("fees of %d are %s, %v", quantity, d, err)
				}
			}
		})
	}
	wait.Wait()
}

// TestErrorsAreReadable keeps the messages free of anything but keys and numbers.
func TestErrorsAreReadable(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		err  error
		want string
	}{
		{&exact.RangeError{Key: "a"}, "a is too large or too small to be computed"},
		{&exact.UndefinedError{Key: "a", Cause: "a"}, "a has no value"},
		{&exact.UndefinedError{Key: "a", Cause: "b"}, "a has no value, because b has none"},
		{&exact.OutsideDecisionError{Key: "a", Input: "b", Value: dec("3"), Low: dec("1"), High: dec("2")},
			"decision a holds for b from 1 to 2, not for 3"},
		{&exact.PinError{ID: 4, Key: "a", Detail: "more than 34 digits"}, "pin of figure 4 a: more than 34 digits"},
		{&exact.NoNodeError{ID: 4}, "there is no figure 4"},
	} {
		if got := fmt.Sprint(c.err); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// FuzzEvaluate evaluates random graphs with one figure pinned: no panic, no error
// but the typed ones, the same result twice.
func FuzzEvaluate(f *testing.F) {
	f.Add(uint64(1), uint16(60), int32(3), int64(0), int8(0))
	f.Add(uint64(2), uint16(200), int32(150), int64(-7), int8(58))
	f.Add(uint64(3), uint16(200), int32(-1), int64(5), int8(-60))
	f.Fuzz(func(t *testing.T, seed uint64, size uint16, id int32, c int64, exp int8) {
		g := graphtest.Random(seed, int(size%300))
		pins := exact.Pins{graph.ID(id): decimal.New(c, int32(exp))}
		v, err := exact.Evaluate(g, pins)
		w, again := exact.Evaluate(g, pins)
		if fmt.Sprint(err) != fmt.Sprint(again) {
			t.Fatalf("%v, then %v", err, again)
		}
		if err != nil {
			wantTyped(t, err)
			return
		}
		for i := range graph.ID(g.Len()) {
			a, errA := v.Get(i)
			b, errB := w.Get(i)
			if !a.Equal(b) || (errA == nil) != (errB == nil) {
				t.Fatalf("%s is %v (%v), then %v (%v)", g.Node(i).Key, a, errA, b, errB)
			}
			if a.NumDigits() > 34 {
				t.Fatalf("%s has %d digits", g.Node(i).Key, a.NumDigits())
			}
		}
	})
}

func wantTyped(t *testing.T, err error) {
	t.Helper()
	var outside *exact.RangeError
	var decision *exact.OutsideDecisionError
	var pin *exact.PinError
	if !errors.As(err, &outside) && !errors.As(err, &decision) && !errors.As(err, &pin) {
		t.Fatalf("an error of no known type: %v", err)
	}
}
