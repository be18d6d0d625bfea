package estimate_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/rates"
)

// datum is what the rows say of a tool in a material, the first that speaks of each.
type datum struct {
	speed, feed, depth, width, more, rate, kc, mc float64
}

func (m machinist) datum(t *bom.Tool, f *bom.Feature, material bom.ID) (d datum) {
	var names []bom.ID
	for id := material; id != ""; {
		names = append(names, id)
		at := slices.IndexFunc(m.b.Materials, func(x rates.Material) bool { return x.ID == id })
		if id = ""; at >= 0 {
			id = m.b.Materials[at].CuttingAs
		}
	}
	tables, err := rates.ReferenceTables(names)
	if err != nil {
		m.t.Fatal(err)
	}
	share, of := 1.0, map[bom.ID]float64{}
	for _, step := range tables.Steps(m.b.Materials, material) {
		if step.Value.Share != nil {
			share *= likely(step.Value.Share)
		}
		of[step.Value.Material] = share
	}
	given := map[*float64]bool{} // a nought counts too: no passes more
	first := func(into *float64, n *bom.Number, by float64) {
		if !given[into] && n != nil {
			*into, given[into] = likely(n)*by, true
		}
	}
	size := likely(t.DiameterMM)
	for _, row := range tables.For(rates.CuttingUse{Materials: tables.Names(m.b.Materials, material), Tool: t, Feature: f.Kind, Day: demoDay}) {
		r := row.Value
		first(&d.speed, r.SpeedMMin, of[r.Material])
		first(&d.feed, r.FeedMM, 1)
		first(&d.feed, r.FeedPerDiameter, size)
		if !given[&d.feed] && len(r.Feeds) > 0 {
			var points [][2]float64
			for _, p := range r.Feeds {
				points = append(points, [2]float64{likely(&p.DiameterMM), likely(&p.FeedMM)})
			}
			d.feed, given[&d.feed] = along(size, points), true
		}
		first(&d.depth, r.DepthMM, 1)
		first(&d.depth, r.DepthPerDiameter, size)
		first(&d.width, r.WidthMM, 1)
		first(&d.width, r.WidthPerDiameter, size)
		first(&d.more, r.MorePasses, 1)
		first(&d.rate, r.SawRateCM2Min, 1)
	}
	if force, ok := tables.ForceOf(tables.Names(m.b.Materials, material), demoDay); ok {
		d.kc, d.mc = likely(&force.Value.Kc11NMM2), likely(&force.Value.MC)
	}
	return d
}

// held is the share of the feed that the power of the spindle leaves.
func (m machinist) held(d datum, removal, chip float64) float64 {
	if d.kc == 0 || m.centre.SpindlePowerKW == nil {
		return 1
	}
	there := likely(m.centre.SpindlePowerKW) * likely(m.centre.SpindleEfficiency)
	return math.Min(1, there/(removal*d.kc*math.Pow(chip, -d.mc)/6e7))
}

func (m machinist) turns(speed, diameter float64) float64 {
	return math.Min(1000*speed/(math.Pi*diameter), likely(m.centre.SpindleMaxPerMin))
}

func whole(x float64) float64 { return math.Ceil(x - 1e-9) }

