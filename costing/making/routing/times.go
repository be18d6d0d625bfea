package routing

import (
	"strconv"

	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// Centre is what the times of an operation take from its work centre.
type Centre struct {
	Allowance graph.ID // plain, share of work time or of shift time; None where the book gives none
	OfShift   bool     // the allowance is a share of shift time
}

// part is one contribution to a time: entered, with its field, name and label, or
// computed.
type part struct {
	number            *bom.Number
	name, label, path string
	computed          graph.ID
}

// times writes M14 to M16 for one operation.
func (st *Step) times(c Centre) {
	s := st.Scope
	st.PieceTime = st.pieceTime(s.By("M14"))
	st.LoadTime = st.loadTime(s.By("M14"))
	if st.PieceTime == graph.None { // work that is done by the load alone has piece_min: 0
		st.PieceTime = s.Within("piece_min").Missing("piece-time", "time per piece", graph.Minute.Per(graph.Piece), "time of "+s.Record())
	}
	setup := st.setupTime(s.By("M15"), c)
	run := st.runTime(s.By("M15"))
	st.Occupied = s.By("M15").Total("occupied", "time the work centre is occupied", setup, run)
	st.Attended = st.attendedTime(s.By("M16"), setup, run, c)
}

// pieceTime is cutting + positioning + worn-edge share + piece handling, or the
// time entered whole; an inspection looks at its sampled share.
func (st *Step) pieceTime(s graph.Scope) graph.ID {
	if len(st.Operation.Characteristics) > 0 {
		return st.measured(s)
	}
	op, unit := st.Operation, graph.Minute.Per(graph.Piece)
	whole := part{op.PieceMin, "piece-time", "time per piece", "piece_min", graph.None}
	if len(op.Features) > 0 {
		return s.Sum(whole.name, whole.label, st.Cut.Cutting, st.Cut.Positioning, st.Cut.WornEdge,
			s.Optional("handling", "handling time per piece", unit, op.HandlingMin, "handling_min"), st.areaTime(s), st.guessed.Piece)
	}
	if op.SampledShare != nil {
		whole.name, whole.label = "checked-piece-time", "time per piece looked at"
	}
	t := entered(s, unit, whole, []part{
		{op.CuttingMin, "cutting", "cutting time per piece", "cutting_min", graph.None},
		{op.PositioningMin, "positioning", "positioning time per piece", "positioning_min", graph.None},
		{op.WornEdgeMin, "worn-edge", "share of edge changes per piece", "worn_edge_min", graph.None},
		{op.HandlingMin, "handling", "handling time per piece", "handling_min", graph.None},
	}, st.areaTime(s), st.guessed.Piece)
	if op.SampledShare == nil || t == graph.None {
		return t
	}
	share := s.Number("sampled-share", "share of pieces looked at", graph.Plain, *op.SampledShare, "sampled_share")
	return s.Multiply("piece-time", "time per piece", t, share)
}

// loadTime is tool changes + load handling + probing, or the time entered whole.
func (st *Step) loadTime(s graph.Scope) graph.ID {
	op := st.Operation
	return entered(s, graph.Minute, part{op.LoadMin, "load-time", "time per load", "load_min", graph.None}, []part{
		{op.ToolChangeMin, "tool-changes", "tool changes per load", "tool_change_min", st.Cut.ToolChanges},
		{op.LoadHandlingMin, "load-handling", "handling of a load", "load_handling_min", graph.None},
		{op.ProbingMin, "probing", "probing per load", "probing_min", graph.None},
	})
}

// entered gives a time entered whole, or the sum of its parts, or None. Parts that
// are computed come last; None for those that do not occur.
func entered(s graph.Scope, unit graph.Unit, whole part, parts []part, computed ...graph.ID) graph.ID {
	if whole.number != nil {
		return s.Number(whole.name, whole.label, unit, *whole.number, whole.path)
	}
	var given []graph.ID
	for _, p := range parts {
		if p.computed != graph.None {
			given = append(given, p.computed)
		} else if p.number != nil {
			given = append(given, s.Number(p.name, p.label, unit, *p.number, p.path))
		}
	}
	return s.Sum(whole.name, whole.label, append(given, computed...)...)
}

// setupTime is the time of all set-ups: entered, or else from its parts at the work
// centre, or else guessed. A time entered with the allowance in it is divided by
// 1 + allowance, because M16 adds the allowance to attended time.
func (st *Step) setupTime(s graph.Scope, c Centre) graph.ID {
	op, each := st.Operation, st.Cut.Setup
	if each == graph.None {
		each = st.guessed.Setup
	}
	if op.SetupMin == nil {
		if each == graph.None {
			return graph.None
		}
		if st.Setups == graph.None {
			st.Setups = st.countSetups(s.By("Y1"))
		}
		return s.Multiply("setup-total", "time of all set-ups", st.Setups, each)
	}
	if op.SetupContainsAllowance && c.Allowance != graph.None {
		entered := s.Number("setup-time-entered", "set-up time with allowance", graph.Minute, *op.SetupMin, "setup_min")
		each = c.withoutAllowance(s, entered)
	} else {
		each = s.Number("setup-time", "set-up time", graph.Minute, *op.SetupMin, "setup_min")
	}
	return s.Multiply("setup-total", "time of all set-ups", st.Setups, each)
}

// runTime is units in × piece time, or what the learning curve makes of it, +
// loads × load time.
func (st *Step) runTime(s graph.Scope) graph.ID {
	pieces, loads := graph.None, graph.None
	if st.PieceTime != graph.None {
		pieces = st.runPieces(s)
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
	return s.Shared("pieces-per-load", "pieces per load", graph.Piece, *st.Operation.PiecesPerLoad, "pieces_per_load")
}

// cycle is for display only: piece time + load time ÷ pieces per load. Where the
// time falls with practice it is the average of this batch.
func (st *Step) cycle(s graph.Scope) {
	each := st.PieceTime
	if st.average != graph.None {
		each = st.average
	}
	share := s.Divide("load-time-share", "load time per piece", st.LoadTime, st.perLoad(s))
	s.Total("cycle-time", "cycle time", each, share)
}

// attendedTime is (set-ups × set-up time + run and load minutes × attended
// share) × (1 + allowance), or ÷ (1 − allowance) where it is one of shift time.
func (st *Step) attendedTime(s graph.Scope, setup, run graph.ID, c Centre) graph.ID {
	share := graph.Or(s.Optional("attended-share", "attended share", graph.Plain, st.Operation.AttendedShare, "attended_share"), st.guessed.Attended)
	run = graph.Or(s.Multiply("attended-run", "run time attended", run, share), run)
	// A set-up is attended in full, a run by its share; people tire and machines do not, so
	// that the allowance is on this alone (M16).
	t := s.Total("attended-net", "attended time before allowance", setup, run)
	if t == graph.None || c.Allowance == graph.None {
		return t
	}
	return c.withAllowance(s, t)
}

// measured is the time per piece of an inspection that lists what it measures:
// each time × the share of pieces it is taken on, added up.
func (st *Step) measured(s graph.Scope) graph.ID {
	var times []graph.ID
	for i := range st.Operation.Characteristics {
		c := &st.Operation.Characteristics[i]
		at := s.In("measure", bom.Slug(c.Name)).Within("characteristics[" + strconv.Itoa(i) + "]")
		unit := graph.Minute.Per(graph.Piece)
		if c.SampledShare == nil {
			times = append(times, at.Number("time", "time to measure "+c.Name, unit, c.MeasureMin, "measure_min"))
			continue
		}
		each := at.Number("time-measured", "time to measure "+c.Name+" on a piece", unit, c.MeasureMin, "measure_min")
		share := at.Number("share", "share of pieces on which "+c.Name+" is measured", graph.Plain, *c.SampledShare, "sampled_share")
		times = append(times, at.Multiply("time", "time to measure "+c.Name+", per piece", each, share))
	}
	return s.Sum("piece-time", "time per piece", times...)
}

// WorksByArea reports whether an operation of the shop needs the computed surface
// of the piece.
func WorksByArea(op *bom.Operation) bool {
	return op.Kind != bom.Outside && op.MinPerDM2 != nil && op.AreaDM2 == nil
}

// areaTime is the time of work by area, such as polishing or blasting: time per
// dm² × area, the one entered or the surface of the piece. None where nothing is
// worked by area.
func (st *Step) areaTime(s graph.Scope) graph.ID {
	op := st.Operation
	if op.MinPerDM2 == nil {
		return graph.None
	}
	area := graph.Or(s.Optional("area", "area worked on, of a piece", graph.Dm.Power(2).Per(graph.Piece), op.AreaDM2, "area_dm2"), st.Surface)
	if area == graph.None {
		area = s.Within("area_dm2").Missing("area", "area worked on, of a piece", graph.Dm.Power(2).Per(graph.Piece), "area of "+s.Record())
	}
	rate := s.Number("time-per-area", "time per area", graph.Minute.Per(graph.Dm.Power(2)), *op.MinPerDM2, "min_per_dm2")
	return s.Multiply("area-time", "time for the area of a piece", rate, area)
}

// An allowance is a share of work time, or of shift time. Both are in use; which
// is a decision of the shop. Attended time is multiplied by 1 + allowance, or
// divided by 1 − allowance (M16). Source `time-standards`.

// withAllowance adds the allowance to an attended time.
func (c Centre) withAllowance(s graph.Scope, t graph.ID) graph.ID {
	const name, label = "attended", "attended time"
	if c.OfShift {
		return s.Divide(name, label, t, c.worked(s, "allowance-worked"))
	}
	return s.Multiply(name, label, t, c.factor(s, "allowance-factor"))
}

// withoutAllowance takes the allowance off a set-up time that was entered with it.
func (c Centre) withoutAllowance(s graph.Scope, t graph.ID) graph.ID {
	const name, label = "setup-time", "set-up time"
	if c.OfShift {
		return s.Multiply(name, label, t, c.worked(s, "setup-allowance-worked"))
	}
	return s.Divide(name, label, t, c.factor(s, "setup-allowance-factor"))
}

// LabourWithAllowance is the rate of an hour attended, with its allowance; None
// without a rate.
func (c Centre) LabourWithAllowance(s graph.Scope, rate graph.ID) graph.ID {
	const name, label = "labour-allowed", "labour rate with allowance"
	switch {
	case rate == graph.None || c.Allowance == graph.None:
		return rate
	case c.OfShift:
		return s.Divide(name, label, rate, c.worked(s, "allowance-worked"))
	}
	return s.Multiply(name, label, rate, c.factor(s, "allowance-factor"))
}

func (c Centre) factor(s graph.Scope, name string) graph.ID {
	return s.Add(name, "1 + allowance", s.One(graph.Plain), c.Allowance)
}

func (c Centre) worked(s graph.Scope, name string) graph.ID {
	return s.Subtract(name, "1 − allowance, the share of the shift that is worked", s.One(graph.Plain), c.Allowance)
}
