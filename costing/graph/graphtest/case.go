// Package graphtest holds one table of graphs with their answers. Every
// evaluator runs it, so an operation cannot mean one thing in one of them and
// something else in another. Random graphs for fuzzing and parity live here too.
//
// Answers are worked by hand unless a source stands beside them. They are exact
// or rounded half even to 34 significant digits; an evaluator that computes in
// binary compares with a tolerance and leaves out the cases marked Precise.
package graphtest

import (
	"fmt"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// Undefined is the expected text of an output without a value.
const Undefined = "undefined"

// Case is a graph and the values of its outputs.
type Case struct {
	Name  string // unique, usable as the name of a subtest
	Build func(s graph.Scope) []graph.ID
	Want  []string // one per output: a decimal number, or Undefined
	// Precise marks answers that rest on more digits than a binary number
	// holds: rounding at 34 digits, cancellation, ties of the ninth place.
	Precise bool
	// Overrides are numbers in the place of computed figures, by key.
	Overrides map[string]graph.Override
}

// Graph builds the case.
func (c Case) Graph() (*graph.Graph, []graph.ID, error) {
	b := graph.NewBuilder(graph.Limits{})
	out := c.In(b)
	g, err := b.Build()
	if err != nil {
		return nil, nil, fmt.Errorf("case %s: %w", c.Name, err)
	}
	if len(out) != len(c.Want) {
		return nil, nil, fmt.Errorf("case %s: %d outputs, %d answers", c.Name, len(out), len(c.Want))
	}
	return g, out, nil
}

// In builds the case below a key prefix, so that several stand in one graph, and
// gives its outputs.
func (c Case) In(b *graph.Builder, prefix ...string) []graph.ID {
	s := b.Root().In(prefix...)
	for key, o := range c.Overrides {
		b.Override(s.Key(key), o)
	}
	return c.Build(s)
}

// Cases gives the whole table. Names are unique.
func Cases() []Case {
	var all []Case
	for _, part := range [][]Case{
		arithmeticCases(), roundingCases(), extremeCases(), stepCases(), functionCases(), bandCases(), bandEndCases(),
		band2Cases(), chooseCases(), armCases(), decidedCases(), unitCases(), overrideCases(), wideCases(),
	} {
		all = append(all, part...)
	}
	return all
}

// row is a case of one operation on typed numbers.
type row struct {
	name string
	op   operation
	args []string // decimal numbers; "undefined" makes one by dividing by zero
	want string
}

// operation adds the node under test.
type operation func(s graph.Scope, name, label string, args ...graph.ID) graph.ID

func unary(f func(graph.Scope, string, string, graph.ID) graph.ID) operation {
	return func(s graph.Scope, name, label string, args ...graph.ID) graph.ID {
		return f(s, name, label, args[0])
	}
}

func binary(f func(graph.Scope, string, string, graph.ID, graph.ID) graph.ID) operation {
	return func(s graph.Scope, name, label string, args ...graph.ID) graph.ID {
		return f(s, name, label, args[0], args[1])
	}
}

// cases turns rows into cases whose names start with a prefix.
func cases(prefix string, precise bool, rows []row) []Case {
	out := make([]Case, len(rows))
	for i, r := range rows {
		build := func(s graph.Scope) []graph.ID {
			return []graph.ID{r.op(s, "out", "the answer", numbers(s, r.args...)...)}
		}
		out[i] = Case{Name: prefix + "/" + r.name, Build: build, Want: []string{r.want}, Precise: precise}
	}
	return out
}

// number adds an input with a plain unit, or an undefined figure.
func number(s graph.Scope, name, text string) graph.ID {
	return amount(s, name, graph.Plain, text)
}

// amount adds an input in a unit, or an undefined figure in it.
func amount(s graph.Scope, name string, unit graph.Unit, text string) graph.ID {
	if text == Undefined {
		one := amount(s, name+"-over", unit, "1")
		zero := amount(s, name+"-under", graph.Plain, "0")
		return s.Divide(name, "undefined "+name, one, zero)
	}
	return s.Input(name, "input "+name, unit, decimal.RequireFromString(text))
}

// numbers adds plain inputs a1, a2, …
func numbers(s graph.Scope, texts ...string) []graph.ID {
	out := make([]graph.ID, len(texts))
	for i, text := range texts {
		out[i] = number(s, fmt.Sprintf("a%d", i+1), text)
	}
	return out
}
