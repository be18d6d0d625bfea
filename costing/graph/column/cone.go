package column

import (
	"math"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// part is what a node is to a plan.
type part uint8

const (
	apart  part = iota // no output rests on it
	fixed              // the same for every draw
	given              // a column is given for it
	varied             // computed for every draw
)

// cone sorts the nodes of a graph into parts.
type cone struct {
	g     *graph.Graph
	parts []part
	held  map[graph.ID]float64
}

// newCone finds what the outputs rest on and what of it varies.
func newCone(g *graph.Graph, o Options) *cone {
	c := &cone{g: g, parts: make([]part, g.Len()), held: o.Hold}
	vary := make([]bool, g.Len())
	for _, id := range o.Vary {
		vary[id] = true
	}
	needed := c.needed(o.Outputs, vary)
	for id := range graph.ID(g.Len()) {
		switch {
		case !needed[id]:
		case vary[id]:
			c.parts[id] = given
		// One pass in order of ids: the parts of all arguments are known by then.
		case !c.isHeld(id) && slices.ContainsFunc(g.Operation(id).RestsOn(), c.moves):
			c.parts[id] = varied
		default:
			c.parts[id] = fixed
		}
	}
	return c
}

func (c *cone) isHeld(id graph.ID) bool {
	_, held := c.held[id]
	return held
}

// moves reports whether a figure differs between draws.
func (c *cone) moves(id graph.ID) bool { return c.parts[id] >= given }

// needed marks what the outputs rest on; what is varied or held rests on nothing.
func (c *cone) needed(outputs []graph.ID, vary []bool) []bool {
	return c.g.Reached(outputs, func(id graph.ID) []graph.ID {
		if vary[id] || c.isHeld(id) {
			return nil
		}
		return c.g.Operation(id).RestsOn()
	})
}

// evaluate computes what does not vary. Where that fails, it may be for a figure
// that no output rests on, or one that varies: they are pinned then, so that they
// are neither computed nor can fail.
func (c *cone) evaluate() (*exact.Values, error) {
	pins := exact.Pins{}
	for id, v := range c.held {
		pins[id] = decimal.NewFromFloat(v)
	}
	if v, err := exact.Evaluate(c.g, pins); err == nil {
		return v, nil
	}
	for id := range graph.ID(c.g.Len()) {
		if c.parts[id] != fixed && !c.isHeld(id) {
			pins[id] = decimal.Zero
		}
	}
	return exact.Evaluate(c.g, pins)
}

// binary is the binary number nearest to a decimal. Fifteen digits and powers of
// ten up to 22 are binary numbers themselves, so that one rounding is left.
func binary(d decimal.Decimal) float64 {
	if e := d.Exponent(); d.NumDigits() <= 15 && e >= -22 && e <= 22 {
		c := float64(d.CoefficientInt64())
		if e < 0 {
			return c / math.Pow10(int(-e))
		}
		return c * math.Pow10(int(e))
	}
	v, err := strconv.ParseFloat(d.String(), 64)
	if err != nil {
		return math.NaN() // beyond what any figure can be
	}
	return v
}
