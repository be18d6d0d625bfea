package exact

import "kerfbook/costing/graph"

// band looks a value up by one axis or two. The axes need all their edges; of the
// values only the one selected is needed.
func band(r *run, n *graph.Operation, id graph.ID) (num, graph.ID) {
	at, cell := 0, 0
	for i := range n.Axes {
		axis := &n.Axes[i]
		index, next, cause := r.bandIndex(axis, n.Args, at)
		switch {
		case cause != defined:
			return num{}, cause
		case index < 0:
			return num{}, id
		}
		cell = cell*axis.Count() + index
		at = next
	}
	return r.value(n.Args[at+cell])
}

// bandIndex gives the band, from 0, of an axis whose arguments start at a place,
// and the place after them. It is −1 outside the outer edges.
func (r *run) bandIndex(axis *graph.Bands, args []graph.ID, at int) (index, next int, cause graph.ID) {
	x, cause := r.value(args[at])
	if cause != defined {
		return 0, 0, cause
	}
	x = x.snapped()
	at++
	inside := true
	edge := func() (order int) {
		if cause != defined {
			return 0
		}
		var v num
		v, cause = r.value(args[at])
		at++
		return x.cmp(v.snapped())
	}
	if axis.HasLow {
		order := edge()
		inside = order > 0 || order == 0 && axis.LowClosed
	}
	// Every edge is read, also those above the band that was found: an edge without
	// a value leaves the whole table in doubt.
	for _, belowClosed := range axis.BelowClosed {
		if order := edge(); order > 0 || order == 0 && !belowClosed {
			index++
		}
	}
	if axis.HasHigh {
		order := edge()
		inside = inside && (order < 0 || order == 0 && axis.HighClosed)
	}
	if !inside {
		index = -1
	}
	return index, at, cause
}
