package service

import (
	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// Figure is a number with the key under which its proof is found. Value is the
// exact decimal as text, empty where the figure is undefined.
type Figure struct {
	Key   string `json:"key"`
	Label string `json:"label"`
	Of    string `json:"of,omitempty"` // the thing it is a figure of
	Value string `json:"value"`
	Unit  string `json:"unit,omitempty"`
}

// Number gives the value of a figure; ok is false where it is undefined.
func (f Figure) Number() (d decimal.Decimal, ok bool) {
	d, err := decimal.NewFromString(f.Value)
	return d, err == nil
}

// figure reads a node; the zero Figure stands for None.
func figure(g *graph.Graph, v *exact.Values, id graph.ID) Figure {
	if id == graph.None {
		return Figure{}
	}
	n := g.Node(id)
	f := Figure{Key: n.Key, Label: n.Label, Of: n.Of, Unit: n.Unit.String()}
	if d, ok := v.Raw(id); ok {
		f.Value = d.String()
	}
	return f
}

// Finding is a remark about a figure, with its place in the book if it has one.
type Finding struct {
	Severity string `json:"severity"` // note, warning, blocker
	Key      string `json:"key"`
	Message  string `json:"message"`
	Path     string `json:"path,omitempty"`
}

func findings(g *graph.Graph, v *exact.Values) []Finding {
	out := []Finding{}
	for _, f := range g.Findings() {
		out = append(out, Finding{severities[f.Severity], f.Key, f.Message, f.Path})
	}
	return append(out, failedChecks(g, v)...)
}

var severities = [...]string{graph.Note: "note", graph.Warning: "warning", graph.Blocker: "blocker"}

// failedChecks makes a warning of every check that does not hold.
func failedChecks(g *graph.Graph, v *exact.Values) []Finding {
	var out []Finding
	for id := range graph.ID(g.Len()) {
		n := g.Node(id)
		if n.Op != graph.Check {
			continue
		}
		if d, ok := v.Raw(id); !ok || d.IsZero() {
			out = append(out, Finding{"warning", n.Key, "does not hold: " + n.Label, n.Source.Path})
		}
	}
	return out
}
