package graph

import (
	"fmt"

	"kerfbook/bom"
)

// Restore makes a graph of nodes and findings that were taken from one before.
// Every node is checked as if it were built, and its unit must be the one its
// operation gives, so that no bytes, however they came about, make a graph that
// an evaluator or a writer could stumble over. The error joins *FaultError.
func Restore(nodes []Node, findings []Finding) (*Graph, error) {
	b := newBuilder(Limits{}, len(nodes))
	for _, n := range nodes {
		if fault := b.restorable(n); fault != "" {
			b.fault(BadArguments, n.Key, "%s", fault)
			break
		}
		unit := n.Unit
		id := b.add(b.slotOf(n), n.Args...)
		if id < 0 {
			break // what follows counts on this one
		}
		if got := *b.at(id).unit; got != unit {
			b.fault(BadUnit, n.Key, "is given in %q and follows in %q", unit, got)
		}
	}
	b.findings = append(b.findings, findings...)
	return b.Build()
}

// restorable says what is wrong with a node that no scope would have written.
func (b *Builder) restorable(n Node) string {
	if n.Op >= OpCount || n.Kind > Proof || n.Compare > NotEqual {
		return "an operation, kind or comparison that is not known"
	}
	for _, a := range n.Args {
		if !b.has(a) {
			return fmt.Sprintf("there is no figure %d before it", a)
		}
	}
	if n.Op != Range && (n.Shape != bom.Triangular || !n.SD.IsZero()) {
		return "a shape or a deviation of what is no range"
	}
	if n.Missing != "" && (n.Op != Constant || n.Kind != Input || !n.Value.IsZero()) {
		return "something missing that has a value"
	}
	if (n.Op == Decided) != (n.Decision != nil) {
		return "a decision without a record of it, or a record without a decision"
	}
	if n.Decision == nil {
		return ""
	}
	for _, w := range n.Decision.Valid {
		if !b.has(w.Input) || tooWide(w.Low) || tooWide(w.High) || w.Low.GreaterThan(w.High) {
			return "a decision with a window that is none"
		}
	}
	return ""
}

// Extend gives a builder that starts with the nodes and findings of a graph, so
// that figures can be added that rest on them. The graph itself stays as it is.
func Extend(g *Graph) *Builder {
	b := newBuilder(Limits{}, 0)
	b.table = g.copied()
	b.findings = append(b.findings, g.findings...)
	return b
}
