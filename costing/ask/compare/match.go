package compare

import (
	"fmt"
	"slices"
	"strings"

	"kerfbook/costing/graph"
)

// kinship tells which figures of two sides have the same structure: the same
// names, operations and arguments down to the same leaves. Figures of one class
// are such; a leaf may have another value on the other side.
type kinship struct{ classes map[string]int }

// classesOf gives the class of every figure of a side.
func (k *kinship) classesOf(o *opened) []int {
	out := make([]int, o.g.Len())
	for id := range graph.ID(o.g.Len()) {
		form := k.form(o, id, out)
		class, known := k.classes[form]
		if !known {
			class = len(k.classes) + 1
			k.classes[form] = class
		}
		out[id] = class
	}
	return out
}

// form writes down what makes a class. A figure written for a line has no name of
// its own.
func (k *kinship) form(o *opened, id graph.ID, classes []int) string {
	n := o.g.Node(id)
	var b strings.Builder
	if id < o.base || len(n.Args) == 0 {
		b.WriteString(o.names.of(n.Key))
	}
	fmt.Fprintf(&b, "|%s|", n.Unit)
	if o.leaf(id) {
		if len(n.Args) > 0 {
			b.WriteString("held")
		}
		return b.String()
	}
	args := make([]int, len(n.Args))
	for i, a := range n.Args {
		args[i] = classes[a]
	}
	fmt.Fprintf(&b, "%d %d %v %v", n.Op, n.Compare, n.Axes, ordered(n.Op, args))
	return b.String()
}

// ordered sorts arguments whose order does not matter. (An evaluator rounds a
// whole sum or product once.)
func ordered(op graph.Op, args []int) []int {
	switch op {
	case graph.Add, graph.Multiply, graph.Minimum, graph.Maximum:
		slices.Sort(args)
	}
	return args
}
