package simulate

import (
	"cmp"
	"context"

	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/exact"
)

// Run draws the ranges that the outputs rest on and tells how the outputs are
// spread. progress is called from the calling goroutine about
// once per hundredth of the draws, last with done equal to total; total falls
// where precision ends the run early. When Run returns, all its goroutines have
// ended.
//
// The error is a [*RequestError], an error of evaluation at the likely values, or
// that of the context, which is noticed between blocks.
func Run(ctx context.Context, e *exact.Evaluator, r Request, progress func(done, total int)) (*Result, error) {
	if err := cmp.Or(r.checkDraws(), r.checkPrecision()); err != nil {
		return nil, err
	}
	s, err := newSubject(e, &r)
	if err != nil {
		return nil, err
	}
	d, err := newDrawing(s, r.blocks(), progress)
	if err != nil {
		return nil, err
	}
	if err := d.rounds(ctx); err != nil {
		return nil, err
	}
	return d.result(ctx)
}

// drawing is a run under way.
type drawing struct {
	subject *subject
	plan    *column.Plan
	samples []*sample // per output
	runners []blockRunner
	total   int // blocks
	tell    func(done, total int)
	made    int // blocks
	reached bool
}

func newDrawing(s *subject, total int, tell func(done, total int)) (*drawing, error) {
	r := s.request
	plan, err := column.New(s.g, s.options(s.ids(), r.Outputs))
	if err != nil {
		return nil, err
	}
	d := &drawing{subject: s, plan: plan, total: total, tell: tell, reached: len(s.inputs) == 0}
	for i := range r.Outputs {
		if plan.Varies(i) {
			d.samples = append(d.samples, newSample(total, s.block))
		} else {
			d.samples = append(d.samples, constantSample(s.likely[i].InexactFloat64()))
		}
	}
	for range cores(total) {
		d.runners = append(d.runners, d.runner(s.newWorker(plan, saltDraws)))
	}
	return d, nil
}

// runner draws a block and keeps the outputs that vary.
func (d *drawing) runner(w *worker) blockRunner {
	return func(block int) error {
		if err := w.draw(block); err != nil {
			return err
		}
		for i, s := range d.samples {
			if d.plan.Varies(i) {
				s.put(block, w.columns.Out(i)[:w.s.block])
			}
		}
		return nil
	}
}

// rounds draws all blocks, or fewer where the precision asked for is reached.
func (d *drawing) rounds(ctx context.Context) error {
	total, p := d.total, d.subject.request.Precision
	progress := hundredths(total, d.tell)
	for d.made < total && !d.reached {
		next := total
		if p != nil {
			next = nextRound(d.made, total)
		}
		if err := doBlocks(ctx, d.runners, d.made, next, progress); err != nil {
			return err
		}
		d.made = next
		d.reached = p == nil || p.reached(d.sampleOf(p.Output))
	}
	d.tell(d.made*column.Block, d.made*column.Block)
	return nil
}

// sampleOf is what has been drawn of an output so far.
func (d *drawing) sampleOf(output int) *sample {
	if !d.plan.Varies(output) {
		return d.samples[output]
	}
	return d.samples[output].first(d.made)
}

func (d *drawing) result(ctx context.Context) (*Result, error) {
	s := d.subject
	out := &Result{Draws: d.made * column.Block, Reached: d.reached, Inputs: s.ids(), Held: s.held, Free: s.free}
	for i, id := range s.request.Outputs {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		draws := 0 // a figure that does not vary has no draws to lack a value in
		if d.plan.Varies(i) {
			draws = out.Draws
		}
		out.Outputs = append(out.Outputs, newOutput(id, s.likely[i], d.sampleOf(i), draws))
	}
	return out, nil
}
