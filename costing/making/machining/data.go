package machining

import (
	"fmt"
	"strconv"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/machining/feature"
	"kerfbook/costing/rates"
	"kerfbook/costing/reference"
)

// data takes each value from the first row that has it. s is the scope for what
// is computed from the diameter of the tool.
func (m *Shop) data(s graph.Scope, t feature.Tool, mat feature.Material, kind bom.FeatureKind) feature.Data {
	d := feature.Data{Speed: graph.None, Feed: graph.None, Depth: graph.None, Width: graph.None, MinChip: graph.None, TapForce: graph.None, MorePasses: graph.None, SawRate: graph.None}
	force := graph.Newton.Per(graph.Mm.Power(2))
	for _, row := range m.def.Data.For(rates.CuttingUse{Materials: mat.Names, Tool: t.Tool, Feature: kind, Day: m.def.Day}) {
		r := m.row(row)
		if d.Speed == graph.None && r.row.SpeedMMin != nil {
			r.take(&d.Speed, "speed", "cutting speed", graph.Metre.Per(graph.Minute), r.row.SpeedMMin, "speed_m_min")
			d.Speed = mat.Borrowed(s, d.Speed, r.row.Material)
		}
		r.feed(&d.Feed, s, t)
		r.take(&d.Depth, "depth", "depth of cut", graph.Mm, r.row.DepthMM, "depth_mm")
		// A stated depth goes before a share of the diameter in the same row.
		r.share(&d.Depth, s, t, "depth", "depth of cut", r.row.DepthPerDiameter)
		r.take(&d.Width, "width", "width of cut", graph.Mm, r.row.WidthMM, "width_mm")
		r.share(&d.Width, s, t, "width", "width of cut", r.row.WidthPerDiameter)
		r.take(&d.MinChip, "min-chip", "thinnest chip that is cut", graph.Mm, r.row.MinChipMM, "min_chip_mm")
		r.take(&d.TapForce, "tap-force", "specific force of tapping", force, r.row.TapForceNMM2, "tap_force_n_mm2")
		r.take(&d.MorePasses, "more-passes", "passes more, in what is hard to cut", graph.Plain, r.row.MorePasses, "more_passes")
		r.take(&d.SawRate, "saw-rate", "cutting rate", graph.Cm.Power(2).Per(graph.Minute), r.row.SawRateCM2Min, "saw_rate_cm2_min")
	}
	return d
}

// rowScope writes the numbers of one row, shared by all that use it.
type rowScope struct {
	row *rates.CuttingRow
	s   graph.Scope
}

func (m *Shop) row(r reference.Row[*rates.CuttingRow]) rowScope {
	name := r.Value.Name()
	return rowScope{r.Value, m.root.In("cutting", name).Of("cutting data " + name).From(graph.Source{
		Where: r.Where, Path: r.Path, Cite: r.Cite})}
}

// take fills what no earlier row has given.
func (r rowScope) take(into *graph.ID, name, label string, unit graph.Unit, n *bom.Number, path string) {
	if *into == graph.None && n != nil {
		// Shared, so that a range is one unknown: copper that cuts worse than thought does so
		// in every feature at once, and draws must not average that away.
		*into = r.s.Shared(name, label, unit, *n, path)
	}
}

// share fills with a share of the diameter.
func (r rowScope) share(into *graph.ID, s graph.Scope, t feature.Tool, name, label string, n *bom.Number) {
	if *into != graph.None || n == nil || t.DiameterMM == nil {
		return
	}
	of := r.s.Shared(name+"-per-diameter", label+" ÷ diameter", graph.Plain, *n, name+"_per_diameter")
	*into = s.Multiply(name+"-by-diameter", label+" by diameter", of, t.Diameter())
}

// feed fills with the feed of the row: as it stands, as a share of the diameter, or
// on the line between stated diameters.
func (r rowScope) feed(into *graph.ID, s graph.Scope, t feature.Tool) {
	r.take(into, "feed", "feed", graph.Mm, r.row.FeedMM, "feed_mm")
	r.share(into, s, t, "feed", "feed", r.row.FeedPerDiameter)
	if *into == graph.None && len(r.row.Feeds) > 0 && t.DiameterMM != nil {
		*into = r.feedLine(t)
	}
}

// feedLine is the feed on the straight line between the feeds of the two stated
// diameters around the tool's: from + (to − from)·(D − D from) ÷ (D to − D from).
// Below the smallest the line comes from nought, above the largest its feed holds.
// Checks say between which diameters it holds.
func (r rowScope) feedLine(t feature.Tool) graph.ID {
	row := r.s.In("with", string(t.ID)).Also(" with " + t.Name)
	s := row.From(graph.Source{Where: "tool " + t.Name}).By("M2")
	if id := s.Known("feed"); id != graph.None {
		return id
	}
	r.outside(row, t)
	sizes, feeds, above := r.around(s, t)
	if len(sizes) == 1 {
		return s.Sum("feed", "feed by diameter, as stated", feeds[0])
	}
	d := t.Diameter()
	if above {
		// The row says nothing of larger tools, and a line drawn on would err towards
		// broken ones.
		d = s.Minimum("diameter", "diameter, at most the largest stated", d, sizes[len(sizes)-1])
	}
	size, step := ends(s, d, "size", "stated diameter", sizes, sizes)
	feed, rise := ends(s, d, "feed", "feed at the stated diameter", sizes, feeds)
	share := s.Divide("share", "share of the way between them", s.Subtract("beyond", "diameter beyond the one below", d, size), step)
	return s.Add("feed", "feed by diameter", feed, s.Multiply("added", "feed added on the way", rise, share))
}

