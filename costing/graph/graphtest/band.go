package graphtest

import (
	"fmt"

	"kerfbook/costing/graph"
)

// lookup is a band lookup written as text.
type lookup struct {
	x         string
	low, high string // outer edges; "" for none
	edges     []string
	closed    []bool // per inner edge: the edge belongs to the band below
	lowIn     bool
	highIn    bool
}

func (l lookup) axis(s graph.Scope, name string) graph.Axis {
	s = s.In(name)
	a := graph.Axis{X: number(s, "x", l.x), Bands: graph.Bands{BelowClosed: l.closed,
		HasLow: l.low != "", HasHigh: l.high != "", LowClosed: l.lowIn, HighClosed: l.highIn}}
	if l.low != "" {
		a.Low = number(s, "low", l.low)
	}
	for i, e := range l.edges {
		a.Edges = append(a.Edges, number(s, fmt.Sprintf("edge%d", i+1), e))
	}
	if l.high != "" {
		a.High = number(s, "high", l.high)
	}
	return a
}

func bandCase(name, want string, l lookup, values ...string) Case {
	return Case{Name: "band/" + name, Want: []string{want}, Build: func(s graph.Scope) []graph.ID {
		return []graph.ID{s.Band("out", "looked up", l.axis(s, "axis"), numbers(s, values...)...)}
	}}
}

// bandCases look x up between the inner edges 10 and 20.
func bandCases() []Case {
	edges, values := []string{"10", "20"}, []string{"100", "200", "300"}
	var out []Case
	for _, c := range []struct {
		name, x, from, upTo string // answers with edges that open or close a band
	}{
		{"below", "9.99", "100", "100"},
		{"at-first-edge", "10", "200", "100"},
		{"between", "15", "200", "200"},
		{"at-second-edge", "20.0", "300", "200"},
		{"above", "20.01", "300", "300"},
		{"negative", "-5", "100", "100"},
		{"snaps-down-to-edge", "10.0000000004", "200", "100"},
		{"snaps-up-to-edge", "9.9999999996", "200", "100"},
		{"just-below-edge", "9.9999999994", "100", "100"},
		{"just-above-edge", "10.0000000006", "200", "200"},
		{"undefined", Undefined, Undefined, Undefined},
	} {
		out = append(out,
			bandCase("from/"+c.name, c.from, lookup{x: c.x, edges: edges, closed: []bool{false, false}}, values...),
			bandCase("up-to/"+c.name, c.upTo, lookup{x: c.x, edges: edges, closed: []bool{true, true}}, values...))
	}
	tie := bandCase("tie-to-edge", "200", lookup{x: "9.9999999995", edges: edges, closed: []bool{false, false}}, values...)
	tie.Precise = true
	return append(out, tie,
		bandCase("mixed/first", "100", lookup{x: "10", edges: edges, closed: []bool{true, false}}, values...),
		bandCase("mixed/second", "300", lookup{x: "20", edges: edges, closed: []bool{true, false}}, values...),
		bandCase("edge-is-snapped", "200", lookup{x: "10", edges: []string{"10.0000000004"}, closed: []bool{false}}, "100", "200"),
		bandCase("one-band", "7", lookup{x: "123"}, "7"),
		bandCase("value-not-selected", "100", lookup{x: "1", edges: edges, closed: []bool{true, true}}, "100", Undefined, Undefined),
		bandCase("value-selected", Undefined, lookup{x: "15", edges: edges, closed: []bool{true, true}}, "100", Undefined, "300"),
		bandCase("edge-undefined", Undefined, lookup{x: "1", edges: []string{"10", Undefined}, closed: []bool{true, true}}, values...),
	)
}

// bandEndCases look x up in a table that begins at 0 and ends at 30.
func bandEndCases() []Case {
	var out []Case
	for _, c := range []struct {
		name, x, open, closed string // answers with outer edges outside or inside
	}{
		{"below-low", "-0.01", Undefined, Undefined},
		{"at-low", "0", Undefined, "1"},
		{"snaps-to-low", "-0.0000000004", Undefined, "1"},
		{"inside", "12", "2", "2"},
		{"at-high", "30", Undefined, "2"},
		{"snaps-to-high", "30.0000000004", Undefined, "2"},
		{"above-high", "30.000000001", Undefined, Undefined},
	} {
		l := lookup{x: c.x, low: "0", high: "30", edges: []string{"10"}, closed: []bool{false}}
		out = append(out, bandCase("ends-open/"+c.name, c.open, l, "1", "2"))
		l.lowIn, l.highIn = true, true
		out = append(out, bandCase("ends-closed/"+c.name, c.closed, l, "1", "2"))
	}
	return append(out,
		bandCase("low-only", "2", lookup{x: "99", low: "0", edges: []string{"10"}, closed: []bool{false}}, "1", "2"),
		bandCase("low-only/below", Undefined, lookup{x: "-1", low: "0", edges: []string{"10"}, closed: []bool{false}}, "1", "2"),
		bandCase("high-only", "1", lookup{x: "-99", high: "30", edges: []string{"10"}, closed: []bool{false}}, "1", "2"),
		bandCase("high-only/above", Undefined, lookup{x: "31", high: "30", edges: []string{"10"}, closed: []bool{false}}, "1", "2"),
		bandCase("one-band-with-ends", "7", lookup{x: "5", low: "5", high: "6", lowIn: true}, "7"),
		bandCase("low-undefined", Undefined, lookup{x: "5", low: Undefined}, "7"),
		bandCase("high-undefined", Undefined, lookup{x: "5", high: Undefined}, "7"),
	)
}

// band2Cases have rows from 10 and columns up to 5 and 9: values 11 12 13 in the
// first row, 21 22 23 in the second.
func band2Cases() []Case {
	var out []Case
	for _, c := range []struct{ name, row, column, want string }{
		{"first", "9", "5", "11"},
		{"row-edge", "10", "5", "21"},
		{"column-edge", "9", "9", "12"},
		{"last", "10", "9.5", "23"},
		{"middle", "100", "7", "22"},
		{"row-too-high", "101", "7", Undefined},
		{"row-undefined", Undefined, "7", Undefined},
		{"column-undefined", "10", Undefined, Undefined},
		{"value-undefined", "1", "10", Undefined},
	} {
		rows := lookup{x: c.row, high: "100", highIn: true, edges: []string{"10"}, closed: []bool{false}}
		columns := lookup{x: c.column, edges: []string{"5", "9"}, closed: []bool{true, true}}
		values := []string{"11", "12", Undefined, "21", "22", "23"}
		out = append(out, Case{Name: "band2/" + c.name, Want: []string{c.want}, Build: func(s graph.Scope) []graph.ID {
			return []graph.ID{s.Band2("out", "looked up", rows.axis(s, "rows"), columns.axis(s, "columns"), numbers(s, values...)...)}
		}})
	}
	return out
}
