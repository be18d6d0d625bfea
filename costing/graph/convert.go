package graph

import (
	"github.com/shopspring/decimal"
)

// factor is a conversion between two units of one dimension.
type factor struct {
	from, to Unit
	value    decimal.Decimal // to per from
	cite     string
}

const exactBySI = "exact by definition of the unit (SI; inch and pound of 1959)"

func factors() []factor {
	return []factor{
		{Hour, Minute, decimal.New(60, 0), exactBySI},
		{Minute, Second, decimal.New(60, 0), exactBySI},
		{Metre, Mm, decimal.New(1000, 0), exactBySI},
		{Dm, Mm, decimal.New(100, 0), exactBySI},
		{Cm, Mm, decimal.New(10, 0), exactBySI},
		{Mm, Micron, decimal.New(1000, 0), exactBySI},
		{Inch, Mm, decimal.New(254, -1), exactBySI},
		{Kilogram, Gram, decimal.New(1000, 0), exactBySI},
		{Pound, Gram, decimal.New(45359237, -5), exactBySI},
	}
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
	fixed := s.Fixed(keyForm(f.to)+"-per-"+keyForm(f.from), f.to.String()+" per "+f.from.String(),
		f.to.Per(f.from), f.value, f.cite)
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
		by = s.Multiply(name+"-factor", f.to.String()+" per "+f.from.String()+", to the power needed", args...)
	}
	return s.Divide(name, label, x, by)
}

func findFactor(from, to Unit) (f factor, multiply, ok bool) {
	for _, f := range factors() {
		if f.from == from && f.to == to {
			return f, true, true
		}
		if f.from == to && f.to == from {
			return f, false, true
		}
	}
	return factor{}, false, false
}

// powerOf gives the exponent, in halves, of a base unit within u.
func (u Unit) powerOf(base Unit) int16 {
	for i := range u.n {
		if u.terms[i].sym == base.terms[0].sym {
			return u.terms[i].halves
		}
	}
	return 0
}
