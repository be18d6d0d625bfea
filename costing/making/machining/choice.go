package machining

import (
	"fmt"
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/machining/feature"
	"kerfbook/costing/rates"
)

// work is one feature being built.
type work struct {
	*operation
	*feature.Feature
	path string
}

// candidate is a feature cut by one tool, priced: figures of all features alike,
// by piece.
type candidate struct {
	*feature.Cut
	*feature.Cutter
	cutting graph.ID // min
	moving  graph.ID // min; None without a rapid rate
	edges   graph.ID // edges worn; None without a tool life
	change  graph.ID // min; None without a change time
	tools   graph.ID // money; None without a cost of edges
	cost    graph.ID // money, or min without rates
}

// tools prices the feature with every suitable tool and takes the cheapest, that
// with the lowest id on ties.
func (w *work) tools() {
	var list []candidate
	between := w.Between(w.centre)
	for _, at := range w.suitable() {
		// Every candidate has figures of its own, taken or not: a proof shows why it lost.
		s := w.Scope.In("with", string(w.def.Tools[at].ID)).Also(" with " + w.def.Tools[at].Name).EnteredWith(w.Scope)
		k := w.cutter(s, w.tool(at), w.centre, w.mat, w.Def)
		c := w.With(s, k, w.centre, w.mat)
		w.notes(s, c, k)
		list = append(list, w.price(s, c, k, between))
	}
	if len(list) > 0 {
		w.take(list)
	}
}

// byHand adds what is done without a tool of the book.
func (w *work) byHand() {
	minutes := w.Feature.ByHand(w.root)
	factor := w.minutesFactor(w.Def.Kind)
	minutes = graph.Or(w.Scope.By("M3").Multiply("measured", "time by hand as measured", minutes, factor), minutes)
	minutes = w.Scope.By("M22").Sum("cutting", "time by hand, all alike", minutes)
	w.sums.cutting = append(w.sums.cutting, minutes)
	w.Scope.By("C2").Multiply("cost", "cost by piece", minutes, w.minute)
}

// suitable gives the places of all tools that can cut the feature, in order of
// their ids, or records why none can.
func (w *work) suitable() []int {
	for _, id := range w.Def.Tools {
		if !slices.ContainsFunc(w.def.Tools, func(t bom.Tool) bool { return t.ID == id }) {
			w.lack(w.path+".tools", "there is no tool %s", id)
			return nil
		}
	}
	found, why := w.search.For(w.Def)
	if len(found) == 0 {
		w.lack(w.path, "no tool can cut %s: %s", w.Def.Name, why)
	}
	return found
}

// price writes what the cut costs by piece: M13 and M14. between is the time of the
// ways to and between the features alike.
func (w *work) price(s graph.Scope, c *feature.Cut, k *feature.Cutter, between graph.ID) candidate {
	s = s.By("M3")
	p := candidate{Cut: c, Cutter: k, moving: graph.None, edges: graph.None, change: graph.None, tools: graph.None}
	computed := c.Times("computed", "cutting time computed", c.Count, c.Minutes)
	// A shop measures the minutes of a feature as a whole, so the moves are in its factor.
	factor := w.minutesFactor(w.Def.Kind)
	p.cutting = s.Sum("cutting", "cutting time", c.Times("measured", "cutting time as measured", computed, factor))
	moves := c.Moved()
	if moves != graph.None {
		moves = c.Times("moves", "moves that do not cut", c.Count, moves)
	}
	if moves = s.By("M14").Sum("positioning", "positioning time", moves, between); moves != graph.None {
		p.moving = c.Times("moving-measured", "positioning time as measured", moves, factor)
	}
	if life := c.EdgeLife(); life != graph.None {
		// By the time computed (M13): what makes a machine slower than that wears no edge.
		p.edges = s.By("M13").Divide("edges", "edges worn", computed, life)
		p.change = s.By("M13").Multiply("edge-changes", "time of edge changes", p.edges, k.EdgeChange())
		p.tools = s.By("M13").Multiply("edge-cost", "cost of worn edges", p.edges, k.EdgePrice(w.money))
	}
	// With a whole tool change, though the tool may be in use already: whether it is
	// depends on the other choices, and they on this one.
	minutes := s.By("M14").Sum("minutes", "minutes by piece, with shares of changes", p.cutting, p.moving, p.change, w.share)
	// Without any rate the shortest wins, so that a book of times alone still works.
	p.cost = minutes
	if w.minute != graph.None {
		p.cost = s.By("C2").Sum("cost", "cost by piece", s.By("C2").Multiply("time-cost", "cost of the minutes", minutes, w.minute), p.tools)
	}
	k.EconomicSpeeds(w.operation.s.In("tool", string(k.ID)), w.minute, k.EdgePrice(w.money))
	return p
}

// take chooses the cheapest and adds its figures to those of the operation.
func (w *work) take(list []candidate) {
	s := w.Scope.By("M14")
	each := func(figure func(candidate) graph.ID) []graph.ID {
		ids := make([]graph.ID, len(list))
		for i, c := range list {
			ids[i] = figure(c)
		}
		return ids
	}
	// The choice is a figure, so that a new wage or speed can change the tool without a
	// new build, and every candidate can be looked at in the proof.
	choice := graph.None
	if len(list) > 1 {
		choice = s.Least("tool", "tool that costs least", each(func(c candidate) graph.ID { return c.cost })...)
		for i, c := range list {
			index := s.Fixed(fmt.Sprint("index-", i+1), fmt.Sprint("index ", i+1), graph.Plain, bom.Whole(int64(i+1)).Likely, "definition")
			w.need(c.Cutter, s.Choose("chosen/"+string(c.ID), "one if chosen is "+c.Name, choice, graph.Equal, index, s.One(graph.Plain), s.Zero(graph.Plain)))
		}
	} else {
		w.need(list[0].Cutter, graph.None)
	}
	cuts := make([]*feature.Cut, len(list))
	for i, c := range list {
		cuts[i] = c.Cut
	}
	chosen := w.Choose(choice, cuts)
	add := func(to *[]graph.ID, name, label string, figure func(candidate) graph.ID) {
		*to = append(*to, chosen.Figure(s, name, label, each(figure)))
	}
	add(&w.sums.cutting, "cutting", "cutting time", func(c candidate) graph.ID { return c.cutting })
	add(&w.sums.rapid, "positioning", "positioning time", func(c candidate) graph.ID { return c.moving })
	add(&w.sums.change, "edge-changes", "time of edge changes", func(c candidate) graph.ID { return c.change })
	add(&w.sums.tools, "edge-cost", "cost of worn edges", func(c candidate) graph.ID { return c.tools })
	if w.minute != graph.None {
		chosen.Figure(w.Scope.By("C2"), "cost", "cost by piece: minutes, worn edges and a share of a tool change", each(func(c candidate) graph.ID { return c.cost }))
	}
	removed, area := chosen.Shape()
	w.sums.removed, w.sums.area = append(w.sums.removed, removed), append(w.sums.area, area)
	chosen.Caution()
	chosen.Checks(w.centre)
}

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
