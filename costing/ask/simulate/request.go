package simulate

import (
	"fmt"
	"math"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
)

// Request says what to draw: figures of a graph by their IDs in it. The same request on the same graph gives the same
// result to the last bit.
type Request struct {
	// Outputs are the figures wanted, at least one.
	Outputs []graph.ID
	// Draws is how many draws to make, 1 to MaxDraws. It is rounded up to whole
	// blocks of [column.Block], to ten of them at least: standard errors need
	// replicates.
	Draws int
	// Seed picks one of the possible sequences of draws.
	Seed uint64
	// Precision stops a Run as soon as a quantile is known well enough; nil makes
	// all draws.
	Precision *Precision
	// Hindsight lets choices, an offer or an order quantity, follow each draw as if it
	// were known beforehand. Otherwise what is chosen at the likely values is held. What
	// a solver decided and the prices asked are held either way.
	Hindsight bool
	// Correlations join inputs that tend to be high together, or high when the
	// other is low. Inputs that no pair names are independent.
	Correlations []Correlation
	// Apart are the inputs that [Shares] gives a share each, a group that is correlated
	// being one; all others have one together. Nil keeps all apart.
	Apart []graph.ID
	// Hold pins figures: quantities, prices, inputs for what-if. An input held
	// here does not vary, and a decision held here overrules the solver's.
	Hold map[graph.ID]decimal.Decimal
}

// Precision is a quantile and how well it must be known.
type Precision struct {
	Output   int     // index in Request.Outputs
	P        float64 // between 0 and 1: 0.8 for P80
	Relative float64 // standard error ÷ value at which to stop, above 0
}

// Correlation is the rank correlation of two inputs.
type Correlation struct {
	A, B graph.ID
	Rank float64 // Spearman's, between −1 and 1, neither included
}

// The limits of a request.
const (
	MaxDraws = 10_000_000
	// MaxFigures bounds draws × outputs, which are kept until the result is
	// dropped, 8 bytes each.
	MaxFigures = 20_000_000
)

// minBlocks is the fewest replicates that a standard error is taken from.
const minBlocks = 10

// blocks is the number of whole blocks that the draws are rounded up to.
func (r *Request) blocks() int {
	return max(minBlocks, (r.Draws+column.Block-1)/column.Block)
}

func (r *Request) checkDraws() error {
	const field = "draws"
	switch {
	case r.Draws < 1:
		return &RequestError{field, fmt.Sprintf("%d draws show nothing", r.Draws), "ask for 1 or more; 10,000 is a good start"}
	case r.Draws > MaxDraws:
		return &RequestError{field, fmt.Sprintf("%d draws", r.Draws), fmt.Sprintf("ask for at most %d", MaxDraws)}
	case r.Draws > MaxFigures/max(1, len(r.Outputs)):
		return &RequestError{field, fmt.Sprintf("%d draws of %d figures", r.Draws, len(r.Outputs)),
			fmt.Sprintf("ask for at most %d draws of so many figures", MaxFigures/len(r.Outputs))}
	}
	return nil
}

func (r *Request) checkPrecision() error {
	p := r.Precision
	switch {
	case p == nil:
		return nil
	case !(p.P > 0 && p.P < 1):
		return &RequestError{"precision.p", fmt.Sprintf("%v is no chance", p.P), "give one between 0 and 1, such as 0.8 for P80"}
	case !(p.Relative > 0) || math.IsInf(p.Relative, 0):
		return &RequestError{"precision.relative", fmt.Sprintf("%v cannot be reached", p.Relative), "give a share above 0, such as 0.001"}
	}
	return nil
}

// firstRound is how many blocks are drawn before the precision is looked at for
// the first time; fewer replicates would often stop too early by luck.
const firstRound = 16

// nextRound is the number of blocks at which the precision is looked at next:
// fixed counts, each twice the last, whatever the number of cores.
func nextRound(made, total int) int {
	return min(total, max(firstRound, 2*made))
}

// reached reports whether the quantile is known as well as asked.
func (p *Precision) reached(s *sample) bool {
	q := s.quantile(p.P)
	return q.Error <= p.Relative*math.Abs(q.Value)
}

// RequestError is a request that cannot be followed: which field of it, what is
// wrong, and what would be right.
type RequestError struct {
	Field  string // as the request names it: "draws", "correlations[1].rank"
	Detail string
	Remedy string
}

func (e *RequestError) Error() string {
	return fmt.Sprintf("%s: %s; %s", e.Field, e.Detail, e.Remedy)
}

// PanicError is a fault of this program in one of its goroutines. Its text is for
// the log; the value of the panic, which may hold what a user typed, is left out.
type PanicError struct {
	Block int
	Kind  string // type of the value
	Stack []byte
}

func (e *PanicError) Error() string {
	return fmt.Sprintf("panic of %s in block %d\n%s", e.Kind, e.Block, e.Stack)
}

// words names a figure with its thing: "desk base, operation 20: cutting time".
func words(g *graph.Graph, id graph.ID) string {
	n := g.Node(id)
	if n.Of == "" {
		return n.Label
	}
	return n.Of + ": " + n.Label
}

// place names an element of a field of the request.
func place(field string, i int) string { return fmt.Sprintf("%s[%d]", field, i) }
