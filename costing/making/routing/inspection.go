package routing

import (
	"strconv"

	"kerfbook/bom"
	"kerfbook/costing/graph"
)

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
