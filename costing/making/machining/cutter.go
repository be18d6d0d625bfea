package machining

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/machining/feature"
)

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
