package graph

import (
	"github.com/shopspring/decimal"
)

// factor is a conversion between two units of one dimension.
type factor struct {
	from, to    Unit
	coefficient int64 // with the exponent: to per from
	exponent    int32
	name, label string
}

const exactBySI = "exact by definition of the unit (SI; inch and pound of 1959)"

var factors = [...]factor{
	{Hour, Minute, 60, 0, "min-per-h", "min per h"},
	{Minute, Second, 60, 0, "s-per-min", "s per min"},
	{Metre, Mm, 1000, 0, "mm-per-m", "mm per m"},
	{Dm, Mm, 100, 0, "mm-per-dm", "mm per dm"},
	{Cm, Mm, 10, 0, "mm-per-cm", "mm per cm"},
	{Mm, Micron, 1000, 0, "um-per-mm", "µm per mm"},
	{Inch, Mm, 254, -1, "mm-per-in", "mm per in"},
	{Kilogram, Gram, 1000, 0, "g-per-kg", "g per kg"},
	{Pound, Gram, 45359237, -5, "g-per-lb", "g per lb"},
}

// Convert adds x in another unit: every power of "from" in the unit of x becomes
// the same power of "to". The factor is a fixed node of its own, so the proof
// shows it. Without a power of "from", or without a factor between the two, it
// records a fault.
func (s Scope) Convert(name, label string, x ID, from, to Unit) ID {
	if x < 0 {
		return x
	}
	f, multiply, ok := findFactor(from, to)
	power := s.Unit(x).powerOf(from)
	if !ok || power == 0 || power%2 != 0 {
		return s.b.fault(BadUnit, s.Key(name), "no conversion of %q from %q to %q", s.Unit(x), from, to)
	}
	fixed := s.b.lookup("fixed/", f.name)
	if fixed == None {
		fixed = s.Fixed(f.name, f.label, f.to.Per(f.from), decimal.New(f.coefficient, f.exponent), exactBySI)
	}
	steps := power / 2
	if steps < 0 {
		steps, multiply = -steps, !multiply
	}
	args := make([]ID, steps)
	for i := range args {
		args[i] = fixed
	}
	if multiply {
		return s.Multiply(name, label, append([]ID{x}, args...)...)
	}
	by := fixed
	if steps > 1 {
		by = s.Multiply(name+"-factor", f.label+", to the power needed", args...)
	}
	return s.Divide(name, label, x, by)
}

func findFactor(from, to Unit) (f *factor, multiply, ok bool) {
	for i := range factors {
		switch f := &factors[i]; {
		case f.from == from && f.to == to:
			return f, true, true
		case f.from == to && f.to == from:
			return f, false, true
		}
	}
	return nil, false, false
}

// powerOf gives the exponent, in halves, of a base unit within u.
func (u Unit) powerOf(base Unit) int16 {
	for i := range u.len() {
		if u.terms[i].sym == base.terms[0].sym {
			return u.terms[i].halves
		}
	}
	return 0
}
