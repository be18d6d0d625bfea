package column

import (
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// Block is the most draws that are computed together. As many as
// costing/ask/simulate draws at once, of one Latin hypercube.
const Block = 1024

// Options say what is given, what is wanted and what is held.
type Options struct {
	// Vary are the figures given per draw: inputs, or any other figure, whose own
	// operation is then not computed. None is held.
	Vary []graph.ID
	// Outputs are the figures wanted.
	Outputs []graph.ID
	// Hold are figures held at one value whatever they rest on: pins, decisions.
	Hold map[graph.ID]float64
	// Values are an evaluation of the graph with what is held, if there is one already;
	// nil evaluates it for what does not vary.
	Values *exact.Values
}

// Plan computes the outputs of a graph from the figures that vary. It does not
// change, so that any number of goroutines may use it at once, each with Columns
// of its own.
type Plan struct {
	g       *graph.Graph
	steps   []step
	shared  int       // slots that steps take turns in
	own     []filling // slots behind those: given, wanted or constant
	most    int       // arguments of one step
	inputs  []slot    // per Options.Vary
	outputs []slot    // per Options.Outputs
	varies  []bool    // per Options.Outputs
}

// slot is the place of a column in memory.
type slot int32

// filling says what a column of its own holds from the start.
type filling struct {
	constant bool
	value    float64
}

// step computes one column of a block, or adds to it. What its fields mean depends
// on the kernel.
type step struct {
	do     kernel
	out    slot
	args   []slot
	k      []float64
	linear int // how many of k are of one column each
	base   float64
	by     float64
	edges  []float64
	test   test
	node   *graph.Node
}

// kernel computes the first n values of the column of a step.
type kernel func(c *Columns, s *step, n int)

// New plans the computation. The error is that of the exact evaluation of what does not
// vary: an [*exact.RangeError] or an [*OutsideDecisionError].
func New(g *graph.Graph, o Options) (*Plan, error) {
	c := newCone(g, o)
	if o.Values == nil {
		var err error
		if o.Values, err = c.evaluate(); err != nil {
			return nil, err
		}
	}
	m := newCompiler(c, o.Values, o)
	m.compile()
	return m.assemble(o), nil
}

// Varies reports whether an output differs between draws.
func (p *Plan) Varies(output int) bool { return p.varies[output] }

// OutsideDecisionError is a decision asked to hold for an input it was not made
// for; Value is the first such value.
type OutsideDecisionError = exact.OutsideDecisionError
