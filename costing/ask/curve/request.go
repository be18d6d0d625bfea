package curve

import (
	"fmt"
	"maps"
	"slices"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// Limits of a request.
const (
	MaxPoints   = 20_000        // quantities in one sweep
	MaxFigures  = 100           // figures in one sweep
	MaxQuantity = 1_000_000_000 // pieces of any line
)

// Request says what is drawn over which quantities.
type Request struct {
	// Figures are what is drawn: full cost per piece, a cost kind, a price.
	Figures []graph.ID
	// Lines are the quantity inputs that move: one line of a mix, or several that
	// move together.
	Lines []Line
	// From and To are the first and the last quantity.
	From, To int64
	// Hold are figures held at other than their likely values.
	Hold exact.Pins
	// Batch says what the batch costs, as a sum of products; it is what the
	// effects of breaks are measured in. Without it breaks have no effects.
	Batch []Product
	// Marks are quantities to be evaluated exactly, such as the ticks of an axis.
	Marks []int64
}

// Line is a quantity input that is Per × the quantity of the sweep, so that the
// lines of a mix can move at a fixed ratio. Per 0 means 1.
type Line struct {
	Quantity graph.ID
	Per      int64
}

// Product is a share of the batch cost: a cost per piece and the pieces.
type Product struct {
	Each, Pieces graph.ID
}

func (r Request) check(g *graph.Graph) error {
	for _, check := range []func(*graph.Graph) error{r.checkRange, r.checkFigures, r.checkLines, r.checkHold, r.checkMarks} {
		if err := check(g); err != nil {
			return err
		}
	}
	return nil
}

func (r Request) checkRange(*graph.Graph) error {
	switch {
	case r.From < 1:
		return &RequestError{"from", fmt.Sprintf("a batch of %d pieces is none", r.From), "start from 1 or more"}
	case r.To < r.From:
		return &RequestError{"to", fmt.Sprintf("the range ends at %d, before it starts at %d", r.To, r.From), "give the smaller quantity first"}
	case r.To > MaxQuantity:
		return &RequestError{"to", fmt.Sprintf("%d pieces are more than the %d that can be drawn", r.To, MaxQuantity), "end the range earlier"}
	case r.To-r.From >= MaxPoints:
		return &RequestError{"to", fmt.Sprintf("%d quantities are more than the %d of one curve", r.To-r.From+1, MaxPoints), "draw the range in pieces"}
	}
	return nil
}

func (r Request) checkFigures(g *graph.Graph) error {
	switch {
	case len(r.Figures) == 0:
		return &RequestError{"figures", "nothing is drawn", "name at least one figure"}
	case len(r.Figures) > MaxFigures:
		return &RequestError{"figures", fmt.Sprintf("%d figures are more than the %d of one sweep", len(r.Figures), MaxFigures), "draw them in several sweeps"}
	}
	for i, id := range r.Figures {
		if err := known(g, id, fmt.Sprintf("figures[%d]", i)); err != nil {
			return err
		}
	}
	for i, p := range r.Batch {
		if err := known(g, p.Each, fmt.Sprintf("batch[%d].each", i)); err != nil {
			return err
		}
		if err := known(g, p.Pieces, fmt.Sprintf("batch[%d].pieces", i)); err != nil {
			return err
		}
	}
	return nil
}

func known(g *graph.Graph, id graph.ID, field string) error {
	if id < 0 || int(id) >= g.Len() {
		return &RequestError{field, fmt.Sprintf("there is no figure %d", id), "take an ID of this graph"}
	}
	return nil
}

func (r Request) checkLines(g *graph.Graph) error {
	if len(r.Lines) == 0 {
		return &RequestError{"lines", "no quantity moves", "name at least one quantity of the mix"}
	}
	seen := map[graph.ID]bool{}
	for i, l := range r.Lines {
		field := fmt.Sprintf("lines[%d]", i)
		if err := known(g, l.Quantity, field+".quantity"); err != nil {
			return err
		}
		_, held := r.Hold[l.Quantity]
		switch {
		case seen[l.Quantity]:
			return &RequestError{field + ".quantity", g.Node(l.Quantity).Key + " is named twice", "name each quantity once"}
		case held:
			return &RequestError{field + ".quantity", g.Node(l.Quantity).Key + " is held and moved", "take it out of hold, or out of lines"}
		case l.Per < 0 || l.Per > MaxQuantity || l.per() > MaxQuantity/r.To:
			return &RequestError{field + ".per", fmt.Sprintf("%d × %d pieces cannot be drawn", l.Per, r.To), fmt.Sprintf("keep the quantity within 1 and %d", MaxQuantity)}
		}
		seen[l.Quantity] = true
	}
	return nil
}

func (l Line) per() int64 { return max(l.Per, 1) }

func (r Request) checkHold(g *graph.Graph) error {
	for _, id := range slices.Sorted(maps.Keys(r.Hold)) {
		if err := known(g, id, fmt.Sprintf("hold[%d]", id)); err != nil {
			return err
		}
		if r.Hold[id].NumDigits() > 34 {
			return &RequestError{fmt.Sprintf("hold[%d]", id), g.Node(id).Key + " is held at more than 34 digits", "give at most 34"}
		}
	}
	return nil
}

func (r Request) checkMarks(*graph.Graph) error {
	for i, q := range r.Marks {
		if q < r.From || q > r.To {
			return &RequestError{fmt.Sprintf("marks[%d]", i), fmt.Sprintf("%d is outside the range from %d to %d", q, r.From, r.To), "mark quantities of the range"}
		}
	}
	return nil
}
