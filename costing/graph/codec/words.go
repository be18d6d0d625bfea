package codec

import (
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// The words below are part of the form: a word may be added, none may change.

var opWords = [graph.OpCount]string{
	graph.Constant: "constant", graph.Range: "range", graph.Add: "add", graph.Multiply: "multiply",
	graph.Subtract: "subtract", graph.Divide: "divide", graph.SumProducts: "sum_products",
	graph.Minimum: "minimum", graph.Maximum: "maximum", graph.Least: "least", graph.At: "at",
	graph.Floor: "floor", graph.Ceiling: "ceiling", graph.Round: "round", graph.RoundEven: "round_even",
	graph.Power: "power", graph.SquareRoot: "square_root", graph.NaturalLog: "ln", graph.Exponential: "exp",
	graph.ArcCosine: "arccos", graph.Band: "band", graph.Band2: "band2", graph.Choose: "choose",
	graph.Decided: "decided", graph.Check: "check",
}

var kindWords = [...]string{
	graph.Computed: "", graph.Input: "input", graph.Fixed: "fixed", graph.Decision: "decision", graph.Proof: "check",
}

var compareWords = [...]string{
	graph.Less: "<", graph.LessOrEqual: "<=", graph.Equal: "=", graph.GreaterOrEqual: ">=", graph.Greater: ">", graph.NotEqual: "<>",
}

var severityWords = [...]string{graph.Note: "note", graph.Warning: "warning", graph.Blocker: "blocker", graph.Gap: "gap"}

var shapeWords = [bom.ShapeCount]string{bom.Triangular: "", bom.Pert: "pert", bom.Uniform: "uniform", bom.Normal: "normal"}

// find gives the place of a word in a list.
func find(words []string, word string) (int, bool) {
	at := slices.Index(words, word)
	return at, at >= 0
}
