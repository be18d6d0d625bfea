package column

// chunk is how many draws go through all steps at a time: few enough that the
// columns that steps share stay in the fastest memory of a processor.
const chunk = 256

// Columns is the memory of one goroutine that runs a plan.
type Columns struct {
	p    *Plan
	cols [][]float64 // per slot: what the steps of this chunk see
	full [][]float64 // per slot of its own: all of it
	args [][]float64 // room for the arguments of one step
	err  error
}

// Columns makes all memory that runs of the plan need.
func (p *Plan) Columns() *Columns { return p.columns(Block) }

// columns makes memory for runs of so many draws at most.
func (p *Plan) columns(most int) *Columns {
	c := &Columns{p: p, cols: make([][]float64, p.shared+len(p.own)), full: make([][]float64, len(p.own)),
		args: make([][]float64, p.most)}
	// Shared columns are as long as a chunk, not as a block: hundreds of them stay in the
	// cache.
	shared := make([]float64, p.shared*chunk)
	for i := range p.shared {
		c.cols[i] = shared[i*chunk:][:chunk:chunk]
	}
	own := make([]float64, len(p.own)*most)
	for i, f := range p.own {
		c.full[i] = own[i*most:][:most:most]
		if f.constant {
			for k := range c.full[i] {
				c.full[i][k] = f.value
			}
		}
	}
	return c
}

// In is the column of Options.Vary[i], of length Block, to be filled before Run.
func (c *Columns) In(i int) []float64 { return c.full[c.own(c.p.inputs[i])] }

// Bind takes an outside column for Options.Vary[i] without copying it. It must
// have as many values as the runs to come have draws.
func (c *Columns) Bind(i int, col []float64) { c.full[c.own(c.p.inputs[i])] = col }

// Out is the column of Options.Outputs[i] after Run; one that does not vary is
// filled too. It must not be written to.
func (c *Columns) Out(i int) []float64 { return c.full[c.own(c.p.outputs[i])] }

func (c *Columns) own(s slot) int { return int(s) - c.p.shared }

// Run computes the first n draws, Block at most. It allocates nothing. The error is an
// [*OutsideDecisionError], where a decision that is not held meets an input outside its
// window.
func (c *Columns) Run(n int) error {
	for from := 0; from < n; from += chunk {
		if err := c.runChunk(from, min(from+chunk, n)); err != nil {
			return err
		}
	}
	return nil
}

func (c *Columns) runChunk(from, to int) error {
	// Given and wanted columns are as long as a block; each chunk sees its part of them.
	for i, col := range c.full {
		c.cols[c.p.shared+i] = col[from:to]
	}
	c.err = nil
	for i := range c.p.steps {
		s := &c.p.steps[i]
		if s.do(c, s, to-from); c.err != nil {
			return c.err
		}
	}
	return nil
}

// gather gives the first n values of all arguments, until the next call.
func (c *Columns) gather(s *step, n int) [][]float64 {
	for i, a := range s.args {
		c.args[i] = c.cols[a][:n]
	}
	return c.args[:len(s.args)]
}
