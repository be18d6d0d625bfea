package compare

import (
	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// Result says why two figures differ. Difference is after − before; the shares of
// Lines add up to it to the last digit, and so do the amounts of Shares.
type Result struct {
	Before, After Figure
	Difference    decimal.Decimal
	// Same says that there is nothing to explain: no line differs and no input.
	Same bool
	// Alike says that the headlines have the same structure, so that Shares are of
	// inputs only.
	Alike  bool
	Lines  []Line
	Shares []Share
	Method Method
}

// Figure is a figure of one side, in words. Value is exact.
type Figure struct {
	Key    string // of its side
	Of     string // the thing it is a figure of; may be empty
	Label  string
	Unit   graph.Unit
	Value  decimal.Decimal
	Chosen string // of a decision: what the value means, where the solver said so
}

// Name is a figure or a thing in words; the key is that of the side after, or
// before where there is none after.
type Name struct {
	Key, Of, Label string
}

// Change is what happened to a line.
type Change uint8

// The changes of a line.
const (
	Stays Change = iota
	Changes
	Appears
	Vanishes
)

func (c Change) String() string {
	return [...]string{"stays", "changes", "appears", "vanishes"}[c]
}

// Line is one line of the headline. Before and After are what it adds to the
// headline, in the headline's unit; nil on the side that does not have it.
type Line struct {
	Kind   Name // the kind of cost it is in
	Thing  Name // what it belongs to: a part, a variant
	Name   Name
	Change Change
	Before *decimal.Decimal
	After  *decimal.Decimal
	// Share is what the line adds to the difference: after − before, and in the
	// largest line what the rounding of the sums left over.
	Share decimal.Decimal
	// Alike says that the line has the same structure on both sides.
	Alike bool
}

// ShareKind is what a share is of.
type ShareKind uint8

// The kinds of share.
const (
	OfInput    ShareKind = iota // an input that changed
	OfDecision                  // a decision of a solver that changed
	OfLine                      // a line without partner, or of another structure
	OfAll                       // all changed inputs together, see Method.Reason
)

func (k ShareKind) String() string {
	return [...]string{"input", "decision", "line", "all inputs"}[k]
}

// Share is a part of the difference and what accounts for it.
type Share struct {
	Kind          ShareKind
	Before, After Figure // OfInput, OfDecision
	Line          *Line  // OfLine
	Inputs        []Pair // OfAll
	Amount        decimal.Decimal
}

// Pair is an input on both sides.
type Pair struct{ Before, After Figure }

// Method says how the shares of inputs were found.
type Method struct {
	Rule   Rule
	Inputs int // that changed
	// Evaluations of what is shared out.
	Evaluations int
	Pieces      int // the way was cut into
	// Settled says that the last doubling of the pieces moved no share by more than
	// Tolerance of the largest share or of the difference; Moved is by how much, 0
	// where the evaluations allowed did not reach for a doubling.
	Settled          bool
	Tolerance, Moved float64
	// Reason says why shares could not be told apart.
	Reason string
}

// Rule is the rule by which a difference is shared out.
type Rule uint8

// The rules.
const (
	NoInputs      Rule = iota // no input changed, or nothing has the same structure
	Shapley                   // average over all orders
	AumannShapley             // along the straight way
	Together                  // not told apart
)

func (r Rule) String() string {
	return [...]string{"no inputs", "Shapley", "Aumann-Shapley", "together"}[r]
}
