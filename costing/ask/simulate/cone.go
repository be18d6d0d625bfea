package simulate

import (
	"context"
	"slices"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
)

// sharePlans compute variance shares of a figure. To change the inputs of one
// factor only the figures that rest on it, its cone, are computed again. What they
// take from outside the cone, the frontier, is bound from the run on sample A.
type sharePlans struct {
	s       *subject
	base    *column.Plan // the figure and all frontiers, on A
	other   *column.Plan // the figure, on B
	factors []factorPlan
}

// factorPlan is the plan of one cone: it varies the members, then the frontier.
type factorPlan struct {
	members  []int // indexes in subject.inputs
	plan     *column.Plan
	frontier []int // per frontier figure: its place among the outputs of the base plan
}

func newSharePlans(ctx context.Context, s *subject) (*sharePlans, error) {
	figure, inputs := s.request.Outputs, s.ids()
	p := &sharePlans{s: s}
	wanted := slices.Clone(figure) // of the base plan
	varying := s.cone(inputs)
	for _, factor := range s.factors() {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		f := factorPlan{members: factor.members}
		vary := make([]graph.ID, 0, len(f.members))
		for _, m := range f.members {
			vary = append(vary, inputs[m])
		}
		for _, id := range s.frontier(s.cone(vary), varying) {
			at := slices.Index(wanted, id)
			if at < 0 {
				at, wanted = len(wanted), append(wanted, id)
			}
			f.frontier, vary = append(f.frontier, at), append(vary, id)
		}
		var err error
		if f.plan, err = column.New(s.g, s.options(vary, figure)); err != nil {
			return nil, err
		}
		p.factors = append(p.factors, f)
	}
	var err error
	if p.base, err = column.New(s.g, s.options(inputs, wanted)); err != nil {
		return nil, err
	}
	p.other, err = column.New(s.g, s.options(inputs, figure))
	return p, err
}

// cone marks the needed figures that rest on the given ones, these included; pins
// rest on nothing.
func (s *subject) cone(from []graph.ID) []bool {
	inside := make([]bool, s.g.Len())
	for _, id := range from {
		inside[id] = true
	}
	for _, id := range s.needed {
		if _, pinned := s.pins[id]; pinned || inside[id] {
			continue
		}
		inside[id] = slices.ContainsFunc(s.g.Args(id), func(a graph.ID) bool { return inside[a] })
	}
	return inside
}

// frontier lists the varying figures outside a cone that are arguments inside it.
func (s *subject) frontier(inside, varying []bool) []graph.ID {
	var out []graph.ID
	for _, id := range s.needed {
		if !inside[id] {
			continue
		}
		for _, a := range s.g.Args(id) {
			if varying[a] && !inside[a] {
				out = append(out, a)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// graphDesign is the design of a graph in the memory of one goroutine.
type graphDesign struct {
	plans    *sharePlans
	onA, onB *worker
	cones    []*column.Columns // per factor
}

func (p *sharePlans) design() *graphDesign {
	d := &graphDesign{plans: p, onA: p.s.newWorker(p.base, saltDraws), onB: p.s.newWorker(p.other, saltOther)}
	for _, f := range p.factors {
		d.cones = append(d.cones, f.plan.Columns())
	}
	return d
}

func (d *graphDesign) base(block int) (a, b []float64, err error) {
	if err := d.onA.draw(block); err != nil {
		return nil, nil, err
	}
	return d.onA.columns.Out(0), d.onB.columns.Out(0), d.onB.draw(block)
}

func (d *graphDesign) mixed(factor int) (ab []float64, err error) {
	f, c := &d.plans.factors[factor], d.cones[factor]
	for i, m := range f.members {
		c.Bind(i, d.onB.u[m])
	}
	for i, at := range f.frontier {
		c.Bind(len(f.members)+i, d.onA.columns.Out(at))
	}
	return c.Out(0), c.Run(column.Block)
}
