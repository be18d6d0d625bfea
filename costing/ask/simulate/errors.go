package simulate

import (
	"fmt"

	"kerfbook/costing/graph"
)

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
