package estimate_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/rates"
)

// cutter is a tool at work in the demo's copper, in binary numbers.
type cutter struct {
	t                          *bom.Tool
	d, z, n, feed, table, life float64
	depth, width               float64 // most per pass
}

// machinist works the features of the demo out a second time, without a graph and
// without the estimator's code: minutes, moves, worn edges, and the tool that
// costs least.
type machinist struct {
	t      *testing.T
	b      *book.Book
	op     *bom.Operation
	centre *rates.WorkCentre
	minute float64 // cost
}

func newMachinist(t *testing.T, b *book.Book, op *bom.Operation) machinist {
	t.Helper()
	c := find(t, b.WorkCentres, func(w *rates.WorkCentre) bool { return w.ID == op.WorkCentre })
	machine, _ := ratePerHour(b, c).Float64()
	labour := likely(c.LabourRatePerH) * likely(op.AttendedShare) * (1 + likely(c.Allowance))
	return machinist{t, b, op, c, (machine + labour) / 60}
}

func likely(n *bom.Number) float64 {
	if n == nil {
		return 0
	}
	f, _ := n.Likely.Float64()
	return f
}

// cutter looks the data up: the copper rows of the reference data.
func (m machinist) cutter(t *bom.Tool, f *bom.Feature) cutter {
	c := cutter{t: t, d: likely(t.DiameterMM), z: math.Max(1, likely(t.Teeth))}
	speed, feeds := map[bom.ToolKind]float64{bom.FaceMill: 450, bom.EndMill: 155, bom.SlittingSaw: 120, bom.FlyCutter: 540, bom.DrillTool: 80, bom.TapTool: 10, bom.ChamferMill: 120}[t.Kind],
		map[bom.ToolKind][][2]float64{
			bom.FaceMill: {{0, 0.2}}, bom.EndMill: {{3.175, 0.0254}, {6.35, 0.0508}, {9.525, 0.0635}, {12.7, 0.0762}}, bom.SlittingSaw: {{0, 0.01}},
			bom.FlyCutter: {{0, 0.1}}, bom.DrillTool: {{3.175, 0.0508}, {6.35, 0.1016}}, bom.TapTool: {{0, 0}}, bom.ChamferMill: {{0, 0.03}}}[t.Kind]
	c.feed = along(c.d, feeds)
	slotted := f.Kind == bom.Slot || f.Kind == bom.SlotArray
	switch t.Kind {
	case bom.FaceMill:
		c.depth, c.width = 2, 0.7*c.d
	case bom.FlyCutter:
		c.depth, c.width = 0.5, 0.8*c.d
	case bom.EndMill:
		c.depth, c.width = 0.5*c.d, 0.4*c.d
		if slotted {
			c.depth = c.d
		}
		if deep := likely(f.DepthMM); deep > 4*c.d {
			c.depth *= math.Pow(4*c.d/deep, 3)
		}
	}
	if edge := likely(t.CuttingLengthMM); edge > 0 {
		c.depth = math.Min(c.depth, edge)
	}
	c.n = math.Min(1000*speed/(math.Pi*c.d), likely(m.centre.SpindleMaxPerMin))
	c.life = math.Pow(likely(t.TaylorC)/(math.Pi*c.d*c.n/1000), 1/likely(t.TaylorN))
	c.table = c.feed * c.n
	if t.Kind != bom.DrillTool && t.Kind != bom.TapTool {
		c.table *= c.z
	}
	return c
}

// along is the feed of a diameter: on the chord between stated points, down to nought
// at nought, and level beyond the last.
func along(d float64, points [][2]float64) float64 {
	last := [2]float64{}
	for _, p := range points {
		if d <= p[0] {
			t := (p[0] - d) / (p[0] - last[0])
			return t*last[1] + (1-t)*p[1]
		}
		last = p
	}
	return last[1]
}

