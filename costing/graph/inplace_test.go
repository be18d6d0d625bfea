package graph_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/graphtest"
)

func inPlace(unit string) graph.Override {
	return graph.Override{Number: bom.Whole(9), Unit: unit, Reason: "timed", Since: "2026-05-04", Path: "overrides[0].value"}
}

// TestOverrideSaysWhatItIs: the number has the key, label and thing of the figure,
// a source with reason and day, and a note; the figure itself stays.
func TestOverrideSaysWhatItIs(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	b.Override("op/time", inPlace("min"))
	s := b.Root().In("op").Of("plate").By("M3").From(graph.Source{Where: "part A", Path: "parts[0]"})
	a := input(s, "a", graph.Minute)
	id := s.Add("time", "cutting time", a, a)
	if s.Lookup("op/time") != id {
		t.Error("the key leads elsewhere")
	}
	g := graphtest.Built(t, b)
	n := g.Node(id)
	want := graph.Source{Where: graph.InPlace, Path: "overrides[0].value", Cite: "timed, since 2026-05-04"}
	if n.Kind != graph.Input || n.Source != want || n.Label != "cutting time" || n.Of != "plate" || n.Unit != graph.Minute || n.Formula != "" {
		t.Errorf("the number is %+v", n)
	}
	computed, ok := g.Computed("op/time")
	if c := g.Node(computed); !ok || c.Key != "op/time/computed" || c.Formula != "M3" || c.Source.Where != "part A" || c.Op != graph.Add {
		t.Errorf("the computed figure is %+v", c)
	}
	if _, ok := g.Computed("op/a"); ok {
		t.Error("an input passes for an override")
	}
	found := g.Findings()
	if len(found) != 1 || found[0].Severity != graph.Note || found[0].Key != "op/time" || found[0].Path != "overrides[0].value" ||
		found[0].Message != "cutting time of plate is entered, since 2026-05-04: timed" {
		t.Errorf("findings %+v", found)
	}
}

func TestOverrideIsRefused(t *testing.T) {
	t.Parallel()
	long := strings.Repeat("k", 195)
	for _, c := range []struct{ key, unit, words string }{
		{"a", "min", "change the input itself"},
		{"fixed/one", "", "not computed"},
		{"holds", "", "not computed"},
		{"choice", "", "not computed"},
		{"sum", "h", `in "min", not in "h"`},
		{"sum", "", `in "min", not in ""`},
		{long, "min", "too long"},
	} {
		b := graph.NewBuilder(graph.Limits{})
		b.Override(c.key, inPlace(c.unit))
		s := b.Root()
		a := input(s, "a", graph.Minute)
		s.Add("sum", "sum", a, a)
		s.Add(long, "long", a, a)
		s.Check("holds", "holds", a, graph.Equal, a)
		s.Decided("choice", "choice", graph.Plain, decimal.New(1, 0), graph.Choice{Solver: "hand"})
		s.One(graph.Plain)
		_, err := b.Build()
		var f *graph.FaultError
		if !errors.As(err, &f) || f.Kind != graph.BadOverride || f.Key != c.key || !strings.Contains(f.Detail, c.words) {
			t.Errorf("%.20s in %q: %v", c.key, c.unit, err)
		}
	}
}

// TestOverrideOfWhatIsNotBuilt changes nothing.
func TestOverrideOfWhatIsNotBuilt(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	b.Override("nothing", inPlace(""))
	input(b.Root(), "a", graph.Minute)
	g, err := b.Build()
	if err != nil || g.Len() != 1 || len(g.Findings()) != 0 {
		t.Errorf("%d figures, %v, %v", g.Len(), g.Findings(), err)
	}
}

// TestOverrideOfWhatIsNotThere: where a figure cannot be, as what it is of is missing,
// no number stands in its place, and the figure takes it once it is there.
func TestOverrideOfWhatIsNotThere(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	b.Override("time", inPlace("min"))
	s := b.Root()
	a := input(s, "a", graph.Minute)
	if id := s.Add("time", "cutting time", a, graph.None); id != graph.None {
		t.Errorf("a figure of nothing is %d", id)
	}
	id := s.Add("time", "cutting time", a, a)
	if g := graphtest.Built(t, b); g.Node(id).Value.String() != "9" {
		t.Errorf("the number in place is lost: %+v", g.Node(id))
	}
}

func TestOr(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		ids  []graph.ID
		want graph.ID
	}{{nil, graph.None}, {[]graph.ID{graph.None, graph.None}, graph.None}, {[]graph.ID{graph.None, 3, 4}, 3}, {[]graph.ID{graph.Failed, 3}, graph.Failed}} {
		if got := graph.Or(c.ids...); got != c.want {
			t.Errorf("the first of %v is %d", c.ids, got)
		}
	}
}
