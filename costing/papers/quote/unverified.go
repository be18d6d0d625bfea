package quote

import (
	"fmt"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// UnverifiedError is a quote that rests on rows without a source, or on prices that
// have run out, which nobody has confirmed.
type UnverifiedError struct {
	Rows   []UnverifiedRow
	RanOut []RanOut
}

func (e *UnverifiedError) Error() string {
	var rows []string
	for _, r := range e.Rows {
		rows = append(rows, r.Where+" has no source")
	}
	for _, r := range e.RanOut {
		rows = append(rows, r.Words())
	}
	return fmt.Sprintf("the quote rests on what must be looked at and confirmed: %s", strings.Join(rows, "; "))
}

// Words says what ran out, and when.
func (r RanOut) Words() string {
	return fmt.Sprintf("%s ran out on %s", r.Where, r.On.Words())
}

// Issuable says whether the document may be sent. The error is an
// *UnverifiedError.
func (d *Document) Issuable() error {
	if len(d.Unverified)+len(d.RanOut) > 0 && !d.Confirmed {
		return &UnverifiedError{d.Unverified, d.RanOut}
	}
	return nil
}

// UnverifiedAbroad are the rows that decide how the goods fare at the destination, which
// the buyer is told of, beside those that the seller's own price rests on.
func (d *Document) UnverifiedAbroad() []UnverifiedRow {
	return slices.DeleteFunc(slices.Clone(d.Unverified), func(r UnverifiedRow) bool { return r.OfPrice })
}

// unverified lists the rows without a source that a figure of the document rests on, and
// records that nobody has confirmed since they came with the program, each once, and those
// that decided how the consignment is treated.
func (a *assembly) unverified() []UnverifiedRow {
	var prices []graph.ID
	for _, l := range a.work.lines {
		prices = append(prices, l.price)
	}
	rests, ofPrice := a.rests(), a.g.Reached(prices, a.moving)
	out, named := []UnverifiedRow{}, map[string]bool{}
	for id := range graph.ID(a.g.Len()) {
		src := a.g.Source(id)
		if !rests[id] || src == nil || named[src.Where] {
			continue
		}
		switch row := (UnverifiedRow{src.Where, src.CheckedOn, a.g.Key(id), ofPrice[id]}); {
		case rates.Taken(src.Cite):
			row.Where += " as it came with the program"
			fallthrough
		case src.Unverified:
			named[src.Where] = true
			out = append(out, row)
		}
	}
	return append(out, a.blockers(named)...)
}

// ranOut lists the prices past their day that a figure of the document rests on.
func (a *assembly) ranOut() []RanOut {
	var out []RanOut
	for id, rests := range a.rests() {
		src := a.g.Source(graph.ID(id))
		if rests && src != nil && src.RanOut != "" && !slices.ContainsFunc(out, func(r RanOut) bool { return r.Where == src.Where }) {
			out = append(out, RanOut{src.Where, bom.Date(src.RanOut), src.AgeDays, a.g.Key(graph.ID(id))})
		}
	}
	return out
}

// rests tells, per figure, whether one of the document rests on it.
func (a *assembly) rests() []bool { return a.g.Reached(a.shown, a.moving) }

// moving are the figures that one moves with: what is multiplied by an entered 0, such as
// minutes of a person at a machine whose hour rate has the person in it, moves nothing.
func (a *assembly) moving(id graph.ID) []graph.ID {
	of := a.g.Operation(id)
	for _, f := range of.Args {
		if n := a.g.Node(f); of.Op == graph.Multiply && n.Op == graph.Constant && n.Missing == "" && n.Value.IsZero() {
			return []graph.ID{f}
		}
	}
	return of.Args
}

// blockers are the rows that stopped the consignment without being a figure.
func (a *assembly) blockers(named map[string]bool) []UnverifiedRow {
	prefix := "destination/" + a.destination.Place() + "/" + consignmentKey
	var out []UnverifiedRow
	for _, f := range a.g.Findings() {
		where, _, ok := strings.Cut(f.Message, " has no source")
		if f.Severity != graph.Blocker || !strings.HasPrefix(f.Key, prefix) || !ok || named[where] {
			continue
		}
		named[where] = true
		out = append(out, UnverifiedRow{Where: where})
	}
	return out
}

const dutyCaution = "Duty, tax and classification are estimates as of the day stated and not advice; a licensed broker or the authority decides."

// cautions are what the buyer must know of the goods, and what the document
// cannot promise.
func (w *work) cautions() []string {
	var out []string
	parts := true
	for _, l := range w.lines {
		g, _ := w.goodsOf(l.variant.Line)
		parts = parts && l.variant.Line.Part != ""
		for _, note := range g.Safety {
			if !slices.Contains(out, note) {
				out = append(out, note)
			}
		}
	}
	if len(out) == 0 && !parts {
		out = append(out, "Mains-powered goods need the tests and marks of their market; strong magnets and lithium cells are restricted in air freight.")
	}
	return append(out, dutyCaution)
}
