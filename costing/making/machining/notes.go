package machining

import (
	"fmt"

	"kerfbook/costing/graph"
	"kerfbook/costing/making/machining/feature"
	"kerfbook/costing/rates"
)

// notes say what is worth knowing of the feature with a tool that may cut it.
func (w *work) notes(s graph.Scope, c *feature.Cut, k *feature.Cutter) {
	w.fixedLife(k)
	w.farFeed(s, k)
	c.Caution()
}

// fixedLife says once in an estimate that a range of speeds does not move the life of tools.
func (w *work) fixedLife(k *feature.Cutter) {
	if k.LifeMin != nil && !w.lifeTold {
		w.lifeTold = true
		w.root.Find(graph.Note, "tool-life", "a tool of which life_min is entered lasts as long at every speed; with taylor_n and taylor_c its life falls with speed")
	}
}

// farFeed says that a feed entered is far above what the cutting data give.
func (w *work) farFeed(s graph.Scope, k *feature.Cutter) {
	if w.Def.FeedMM == nil {
		return
	}
	for _, row := range w.def.Data.For(rates.CuttingUse{Materials: w.mat.Names, Tool: k.Tool.Tool, Feature: w.Def.Kind, Day: w.def.Day}) {
		// The first row with a feed is the one that would have been used.
		if !row.Value.HasFeed(k.Tool.Tool) {
			continue
		}
		if highest, far := row.Value.FeedFar(*w.Def.FeedMM, k.Tool.Tool); far {
			s.Find(graph.Note, "feed", fmt.Sprintf("the feed of %s mm entered for %s is more than twice the highest in the %s, %s", w.Def.FeedMM.Likely, w.Def.Name, row.Where, highest))
		}
		return
	}
}
