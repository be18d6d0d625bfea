// Package proof gives the reasons behind a figure: what it was computed from, by
// which formula, and where the numbers came from, level by level.
package proof

import (
	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// Values are the figures of an evaluated graph.
type Values interface {
	// Raw gives the value of a node; ok is false where it is undefined.
	Raw(id graph.ID) (value decimal.Decimal, ok bool)
}

// Step is one figure with its reasons. Value is the exact figure, empty where it
// is undefined.
type Step struct {
	Key   string `json:"key"`
	Label string `json:"label"`
	Of    string `json:"of,omitempty"` // the thing it is a figure of
	Value string `json:"value"`
	// AtLeast stands in the place of Value where what is missing can only add to it;
	// where neither is given, Without says what is missing.
	AtLeast    string        `json:"at_least,omitempty"`
	Without    []string      `json:"without,omitempty"`
	Unit       string        `json:"unit,omitempty"`
	Operation  string        `json:"operation"`
	Comparison string        `json:"comparison,omitempty"`
	Bands      []graph.Bands `json:"bands,omitempty"`
	How        string        `json:"how"`
	Formula    string        `json:"formula,omitempty"`
	Low        string        `json:"low,omitempty"`   // of a range
	High       string        `json:"high,omitempty"`  // of a range
	Shape      string        `json:"shape,omitempty"` // of a range: how its values are spread
	SD         string        `json:"sd,omitempty"`    // of a normal range: deviation before it is cut off
	Source     graph.Source  `json:"source"`
	// OutOfDateDays is the age of the oldest price it rests on that has run out.
	OutOfDateDays int      `json:"out_of_date_days,omitempty"`
	Arguments     []string `json:"arguments,omitempty"` // keys, in order
	Steps         []Step   `json:"steps,omitempty"`     // one per argument, those already shown by key only
	// InPlaceOf is the key of the computed figure in whose place the number was
	// entered.
	InPlaceOf string `json:"in_place_of,omitempty"`
	Again     bool   `json:"again,omitempty"` // shown before; not opened again
	More      bool   `json:"more,omitempty"`  // has reasons beyond the depth asked for
}

// Explain opens the reasons behind a figure down to a depth; 0 gives the figure
// alone, a negative depth everything. A figure met a second time is referred to.
func Explain(g *graph.Graph, values Values, id graph.ID, depth int) Step {
	e := explainer{g: g, values: values, seen: map[graph.ID]bool{}, ages: Ages(g, values), standing: Standing(g, values)}
	return e.step(id, depth)
}

type explainer struct {
	g        *graph.Graph
	values   Values
	seen     map[graph.ID]bool
	ages     []int // nil where no price has run out
	standing *graph.Standing
}

func (e *explainer) step(id graph.ID, depth int) Step {
	n := e.g.Node(id)
	s := e.describe(id, n)
	switch {
	case len(n.Args) == 0:
	case e.seen[id]:
		s.Again = true
	case depth == 0:
		s.More = true
	default:
		e.seen[id] = true
		s.Steps = make([]Step, len(n.Args))
		for i, a := range n.Args {
			s.Steps[i] = e.step(a, depth-1)
		}
	}
	return s
}

func (e *explainer) describe(id graph.ID, n graph.Node) Step {
	s := Step{
		Key: n.Key, Label: n.Label, Of: n.Of, Unit: n.Unit.String(), Operation: n.Op.String(), Formula: n.Formula, Bands: n.Axes,
		How:    phrase(e.g, n),
		Source: n.Source,
	}
	if n.Decision != nil && n.Decision.Drawn != nil {
		s.How += e.standardError(n.Decision.Drawn)
	}
	if e.ages != nil {
		s.OutOfDateDays = e.ages[id]
	}
	told := Tell(e.g, e.values, e.standing, id)
	s.Value, s.AtLeast, s.Without = told.Value, told.AtLeast, told.Without
	if computed, ok := e.g.Computed(n.Key); ok {
		s.InPlaceOf = e.g.Node(computed).Key
	}
	if n.Op == graph.Range {
		s.Low, s.High, s.Shape = n.Low.String(), n.High.String(), n.Shape.String()
		if !n.SD.IsZero() {
			s.SD = n.SD.String()
		}
	}
	if n.Op == graph.Choose || n.Op == graph.Check {
		s.Comparison = n.Compare.Symbol()
	}
	for _, a := range n.Args {
		s.Arguments = append(s.Arguments, e.g.Node(a).Key)
	}
	return s
}

// standardError says how well a statistic of draws is known.
func (e *explainer) standardError(d *graph.Draws) string {
	id, there := e.g.Find(d.Error)
	if !there {
		return ""
	}
	v, known := e.values.Raw(id)
	if !known {
		return "; not drawn"
	}
	return "; standard error " + v.String()
}
