package blank

import (
	"fmt"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// fit holds the figures that say whether a blank fits its stock and a part its
// blank; None where there is nothing to compare.
type fit struct {
	count                    graph.ID // blanks per piece of stock
	mass, blankMass, lighter graph.ID
}

// MisfitError is a blank that its stock does not yield, or a part that its blank
// cannot hold. Field is its place below the part.
type MisfitError struct{ Field, Message string }

func (e *MisfitError) Error() string { return e.Field + ": " + e.Message }

// Misfit says what of a charge cannot be at the likely values: a piece of stock
// that yields no blank, or a part heavier than its blank where neither is a range.
// A charge of nothing has no fault.
func (c Charge) Misfit(s graph.Scope, def *bom.Blank, st *bom.Stock) error {
	ids := []graph.ID{c.fit.count}
	weighed := c.fit.lighter != graph.None
	if weighed {
		ids = append(ids, c.fit.lighter, c.fit.mass, c.fit.blankMass)
	}
	w, ok := workOut(s, ids...)
	if !ok {
		return nil // the graph has a fault of its own
	}
	if n, ok := w.figure(0); ok && !n.IsPositive() {
		return tooLarge(def, st)
	}
	// With a range the likely values alone prove nothing: the check in the graph tells it.
	if !weighed || w.ranged() {
		return nil
	}
	if holds, ok := w.figure(1); ok && holds.IsZero() {
		mass, _ := w.figure(2)
		blank, _ := w.figure(3)
		return &MisfitError{"mass_g", fmt.Sprintf("the part of %s g is heavier than its blank of %s g; correct the mass, the sizes of the blank or the density of its material",
			mass, blank.StringFixed(3))}
	}
	return nil
}

// ranged reports whether figures rest on a range.
func (w workedOut) ranged() bool {
	for id := range graph.ID(w.g.Len()) {
		if w.g.Node(id).Op == graph.Range {
			return true
		}
	}
	return false
}

// tooLarge words that a piece of stock yields no blank.
func tooLarge(def *bom.Blank, st *bom.Stock) error {
	less := taken(def)
	if st.Form.Linear() {
		return &MisfitError{"blank.length_mm", fmt.Sprintf("a blank of %s mm does not fit on stock %s, a %s of %s mm%s; shorten the blank or take longer stock",
			def.LengthMM.Likely, st.ID, st.Form.Words(), st.LengthMM.Likely, less)}
	}
	field, size := "blank.length_mm", ""
	if def.DiameterMM != nil {
		field, size = "blank.diameter_mm", "diameter "+def.DiameterMM.Likely.String()
	} else {
		size = def.LengthMM.Likely.String() + " × " + def.WidthMM.Likely.String()
	}
	remedy := "make the blank smaller or take a larger " + string(st.Form)
	if def.Grain {
		remedy += ", or leave grain out if the blank may be turned"
	}
	return &MisfitError{field, fmt.Sprintf("a blank of %s mm does not fit on stock %s, a %s of %s × %s mm%s; %s",
		size, st.ID, st.Form, st.LengthMM.Likely, st.WidthMM.Likely, less, remedy)}
}

// taken words what of the stock is not there for blanks.
func taken(def *bom.Blank) string {
	var list []string
	for _, part := range []struct {
		n    *bom.Number
		word string
	}{{def.EndCutMM, "cut off the end"}, {def.BarEndMM, "of the end held"}, {def.MarginMM, "left free along each edge"}} {
		if part.n != nil && !part.n.Likely.IsZero() {
			list = append(list, part.n.Likely.String()+" mm "+part.word)
		}
	}
	if len(list) == 0 {
		return ""
	}
	return " with " + strings.Join(list, " and ")
}
