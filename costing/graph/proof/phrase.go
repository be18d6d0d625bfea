package proof

import (
	"fmt"
	"strings"

	"kerfbook/costing/graph"
)

// phrase says in words how a node is computed from its arguments. An argument is
// named with its thing where that is not the node's own.
func phrase(g *graph.Graph, n graph.Node) string {
	labels := make([]string, len(n.Args))
	for i, a := range n.Args {
		labels[i] = bracketed(g.Node(a).Label)
		if of := g.Node(a).Of; of != "" && of != n.Of {
			labels[i] += " (" + of + ")"
		}
	}
	return phrases[n.Op](n, labels)
}

// bracketed keeps a label that is itself a sum apart from the signs around it.
func bracketed(label string) string {
	if strings.Contains(label, " − ") || strings.Contains(label, " + ") {
		return "(" + label + ")"
	}
	return label
}

// phrases has one entry per operation.
var phrases = [graph.OpCount]func(n graph.Node, args []string) string{
	graph.Constant:    constantPhrase,
	graph.Range:       rangePhrase,
	graph.Add:         func(_ graph.Node, a []string) string { return strings.Join(a, " + ") },
	graph.Multiply:    func(_ graph.Node, a []string) string { return strings.Join(a, " × ") },
	graph.Subtract:    func(_ graph.Node, a []string) string { return a[0] + " − " + a[1] },
	graph.Divide:      func(_ graph.Node, a []string) string { return a[0] + " ÷ " + a[1] },
	graph.SumProducts: sumProductsPhrase,
	graph.Minimum:     func(_ graph.Node, a []string) string { return "the smallest of " + list(a) },
	graph.Maximum:     func(_ graph.Node, a []string) string { return "the largest of " + list(a) },
	graph.Least:       func(_ graph.Node, a []string) string { return "which is smallest, counted from 1, of " + list(a) },
	graph.At:          func(_ graph.Node, a []string) string { return "number " + a[0] + " of " + list(a[1:]) },
	graph.Floor:       func(_ graph.Node, a []string) string { return a[0] + ", rounded down to steps of " + a[1] },
	graph.Ceiling:     func(_ graph.Node, a []string) string { return a[0] + ", rounded up to steps of " + a[1] },
	graph.Round:       func(_ graph.Node, a []string) string { return a[0] + ", rounded to steps of " + a[1] },
	graph.RoundEven: func(_ graph.Node, a []string) string {
		return a[0] + ", rounded to steps of " + a[1] + ", halves to the even one"
	},
	graph.Power:      func(_ graph.Node, a []string) string { return a[0] + " to the power of " + a[1] },
	graph.SquareRoot: func(_ graph.Node, a []string) string { return "the square root of " + a[0] },
	graph.NaturalLog: func(_ graph.Node, a []string) string { return "the natural logarithm of " + a[0] },
	graph.ArcCosine:  func(_ graph.Node, a []string) string { return "the arc cosine of " + a[0] },
	graph.Band:       bandPhrase,
	graph.Band2:      bandPhrase,
	graph.Choose: func(n graph.Node, a []string) string {
		return fmt.Sprintf("if %s %s %s: %s, otherwise %s", a[0], n.Compare.Words(), a[1], a[2], a[3])
	},
	graph.Decided: decidedPhrase,
	graph.Check: func(n graph.Node, a []string) string {
		return fmt.Sprintf("1 if %s %s %s, otherwise 0", a[0], n.Compare.Words(), a[1])
	},
}

func constantPhrase(n graph.Node, _ []string) string {
	switch {
	case n.Missing != "":
		return "missing: nothing is entered, and it counts as nothing"
	case n.Kind == graph.Fixed:
		return "fixed"
	}
	return "entered"
}

func rangePhrase(n graph.Node, _ []string) string {
	shape := n.Shape.String()
	if !n.SD.IsZero() {
		shape += ", deviation " + n.SD.String()
	}
	return fmt.Sprintf("likely %s, between %s and %s (%s)", n.Value, n.Low, n.High, shape)
}

func sumProductsPhrase(_ graph.Node, a []string) string {
	terms := make([]string, 0, len(a)/2)
	for i := 0; i < len(a); i += 2 {
		terms = append(terms, a[i]+" × "+a[i+1])
	}
	return strings.Join(terms, " + ")
}

func bandPhrase(n graph.Node, a []string) string {
	at := 0
	var axes []string
	for _, b := range n.Axes {
		axes = append(axes, a[at])
		at += 1 + len(b.BelowClosed)
		if b.HasLow {
			at++
		}
		if b.HasHigh {
			at++
		}
	}
	return "looked up by " + strings.Join(axes, " and ") + " in a table of " + fmt.Sprint(len(a)-at) + " bands"
}

func decidedPhrase(n graph.Node, _ []string) string {
	if n.Decision.Drawn != nil {
		return "drawn: " + n.Decision.Rule
	}
	how := "decided by " + n.Decision.Solver + ": " + n.Decision.Rule
	if i := n.Value.IntPart(); n.Value.IsInteger() && i >= 1 && int(i) <= len(n.Decision.Options) {
		how += " → " + n.Decision.Options[i-1]
	}
	return how
}

func list(labels []string) string { return strings.Join(labels, ", ") }
