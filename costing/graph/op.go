package graph

// Op names an operation. Every evaluator fills an array of length [OpCount]; a
// new operation arrives in all of them at once, or the suite fails.
type Op uint8

// The operations. The arguments of each are listed in order.
const (
	Constant    Op = iota // a number that is typed or looked up
	Range                 // low, likely, high; evaluated exactly at likely
	Add                   // a + b + …
	Multiply              // a × b × …
	Subtract              // a − b
	Divide                // a ÷ b; undefined for b = 0
	SumProducts           // a₁×b₁ + a₂×b₂ + …; arguments in pairs
	Minimum               // smallest of a, b, …
	Maximum               // largest of a, b, …
	Least                 // index, from 1, of the smallest of a, b, …; first on ties
	At                    // (index, a₁, a₂, …): the a with that index, from 1
	Floor                 // (x, step): the largest multiple of step ≤ x, after snapping
	Ceiling               // (x, step): the smallest multiple of step ≥ x, after snapping
	Round                 // (x, step): nearest multiple, halves away from zero
	RoundEven             // (x, step): nearest multiple, halves to the even one
	Power                 // (x, y), plain numbers, x > 0, |y| ≤ 100
	SquareRoot            // √x, x ≥ 0
	NaturalLog            // ln x, x > 0
	ArcCosine             // arccos x in radians, −1 ≤ x ≤ 1
	Band                  // one-dimensional lookup, see Bands
	Band2                 // two-dimensional lookup, see Bands
	Choose                // (a, b, then, else) with a Comparison of a and b
	Decided               // a value a solver found, see Decision
	Check                 // (a, b) with a Comparison: 1 where it holds, else 0
	OpCount               // number of operations
)

// String names the operation in words.
func (op Op) String() string {
	if op >= OpCount {
		return "unknown operation"
	}
	return opNames[op]
}

var opNames = [OpCount]string{
	Constant: "constant", Range: "range", Add: "add", Multiply: "multiply", Subtract: "subtract",
	Divide: "divide", SumProducts: "sum of products", Minimum: "minimum", Maximum: "maximum",
	Least: "least", At: "at", Floor: "floor", Ceiling: "ceiling", Round: "round",
	RoundEven: "round half even", Power: "power", SquareRoot: "square root",
	NaturalLog: "natural logarithm", ArcCosine: "arc cosine",
	Band: "band", Band2: "band in two dimensions", Choose: "choose", Decided: "decided", Check: "check",
}

// SnapPlaces is the number of decimal places that x ÷ step is rounded to, halves
// away from zero, before a floor, ceiling, band or comparison looks at it. It
// keeps an exactly whole quantity whole after a division.
const SnapPlaces = 9

// Comparison is how a [Choose] or [Check] compares its first two arguments, both
// snapped to [SnapPlaces].
type Comparison uint8

// The comparisons.
const (
	Less Comparison = iota
	LessOrEqual
	Equal
	GreaterOrEqual
	Greater
	NotEqual
)

// Holds reports whether the comparison holds for a sign of a − b (−1, 0, +1).
func (c Comparison) Holds(sign int) bool {
	switch c {
	case Less:
		return sign < 0
	case LessOrEqual:
		return sign <= 0
	case Equal:
		return sign == 0
	case GreaterOrEqual:
		return sign >= 0
	case Greater:
		return sign > 0
	default:
		return sign != 0
	}
}

// Symbol is the comparison as spreadsheets write it.
func (c Comparison) Symbol() string {
	return [...]string{"<", "<=", "=", ">=", ">", "<>"}[c]
}

// Words is the comparison as a person says it.
func (c Comparison) Words() string {
	return [...]string{"is less than", "is at most", "equals", "is at least", "is more than", "differs from"}[c]
}

// Bands describes one axis of a lookup table. An axis of n bands has n−1 inner
// edges, which must ascend. The band of x is 1 + the number of edges x has
// passed.
type Bands struct {
	// BelowClosed says for each inner edge whether the edge itself still
	// belongs to the band below it ("up to and including"); otherwise it opens
	// the band above ("from").
	BelowClosed []bool `json:"below_closed"`
	// HasLow and HasHigh say that the axis ends at an outer edge; outside it
	// the lookup is undefined. The outer edges themselves are inside where
	// LowClosed and HighClosed say so.
	HasLow     bool `json:"has_low,omitempty"`
	HasHigh    bool `json:"has_high,omitempty"`
	LowClosed  bool `json:"low_closed,omitempty"`
	HighClosed bool `json:"high_closed,omitempty"`
}

// Count is the number of bands on the axis.
func (b Bands) Count() int { return len(b.BelowClosed) + 1 }

// edges is the number of edge arguments of the axis: low, inner edges, high.
func (b Bands) edges() int {
	n := len(b.BelowClosed)
	if b.HasLow {
		n++
	}
	if b.HasHigh {
		n++
	}
	return n
}

// AxisArgs are the arguments of one axis of a lookup, taken apart.
type AxisArgs struct {
	X         ID
	Low, High ID // valid where Bands.HasLow, HasHigh
	Edges     []ID
}

// BandArgs takes the arguments of a [Band] or [Band2] node apart: one axis (or
// two), then the values, the second axis running fastest.
//
// The argument order is, per axis: x, low edge if any, inner edges, high edge if
// any; then the values.
func (n Operation) BandArgs() (axes []AxisArgs, values []ID) {
	rest := n.Args
	for _, b := range n.Axes {
		var a AxisArgs
		a.X, rest = rest[0], rest[1:]
		if b.HasLow {
			a.Low, rest = rest[0], rest[1:]
		}
		inner := len(b.BelowClosed)
		a.Edges, rest = rest[:inner], rest[inner:]
		if b.HasHigh {
			a.High, rest = rest[0], rest[1:]
		}
		axes = append(axes, a)
	}
	return axes, rest
}
