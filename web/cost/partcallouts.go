package cost

import (
	"kerfbook/bom"
	"kerfbook/web/frame"
)

// callOutBlock is what each demand of a drawing costs.
type callOutBlock struct {
	Rows []callOutRow
	More int
}

// callOutRow is one demand with what it is compared with.
type callOutRow struct {
	What, Against         string
	Relaxed, Drawn, Costs frame.Fig
	Fault, TryHref        string
}

// callOuts compares the demands of a part in the batch of the view; nil where
// there are none.
func callOuts(c *frame.Call, part bom.ID) (*callOutBlock, error) {
	found, err := c.Site.Service.CallOuts(c.R.Context(), c.View.Lines, c.View.Day, part)
	if err != nil || len(found.List) == 0 {
		return nil, err
	}
	out := &callOutBlock{More: found.More}
	link := frame.Prover(c.View)
	for _, one := range found.List {
		relaxed := link.ChangedBy(one.Change)
		row := callOutRow{What: one.What, Against: one.Relaxed, Fault: one.Fault, TryHref: c.ChangeHref(one.Change)}
		row.Relaxed, row.Drawn = relaxed.Money(one.Cost.Before), link.Money(one.Cost.After)
		if one.Cost.Difference.Key != "" {
			row.Costs = link.Money(one.Cost.Difference)
			row.Costs.Href, row.Costs.Text = relaxed.Href(one.Cost.After.Key), frame.Signed(row.Costs)
		}
		out.Rows = append(out.Rows, row)
	}
	return out, nil
}