// small works a feature out a second time: minutes of cutting, ways of the rapid moves,
// and minutes at rest. known is false of a kind that the recount of the demo holds.
func (m machinist) small(t *bom.Tool, f *bom.Feature, material bom.ID) (minutes float64, moves []float64, rest float64, known bool) {
	const gap = 2.0
	d, hole, h, l, w := likely(f.DiameterMM), likely(f.ToDiameterMM), likely(f.DepthMM), likely(f.LengthMM), likely(f.WidthMM)
	var c datum
	size, teeth, out := 0.0, 1.0, 0.0
	if t != nil {
		c, size, teeth = m.datum(t, f, material), likely(t.DiameterMM), math.Max(1, likely(t.Teeth))
	}
	if f.Through {
		out = 2
	}
	large, wall := math.Max(d, hole), math.Abs(d-hole)/2
	switch f.Kind {
	case bom.Spot, bom.Countersink:
		if h == 0 {
			h = (d - hole) / 2 / math.Tan(likely(t.PointAngleDeg)/2*math.Pi/180)
		}
		return (gap + h) / (c.feed * teeth * m.turns(c.speed, (d+hole)/2)), []float64{gap + h}, 0, true
	case bom.Counterbore:
		return (gap + h) / (0.8 * 0.8 * c.feed * m.turns(c.speed, size)), []float64{gap + h}, 0, true
	case bom.Ream:
		in := (gap + h + out) / (c.feed * m.turns(c.speed, size))
		return in + in/2, nil, 0, true
	case bom.CircularPocket:
		minutes, moves = m.rings(c, t, d, h, w, teeth)
		return minutes, moves, 0, true
	case bom.Groove:
		n, blade, path := m.turns(c.speed, large), likely(t.WidthMM), 0.0
		for cut := 0.0; cut < w-1e-9; cut += blade {
			path, moves = path+wall+gap, append(moves, wall+gap)
		}
		feed := c.feed * m.held(c, math.Pi*large*blade*c.feed*n, c.feed)
		return (path + math.Max(0, w-blade)) / (feed * n), moves, 0, true
	case bom.TurnProfile:
		minutes, moves = m.wedge(c, t, f, wall)
		return minutes, moves, 0, true
	case bom.ThreadTurn:
		p, n := likely(f.PitchMM), m.turns(c.speed, d)
		passes := math.Max(4, whole(1+4*p)) + 1 + c.more
		for range int(passes) {
			lift := 0.61343*p + gap
			moves = append(moves, l+2*p+gap, lift, lift)
		}
		return passes * (l + 2*p + gap) / (p * n), moves, passes * (likely(m.centre.SettlingS)/60 + 0.5/n), true
	case bom.Knurl:
		return (l + gap) / (c.feed * m.turns(c.speed, d)), []float64{l + gap}, 0, true
	case bom.SawCut:
		if d > 0 {
			return math.Pi * d * d / 400 / c.rate, downAndUp(1, gap+d), 0, true
		}
		return w * h / 100 / c.rate, downAndUp(1, gap+h), 0, true
	case bom.Deburr:
		return 2 * likely(f.PathMM) / 1000, nil, 0, true
	case bom.Polish:
		return 6 * likely(f.AreaDM2), nil, 0, true
	case bom.Blast:
		return 0.8 * likely(f.AreaDM2), nil, 0, true
	case bom.Mark:
		return 0.008 * likely(f.Characters), nil, 0, true
	case bom.FitInsert:
		return 0.3, nil, 0, true
	}
	return 0, nil, 0, false
}

// rings goes round a circular pocket circle by circle.
func (m machinist) rings(c datum, t *bom.Tool, d, h, w, teeth float64) (minutes float64, moves []float64) {
	const gap = 2.0
	size, edge := likely(t.DiameterMM), likely(t.CuttingLengthMM)
	reach := (d - size) / 2
	inner, deep := 0.0, c.depth*math.Pow(math.Min(1, 4*size/h), 3)
	if w > 0 {
		inner = reach - w
	}
	deep = math.Min(deep, edge)
	if w > 0 && w <= 0.15*size {
		deep = edge
	}
	step := c.width
	if step == 0 {
		step = size
	}
	rings, levels := whole((reach-inner)/step), whole(h/deep)
	step = (reach - inner) / rings
	n := m.turns(c.speed, size)
	feed := c.feed * teeth * n * (d - size) / d
	phi := math.Acos(1 - 2*step/size)
	feed *= m.held(c, h/levels*step*feed, 2*step*c.feed/(size*phi))
	path := 0.0
	if w == 0 {
		path = h / math.Tan(3*math.Pi/180)
		if rings == 1 {
			levels = 1
		}
	}
	for range int(levels) {
		for r := inner + step; r < reach+step/2; r += step {
			path += 2 * math.Pi * r
		}
	}
	return path / feed, downAndUp(levels, gap+h)
}

