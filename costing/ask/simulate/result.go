package simulate

import (
	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// Result is what the draws of a request came to.
type Result struct {
	// Draws were made, in blocks of [column.Block]; 0 if nothing varies.
	Draws int
	// Reached tells whether the precision asked for was reached; true where none
	// was asked for or nothing varies.
	Reached bool
	// Inputs are the ranges that varied, by key. Without any, no input is a range
	// and every quantile of a figure is its likely value.
	Inputs []graph.ID
	// Held are the decisions that rest on a range and were held at their likely
	// choice, Free those that followed each draw.
	Held, Free []Decision
	Outputs    []Output
}

// Output is how the draws of one figure are spread.
type Output struct {
	ID     graph.ID
	Likely decimal.Decimal // exact, with every input at its likely value
	// Undefined counts the draws without a value. They are left out of all
	// statistics, which then hold for the others only.
	Undefined int
	Mean      Estimate
	Deviation Estimate
	Quantiles []Quantile // P5 P10 P50 P80 P90 P95
	Histogram Histogram
	Curve     []Point // at most 169

	sample *sample
}

// Defined is the number of draws with a value; 1 for a figure that does not vary.
func (o *Output) Defined() int { return o.sample.values }

// AtMost gives the share of draws that do not exceed x: the chance that the
// figure stays within it.
func (o *Output) AtMost(x float64) Estimate { return o.sample.share(x) }

// Quantile gives the value that a share p of the draws does not exceed, 0 ≤ p ≤ 1.
func (o *Output) Quantile(p float64) Estimate { return o.sample.quantile(p) }

// Ends are the smallest and the largest value drawn; infinite where none has a value.
func (o *Output) Ends() (low, high float64) { return o.sample.ends() }

// newOutput takes the statistics of a sample of some draws.
func newOutput(id graph.ID, likely decimal.Decimal, s *sample, draws int) Output {
	o := Output{ID: id, Likely: likely, Undefined: max(0, draws-s.values), sample: s}
	o.Mean, o.Deviation = s.moments()
	for _, p := range marked {
		o.Quantiles = append(o.Quantiles, Quantile{p, s.quantile(p)})
	}
	o.Histogram, o.Curve = s.histogram(), s.curve()
	return o
}
