package routing

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

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
