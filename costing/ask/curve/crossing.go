package curve

import (
	"context"
	"fmt"
	"math"

	"github.com/shopspring/decimal"
)

// Side is one of two figures that are compared: of one curve or two, of one graph
// or two, with or without figures held.
type Side struct {
	Curve  *Curve
	Figure int
}

// Lower says which of two figures is the lower one.
type Lower int8

// The answers.
const (
	First  Lower = -1
	Equal  Lower = 0
	Second Lower = 1
)

// Comparison is two figures against one another, over the quantities that both
// curves have.
type Comparison struct {
	From, To int64
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

// Crossings compares two figures at every quantity, equal by the ninth place, and
// gives all their crossings.
func Crossings(ctx context.Context, a, b Side) (*Comparison, error) {
	d, err := newDuel(a, b)
	if err != nil {
		return nil, err
	}
	for q := d.out.From; q <= d.out.To; q++ {
		if (q-d.out.From)%256 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		lower, err := d.at(q)
		if err != nil {
			return nil, err
		}
		if n := len(d.out.Stretches); n > 0 && d.out.Stretches[n-1].Lower == lower {
			d.out.Stretches[n-1].To = q
		} else {
			d.out.Stretches = append(d.out.Stretches, Stretch{q, q, lower})
		}
	}
	return d.out, d.cross()
}

type duel struct {
	a, b Side
	out  *Comparison
}

func newDuel(a, b Side) (*duel, error) {
	for _, s := range []struct {
		name string
		Side
	}{{"first", a}, {"second", b}} {
		if s.Curve == nil || s.Figure < 0 || s.Figure >= len(s.Curve.Figures) {
			return nil, &RequestError{s.name, fmt.Sprintf("the curve has no figure %d", s.Figure), "give a curve and the place of a figure in its request"}
		}
	}
	if ua, ub := a.Curve.Figures[a.Figure].Unit, b.Curve.Figures[b.Figure].Unit; ua != ub {
		return nil, &RequestError{"second", fmt.Sprintf("%q cannot be compared with %q", ub, ua), "compare figures in one unit"}
	}
	out := &Comparison{From: max(a.Curve.From, b.Curve.From), To: min(a.Curve.To, b.Curve.To)}
	if out.From > out.To {
		return nil, &RequestError{"second", "the curves have no quantity in common", "draw both over one range"}
	}
	return &duel{a, b, out}, nil
}

// at compares at one quantity; where binary numbers could be wrong, exactly.
func (d *duel) at(q int64) (Lower, error) {
	x, y := d.a.value(q), d.b.value(q)
	if math.Abs(x-y) > 2/snapUnit+blur(x)+blur(y) {
		if x < y {
			return First, nil
		}
		return Second, nil
	}
	p, err := d.pair(q)
	return Lower(order(p.First, p.Second)), err
}

func (s Side) value(q int64) float64 { return s.Curve.Values[s.Figure][q-s.Curve.From] }

func (d *duel) pair(q int64) (p Pair, err error) {
	p.Quantity = q
	if p.First, err = d.a.Curve.exact(d.a.Figure, q); err != nil {
		return p, err
	}
	p.Second, err = d.b.Curve.exact(d.b.Figure, q)
	return p, err
}

// cross reads the crossings off the stretches.
func (d *duel) cross() error {
	s := d.out.Stretches
	for i := range s {
		var c Crossing
		switch {
		case s[i].Lower == Equal && len(s) > 1:
			c = Crossing{UpTo: max(s[i].From-1, d.out.From), From: min(s[i].To+1, d.out.To), Level: &Level{s[i].From, s[i].To}}
			if i > 0 {
				c.Before = s[i-1].Lower
			}
			if i+1 < len(s) {
				c.After = s[i+1].Lower
			}
		case s[i].Lower != Equal && i+1 < len(s) && s[i+1].Lower != Equal:
			c = Crossing{UpTo: s[i].To, From: s[i+1].From, Before: s[i].Lower, After: s[i+1].Lower}
		default:
			continue
		}
		for k, q := range []int64{c.UpTo, c.From} {
			p, err := d.pair(q)
			if err != nil {
				return err
			}
			c.Values[k] = p
		}
		d.out.Crossings = append(d.out.Crossings, c)
	}
	return nil
}
