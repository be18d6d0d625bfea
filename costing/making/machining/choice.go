package machining

import (
	"fmt"
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// maxCandidates is how many tools one choice takes; more are refused, since to
// leave some out could leave out the cheapest.
const maxCandidates = 240

// work is one feature being built.
type work struct {
	*operation
	s        graph.Scope
	f        *bom.Feature
	path     string
	d        dims
	slots    graph.ID
	achieved graph.ID
}

// candidate is a feature cut by one tool, priced: figures of all features alike,
// by piece.
type candidate struct {
	*cut
	cutting graph.ID // min
	move    graph.ID // min; None without a rapid rate
	edges   graph.ID // edges worn; None without a tool life
	change  graph.ID // min; None without a change time
	tools   graph.ID // money; None without a cost of edges
	cost    graph.ID // money, or min without rates
}

// tools prices the feature with every suitable tool and takes the cheapest, that
// with the lowest id on ties.
func (w *work) tools() {
	var list []candidate
	between := w.between()
	for _, at := range w.suitable() {
		s := w.s.In("with", string(w.def.Tools[at].ID)).Of(w.s.Thing() + " with " + w.def.Tools[at].Name)
		c := &cut{dims: w.d, s: s, feature: w.s, f: w.f, k: w.cutter(s, w.tool(at), w.centre, w.mat, w.f), centre: w.centre, mat: w.mat,
			slots: w.slots, achieved: w.achieved, removal: graph.None, minutes: graph.None, slow: graph.None, slower: graph.None, fewer: graph.None, stiff: graph.None, chip: graph.None, line: graph.None}
		c.write()
		w.notes(c)
		list = append(list, w.price(c, between))
	}
	if len(list) > 0 {
		w.take(list)
	}
}

// suitable gives the places of all tools that can cut the feature, in order of
// their ids, or records why none can.
func (w *work) suitable() []int {
	for _, id := range w.f.Tools {
		if !slices.ContainsFunc(w.def.Tools, func(t bom.Tool) bool { return t.ID == id }) {
			w.fail(w.path+".tools", "there is no tool %s", id)
			return nil
		}
	}
	search := rates.ToolSearch{Tools: w.def.Tools, Data: w.def.Data, Centre: w.op.WorkCentre, Materials: w.mat.names, Day: w.def.Day}
	found, why := search.For(w.f)
	if len(found) == 0 {
		w.fail(w.path, "no tool can cut %s: %s", w.f.Name, why)
	}
	if len(found) > maxCandidates {
		w.fail(w.path+".tools", "%d tools can cut %s, and %d are compared at most; name those that may cut it", len(found), w.f.Name, maxCandidates)
		return nil
	}
	return found
}

// price writes what the cut costs by piece: M13 and M14. between is the time of the
// ways to and between the features alike.
func (w *work) price(c *cut, between graph.ID) candidate {
	s := c.s.By("M3")
	p := candidate{cut: c, move: graph.None, edges: graph.None, change: graph.None, tools: graph.None}
	computed := c.times("computed", "cutting time computed", c.count, c.minutes)
	factor := w.minutesFactor(c.f.Kind)
	p.cutting = s.Sum("cutting", "cutting time", c.times("measured", "cutting time as measured", computed, factor))
	move := c.moved()
	if move != graph.None {
		move = c.times("moves", "moves that do not cut", c.count, move)
	}
	if move = s.By("M14").Sum("positioning", "positioning time", move, between); move != graph.None {
		p.move = c.times("moving-measured", "positioning time as measured", move, factor)
	}
	at := c.s
	if c.wanted == c.k.wanted {
		at = c.k.s
	}
	if life := c.k.life(at, c.vc); life != graph.None {
		p.edges = s.By("M13").Divide("edges", "edges worn", computed, life)
		if change := c.k.edgeChange(); change != graph.None {
			p.change = s.By("M13").Multiply("edge-changes", "time of edge changes", p.edges, change)
		}
		if cost := c.k.edgeCost(w.money); cost != graph.None {
			p.tools = s.By("M13").Multiply("edge-cost", "cost of worn edges", p.edges, cost)
		}
	}
	minutes := s.By("M14").Sum("minutes", "minutes by piece, with shares of changes", p.cutting, p.move, p.change, w.share)
	p.cost = minutes
	if w.minute != graph.None {
		p.cost = s.By("C2").Sum("cost", "cost by piece", s.By("C2").Multiply("time-cost", "cost of the minutes", minutes, w.minute), p.tools)
	}
	c.k.economicSpeeds(w.operation.s.In("tool", string(c.k.ID)), w.minute, c.k.edgeCost(w.money))
	return p
}

// take chooses the cheapest and adds its figures to those of the operation.
func (w *work) take(list []candidate) {
	s := w.s.By("M14")
	choice := graph.None
	if len(list) > 1 {
		costs := make([]graph.ID, len(list))
		for i, c := range list {
			costs[i] = c.cost
		}
		choice = s.Least("tool", "tool that costs least", costs...)
		for i, c := range list {
			index := s.Fixed(fmt.Sprint("index-", i+1), fmt.Sprint("index ", i+1), graph.Plain, bom.Whole(int64(i+1)).Likely, "definition")
			w.use(c.k.at, s.Choose("chosen/"+string(c.k.ID), "one if chosen is "+c.k.Name, choice, graph.Equal, index, s.One(graph.Plain), s.Zero(graph.Plain)))
		}
	} else {
		w.use(list[0].k.at, graph.None)
	}
	pick := picker{s, choice, list}
	cutting := pick.of("cutting", "cutting time", func(c candidate) graph.ID { return c.cutting })
	w.sums.cutting = append(w.sums.cutting, cutting)
	w.sums.rapid = append(w.sums.rapid, pick.of("positioning", "positioning time", func(c candidate) graph.ID { return c.move }))
	w.sums.change = append(w.sums.change, pick.of("edge-changes", "time of edge changes", func(c candidate) graph.ID { return c.change }))
	w.sums.tools = append(w.sums.tools, pick.of("edge-cost", "cost of worn edges", func(c candidate) graph.ID { return c.tools }))
	if w.minute != graph.None {
		picker{w.s.By("C2"), choice, list}.of("cost", "cost by piece: minutes, worn edges and a share of a tool change", func(c candidate) graph.ID { return c.cost })
	}
	w.volumes(pick)
	w.lines(pick)
	w.checks(pick)
}

// picker gives the figure of the tool chosen.
type picker struct {
	s      graph.Scope
	choice graph.ID
	list   []candidate
}

// of gives a figure of the tool chosen as one of the feature; a tool without it
// counts as zero. It is None where no tool has it.
func (p picker) of(name, label string, figure func(candidate) graph.ID) graph.ID {
	ids, known := make([]graph.ID, len(p.list)), graph.None
	for i, c := range p.list {
		ids[i] = figure(c)
		known = or(known, ids[i])
	}
	if known == graph.None {
		return graph.None
	}
	for i := range ids {
		ids[i] = or(ids[i], p.s.Zero(p.s.Unit(known)))
	}
	return p.at(name, label, ids)
}

func (p picker) at(name, label string, ids []graph.ID) graph.ID {
	if len(ids) == 1 {
		return p.s.Sum(name, label, ids[0])
	}
	return p.s.At(name, label, p.choice, ids...)
}

// checks say where a limit of the machine slows the feature down, or the chip gets
// so thin that the edge rubs.
func (w *work) checks(p picker) {
	s := w.s.By("M12")
	if w.centre.spindleMax != graph.None {
		wanted := make([]graph.ID, len(p.list))
		for i, c := range p.list {
			wanted[i] = c.wanted
		}
		s.By("M1").Check("spindle-free", "the spindle reaches the speed that the cutting data ask for "+w.f.Name+" (where it does not, the minutes are those of its highest speed)", p.at("spindle-wanted", "spindle speed wanted", wanted), graph.LessOrEqual, w.centre.spindleMax)
	}
	w.fitting(p)
	one := s.One(graph.Plain)
	full := func(name, label, holds string, figure func(candidate) graph.ID) {
		ids, any := make([]graph.ID, len(p.list)), false
		for i, c := range p.list {
			ids[i] = or(figure(c), one)
			any = any || figure(c) != graph.None
		}
		if any {
			s.Check(name, holds, p.at(name+"-share", label, ids), graph.GreaterOrEqual, one)
		}
	}
	full("power-free", "share of the feed that the spindle drives", "the spindle has the power and torque to cut "+w.f.Name+" at the full feed", func(c candidate) graph.ID { return c.slow })
	full("reach-free", "share of the depth of cut for this reach", "the tool is stiff enough to cut "+w.f.Name+" at the full depth of cut", func(c candidate) graph.ID { return c.stiff })
	full("chip-cut", "mean chip ÷ thinnest chip that is cut", "the edge cuts "+w.f.Name+" and does not rub", func(c candidate) graph.ID { return c.chip })
}

// fitting holds the tool chosen to the size of the feature, which may be tried out
// with other figures than those the tools were looked for with.
func (w *work) fitting(p picker) {
	s := w.s.By("M4")
	p.s = s
	room, compare := w.d.width, graph.LessOrEqual
	switch w.f.Kind {
	case bom.Engrave:
		if room == graph.None {
			return
		}
	case bom.Slot, bom.Pocket:
	case bom.SlotArray:
		room = w.d.slot
	case bom.Drill, bom.Tap:
		room, compare = w.d.diameter, graph.Equal
	default:
		return
	}
	size := p.of("tool-size", "size of the tool", func(c candidate) graph.ID {
		switch {
		case c.line != graph.None:
			return c.line
		case c.k.Kind == bom.SlittingSaw:
			return c.k.tool.width()
		}
		return c.k.diameter()
	})
	s.Check("tool-fits", "the tool has the size for "+w.f.Name, size, compare, room)
	if reach := w.reach(p); reach != graph.None {
		s.Check("tool-reaches", "the tool reaches the depth of "+w.f.Name, reach, graph.GreaterOrEqual, w.d.depth)
	}
}

// reach is that of the tool chosen; a tool without one is taken to reach.
func (w *work) reach(p picker) graph.ID {
	ids, known := make([]graph.ID, len(p.list)), false
	for i, c := range p.list {
		ids[i] = c.k.number("reach", "reach", graph.Mm, c.k.ReachMM, "reach_mm")
		known = known || ids[i] != graph.None
		ids[i] = or(ids[i], w.d.depth)
	}
	if !known {
		return graph.None
	}
	return p.at("tool-reach", "reach of the tool", ids)
}
