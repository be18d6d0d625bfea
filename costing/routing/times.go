package routing

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// Centre is a work centre as figures; None where the book gives no number.
type Centre struct {
	MachineRate graph.ID // money/h
	LabourRate  graph.ID // money/h
	Allowance   graph.ID // plain, share added to attended time
}

// part is one contribution to a time: its field, name and label.
type part struct {
	number            *bom.Number
	name, label, path string
}

// times writes M14 to M16 for one operation.
func (st *Step) times(c Centre) {
	s := st.Scope
	st.PieceTime = st.pieceTime(s.By("M14"))
	st.LoadTime = st.loadTime(s.By("M14"))
	setup := st.setupTime(s.By("M15"), c)
	run := st.runTime(s.By("M15"))
	st.Occupied = s.By("M15").Total("occupied", "time the work centre is occupied", setup, run)
	st.Attended = st.attendedTime(s.By("M16"), setup, run, c)
}

// pieceTime is cutting + positioning + worn-edge share + piece handling, or the
// time entered whole; an inspection looks at its sampled share.
func (st *Step) pieceTime(s graph.Scope) graph.ID {
	op, unit := st.Operation, graph.Minute.Per(graph.Piece)
	whole := part{op.PieceMin, "piece-time", "time per piece", "piece_min"}
	if op.SampledShare != nil {
		whole.name, whole.label = "checked-piece-time", "time per piece looked at"
	}
	t := entered(s, unit, whole, []part{
		{op.CuttingMin, "cutting", "cutting time per piece", "cutting_min"},
		{op.PositioningMin, "positioning", "positioning time per piece", "positioning_min"},
		{op.WornEdgeMin, "worn-edge", "share of edge changes per piece", "worn_edge_min"},
		{op.HandlingMin, "handling", "handling time per piece", "handling_min"},
	})
	if op.SampledShare == nil || t == graph.None {
		return t
	}
	share := s.Number("sampled-share", "share of pieces looked at", graph.Plain, *op.SampledShare, "sampled_share")
	return s.Multiply("piece-time", "time per piece", t, share)
}

// loadTime is tool changes + load handling + probing, or the time entered whole.
func (st *Step) loadTime(s graph.Scope) graph.ID {
	op := st.Operation
	return entered(s, graph.Minute, part{op.LoadMin, "load-time", "time per load", "load_min"}, []part{
		{op.ToolChangeMin, "tool-changes", "tool changes per load", "tool_change_min"},
		{op.LoadHandlingMin, "load-handling", "handling of a load", "load_handling_min"},
		{op.ProbingMin, "probing", "probing per load", "probing_min"},
	})
}

// entered gives a time entered whole, or the sum of its parts, or None.
func entered(s graph.Scope, unit graph.Unit, whole part, parts []part) graph.ID {
	if whole.number != nil {
		return s.Number(whole.name, whole.label, unit, *whole.number, whole.path)
	}
	var given []graph.ID
	for _, p := range parts {
		if p.number != nil {
			given = append(given, s.Number(p.name, p.label, unit, *p.number, p.path))
		}
	}
	if len(given) == 0 {
		return graph.None
	}
	return s.Add(whole.name, whole.label, given...)
}

// setupTime is the time of all set-ups. A time entered with the allowance in it
// is divided by 1 + allowance, because M16 adds the allowance to attended time.
func (st *Step) setupTime(s graph.Scope, c Centre) graph.ID {
	op := st.Operation
	if op.SetupMin == nil {
		return graph.None
	}
	var each graph.ID
	if op.SetupContainsAllowance && c.Allowance != graph.None {
		entered := s.Number("setup-time-entered", "set-up time with allowance", graph.Minute, *op.SetupMin, "setup_min")
		factor := s.Add("setup-allowance-factor", "1 + allowance", s.One(graph.Plain), c.Allowance)
		each = s.Divide("setup-time", "set-up time", entered, factor)
	} else {
		each = s.Number("setup-time", "set-up time", graph.Minute, *op.SetupMin, "setup_min")
	}
	return s.Multiply("setup-total", "time of all set-ups", st.Setups, each)
}

// runTime is units in × piece time + loads × load time.
func (st *Step) runTime(s graph.Scope) graph.ID {
	pieces, loads := graph.None, graph.None
	if st.PieceTime != graph.None {
		pieces = s.Multiply("run-pieces", "run time of all pieces", st.UnitsIn, st.PieceTime)
	}
	if st.LoadTime != graph.None {
		loads = s.Multiply("run-loads", "time of all loads", st.loads(s), st.LoadTime)
		st.cycle(s.By("M14"))
	}
	return s.Total("run-time", "run time", pieces, loads)
}

func (st *Step) loads(s graph.Scope) graph.ID {
	exact := s.Divide("loads-exact", "loads before rounding", st.UnitsIn, st.perLoad(s))
	return s.Whole("loads", "loads", exact)
}

// perLoad is the number of pieces per load; 1 where none is given.
func (st *Step) perLoad(s graph.Scope) graph.ID {
	if st.Operation.PiecesPerLoad == nil {
		return s.One(graph.Piece)
	}
	if id := s.Lookup(s.Key("pieces-per-load")); id != graph.None {
		return id
	}
	return s.Number("pieces-per-load", "pieces per load", graph.Piece, *st.Operation.PiecesPerLoad, "pieces_per_load")
}

// cycle is for display only: piece time + load time ÷ pieces per load.
func (st *Step) cycle(s graph.Scope) {
	share := s.Divide("load-time-share", "load time per piece", st.LoadTime, st.perLoad(s))
	s.Total("cycle-time", "cycle time", st.PieceTime, share)
}

// attendedTime is (set-ups × set-up time + run and load minutes × attended
// share) × (1 + allowance).
func (st *Step) attendedTime(s graph.Scope, setup, run graph.ID, c Centre) graph.ID {
	if run != graph.None && st.Operation.AttendedShare != nil {
		share := s.Number("attended-share", "attended share", graph.Plain, *st.Operation.AttendedShare, "attended_share")
		run = s.Multiply("attended-run", "run time attended", run, share)
	}
	t := s.Total("attended-net", "attended time before allowance", setup, run)
	if t == graph.None || c.Allowance == graph.None {
		return t
	}
	factor := s.Add("allowance-factor", "1 + allowance", s.One(graph.Plain), c.Allowance)
	return s.Multiply("attended", "attended time", t, factor)
}