// cut gives minutes of cutting of one feature, and the ways of its rapid moves in
// mm, one by one.
func (m machinist) cut(c cutter, f *bom.Feature) (minutes float64, moves []float64) {
	l, w, h, path := likely(f.LengthMM), likely(f.WidthMM), likely(f.DepthMM), likely(f.PathMM)
	const gap = 2.0
	levels := math.Ceil(h/c.depth - 1e-9)
	switch f.Kind {
	case bom.Face:
		if c.d >= w {
			c.width = w
		}
		return levels * math.Ceil(w/c.width-1e-9) * (l + c.d + 2*gap) / c.table, downAndUp(levels, gap+h)
	case bom.Contour:
		used := math.Min(w, c.width)
		if used <= 0.15*c.d {
			levels = math.Ceil(h/likely(c.t.CuttingLengthMM) - 1e-9)
		}
		side := math.Ceil(w/c.width - 1e-9)
		into := math.Min(used, c.d/2)
		return levels * side * (path + math.Sqrt(into*(c.d-into)) + 2*gap) / c.table, downAndUp(levels*side, gap+h)
	case bom.Pocket:
		rows := math.Ceil((w-c.d)/c.width-1e-9) + 1
		level := rows*(l-c.d) + (w - c.d) + 2*(l-c.d) + 2*(w-c.d)
		return (levels*level + h/math.Tan(3*math.Pi/180)) / c.table, downAndUp(levels, gap+h)
	case bom.SlotArray:
		return m.slots(c, f)
	case bom.Drill:
		return m.drill(c, f)
	case bom.Tap:
		pitch := likely(f.PitchMM)
		return 2*(h+3*pitch+gap)/(pitch*c.n) + likely(m.centre.TapReversalS)/60, nil
	case bom.Chamfer:
		return (path + 2*gap) / c.table, downAndUp(1, gap)
	case bom.FinishFace:
		feed := math.Min(c.feed*c.z, math.Sqrt(8*likely(c.t.NoseRadiusMM)*likely(f.RzUM)/1000/2))
		if c.d < w {
			m.t.Fatal("no cutter of the demo is narrower than its mirror; this recount knows one pass only")
		}
		return (l + c.d + 2*gap) / (feed * c.n), downAndUp(1, gap)
	}
	m.t.Fatalf("the demo has a %s, which this recount does not know", f.Kind)
	return 0, nil
}

func downAndUp(times, way float64) (moves []float64) {
	for range int(times) {
		moves = append(moves, way, way)
	}
	return moves
}

// travel is the time of moves that begin and end at rest, in minutes: speeding up
// and slowing down at the acceleration, and the rest at the highest speed reached.
func (m machinist) travel(moves ...float64) (minutes float64) {
	v, a := likely(m.centre.RapidMMMin)/60, 1000*likely(m.centre.AccelerationMS2)
	for _, s := range moves {
		peak := math.Min(v, math.Sqrt(s*a))
		minutes += (2*peak/a + (s-peak*peak/a)/v) / 60
	}
	return minutes
}

func (m machinist) slots(c cutter, f *bom.Feature) (minutes float64, moves []float64) {
	const gap = 2.0
	l, w, h, s, fin := likely(f.LengthMM), likely(f.WidthMM), likely(f.DepthMM), likely(f.SlotWidthMM), likely(f.FinWidthMM)
	n, side, approach, levels := 0.0, 1.0, c.d, 1.0
	for at := fin; at+s+fin <= w+1e-9; at += s + fin {
		n++
	}
	if c.t.Kind == bom.SlittingSaw {
		side, approach = math.Ceil(s/likely(c.t.WidthMM)-1e-9), math.Sqrt(h*(c.d-h))
	} else {
		levels, side = math.Ceil(h/c.depth-1e-9), math.Ceil((s-c.d)/c.width-1e-9)+1
	}
	one := l + approach + 2*gap
	for range int(n * levels * side) {
		moves = append(moves, h, one, h)
	}
	return n * levels * side * one / c.table, append(moves, w)
}

