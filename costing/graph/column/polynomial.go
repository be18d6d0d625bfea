package column

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
