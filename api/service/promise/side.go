package promise

import (
	"cmp"
	"fmt"

	"kerfbook/api/answer"
	"kerfbook/api/answer/study"
	"kerfbook/bom"
	"kerfbook/costing/ask/compare"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/papers/quote"
)

// todayValid is how long a quote would be valid that is computed only to be
// compared.
const todayValid = 30

// Side makes a quote a side of a comparison: as it was issued or, if that is asked
// for, what it asks for computed from a book as it is today.
func (kept Quote) Side(b *book.Book, today bom.Date, side study.DifferenceSide) (*study.SideFigures, error) {
	d := kept.Document
	if side.Today {
		req := d.Inputs.Request
		req.ValidDays, req.ValidUntil = todayValid, ""
		var err error
		if d, err = quote.Build(b, req, today); err != nil {
			return nil, Unquotable(err)
		}
	}
	stored, values, err := d.Computed()
	if err != nil {
		return nil, answer.Unexpected(err)
	}
	var mix []estimate.MixLine
	for _, l := range d.Inputs.Mix {
		if l.Part != "" {
			mix = append(mix, estimate.MixLine{Part: bom.ID(l.Part)})
			continue
		}
		mix = append(mix, estimate.MixLine{Product: bom.ID(l.Product), Trim: bom.ID(l.Trim)})
	}
	g := stored.Renamed(func(n *graph.Node) string { // as what was issued later names it
		if n.Kind == graph.Input {
			return estimate.Renamed(b, mix, n.Key)
		}
		return estimate.RenamedFigure(n.Key)
	})
	headline := estimate.RenamedFigure(cmp.Or(side.Figure, "variant/"+d.Inputs.Mix[0].Trim+"/each/full"))
	out := &study.SideFigures{Side: compare.Side{Graph: g, Headline: headline},
		Shown: study.SideAnswer{Day: d.Inputs.Day, Quote: side.Quote, Revision: kept.Revision, Today: side.Today}}
	out.Pins = exact.Pins{}
	for id, v := range answer.Drawn(stored, values) {
		if here, there := g.Find(stored.Node(id).Key); there {
			out.Pins[here] = v
		}
	}
	for _, l := range d.Inputs.Mix {
		line := answer.MixLine{Product: bom.ID(l.Product), Trim: l.Trim, Part: bom.ID(l.Part)}
		if id, ok := g.Find("mix/" + l.Trim); ok {
			n := g.Node(id)
			line.Quantity = answer.Figure{Key: n.Key, Label: n.Label, Value: l.Quantity, Unit: n.Unit.String()}
		}
		out.Shown.Mix = append(out.Shown.Mix, line)
	}
	out.Shown.Words = fmt.Sprintf("quote %s revision %d of %s", side.Quote, kept.Revision, kept.IssuedOn)
	if side.Today {
		out.Shown.Words = fmt.Sprintf("quote %s revision %d, computed for %s", side.Quote, kept.Revision, d.Inputs.Day)
	}
	return out, out.Find()
}
