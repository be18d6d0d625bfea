package graph_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/graphtest"
)

func dec(text string) decimal.Decimal { return decimal.RequireFromString(text) }

func input(s graph.Scope, name string, unit graph.Unit) graph.ID {
	return s.Input(name, name, unit, dec("2"))
}

// faults builds and gives what was wrong, in order.
func faults(t *testing.T, b *graph.Builder) []*graph.FaultError {
	t.Helper()
	_, err := b.Build()
	if err == nil {
		return nil
	}
	joined, ok := err.(interface{ Unwrap() []error })
	if !ok {
		t.Fatalf("not joined errors: %v", err)
	}
	var out []*graph.FaultError
	for _, e := range joined.Unwrap() {
		var fault *graph.FaultError
		if !errors.As(e, &fault) {
			t.Fatalf("not a fault: %v", e)
		}
		out = append(out, fault)
	}
	return out
}

func TestKeys(t *testing.T) {
	t.Parallel()
	for key, ok := range map[string]bool{
		"a": true, "part/EMB-010/op/30/run-time": true, "a.b_c-1": true,
		"": false, "/a": false, "a/": false, "a//b": false, "a b": false, "ä": false, "a\x00": false, "a\xff": false,
		strings.Repeat("k", 200): true, strings.Repeat("k", 201): false,
	} {
		b := graph.NewBuilder(graph.Limits{})
		input(b.Root(), key, graph.Plain)
		found := faults(t, b)
		if ok != (len(found) == 0) || !ok && found[0].Kind != graph.BadKey {
			t.Errorf("key %q: %v", key, found)
		}
	}
}

// TestFaultsAreCollected: one fault each, and nothing for what rests on a fault.
func TestFaultsAreCollected(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root().In("part", "A")
	a := input(s, "a", graph.Mm)
	input(s, "a", graph.Mm)
	bad := s.Add("bad", "bad", a, input(s, "b", graph.Gram))
	s.Multiply("on-bad", "on bad", bad, a)
	s.Whole("whole-of-bad", "whole of bad", bad)
	s.Convert("converted-bad", "bad", bad, graph.Mm, graph.Cm)
	s.Decided("decided-on-bad", "d", graph.Plain, dec("1"), graph.Choice{Valid: []graph.Window{{Input: bad}}})
	input(s, "not a key", graph.Plain)
	s.Add("foreign", "foreign", a, 4711)
	s.Decided("foreign-input", "d", graph.Plain, dec("1"), graph.Choice{Valid: []graph.Window{{Input: 99}}})
	s.Decided("no-window", "d", graph.Plain, dec("1"), graph.Choice{Valid: []graph.Window{{Input: a, Low: dec("2"), High: dec("1")}}})
	want := []string{"part/A/a", "part/A/bad", "part/A/not a key", "part/A/foreign", "part/A/foreign-input", "part/A/no-window"}
	kinds := []graph.FaultKind{graph.DuplicateKey, graph.BadUnit, graph.BadKey, graph.BadArguments, graph.BadArguments, graph.BadArguments}
	found := faults(t, b)
	if len(found) != len(want) {
		t.Fatalf("%d faults, want %d: %v", len(found), len(want), found)
	}
	for i, f := range found {
		if f.Key != want[i] || f.Kind != kinds[i] || !strings.HasPrefix(f.Error(), "node "+want[i]+": ") {
			t.Errorf("fault %d is %v (%d)", i, f, f.Kind)
		}
	}
}

// TestComputedAgain: whoever computes a figure of the same figures shares it; another under
// its key is a fault.
func TestComputedAgain(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	b.Override("part/A/sum", graph.Override{Number: bom.Whole(5), Unit: "mm", Reason: "measured", Since: "2026-01-01"})
	s := b.Root().In("part", "A")
	x, y := input(s, "x", graph.Mm), input(s, "y", graph.Mm)
	for _, write := range []func() graph.ID{
		func() graph.ID { return s.Add("both", "both", x, y) },
		func() graph.ID { return s.Choose("either", "either", x, graph.Less, y, x, y) },
		func() graph.ID {
			return s.Convert("area-cm", "area", s.Multiply("area", "area", x, y), graph.Mm, graph.Cm)
		},
		func() graph.ID { return s.Add("sum", "sum that a number stands in the place of", x, y) },
	} {
		if first, again := write(), write(); first < 0 || first != again {
			t.Errorf("%d, then %d", first, again)
		}
	}
	s.Add("both", "of others", y, x)
	s.Subtract("both", "otherwise", x, y)
	s.Choose("either", "either", x, graph.Greater, y, x, y)
	if found := faults(t, b); len(found) != 3 {
		t.Errorf("%v, want a fault of each figure that is another under a key", found)
	}
}

func TestLimits(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{MaxNodes: 3})
	s := b.Root()
	for i := range 10 {
		input(s, fmt.Sprint(i), graph.Plain)
	}
	found := faults(t, b)
	if len(found) != 1 || found[0].Key != "3" || found[0].Kind != graph.TooLarge {
		t.Errorf("faults %v", found)
	}
}

