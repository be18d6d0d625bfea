package routing

import (
	"strconv"

	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// Step holds the figures of one operation of a batch.
type Step struct {
	Operation *bom.Operation
	Scope     graph.Scope // of the operation: …/op/30/
	Yield     graph.ID    // plain, None where nothing is lost
	Started   graph.ID    // piece; pieces that must start for the rest to come out good
	Setups    graph.ID    // plain
	UnitsIn   graph.ID    // piece; started plus set-up pieces, unrounded
	PieceTime graph.ID    // min/piece, None without a time per piece
	LoadTime  graph.ID    // min, None without a time per load
	Occupied  graph.ID    // min, None for an outside process
	Attended  graph.ID    // min, None where nobody attends
}

// Flow is the batch on its way through a routing.
type Flow struct {
	Steps []Step
	// UnitsIn is what enters the first operation, unrounded; Start is the same
	// in whole pieces, which material is bought for.
	UnitsIn, Start graph.ID
}

// Consumed gives the units in at the operation with a number; 0 means the first.
func (f Flow) Consumed(operation int) graph.ID {
	for _, st := range f.Steps {
		if st.Operation.Number == operation {
			return st.UnitsIn
		}
	}
	return f.UnitsIn
}

// Build writes the quantities of a routing, back from the good pieces wanted,
// and the times of its operations.
func Build(s graph.Scope, operations []bom.Operation, good graph.ID, centre func(bom.ID) Centre) Flow {
	flow := Flow{Steps: make([]Step, len(operations)), UnitsIn: good}
	for i := len(operations) - 1; i >= 0; i-- {
		op := &operations[i]
		number := strconv.Itoa(op.Number)
		at := s.In("op", number).Within("routing[" + strconv.Itoa(i) + "]").Of(s.Thing() + ", operation " + number)
		step := Step{Operation: op, Scope: at, Yield: graph.None, PieceTime: graph.None, LoadTime: graph.None,
			Occupied: graph.None, Attended: graph.None}
		step.quantities(flow.UnitsIn)
		if op.Kind != bom.Outside {
			step.times(centre(op.WorkCentre))
		}
		flow.Steps[i], flow.UnitsIn = step, step.UnitsIn
	}
	flow.Start = s.By("Y1").Whole("start", "pieces to start", flow.UnitsIn)
	flow.rolledYield(s.By("Y1"))
	return flow
}

// rolledYield is for display: the product of the yields of all operations.
func (f Flow) rolledYield(s graph.Scope) {
	var yields []graph.ID
	for _, st := range f.Steps {
		if st.Yield != graph.None {
			yields = append(yields, st.Yield)
		}
	}
	if len(yields) > 0 {
		s.Multiply("rolled-yield", "rolled yield of the routing", yields...)
	}
}

// quantities writes Y1 for one operation: what is wanted after it, divided by
// its yield, plus the pieces used up by its set-ups.
func (st *Step) quantities(wanted graph.ID) {
	s, op := st.Scope.By("Y1"), st.Operation
	st.Started = wanted
	if op.Yield != nil {
		st.Yield = s.Number("yield", "yield", graph.Plain, *op.Yield, "yield")
		st.Started = s.Divide("started", "pieces started", wanted, st.Yield)
	}
	st.Setups = st.countSetups(s)
	st.UnitsIn = st.Started
	if op.SetupPieces != nil && st.Setups != graph.None {
		each := s.Number("setup-pieces", "pieces used up per set-up", graph.Piece, *op.SetupPieces, "setup_pieces")
		used := s.Multiply("setup-pieces-used", "pieces used up by set-ups", st.Setups, each)
		st.UnitsIn = s.Add("units-in", "units in", st.Started, used)
	}
}

// countSetups gives the number of set-ups: by the pieces one set-up is good for,
// or one for the batch; none where nothing starts. It is None where no set-up
// costs anything.
func (st *Step) countSetups(s graph.Scope) graph.ID {
	op := st.Operation
	if op.SetupMin == nil && op.SetupPieces == nil {
		return graph.None
	}
	if op.PiecesPerSetup != nil {
		each := s.Number("pieces-per-setup", "pieces per set-up", graph.Piece, *op.PiecesPerSetup, "pieces_per_setup")
		exact := s.Divide("setups-exact", "set-ups before rounding", st.Started, each)
		return s.Whole("setups", "set-ups", exact)
	}
	return s.Choose("setups", "set-ups", st.Started, graph.Greater, s.Zero(graph.Piece), s.One(graph.Plain), s.Zero(graph.Plain))
}
