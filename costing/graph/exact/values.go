package exact

import (
	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// Values are the figures of one evaluation.
type Values struct {
	g      *graph.Graph
	values []num
	causes []graph.ID
}

// Get gives a figure, or an [*UndefinedError] if it has no value, or a
// [*NoNodeError] if there is no such figure.
func (v *Values) Get(id graph.ID) (decimal.Decimal, error) {
	if !v.has(id) {
		return decimal.Decimal{}, &NoNodeError{ID: id}
	}
	if cause := v.causes[id]; cause != defined {
		return decimal.Decimal{}, v.undefined(id, cause)
	}
	return v.values[id].decimal(), nil
}

func (v *Values) undefined(id, cause graph.ID) *UndefinedError {
	e := &UndefinedError{Key: v.g.Key(id), Cause: v.g.Key(cause)}
	// A gap stands under the key of the figure it blanks: its words tell more than
	// "has no value".
	for _, f := range v.g.Findings() {
		if f.Severity == graph.Gap && f.Key == e.Cause {
			e.Why, e.Path = f.Message, f.Path
		}
	}
	if c := v.g.Node(cause).Decision; c != nil && c.Drawn != nil {
		e.Why = "what the draws add to " + c.Drawn.Of + " is not known, as it was not drawn or has no value in some draws"
	}
	return e
}

// Defined reports whether a figure has a value.
func (v *Values) Defined(id graph.ID) bool { return v.has(id) && v.causes[id] == defined }

// Raw gives a figure; ok is false where [Values.Get] gives an error.
func (v *Values) Raw(id graph.ID) (d decimal.Decimal, ok bool) {
	if !v.Defined(id) {
		return decimal.Decimal{}, false
	}
	return v.values[id].decimal(), true
}

// Same reports that a figure has the same value in two evaluations of one graph,
// or none in both.
func (v *Values) Same(w *Values, id graph.ID) bool {
	if v.Defined(id) && w.Defined(id) {
		return v.values[id].cmp(w.values[id]) == 0
	}
	return v.Defined(id) == w.Defined(id)
}

func (v *Values) has(id graph.ID) bool { return id >= 0 && int(id) < len(v.values) }
