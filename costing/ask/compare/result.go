package compare

import (
	"fmt"
	"slices"

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
	Shares []Share // the largest first
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
type Change string

// The changes of a line.
const (
	Stays    Change = "stays"
	Changes  Change = "changes"
	Appears  Change = "appears"
	Vanishes Change = "vanishes"
)

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
	was   graph.ID // its node on the side before, None where it has none
}

// ShareKind is what a share is of.
type ShareKind string

// The kinds of share.
const (
	OfInput    ShareKind = "input"    // an input that changed
	OfDecision ShareKind = "decision" // a decision of a solver that changed
	OfLine     ShareKind = "line"     // a line without partner, or of another structure
	OfAll      ShareKind = "all"      // all changed inputs together, see Method.Reason
)

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
type Rule string

// The rules.
const (
	NoInputs      Rule = "no inputs"      // no input changed, or nothing has the same structure
	Shapley       Rule = "Shapley"        // average over all orders
	AumannShapley Rule = "Aumann-Shapley" // along the straight way
	Together      Rule = "together"       // not told apart
)

// Step is one step from the headline before to the one after, for a waterfall or
// a list. Key is empty for what is pooled. Before and After are what its lines come to on
// each side, nothing where a side has none of them.
type Step struct {
	Name
	Change        Change
	Before, After decimal.Decimal
	Amount        decimal.Decimal
	Count         int // of lines or shares in it
}

// with takes lines or another step in.
func (s Step) with(change Change, before, after, amount decimal.Decimal, count int) Step {
	s.Before, s.After, s.Amount, s.Count = total(s.Before, before), total(s.After, after), total(s.Amount, amount), s.Count+count
	if s.Change != change {
		s.Change = Changes
	}
	return s
}

// ByKind adds the lines up by kind of cost, in the order of the headline.
func (r *Result) ByKind() []Step {
	return grouped(r.Lines, func(l Line) Name { return l.Kind })
}

// ByThing adds the lines up by what they belong to: parts and the product itself.
func (r *Result) ByThing() []Step {
	return grouped(r.Lines, func(l Line) Name { return l.Thing })
}

// ByPlace adds the lines up by where the things they belong to go, so that what takes
// the place of another stands as one difference.
func (r *Result) ByPlace(placeOf func(thing Name) Name) []Step {
	return grouped(r.Lines, func(l Line) Name { return placeOf(l.Thing) })
}

// grouped adds lines up by a name. A group appears or vanishes where all its lines
// do.
func grouped(lines []Line, by func(Line) Name) []Step {
	var out []Step
	at := map[string]int{}
	for _, l := range lines {
		name := by(l)
		i, met := at[name.Key]
		if !met {
			i = len(out)
			at[name.Key] = i
			out = append(out, Step{Name: name, Change: l.Change})
		}
		out[i] = out[i].with(l.Change, valueOf(l.Before), valueOf(l.After), l.Share, 1)
	}
	return out
}

// valueOf is what a line comes to on a side that may not have it.
func valueOf(side *decimal.Decimal) decimal.Decimal {
	if side == nil {
		return decimal.Zero
	}
	return *side
}

// Ranked orders steps by size, the largest first, and pools all but the first most
// in one step at the end, so that nothing is lost. Steps of nothing are left out;
// the order of equal ones stays.
func Ranked(steps []Step, most int) []Step {
	out := slices.DeleteFunc(slices.Clone(steps), func(s Step) bool { return s.Amount.IsZero() })
	slices.SortStableFunc(out, func(a, b Step) int { return bySize(a.Amount, b.Amount) })
	if most < 1 || len(out) <= most {
		return out
	}
	return append(out[:most:most], pooled("other lines", Changes, out[most:]))
}

// WithStaying is Ranked with the steps of nothing pooled behind the others, so that both
// sides add up to their headlines. Count is then how many steps these are.
func WithStaying(steps []Step, most int, label string) []Step {
	stay := slices.DeleteFunc(slices.Clone(steps), func(s Step) bool { return !s.Amount.IsZero() })
	out := Ranked(steps, most)
	if len(stay) > 0 {
		rest := pooled(label, Stays, stay)
		rest.Count = len(stay)
		out = append(out, rest)
	}
	return out
}

func pooled(label string, change Change, steps []Step) Step {
	out := Step{Name: Name{Label: label}, Change: change}
	for _, s := range steps {
		out = out.with(change, s.Before, s.After, s.Amount, s.Count)
	}
	return out
}

// FigureError is a headline that cannot be compared.
type FigureError struct {
	Side   string // "before" or "after"
	Detail string
}

func (e *FigureError) Error() string { return e.Detail }

// EvaluateError is a side that cannot be computed; Err is that of the evaluation.
type EvaluateError struct {
	Side string
	Err  error
}

func (e *EvaluateError) Error() string { return fmt.Sprintf("on the side %s: %v", e.Side, e.Err) }
func (e *EvaluateError) Unwrap() error { return e.Err }
