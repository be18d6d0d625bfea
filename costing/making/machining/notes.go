package machining

import (
	"fmt"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// notes say what is worth knowing of the feature with a tool that may cut it.
func (w *work) notes(c *cut) {
	w.heldLife(c.k)
	w.farFeed(c)
	if c.k.Kind == bom.BoringTool && c.f.DepthOfCutMM == nil && c.k.Tool.Slender(c.f) {
		c.s.Find(graph.Note, "overhang-depth", c.k.Name+" reaches deeper than four diameters of its bar in "+c.f.Name+", the most for a bar of steel, so its passes are shallower")
	}
	if c.f.Kind == bom.FinishFace && c.k.Kind != bom.BallMill && c.leavesSeam() {
		c.s.Find(graph.Note, "rows", fmt.Sprintf("%s takes %s in more than one pass, which leaves a seam; a cutter at least as wide as the face leaves none", c.k.Name, c.f.Name))
	}
}

// leavesSeam reports whether a finishing pass is narrower than the face, at likely
// sizes.
func (c *cut) leavesSeam() bool {
	pass := c.k.DiameterMM
	if c.f.WidthOfCutMM != nil {
		pass = c.f.WidthOfCutMM
	}
	return pass.Likely.LessThan(c.f.WidthMM.Likely)
}

// heldLife says once for a tool that a range of speeds does not move its life.
func (w *work) heldLife(k *cutter) {
	if k.LifeMin == nil || w.held[k.at] {
		return
	}
	w.held[k.at] = true
	k.tool.s.Find(graph.Note, "life", k.Name+" lasts as long at every speed, since life_min is entered; with taylor_n and taylor_c its life falls with speed")
}

// farFeed says that a feed entered is far above what the cutting data give.
func (w *work) farFeed(c *cut) {
	if c.f.FeedMM == nil {
		return
	}
	for _, row := range w.def.Data.For(rates.CuttingUse{Materials: w.mat.names, Tool: c.k.Tool, Feature: c.f.Kind, Day: w.def.Day}) {
		if !row.Value.HasFeed(c.k.Tool) {
			continue
		}
		if highest, far := row.Value.FeedFar(*c.f.FeedMM, c.k.Tool); far {
			c.s.Find(graph.Note, "feed", fmt.Sprintf("the feed of %s mm entered for %s is more than twice the highest in the %s, %s", c.f.FeedMM.Likely, c.f.Name, row.Where, highest))
		}
		return
	}
}

// slender says that a turned length bends where nothing holds its far end. Four
// diameters are common practice.
func (w *work) slender() {
	if w.f.Kind != bom.Turn {
		return
	}
	if bom.Beyond([]bom.Number{*w.f.LengthMM}, 4, *w.f.ToDiameterMM) {
		w.s.Find(graph.Note, "length", fmt.Sprintf("%s is %s mm long at a diameter of %s mm, more than four times that: it bends unless its far end is held, and neither the time of a tailstock nor lighter cuts are counted",
			w.f.Name, w.f.LengthMM.Likely, w.f.ToDiameterMM.Likely))
	}
}