// wedge turns a profile step by step.
func (m machinist) wedge(c datum, t *bom.Tool, f *bom.Feature, wall float64) (minutes float64, moves []float64) {
	const gap = 2.0
	l, mean := likely(f.LengthMM), (likely(f.DiameterMM)+likely(f.ToDiameterMM))/2
	short, long, path := math.Min(l, wall), math.Max(l, wall), likely(f.PathMM)
	if path == 0 {
		path = math.Hypot(l, wall)
	}
	n, last, left := m.turns(c.speed, mean), c.feed, short
	deepest, steps := math.Min(c.depth, short), 0.0
	if f.RaUM != nil {
		fine := math.Min(0.5, math.Min(c.depth, short))
		left, deepest = short-fine, math.Max(fine, math.Min(c.depth, short-fine))
		last = math.Sqrt(18 * math.Sqrt(3) * likely(t.NoseRadiusMM) * likely(f.RaUM) / 1000 / 2)
	}
	for ; left > 1e-9; left -= c.depth {
		steps++
	}
	if f.RaUM == nil {
		steps-- // the last follows the path
	}
	feed := c.feed * m.held(c, math.Pi*mean*deepest*c.feed*n, c.feed)
	for range int(steps) + 1 {
		moves = append(moves, long+gap)
	}
	return steps*(long/2+gap)/(feed*n) + (path+gap)/(math.Min(last, feed)*n), moves
}

// TestSmallWorkRecount compares what the everyday parts take for features of lathes,
// holes, saws and hands with the second reckoning.
func TestSmallWorkRecount(t *testing.T) {
	t.Parallel()
	b := everyday(t)
	seen := map[bom.FeatureKind]int{}
	for i := range b.Parts {
		part := &b.Parts[i]
		s := evaluate(t, build(t, b, []estimate.MixLine{{Product: "one-" + part.Number, Trim: part.Number, Quantity: bom.Whole(100)}}), nil)
		for j := range part.Routing {
			op := &part.Routing[j]
			for k := range op.Features {
				s.sameSmall(t, b, part, op, &op.Features[k], seen)
			}
		}
	}
	for _, kind := range []bom.FeatureKind{bom.Spot, bom.Countersink, bom.Counterbore, bom.Ream, bom.CircularPocket, bom.Groove, bom.TurnProfile, bom.ThreadTurn, bom.Knurl,
		bom.SawCut, bom.Deburr, bom.Polish, bom.Blast, bom.Mark, bom.FitInsert} {
		if seen[kind] == 0 {
			t.Errorf("no everyday part has a %s", kind)
		}
	}
}

func (s sheet) sameSmall(t *testing.T, b *book.Book, part *bom.Part, op *bom.Operation, f *bom.Feature, seen map[bom.FeatureKind]int) {
	t.Helper()
	key := fmt.Sprintf("part/%s/op/%d/feature/%s/", part.Number, op.Number, f.ID)
	m := machinist{t: t, b: b, op: op, centre: find(t, b.WorkCentres, func(w *rates.WorkCentre) bool { return w.ID == op.WorkCentre })}
	var tool *bom.Tool
	if id := s.toolOf(b, key); id != "" {
		tool = find(t, b.Tools, func(x *bom.Tool) bool { return x.ID == id })
	}
	material, _ := bom.MaterialOf(part, bom.PartsByNumber(b.Parts), b.Stocks)
	minutes, moves, rest, known := m.small(tool, f, material)
	if !known {
		return
	}
	seen[f.Kind]++
	count, between := math.Max(1, likely(f.Count)), 0.0
	if tool != nil {
		between = m.travel(likely(m.centre.ApproachMM)) + (count-1)*m.travel(likely(f.SpacingMM)) + count*likely(m.centre.SettlingS)/60
	}
	for name, want := range map[string]float64{"cutting": count * minutes, "positioning": count*(m.travel(moves...)+rest) + between} {
		if got := s.minutes(key + name); math.Abs(got-want) > 1e-9*(1+want) {
			t.Errorf("%s%s is %.12g, want %.12g", key, name, got, want)
		}
	}
}
