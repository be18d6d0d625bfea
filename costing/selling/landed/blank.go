package landed

import (
	"errors"
	"fmt"
	"strings"

	"kerfbook/costing/graph"
)

// gap writes a figure without a value, which stands for what the book lacks for one
// regime. A finding under its key says why whatever rests on it is blank.
func (w *work) gap(s graph.Scope, regime string, missing []error) graph.ID {
	var texts []string
	source := graph.Source{Where: "destination " + w.ctx.Destination.Place(), Path: w.ctx.Path}
	for _, m := range Missing(errors.Join(missing...)) {
		texts = append(texts, m.What)
		source.Path = m.Path
	}
	s = s.From(source)
	text := "destination " + w.ctx.Destination.Place() + ", " + regime + ": " + strings.Join(texts, "; ")
	s.Find(graph.Gap, "missing", text)
	// 0 ÷ 0 has no value in any evaluator, the spreadsheet included, and passes that on to
	// whatever takes this regime; figures of other regimes are not touched.
	return s.Divide("missing", text, s.Zero(w.money), s.Zero(graph.Plain))
}

// blankOutcome is what a regime makes of a consignment where the book lacks what
// the regime needs.
func blankOutcome(gap graph.ID) outcome {
	return outcome{value: gap, duty: gap, charges: gap, base: gap, tax: gap, clearance: gap, atSeller: gap, atDoor: gap}
}

// blankBackward is what such a regime reads out of a price.
func (w *work) blankBackward(gap graph.ID) backward {
	b := backward{net: gap, sum: gap, worth: gap, fees: gap}
	for range w.consignment.Lines {
		b.values = append(b.values, gap)
	}
	return b
}

// MissingError is something a consignment needs and the book lacks. Path is the
// place in the book where it can be added or corrected.
type MissingError struct {
	Place string // the destination
	What  string
	Path  string
}

func (e *MissingError) Error() string {
	return fmt.Sprintf("%s: %s", e.Path, e.Text())
}

// Text says what is missing without its place in the book.
func (e *MissingError) Text() string { return fmt.Sprintf("destination %s: %s", e.Place, e.What) }

// Missing takes an error of [Build] apart.
func Missing(err error) []*MissingError {
	var out []*MissingError
	for _, e := range graph.Joined(err) {
		var one *MissingError
		if e != err { // a place of its own may lack several things
			out = append(out, Missing(e)...)
		} else if errors.As(e, &one) {
			out = append(out, one)
		}
	}
	return out
}
