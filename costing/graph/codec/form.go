package codec

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// Version is the version of the form that is written; Decode reads it alone.
const Version = 1

// The form, in the order it is written. Units and sources stand in lists of
// their own, in the order of their first use, since many figures share them.
type form struct {
	Version  int            `json:"kerfbook_graph"`
	Units    []string       `json:"units"`
	Sources  []graph.Source `json:"sources"`
	Nodes    []nodeForm     `json:"nodes"`
	Values   []*string      `json:"values"` // null: undefined
	Findings []findingForm  `json:"findings"`
}

type nodeForm struct {
	Key      string        `json:"key"`
	Label    string        `json:"label"`
	Of       string        `json:"of,omitempty"`
	Unit     int           `json:"unit"`
	Op       string        `json:"op"`
	Kind     string        `json:"kind,omitempty"`
	Args     []int32       `json:"args,omitempty"`
	Value    string        `json:"value,omitempty"`
	Low      string        `json:"low,omitempty"`
	High     string        `json:"high,omitempty"`
	Shape    string        `json:"shape,omitempty"`
	SD       string        `json:"sd,omitempty"`
	Compare  string        `json:"compare,omitempty"`
	Axes     []graph.Bands `json:"axes,omitempty"`
	Decision *decisionForm `json:"decision,omitempty"`
	Missing  string        `json:"missing,omitempty"`
	Formula  string        `json:"formula,omitempty"`
	Source   int           `json:"source"`
}

type decisionForm struct {
	Solver  string       `json:"solver"`
	Rule    string       `json:"rule"`
	Options []string     `json:"options,omitempty"`
	Valid   []windowForm `json:"valid,omitempty"`
	Drawn   *drawsForm   `json:"drawn,omitempty"`
}

type drawsForm struct {
	Of    string `json:"of"`
	Error string `json:"error,omitempty"`
	Share string `json:"share"`
	Count int    `json:"count"`
	Seed  uint64 `json:"seed"`
}

type windowForm struct {
	Input int32  `json:"input"`
	Low   string `json:"low"`
	High  string `json:"high"`
}

type findingForm struct {
	Severity string `json:"severity"`
	Key      string `json:"key"`
	Message  string `json:"message"`
	Path     string `json:"path,omitempty"`
}

// The words below are part of the form: a word may be added, none may change.

var opWords = [graph.OpCount]string{
	graph.Constant: "constant", graph.Range: "range", graph.Add: "add", graph.Multiply: "multiply",
	graph.Subtract: "subtract", graph.Divide: "divide", graph.SumProducts: "sum_products",
	graph.Minimum: "minimum", graph.Maximum: "maximum", graph.Least: "least", graph.At: "at",
	graph.Floor: "floor", graph.Ceiling: "ceiling", graph.Round: "round", graph.RoundEven: "round_even",
	graph.Power: "power", graph.SquareRoot: "square_root", graph.NaturalLog: "ln",
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