// around are the stated diameters and feeds that the diameter of a tool lies
// between, two but for a diameter that is a range or stated itself.
func (r rowScope) around(s graph.Scope, t feature.Tool) (sizes, feeds []graph.ID, above bool) {
	places, below, above := r.row.FeedReach(t.DiameterMM)
	if below {
		sizes, feeds = append(sizes, s.Zero(graph.Mm)), append(feeds, s.Zero(graph.Mm))
	}
	for _, i := range places {
		f := r.row.Feeds[i]
		size, path := f.DiameterMM.Likely.String(), "feeds["+strconv.Itoa(i)+"]."
		sizes = append(sizes, r.s.Shared("size-"+size, "stated diameter "+size+" mm", graph.Mm, f.DiameterMM, path+"diameter_mm"))
		feeds = append(feeds, r.s.Shared("feed-at-"+size, "feed at "+size+" mm", graph.Mm, f.FeedMM, path+"feed_mm"))
	}
	if !below {
		s.Check("from", "the diameter is at least the stated one below", t.Diameter(), graph.GreaterOrEqual, sizes[0])
	}
	if !above {
		s.Check("to", "the diameter is at most the stated one above", t.Diameter(), graph.LessOrEqual, sizes[len(sizes)-1])
	}
	return sizes, feeds, above
}

// ends gives the value at the stated diameter below and how far it is to the one
// above, looked up where there are more than two.
func ends(s graph.Scope, d graph.ID, name, label string, sizes, values []graph.ID) (from, rise graph.ID) {
	last := len(sizes) - 1
	from, to := values[0], values[last]
	if last > 1 {
		axis := graph.Axis{X: d, Bands: graph.Bands{BelowClosed: make([]bool, last-1)}, Edges: sizes[1:last]}
		from = s.Band(name+"-from", label+" below", axis, values[:last]...)
		to = s.Band(name+"-to", label+" above", axis, values[1:]...)
	}
	return from, s.Subtract(name+"-rise", label+" above, less that below", to, from)
}

// outside says where a tool lies beyond the stated diameters.
func (r rowScope) outside(s graph.Scope, t feature.Tool) {
	const text = "%s: %s mm is %s the %s diameter stated, %s mm: %s"
	switch from, to := r.row.FeedAround(t.DiameterMM); {
	case from == nil:
		s.Find(graph.Note, "feed", fmt.Sprintf(text, s.Thing(), t.DiameterMM.Likely, "below", "smallest", to.DiameterMM.Likely, "the feed falls with the diameter"))
	case to == nil && t.DiameterMM.Likely.GreaterThan(from.DiameterMM.Likely):
		s.Find(graph.Note, "feed", fmt.Sprintf(text, s.Thing(), t.DiameterMM.Likely, "above", "largest", from.DiameterMM.Likely, "its feed holds"))
	}
}

// cutterKey names what tools share between features: speeds and feeds that no
// feature overrides.
type cutterKey struct {
	centre, tool, material bom.ID
	kind                   bom.FeatureKind
}

// cutter gives the tool at work on a feature. Where the feature states a speed or
// feed of its own, the figures are its own too.
func (m *Shop) cutter(s graph.Scope, t feature.Tool, c *feature.Centre, mat feature.Material, f *bom.Feature) *feature.Cutter {
	if f.SpeedMMin != nil || f.FeedMM != nil || f.RzUM != nil || f.RaUM != nil {
		// In the scope of the feature, or a key shared by features would have two values.
		d := m.data(s.By("M2"), t, mat, f.Kind)
		d.Speed = graph.Or(s.Optional("speed-wanted", "cutting speed wanted", graph.Metre.Per(graph.Minute), f.SpeedMMin, "speed_m_min"), d.Speed)
		d.Feed = graph.Or(s.Optional("feed", "feed", graph.Mm, f.FeedMM, "feed_mm"), d.Feed)
		return feature.NewCutter(s, t, d, c)
	}
	// The work centre belongs to the key: its spindle may cap n.
	key := cutterKey{c.Def.ID, t.ID, mat.ID, f.Kind}
	if k, ok := m.cutters[key]; ok {
		return k
	}
	at := m.root.In("cut", string(key.centre), string(key.tool), string(key.material), string(key.kind)).
		From(graph.Source{Where: "tool " + t.Name + " in " + mat.Label}).Of(t.Name + " in " + mat.Label)
	k := feature.NewCutter(at, t, m.data(at.By("M2"), t, mat, f.Kind), c)
	m.cutters[key] = k
	return k
}