func (m machinist) drill(c cutter, f *bom.Feature) (minutes float64, moves []float64) {
	const gap = 2.0
	h, out := likely(f.DepthMM), 0.0
	if f.Through {
		out = 2
	}
	travel := gap + h + out + c.d/2/math.Tan(likely(c.t.PointAngleDeg)/2*math.Pi/180)
	pecks := math.Ceil(h/likely(f.PeckMM) - 1e-9)
	return travel / c.table, append(downAndUp(pecks-1, h/2+gap), travel)
}

// pricedCut is a feature cut by one tool.
type pricedCut struct {
	tool                              bom.ID
	cutting, move, change, edge, cost float64
}

func (m machinist) price(f *bom.Feature) pricedCut {
	var best pricedCut
	for i := range m.b.Tools {
		t := &m.b.Tools[i]
		if t.Misfit(f, m.op.WorkCentre) != "" {
			continue
		}
		c := m.cutter(t, f)
		minutes, moves := m.cut(c, f)
		count, factor := math.Max(1, likely(f.Count)), 1.0
		way := m.travel(likely(m.centre.ApproachMM)) + likely(m.centre.SettlingS)/60 + m.travel(moves...)
		for range int(count) - 1 {
			way += m.travel(likely(f.SpacingMM)) + likely(m.centre.SettlingS)/60 + m.travel(moves...)
		}
		for _, x := range m.b.Factors {
			if x.WorkCentre == m.op.WorkCentre && x.Feature == f.Kind && x.Minutes != nil {
				factor = likely(x.Minutes)
			}
		}
		edges := count * minutes / c.life
		p := pricedCut{tool: t.ID, cutting: factor * count * minutes, move: factor * way,
			change: edges * likely(t.EdgeChangeMin), edge: edges * likely(t.EdgeCost)}
		share := likely(m.centre.ToolChangeS) / 60 / math.Max(1, likely(m.op.PiecesPerLoad))
		p.cost = (p.cutting+p.move+p.change+share)*m.minute + p.edge
		if best.tool == "" || p.cost < best.cost {
			best = p
		}
	}
	return best
}

// TestCuttingRecount compares what the features of the demo take, operation by
// operation, with the second reckoning.
func TestCuttingRecount(t *testing.T) {
	t.Parallel()
	b := atHome(t)
	s := evaluatedBatch(t, b, "glow=100")
	counted := 0
	for _, p := range s.est.Parts {
		for i := range p.Def.Routing {
			op := &p.Def.Routing[i]
			if len(op.Features) == 0 {
				continue
			}
			counted++
			s.sameCuts(t, b, fmt.Sprintf("part/%s/op/%d", p.Def.Number, op.Number), op)
		}
	}
	if counted == 0 {
		t.Error("no part of the demo is described by features")
	}
}

func (s sheet) sameCuts(t *testing.T, b *book.Book, key string, op *bom.Operation) {
	t.Helper()
	m := newMachinist(t, b, op)
	var all pricedCut
	var tools []bom.ID
	for i := range op.Features {
		p := m.price(&op.Features[i])
		all = pricedCut{cutting: all.cutting + p.cutting, move: all.move + p.move, change: all.change + p.change, edge: all.edge + p.edge}
		tools = append(tools, p.tool)
	}
	slices.Sort(tools)
	changes := float64(len(slices.Compact(tools))) * likely(m.centre.ToolChangeS) / 60
	for name, want := range map[string]float64{"cutting": all.cutting, "positioning": all.move, "worn-edge": all.change, "tools-per-piece": all.edge, "tool-changes": changes} {
		got, _ := s.key(key + "/" + name).Float64()
		if math.Abs(got-want) > 1e-9*(1+want) {
			t.Errorf("%s/%s is %.12g, want %.12g", key, name, got, want)
		}
	}
}
