package machining

import (
	"strconv"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// data are the cutting data of a tool in a material for a kind of feature; None
// where no row has the value.
type data struct {
	speed    graph.ID // m/min
	feed     graph.ID // mm, per tooth or revolution
	depth    graph.ID // mm, most per pass
	width    graph.ID // mm, most per pass
	minChip  graph.ID // mm
	tapForce graph.ID // N/mm²
}

// data takes each value from the first row that has it. s is the scope for what
// is computed from the diameter of the tool.
func (m *Shop) data(s graph.Scope, t tool, mat material, kind bom.FeatureKind) data {
	d := data{graph.None, graph.None, graph.None, graph.None, graph.None, graph.None}
	force := graph.Newton.Per(graph.Mm.Power(2))
	for _, row := range m.def.Data.For(rates.CuttingUse{Materials: mat.names, Tool: t.Tool, Feature: kind, Day: m.def.Day}) {
		r := m.row(row)
		r.take(&d.speed, "speed", "cutting speed", graph.Metre.Per(graph.Minute), r.row.SpeedMMin, "speed_m_min")
		r.feed(&d.feed, s, t)
		r.take(&d.depth, "depth", "depth of cut", graph.Mm, r.row.DepthMM, "depth_mm")
		r.share(&d.depth, s, t, "depth", "depth of cut", r.row.DepthPerDiameter)
		r.take(&d.width, "width", "width of cut", graph.Mm, r.row.WidthMM, "width_mm")
		r.share(&d.width, s, t, "width", "width of cut", r.row.WidthPerDiameter)
		r.take(&d.minChip, "min-chip", "thinnest chip that is cut", graph.Mm, r.row.MinChipMM, "min_chip_mm")
		r.take(&d.tapForce, "tap-force", "specific force of tapping", force, r.row.TapForceNMM2, "tap_force_n_mm2")
	}
	return d
}

// rowScope writes the numbers of one row, shared by all that use it.
type rowScope struct {
	row *rates.CuttingRow
	s   graph.Scope
}

func (m *Shop) row(r rates.Row[*rates.CuttingRow]) rowScope {
	name := r.Value.Name()
	return rowScope{r.Value, m.root.In("cutting", name).Of("cutting data " + name).From(graph.Source{
		Where: r.Where, Path: r.Path, Cite: r.Cite})}
}

// take fills what no earlier row has given.
func (r rowScope) take(into *graph.ID, name, label string, unit graph.Unit, n *bom.Number, path string) {
	if *into == graph.None && n != nil {
		*into = r.s.Shared(name, label, unit, *n, path)
	}
}

// share fills with a share of the diameter.
func (r rowScope) share(into *graph.ID, s graph.Scope, t tool, name, label string, n *bom.Number) {
	if *into != graph.None || n == nil || t.DiameterMM == nil {
		return
	}
	of := r.s.Shared(name+"-per-diameter", label+" ÷ diameter", graph.Plain, *n, name+"_per_diameter")
	*into = s.Multiply(name+"-by-diameter", label+" by diameter", of, t.diameter())
}

// feed fills with the feed of the row: as it stands, by diameter, or that of the
// largest stated diameter not above the tool's, which stands in the source as it
// is. Below the smallest stated diameter the feed falls with the diameter.
func (r rowScope) feed(into *graph.ID, s graph.Scope, t tool) {
	r.take(into, "feed", "feed", graph.Mm, r.row.FeedMM, "feed_mm")
	r.share(into, s, t, "feed", "feed", r.row.FeedPerDiameter)
	if *into != graph.None || len(r.row.Feeds) == 0 || t.DiameterMM == nil {
		return
	}
	at, below := r.row.FeedFrom(t.DiameterMM)
	if !below {
		*into = r.feedAt(at)
		return
	}
	d := r.s.Shared("smallest-diameter", "smallest stated diameter", graph.Mm, r.row.Feeds[at].DiameterMM, feedPath(at, "diameter_mm"))
	*into = s.Divide("feed-by-diameter", "feed, falling with the diameter",
		s.Multiply("feed-times-diameter", "feed × diameter", r.feedAt(at), t.diameter()), d)
}

func (r rowScope) feedAt(i int) graph.ID {
	f := r.row.Feeds[i]
	return r.s.Shared("feed-at-"+f.DiameterMM.Likely.String(), "feed from "+f.DiameterMM.Likely.String()+" mm", graph.Mm, f.FeedMM, feedPath(i, "feed_mm"))
}

func feedPath(i int, field string) string { return "feeds[" + strconv.Itoa(i) + "]." + field }
