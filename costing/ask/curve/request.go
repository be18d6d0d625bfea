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
	MaxQuantity = 1_000_000_000 // pieces
)

// Request says what is drawn over which quantities.
type Request struct {
	// Figures are what is drawn: full cost per piece, a cost kind, a price.
	Figures []graph.ID
	// Quantity is the input that moves, From and To its first and last value.
	Quantity graph.ID
	From, To int64
	// Hold are figures held at other than their likely values.
	Hold exact.Pins
	// Full is the cost per piece. By it the effects of breaks are measured, in what
	// the batch costs; without it they have none.
	Full *graph.ID
	// Marks are quantities to be evaluated exactly, such as the ticks of an axis.
	Marks []int64
}

func (r Request) check(g *graph.Graph) error {
	_, held := r.Hold[r.Quantity]
	switch {
	case r.From < 1:
		return &RequestError{"from", fmt.Sprintf("a batch of %d pieces is none", r.From), "start from 1 or more"}
	case r.To < r.From:
		return &RequestError{"to", fmt.Sprintf("the range ends at %d, before it starts at %d", r.To, r.From), "give the smaller quantity first"}
	case r.To > MaxQuantity:
		return &RequestError{"to", fmt.Sprintf("%d pieces are more than the %d that can be drawn", r.To, MaxQuantity), "end the range earlier"}
	case r.To-r.From >= MaxPoints:
		return &RequestError{"to", fmt.Sprintf("%d quantities are more than the %d of one curve", r.To-r.From+1, MaxPoints), "draw the range in pieces"}
	case len(r.Figures) == 0:
		return &RequestError{"figures", "nothing is drawn", "name at least one figure"}
	case len(r.Figures) > MaxFigures:
		return &RequestError{"figures", fmt.Sprintf("%d figures are more than the %d of one sweep", len(r.Figures), MaxFigures), "draw them in several sweeps"}
	case held:
		return &RequestError{"quantity", "it is held and moved", "take it out of hold"}
	}
	for i, id := range r.Figures {
		if err := known(g, id, fmt.Sprintf("figures[%d]", i)); err != nil {
			return err
		}
	}
	if err := known(g, r.Quantity, "quantity"); err != nil {
		return err
	}
	if r.Full != nil {
		if err := known(g, *r.Full, "full"); err != nil {
			return err
		}
	}
	for _, id := range slices.Sorted(maps.Keys(r.Hold)) {
		field := fmt.Sprintf("hold[%d]", id)
		if err := known(g, id, field); err != nil {
			return err
		}
		if r.Hold[id].NumDigits() > 34 {
			return &RequestError{field, g.Node(id).Key + " is held at more than 34 digits", "give at most 34"}
		}
	}
	for i, q := range r.Marks {
		if q < r.From || q > r.To {
			return &RequestError{fmt.Sprintf("marks[%d]", i), fmt.Sprintf("%d is outside the range from %d to %d", q, r.From, r.To), "mark quantities of the range"}
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
