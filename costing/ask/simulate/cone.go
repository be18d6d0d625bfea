package simulate

import (
	"context"
	"slices"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
)

// sharePlans compute variance shares of a graph. To change the inputs of one
// factor only the figures that rest on it, its cone, are computed again. What they
// take from outside the cone, the frontier, is bound from the run on sample A.
type sharePlans struct {
	s       *subject
	inputs  []graph.ID
	base    *column.Plan // outputs and all frontiers, on A
	other   *column.Plan // outputs, on B
	outputs int
	factors []factorPlan
}

// factorPlan is the plan of one cone: it varies the members, then the frontier.
type factorPlan struct {
	members  []int        // indexes in subject.inputs
	plan     *column.Plan // nil where no output rests on the members
	frontier []int        // per frontier figure: its place among the outputs of the base plan
	rests    []int        // per output of the request: its place in plan, −1 outside the cone
}

func newSharePlans(ctx context.Context, s *subject) (*sharePlans, error) {
	outputs := s.request.Outputs
	p := &sharePlans{s: s, inputs: s.ids(), outputs: len(outputs)}
	wanted := slices.Clone(outputs) // of the base plan
	place := map[graph.ID]int{}
	needed := s.needed()
	varying := s.cone(needed, p.inputs)
	for _, members := range s.factors() {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		f := factorPlan{members: members}
		vary := make([]graph.ID, 0, len(members))
		for _, m := range members {
			vary = append(vary, p.inputs[m])
		}
		inside := s.cone(needed, vary)
		frontier := s.frontier(needed, inside, varying)
		for _, id := range frontier {
			if _, known := place[id]; !known {
				place[id] = len(wanted)
				wanted = append(wanted, id)
			}
			f.frontier = append(f.frontier, place[id])
		}
		if err := f.build(s, append(vary, frontier...), inside); err != nil {
			return nil, err
		}
		p.factors = append(p.factors, f)
	}
	var err error
	if p.base, err = column.New(s.g, s.options(p.inputs, wanted)); err != nil {
		return nil, err
	}
	p.other, err = column.New(s.g, s.options(p.inputs, outputs))
	return p, err
}

// build plans the outputs inside the cone.
func (f *factorPlan) build(s *subject, vary []graph.ID, inside []bool) (err error) {
	var wanted []graph.ID
	for _, id := range s.request.Outputs {
		at := -1
		if inside[id] {
			at = len(wanted)
			wanted = append(wanted, id)
		}
		f.rests = append(f.rests, at)
	}
	if len(wanted) > 0 {
		f.plan, err = column.New(s.g, s.options(vary, wanted))
	}
	return err
}

// cone marks the needed figures that rest on the given ones, these included; pins
// rest on nothing.
func (s *subject) cone(needed, from []graph.ID) []bool {
	inside := make([]bool, s.g.Len())
	for _, id := range from {
		inside[id] = true
	}
	for _, id := range needed {
		if _, pinned := s.pins[id]; pinned || inside[id] {
			continue
		}
		inside[id] = slices.ContainsFunc(s.g.Node(id).Args, func(a graph.ID) bool { return inside[a] })
	}
	return inside
}

// frontier lists the varying figures outside a cone that are arguments inside it.
func (s *subject) frontier(needed []graph.ID, inside, varying []bool) []graph.ID {
	var out []graph.ID
	for _, id := range needed {
		if !inside[id] {
			continue
		}
		for _, a := range s.g.Node(id).Args {
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
	plans  *sharePlans
	onA    *worker
	onB    *worker
	cones  []*column.Columns // per factor
	factor int               // the one mixed last
}

func (p *sharePlans) design() design {
	d := &graphDesign{plans: p, onA: p.s.newWorker(p.base, saltDraws), onB: p.s.newWorker(p.other, saltOther)}
	for _, f := range p.factors {
		var c *column.Columns
		if f.plan != nil {
			c = f.plan.Columns()
		}
		d.cones = append(d.cones, c)
	}
	return d
}

func (d *graphDesign) base(block int) error {
	if err := d.onA.draw(block); err != nil {
		return err
	}
	return d.onB.draw(block)
}

func (d *graphDesign) mixed(factor int) error {
	d.factor = factor
	f, c := &d.plans.factors[factor], d.cones[factor]
	if c == nil {
		return nil
	}
	for i, m := range f.members {
		c.Bind(i, d.onB.u[m])
	}
	for i, at := range f.frontier {
		c.Bind(len(f.members)+i, d.onA.columns.Out(at))
	}
	return c.Run(column.Block)
}

func (d *graphDesign) a(output int) []float64 { return d.onA.columns.Out(output) }
func (d *graphDesign) b(output int) []float64 { return d.onB.columns.Out(output) }

func (d *graphDesign) ab(output int) []float64 {
	at := d.plans.factors[d.factor].rests[output]
	if at < 0 {
		return nil
	}
	return d.cones[d.factor].Out(at)
}
