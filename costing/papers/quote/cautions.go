package quote

import "slices"

const dutyCaution = "Duty, tax and classification are estimates as of the day stated and not advice; a licensed broker or the authority decides."

// cautions are what the buyer must know of the goods, and what the document
// cannot promise.
func (w *work) cautions() []string {
	var out []string
	for _, l := range w.lines {
		p, _ := w.product(l.variant.Line.Product)
		for _, note := range p.Safety {
			if !slices.Contains(out, note) {
				out = append(out, note)
			}
		}
	}
	if len(out) == 0 {
		out = append(out, "Mains-powered goods need the tests and marks of their market; strong magnets and lithium cells are restricted in air freight.")
	}
	return append(out, dutyCaution)
}
