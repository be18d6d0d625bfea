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
	Cut       Cut         // what its features take, if it has some

	// Surface is that of a piece as it comes to the operation, in dm²/piece; None
	// where nothing is worked by area.
	Surface graph.ID
	guessed Guess

	average graph.ID // min/piece, of this batch, where the time falls with practice; else None
}

// Cut is what the features of an operation take in place of entered times; None
// where they take nothing.
type Cut struct {
	Cutting       graph.ID // min/piece
	Positioning   graph.ID // min/piece
	WornEdge      graph.ID // min/piece, share of edge changes
	ToolChanges   graph.ID // min per load
	Tools         graph.ID // how many different ones it takes
	ToolsPerPiece graph.ID // money/piece, worn edges
	Removed       graph.ID // mm³/piece
	Area          graph.ID // mm²/piece, surface gained
	Setup         graph.ID // min, one set-up from its parts at the work centre
	Program       graph.ID // min, programming
}

// Guess is what is guessed of an operation in place of what is not entered; None where
// nothing is.
type Guess struct {
	Piece    graph.ID // min/piece, beside what features take
	Setup    graph.ID // min
	Attended graph.ID // share of run time
}

// NoGuess is the guess at an operation of which all is entered.
func NoGuess() Guess { return Guess{graph.None, graph.None, graph.None} }

// NoCut is the cut of an operation without features.
func NoCut() Cut {
	return Cut{graph.None, graph.None, graph.None, graph.None, graph.None, graph.None, graph.None, graph.None, graph.None, graph.None}
}

// Shop is what a routing asks of the shop.
type Shop struct {
	// Centre gives a work centre as figures.
	Centre func(bom.ID) Centre
	// Cut writes the features of an operation in its scope; nil where no
	// operation has features.
	Cut func(s graph.Scope, op *bom.Operation) Cut
	// Guess writes what is not entered of an operation; nil where nothing is guessed.
	Guess func(op *bom.Operation, cut Cut) Guess
	// Surface writes the surface of a piece as it comes to an operation, in
	// dm²/piece; nil or None where it is not known.
	Surface func(f Flow, at int) graph.ID
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
func Build(s graph.Scope, operations []bom.Operation, good graph.ID, shop Shop) Flow {
	flow := Flow{Steps: make([]Step, len(operations)), UnitsIn: good}
	// Backwards, since each operation starts what the next one needs (Y1).
	for i := len(operations) - 1; i >= 0; i-- {
		op := &operations[i]
		number := strconv.Itoa(op.Number)
		at := s.In("op", number).Within("routing[" + strconv.Itoa(i) + "]").Also(", operation " + number)
		step := Step{Operation: op, Scope: at, Yield: graph.None, PieceTime: graph.None, LoadTime: graph.None,
			Occupied: graph.None, Attended: graph.None, average: graph.None, Cut: NoCut(), Surface: graph.None,
			guessed: NoGuess()}
		step.quantities(flow.UnitsIn)
		flow.Steps[i], flow.UnitsIn = step, step.UnitsIn
	}
	for i := range flow.Steps { // forwards: features change the surface that later operations find
		st := &flow.Steps[i]
		if st.Operation.Kind == bom.Outside {
			continue
		}
		if len(st.Operation.Features) > 0 {
			st.Cut = shop.Cut(st.Scope, st.Operation)
		}
		if shop.Guess != nil {
			st.guessed = shop.Guess(st.Operation, st.Cut)
		}
		if WorksByArea(st.Operation) && shop.Surface != nil {
			st.Surface = shop.Surface(flow, i)
		}
		st.times(shop.Centre(st.Operation.WorkCentre))
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
	st.Yield = s.Optional("yield", "yield", graph.Plain, op.Yield, "yield")
	st.Started = graph.Or(s.Divide("started", "pieces started", wanted, st.Yield), wanted)
	st.Setups = graph.None // while no set-up is known to cost anything
	if op.SetupMin != nil || op.SetupPieces != nil {
		st.Setups = st.countSetups(s)
	}
	st.UnitsIn = st.Started
	// On top and not divided by the yield: they are scrapped whatever comes of the others.
	if op.SetupPieces != nil {
		each := s.Number("setup-pieces", "pieces used up per set-up", graph.Piece, *op.SetupPieces, "setup_pieces")
		used := s.Multiply("setup-pieces-used", "pieces used up by set-ups", st.Setups, each)
		st.UnitsIn = s.Add("units-in", "units in", st.Started, used)
	}
}

// countSetups gives the number of set-ups: by the pieces one set-up is good for,
// or one for the batch; none where nothing starts.
func (st *Step) countSetups(s graph.Scope) graph.ID {
	op := st.Operation
	if op.PiecesPerSetup != nil {
		each := s.Number("pieces-per-setup", "pieces per set-up", graph.Piece, *op.PiecesPerSetup, "pieces_per_setup")
		exact := s.Divide("setups-exact", "set-ups before rounding", st.Started, each)
		return s.Whole("setups", "set-ups", exact)
	}
	return s.Choose("setups", "set-ups", st.Started, graph.Greater, s.Zero(graph.Piece), s.One(graph.Plain), s.Zero(graph.Plain))
}