func TestNumbersAreChecked(t *testing.T) {
	t.Parallel()
	long := dec("1.2345678901234567890123456789012345") // 35 digits
	for name, build := range map[string]func(s graph.Scope) graph.ID{
		"long input":    func(s graph.Scope) graph.ID { return s.Input("x", "x", graph.Mm, long) },
		"long low":      func(s graph.Scope) graph.ID { return s.Range("x", "x", graph.Mm, long, dec("2"), dec("3")) },
		"long decision": func(s graph.Scope) graph.ID { return s.Decided("x", "x", graph.Mm, long, graph.Choice{}) },
		"huge exponent": func(s graph.Scope) graph.ID { return s.Input("x", "x", graph.Mm, decimal.New(1, 2_000_000_000)) },
		"huge range": func(s graph.Scope) graph.ID {
			return s.Range("x", "x", graph.Mm, dec("0"), dec("1"), decimal.New(1, 999_999_999))
		},
		"shape without deviation": func(s graph.Scope) graph.ID {
			return s.Estimate("x", "x", graph.Mm, bom.Number{Low: dec("1"), Likely: dec("2"), High: dec("3"), IsRange: true, Shape: bom.Normal})
		},
		"low above likely": func(s graph.Scope) graph.ID { return s.Range("x", "x", graph.Mm, dec("2"), dec("1"), dec("3")) },
		"likely above high": func(s graph.Scope) graph.ID {
			return s.Range("x", "x", graph.Mm, dec("1"), dec("4"), dec("3"))
		},
		"one name for two fixed numbers": func(s graph.Scope) graph.ID {
			s.Fixed("step", "step", graph.Mm, dec("0.05"), "")
			return s.Fixed("step", "step", graph.Mm, dec("0.01"), "")
		},
		"one name for two fixed units": func(s graph.Scope) graph.ID {
			s.Fixed("step", "step", graph.Mm, dec("0.05"), "")
			return s.Fixed("step", "step", graph.Cm, dec("0.05"), "")
		},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			b := graph.NewBuilder(graph.Limits{})
			if id := build(b.Root()); id != graph.Failed || len(faults(t, b)) != 1 {
				t.Errorf("node %d, faults %v", id, faults(t, b))
			}
		})
	}
}

func TestBuiltGraph(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	src := graph.Source{Where: "part A rev 1", Path: "parts[0].length_mm"}
	s := b.Root().In("part", "A").From(src).By("S1")
	args := []graph.ID{input(s, "a", graph.Mm), input(s, "b", graph.Mm)}
	total := s.Add("sum", "sum", args...)
	args[0] = total // the node must not see this
	s.Find(graph.Warning, "sum", "longer than the stock")
	s.Find(graph.Note, "", "no drawing")
	g := graphtest.Built(t, b)
	id, ok := g.Find("part/A/sum")
	n := g.Node(id)
	if !ok || id != total || n.Formula != "S1" || n.Source != src || n.Args[0] != 0 || n.Args[1] != 1 || g.Len() != 3 {
		t.Errorf("node %+v", n)
	}
	if g.Node(0).Formula != "" || g.Node(0).Kind != graph.Input || s.Lookup("part/A/b") != 1 || s.Lookup("nothing") != graph.None {
		t.Errorf("input %+v", g.Node(0))
	}
	want := []graph.Finding{{graph.Warning, "part/A/sum", "longer than the stock", src.Path}, {graph.Note, "part/A", "no drawing", src.Path}}
	if found := g.Findings(); len(found) != 2 || found[0] != want[0] || found[1] != want[1] {
		t.Errorf("findings %v", found)
	}
}

func TestBandArgs(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root()
	var a []graph.ID
	for i := range 12 {
		a = append(a, input(s, fmt.Sprint(i), graph.Plain))
	}
	rows := graph.Axis{X: a[0], Bands: graph.Bands{BelowClosed: []bool{true}, HasLow: true, HasHigh: true}, Low: a[1], Edges: a[2:3], High: a[3]}
	columns := graph.Axis{X: a[4], Bands: graph.Bands{BelowClosed: []bool{false, true}}, Edges: a[5:7]}
	id := s.Band2("out", "out", rows, columns, a[6:12]...)
	g := graphtest.Built(t, b)
	axes, values := g.Node(id).BandArgs()
	if len(axes) != 2 || len(values) != 6 || values[0] != a[6] || values[5] != a[11] {
		t.Fatalf("axes %v, values %v", axes, values)
	}
	r, c := axes[0], axes[1]
	if r.X != a[0] || r.Low != a[1] || len(r.Edges) != 1 || r.Edges[0] != a[2] || r.High != a[3] || c.X != a[4] || len(c.Edges) != 2 {
		t.Errorf("axes %v", axes)
	}
}

// TestEmptyGraph: one that nothing has been built into has no figure.
func TestEmptyGraph(t *testing.T) {
	t.Parallel()
	if id, ok := new(graph.Graph).Find("part/A/need"); ok {
		t.Errorf("it has figure %d", id)
	}
}
