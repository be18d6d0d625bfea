package column

import (
	"math"

	"kerfbook/costing/graph"
)

// compileFunction makes a step of a function of one argument.
func compileFunction(loop func(out, x []float64)) compileFunc {
	do := func(c *Columns, s *step, n int) { loop(c.cols[s.out][:n], c.cols[s.args[0]]) }
	return func(m *compiler, n *graph.Node) form {
		return m.emit(step{do: do}, m.column(m.form(n.Args[0])))
	}
}

const maxExponent = 100

// compilePower takes the logarithm of a base that does not vary once.
func compilePower(m *compiler, n *graph.Node) form {
	x, y := m.form(n.Args[0]), m.form(n.Args[1])
	switch {
	case y.fixed() && !(math.Abs(y.base) <= maxExponent), x.fixed() && !(x.base > 0):
		return undefined()
	case y.fixed():
		return m.emit(step{do: fixedExponent, base: y.base}, m.column(x))
	case x.fixed():
		return m.emit(step{do: fixedBase, base: math.Log(x.base)}, m.column(y))
	}
	return m.emit(step{do: anyPower}, m.column(x), m.column(y))
}

// anyPower computes eˣ with y·ln x, which is good for more than twelve digits
// between the bounds of figures and exponents.
func anyPower(c *Columns, s *step, n int) {
	out := c.cols[s.out][:n]
	x, y := c.cols[s.args[0]][:len(out)], c.cols[s.args[1]][:len(out)]
	for i := range out {
		v := math.NaN()
		if x[i] > 0 && math.Abs(y[i]) <= maxExponent {
			v = math.Exp(y[i] * math.Log(x[i]))
		}
		out[i] = v
	}
}

func fixedBase(c *Columns, s *step, n int) {
	out := c.cols[s.out][:n]
	y := c.cols[s.args[0]][:len(out)]
	for i := range out {
		v := math.NaN()
		if math.Abs(y[i]) <= maxExponent {
			v = math.Exp(y[i] * s.base)
		}
		out[i] = v
	}
}

func fixedExponent(c *Columns, s *step, n int) { powers(c.cols[s.out][:n], c.cols[s.args[0]], s.base) }

func powers(out, x []float64, y float64) {
	x = x[:len(out)]
	for i := range out {
		v := math.NaN()
		if x[i] > 0 {
			v = math.Exp(y * math.Log(x[i]))
		}
		out[i] = v
	}
}

func squareRoots(out, x []float64) {
	x = x[:len(out)]
	for i := range out {
		out[i] = math.Sqrt(x[i])
	}
}

// naturalLogs has no value at 0, where the library's is infinite.
func naturalLogs(out, x []float64) {
	x = x[:len(out)]
	for i := range out {
		v := math.NaN()
		if x[i] > 0 {
			v = math.Log(x[i])
		}
		out[i] = v
	}
}

// arcCosines takes what is beyond 1 by rounding only as 1.
func arcCosines(out, x []float64) {
	x = x[:len(out)]
	for i := range out {
		v := x[i]
		if size := math.Abs(v); size > 1 && size <= 1+slack {
			v = math.Copysign(1, v)
		}
		out[i] = math.Acos(v)
	}
}
