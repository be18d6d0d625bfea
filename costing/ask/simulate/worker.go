package simulate

import (
	"kerfbook/costing/graph/column"
)

// worker draws blocks, one at a time, in memory of its own.
type worker struct {
	s       *subject
	salt    uint64
	columns *column.Columns
	u       [][]float64 // per input: where its values are filled in
}

// newWorker makes the memory to run a plan whose Vary are the inputs of the
// subject, in order.
func (s *subject) newWorker(p *column.Plan, salt uint64) *worker {
	w := &worker{s: s, salt: salt, columns: p.Columns(), u: make([][]float64, len(s.inputs))}
	all := make([]float64, len(w.u)*s.block)
	for i := range w.u {
		w.u[i] = all[i*s.block : (i+1)*s.block : (i+1)*s.block]
		w.columns.Bind(i, w.u[i]) // own memory: a run may use that of the plan again
	}
	return w
}

// draw fills the inputs of a block and computes the figures. It allocates
// nothing.
func (w *worker) draw(block int) error {
	w.fill(block)
	return w.columns.Run(w.s.block)
}

// fill draws the inputs of a block.
func (w *worker) fill(block int) {
	for i := range w.s.inputs {
		stratified(streamOf(w.s.request.Seed, w.salt, block, w.s.inputs[i].key), w.u[i])
	}
	for i := range w.s.groups {
		w.s.groups[i].correlateScores(w.u)
	}
	for i := range w.s.inputs {
		w.s.inputs[i].sample.Fill(w.u[i], w.u[i])
	}
}
