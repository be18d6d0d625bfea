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

// A polynomial is computed in passes over its columns: the first writes base and a
// few terms, the others add to it.
var (
	firstLinear = [...]kernel{1: func(c *Columns, s *step, n int) {
		loopLinear1(c.cols[s.out][:n], c.cols[s.args[0]], s.base, s.k[0])
	}, 2: func(c *Columns, s *step, n int) {
		loopLinear2(c.cols[s.out][:n], c.cols[s.args[0]], c.cols[s.args[1]], s.base, s.k[0], s.k[1])
	}, 3: func(c *Columns, s *step, n int) {
		loopLinear3(c.cols[s.out][:n], c.cols[s.args[0]], c.cols[s.args[1]], c.cols[s.args[2]], s.base, s.k[0], s.k[1], s.k[2])
	}, 4: func(c *Columns, s *step, n int) {
		loopLinear4(c.cols[s.out][:n], c.cols[s.args[0]], c.cols[s.args[1]], c.cols[s.args[2]], c.cols[s.args[3]],
			s.base, s.k[0], s.k[1], s.k[2], s.k[3])
	}}
	moreLinear = [...]kernel{1: func(c *Columns, s *step, n int) {
		loopAddLinear1(c.cols[s.out][:n], c.cols[s.args[0]], s.k[0])
	}, 2: func(c *Columns, s *step, n int) {
		loopAddLinear2(c.cols[s.out][:n], c.cols[s.args[0]], c.cols[s.args[1]], s.k[0], s.k[1])
	}, 3: func(c *Columns, s *step, n int) {
		loopAddLinear3(c.cols[s.out][:n], c.cols[s.args[0]], c.cols[s.args[1]], c.cols[s.args[2]], s.k[0], s.k[1], s.k[2])
	}, 4: func(c *Columns, s *step, n int) {
		loopAddLinear4(c.cols[s.out][:n], c.cols[s.args[0]], c.cols[s.args[1]], c.cols[s.args[2]], c.cols[s.args[3]],
			s.k[0], s.k[1], s.k[2], s.k[3])
	}}
)

func firstProduct(c *Columns, s *step, n int) {
	loopProduct(c.cols[s.out][:n], c.cols[s.args[0]], c.cols[s.args[1]], s.base, s.k[0])
}

func moreProduct(c *Columns, s *step, n int) {
	loopAddProduct(c.cols[s.out][:n], c.cols[s.args[0]], c.cols[s.args[1]], s.k[0])
}

// Up to four terms a pass: the result is then written once for four columns read, and
// a fifth loop would gain little.
const widest = len(firstLinear) - 1

// polynomial adds the passes that compute a form.
func (m *compiler) polynomial(f form) reg {
	out := m.newReg()
	first := true
	pass := func(start, more kernel, k []float64, args []reg) {
		s := step{do: more, k: k}
		if first {
			s.do, s.base, first = start, f.base, false
		}
		m.work = append(m.work, work{step: s, out: out, args: args})
	}
	var k []float64
	var args []reg
	flush := func() {
		if len(k) > 0 {
			pass(firstLinear[len(k)], moreLinear[len(k)], k, args)
		}
		k, args = nil, nil
	}
	for _, t := range f.terms {
		if t.y != noReg {
			continue
		}
		if k, args = append(k, t.k), append(args, t.x); len(k) == widest {
			flush()
		}
	}
	flush()
	for _, t := range f.terms {
		if t.y != noReg {
			pass(firstProduct, moreProduct, []float64{t.k}, []reg{t.x, t.y})
		}
	}
	return out
}
