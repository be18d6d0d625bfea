package curve

import (
	"context"
	"fmt"
	"math"

	"github.com/shopspring/decimal"
)

// Lower says which of two figures is the lower one.
type Lower int8

// The answers.
const (
	First  Lower = -1
	Equal  Lower = 0
	Second Lower = 1
)

// Comparison is two curves against one another.
type Comparison struct {
	// Stretches part the range by which figure is lower.
	Stretches []Stretch
	// Crossings are where one stretch ends: "the first is lower up to q, the second
	// from q+1"; a stretch on which they are equal, if only at one quantity, is one
	// crossing with its neighbours.
	Crossings []Crossing
}

// Stretch is quantities over which one figure is the lower one, or none.
type Stretch struct {
	From, To int64
	Lower    Lower
}

// Crossing is where the order of two figures changes.
type Crossing struct {
	UpTo, From int64 // the last quantity before, the first after
	Before     Lower // up to UpTo; Equal where the range begins on the crossing
	After      Lower // from From; Equal where the range ends on it
	// Level is the quantities between at which the figures are equal; nil for none.
	Level *Level
	// Values are the two figures at UpTo and at From, exactly; at the ends of Level
	// where the range has none.
	Values [2]Pair
}

// Level is quantities, both included, at which two figures are equal.
type Level struct{ From, To int64 }

// Pair is the two figures at one quantity.
type Pair struct {
	Quantity      int64
	First, Second decimal.Decimal
}

// Touches reports that the figures only meet: the same one is lower before and
// after.
func (c Crossing) Touches() bool { return c.Before == c.After && c.Before != Equal }

// Crossings compares two curves over one range, of one graph or two, with or without
// figures held, at every quantity, equal by the ninth place, and gives all their
// crossings.
func Crossings(ctx context.Context, a, b *Curve) (*Comparison, error) {
	if a.Figure.Unit != b.Figure.Unit {
		return nil, &RequestError{"second", fmt.Sprintf("%q cannot be compared with %q", b.Figure.Unit, a.Figure.Unit), "compare figures in one unit"}
	}
	if a.From != b.From || a.To != b.To {
		return nil, &RequestError{"second", "the curves have other quantities", "draw both over one range"}
	}
	out := &Comparison{}
	for q := a.From; q <= a.To; q++ {
		if (q-a.From)%256 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		lower, err := lowerAt(a, b, q)
		if err != nil {
			return nil, err
		}
		if n := len(out.Stretches); n > 0 && out.Stretches[n-1].Lower == lower {
			out.Stretches[n-1].To = q
		} else {
			out.Stretches = append(out.Stretches, Stretch{q, q, lower})
		}
	}
	out.Crossings = out.between()
	for i := range out.Crossings {
		c := &out.Crossings[i]
		for k, q := range []int64{c.UpTo, c.From} {
			var err error
			if c.Values[k], err = pairAt(a, b, q); err != nil {
				return nil, err
			}
		}
	}
	return out, nil
}

// lowerAt compares at one quantity; where binary numbers could be wrong, exactly.
func lowerAt(a, b *Curve, q int64) (Lower, error) {
	x, y := a.Values[q-a.From], b.Values[q-b.From]
	if math.Abs(x-y) > 2/snapUnit+blur(x)+blur(y) {
		if x < y {
			return First, nil
		}
		return Second, nil
	}
	p, err := pairAt(a, b, q)
	return Lower(order(p.First, p.Second)), err
}

func pairAt(a, b *Curve, q int64) (p Pair, err error) {
	p.Quantity = q
	if p.First, err = a.At(q); err != nil {
		return p, err
	}
	p.Second, err = b.At(q)
	return p, err
}

// between reads the crossings off the stretches.
func (c *Comparison) between() (out []Crossing) {
	s := c.Stretches
	for i := range s {
		switch {
		case s[i].Lower == Equal && len(s) > 1:
			x := Crossing{UpTo: s[i].From, From: s[i].To, Level: &Level{s[i].From, s[i].To}}
			if i > 0 {
				x.UpTo, x.Before = s[i-1].To, s[i-1].Lower
			}
			if i+1 < len(s) {
				x.From, x.After = s[i+1].From, s[i+1].Lower
			}
			out = append(out, x)
		case s[i].Lower != Equal && i+1 < len(s) && s[i+1].Lower != Equal:
			out = append(out, Crossing{UpTo: s[i].To, From: s[i+1].From, Before: s[i].Lower, After: s[i+1].Lower})
		}
	}
	return out
}
