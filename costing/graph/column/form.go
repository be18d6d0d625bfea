package column

import "math"

// reg names a column while a plan is being made: one that is given, one that holds
// a constant, or the result of one step.
type reg int32

const noReg reg = -1

// form is a figure as a polynomial of columns: base + Σ k·x + Σ k·x·y. Sums,
// differences and products with what does not vary only change the form; nothing
// is computed per draw until the figure is needed as a column.
//
// Terms are never dropped, not even with k = 0: a draw that has no x has no sum.
type form struct {
	base  float64
	terms []term
}

type term struct {
	k    float64
	x, y reg // y is noReg in a linear term
}

// undefined is the form of a figure that has no value in any draw.
func undefined() form { return form{base: math.NaN()} }

// of is the form of a column.
func of(r reg) form { return form{terms: []term{{1, r, noReg}}} }

// fixed reports that a form is the same for every draw.
func (f form) fixed() bool { return len(f.terms) == 0 }

// single gives a form that is k·x.
func (f form) single() (t term, ok bool) {
	if f.base != 0 || len(f.terms) != 1 || f.terms[0].y != noReg {
		return term{}, false
	}
	return f.terms[0], true
}

// pure gives a form that is a column as it stands.
func (f form) pure() (r reg, ok bool) {
	t, ok := f.single()
	return t.x, ok && t.k == 1
}

// cost is the number of columns to read.
func (f form) cost() int {
	n := len(f.terms)
	for _, t := range f.terms {
		if t.y != noReg {
			n++
		}
	}
	return n
}

// plus gives f + k·g; f may be changed.
func (f form) plus(g form, k float64) form {
	// Converted, so that no machine fuses the two roundings (see loops.go).
	f.base += float64(g.base * k)
	if math.IsNaN(f.base) || math.IsNaN(k) {
		return undefined()
	}
	for _, t := range g.terms {
		f.terms = joined(f.terms, term{float64(t.k * k), t.x, t.y})
	}
	return f
}

func joined(terms []term, t term) []term {
	for i := range terms {
		if terms[i].x == t.x && terms[i].y == t.y {
			terms[i].k += t.k
			return terms
		}
	}
	return append(terms, t)
}

// times gives k·f.
func (f form) times(k float64) form { return form{}.plus(f, k) }

// polynomials computes a form: its base, then its terms one after another, linear ones
// first.
func polynomials(c *Columns, s *step, n int) {
	out := c.cols[s.out][:n]
	for i := range out {
		out[i] = s.base
	}
	args, at := s.args, 0
	for ; at+1 < s.linear; at += 2 {
		loopAddTwo(out, c.cols[args[at]], c.cols[args[at+1]], s.k[at], s.k[at+1])
	}
	if at < s.linear {
		loopAddLinear(out, c.cols[args[at]], s.k[at])
	}
	for i, k := range s.k[s.linear:] {
		at := s.linear + 2*i
		loopAddProduct(out, c.cols[args[at]], c.cols[args[at+1]], k)
	}
}

// polynomial adds the step that computes a form.
func (m *compiler) polynomial(f form) form {
	s := step{do: polynomials, base: f.base}
	var args []reg
	for _, products := range []bool{false, true} {
		for _, t := range f.terms {
			switch {
			case products != (t.y != noReg):
				continue
			case products:
				args = append(args, t.x, t.y)
			default:
				args, s.linear = append(args, t.x), s.linear+1
			}
			s.k = append(s.k, t.k)
		}
	}
	return m.emit(s, args...)
}
