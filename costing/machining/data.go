package machining

import (
	"fmt"
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

// feed fills with the feed of the row: as it stands, as a share of the diameter, or
// on the line between stated diameters.
func (r rowScope) feed(into *graph.ID, s graph.Scope, t tool) {
	r.take(into, "feed", "feed", graph.Mm, r.row.FeedMM, "feed_mm")
	r.share(into, s, t, "feed", "feed", r.row.FeedPerDiameter)
	if *into == graph.None && len(r.row.Feeds) > 0 && t.DiameterMM != nil {
		*into = r.feedLine(t)
	}
}

// feedLine is the feed on the straight line between the feeds of the two stated
// diameters around the tool's: from + (to − from)·(D − D from) ÷ (D to − D from).
// Below the smallest the line comes from nought, above the largest its feed holds.
// Which diameters are around is looked up, so that it holds for every diameter.
func (r rowScope) feedLine(t tool) graph.ID {
	s := r.s.In("with", string(t.ID)).Of(r.s.Thing() + " with " + t.Name).By("M2")
	if id := s.Lookup(s.Key("feed")); id != graph.None {
		return id
	}
	nought := s.Zero(graph.Mm)
	sizes, feeds := []graph.ID{nought}, []graph.ID{nought}
	for _, i := range r.row.FeedLine() {
		f := r.row.Feeds[i]
		size, path := f.DiameterMM.Likely.String(), "feeds["+strconv.Itoa(i)+"]."
		sizes = append(sizes, r.s.Shared("size-"+size, "stated diameter "+size+" mm", graph.Mm, f.DiameterMM, path+"diameter_mm"))
		feeds = append(feeds, r.s.Shared("feed-at-"+size, "feed at "+size+" mm", graph.Mm, f.FeedMM, path+"feed_mm"))
	}
	last := len(sizes) - 1
	d := s.Minimum("diameter", "diameter, at most the largest stated", t.diameter(), sizes[last])
	around := func(name, label string, values []graph.ID) (from, to, rise graph.ID) {
		from, to = values[0], values[1]
		if last > 1 {
			axis := graph.Axis{X: d, Bands: graph.Bands{BelowClosed: make([]bool, last-1)}, Edges: sizes[1:last]}
			from = s.Band(name+"-from", label+" at the stated diameter below, nought where none is", axis, values[:last]...)
			to = s.Band(name+"-to", label+" at the stated diameter above", axis, values[1:]...)
		}
		return from, to, s.Subtract(name+"-rise", label+" from one to the other", to, from)
	}
	size, _, step := around("size", "diameter", sizes)
	feed, _, rise := around("feed", "feed", feeds)
	share := s.Divide("share", "share of the way between them", s.Subtract("beyond", "diameter beyond the one below", d, size), step)
	r.outside(s, t)
	return s.Add("feed", "feed by diameter", feed, s.Multiply("added", "feed added on the way", rise, share))
}

// outside says where a tool lies beyond the stated diameters.
func (r rowScope) outside(s graph.Scope, t tool) {
	const text = "%s: %s mm is %s the %s diameter stated, %s mm: %s"
	switch from, to := r.row.FeedAround(t.DiameterMM); {
	case from == nil:
		s.Find(graph.Note, "feed", fmt.Sprintf(text, s.Thing(), t.DiameterMM.Likely, "below", "smallest", to.DiameterMM.Likely, "the feed falls with the diameter"))
	case to == nil && t.DiameterMM.Likely.GreaterThan(from.DiameterMM.Likely):
		s.Find(graph.Note, "feed", fmt.Sprintf(text, s.Thing(), t.DiameterMM.Likely, "above", "largest", from.DiameterMM.Likely, "its feed holds"))
	}
}
