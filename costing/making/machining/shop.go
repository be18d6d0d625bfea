package machining

import (
	"fmt"
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// Definitions are the records of a book that machining rests on.
type Definitions struct {
	Day       bom.Date
	Tools     []bom.Tool
	Materials []rates.Material
	Centres   []rates.WorkCentre
	Data      rates.CuttingTables
	Factors   []rates.Factor
}

// Shop builds what the operations of one estimate share, each thing once.
type Shop struct {
	root    graph.Scope
	money   graph.Unit
	def     Definitions
	cutters map[cutterKey]*cutter
	centres map[bom.ID]*centre
	held    map[int]bool // tools whose entered life has been spoken of
	warned  bool
}

// New gives a shop that writes shared figures below root; money is the currency
// of the book.
func New(root graph.Scope, money graph.Unit, def Definitions) *Shop {
	return &Shop{root: root, money: money, def: def, cutters: map[cutterKey]*cutter{}, centres: map[bom.ID]*centre{}, held: map[int]bool{}}
}

// caution is said once in an estimate that uses cutting data.
const caution = "cutting data are starting values for a trained machinist on a guarded machine; try them out with care"

func (m *Shop) warn() {
	if !m.warned {
		m.warned = true
		m.root.Find(graph.Note, "cutting", caution)
	}
}

// tool is a tool as figures; None where the book gives no number.
type tool struct {
	*bom.Tool
	at int
	s  graph.Scope
}

func (m *Shop) tool(at int) tool {
	t := &m.def.Tools[at]
	return tool{t, at, m.root.In("tool", string(t.ID)).From(graph.Source{
		Where: "tool " + t.Name, Path: fmt.Sprintf("tools[%d]", at)}).Of(t.Name)}
}

func (t tool) number(name, label string, unit graph.Unit, n *bom.Number, path string) graph.ID {
	if n == nil {
		return graph.None
	}
	return t.s.Shared(name, label, unit, *n, path)
}

func (t tool) diameter() graph.ID {
	return t.number("diameter", "diameter", graph.Mm, t.DiameterMM, "diameter_mm")
}

// bar is the diameter of what holds the edge: of a mill its own, of a boring tool
// that of its bar, 0.8 of the smallest hole where none is entered.
func (t tool) bar() graph.ID {
	if t.Kind != bom.BoringTool {
		return t.diameter()
	}
	if id := t.s.Lookup(t.s.Key("bar")); id != graph.None {
		return id
	}
	if t.BarDiameterMM != nil {
		return t.number("bar", "diameter of the bar", graph.Mm, t.BarDiameterMM, "bar_diameter_mm")
	}
	s := t.s.By("M4")
	return s.Multiply("bar", "diameter of the bar", t.diameter(), fixed(s, "bar-share", "bar ÷ smallest hole", "0.8", "common practice"))
}

func (t tool) width() graph.ID {
	return t.number("width", "width", graph.Mm, t.WidthMM, "width_mm")
}

func (t tool) noseRadius() graph.ID {
	return t.number("nose-radius", "nose radius", graph.Mm, t.NoseRadiusMM, "nose_radius_mm")
}

// teeth is one where the book gives no number.
func (t tool) teeth() graph.ID {
	if t.Teeth == nil {
		return t.s.One(graph.Plain)
	}
	return t.number("teeth", "teeth", graph.Plain, t.Teeth, "teeth")
}

func (t tool) edgeCost(money graph.Unit) graph.ID {
	return t.number("edge-cost", "cost of an edge", money, t.EdgeCost, "edge_cost")
}

func (t tool) edgeChange() graph.ID {
	return t.number("edge-change", "time to change an edge", graph.Minute, t.EdgeChangeMin, "edge_change_min")
}

// standardPoint is the full angle of a drill that states none.
const standardPoint = 118

// point are the sine and cosine of half the point angle of a drill.
func (t tool) point() angle {
	if sin := t.s.Lookup(t.s.Key("point-sine")); sin != graph.None {
		return angle{sin, t.s.Lookup(t.s.Key("point-cosine"))}
	}
	n, cite := bom.Whole(standardPoint), "common practice"
	if t.PointAngleDeg != nil {
		n, cite = *t.PointAngleDeg, ""
	}
	s := t.s
	if cite != "" {
		s = s.From(graph.Source{Where: "tool " + t.Name, Cite: cite})
	}
	return halfPoint(t.s.By("M7"), s.Number("point-angle", "full point angle in degrees", graph.Plain, n, "point_angle_deg"))
}

// centre is a work centre as figures; None where the book gives no number.
type centre struct {
	def        *rates.WorkCentre
	s          graph.Scope
	spindleMax graph.ID // 1/min
	available  graph.ID // kW at the cut
	efficiency graph.ID // power at the cut ÷ power at the motor
	torque     graph.ID // N·m
	change     graph.ID // min, one tool change
	reversal   graph.ID // min, per tapped hole

	rapid        graph.ID // mm/min
	acceleration graph.ID // mm/min²
	rampTime     graph.ID // min, to the full rapid rate
	rampWay      graph.ID // mm, to the full rate and to rest again
	settling     graph.ID // min, per position
	approach     graph.ID // min, per feature
}

func (m *Shop) centre(id bom.ID) (*centre, bool) {
	if c, ok := m.centres[id]; ok {
		return c, true
	}
	at := slices.IndexFunc(m.def.Centres, func(w rates.WorkCentre) bool { return w.ID == id })
	if at < 0 {
		return nil, false
	}
	w := &m.def.Centres[at]
	s := m.root.In("work-centre", string(id)).From(graph.Source{Where: "work centre " + w.Name, Path: fmt.Sprintf("work_centres[%d]", at)}).Of(w.Name)
	c := &centre{def: w, s: s, available: graph.None, efficiency: graph.None, rampTime: graph.None, rampWay: graph.None}
	c.spindleMax = s.Optional("spindle-max", "highest spindle speed", graph.Plain.Per(graph.Minute), w.SpindleMaxPerMin, "spindle_max_per_min")
	c.torque = s.Optional("spindle-torque", "spindle torque", graph.Newton.Times(graph.Metre), w.SpindleTorqueNM, "spindle_torque_nm")
	c.motion()
	if w.SpindlePowerKW != nil {
		c.available = s.Number("spindle-power", "spindle power", graph.Kilowatt, *w.SpindlePowerKW, "spindle_power_kw")
		if w.SpindleEfficiency != nil {
			c.efficiency = s.Number("spindle-efficiency", "share of the power that reaches the cut", graph.Plain, *w.SpindleEfficiency, "spindle_efficiency")
			c.available = s.By("M12").Multiply("spindle-available", "power at the cut", c.available, c.efficiency)
		} else {
			s.Find(graph.Note, "spindle-power", "no spindle_efficiency is entered for "+w.Name+", so that all of spindle_power_kw counts at the cut; belts and bearings lose a part of it")
		}
	}
	c.change = s.By("M14").Total("tool-change-all", "one tool change, until the tool is ready",
		inMinutes(s, "tool-change", "one tool change", w.ToolChangeS, "tool_change_s"),
		inMinutes(s, "tool-settling", "until spindle and coolant run", w.ToolSettlingS, "tool_settling_s"))
	c.reversal = inMinutes(s, "tap-reversal", "reversal of a tap", w.TapReversalS, "tap_reversal_s")
	m.centres[id] = c
	return c, true
}

func inMinutes(s graph.Scope, name, label string, n *bom.Number, path string) graph.ID {
	entered := s.Optional(name+"-s", label+", in seconds", graph.Second, n, path)
	return s.Convert(name, label, entered, graph.Second, graph.Minute)
}

// material is what is cut, with its names for cutting data.
type material struct {
	id         bom.ID
	label      string
	names      []bom.ID
	kc11, rise graph.ID // N/mm², and −mc; None where no force is known
	mc         graph.ID
}

// material gives the forces of a material: its own, or those of what it cuts as.
func (m *Shop) material(id bom.ID) (material, bool) {
	at := slices.IndexFunc(m.def.Materials, func(x rates.Material) bool { return x.ID == id })
	if at < 0 {
		return material{}, false
	}
	def := &m.def.Materials[at]
	out := material{id: id, label: def.Name, names: rates.MaterialNames(m.def.Materials, id), kc11: graph.None, rise: graph.None, mc: graph.None}
	s := m.root.In("material", string(id)).Of(def.Name)
	if kc := s.Lookup(s.Key("kc11")); kc != graph.None {
		out.kc11, out.mc, out.rise = kc, s.Lookup(s.Key("mc")), s.Lookup(s.Key("force-fall"))
		return out, true
	}
	unit := graph.Newton.Per(graph.Mm.Power(2))
	const kcLabel, mcLabel = "specific cutting force at a chip of 1 mm", "fall of the force with thicker chips, mc"
	switch row, known := m.def.Data.ForceOf(out.names, m.def.Day); {
	case def.Kc11NMM2 != nil:
		own := s.From(graph.Source{Where: "material " + def.Name, Path: fmt.Sprintf("materials[%d]", at), Cite: def.Source})
		out.kc11 = own.Number("kc11", kcLabel, unit, *def.Kc11NMM2, "kc11_n_mm2")
		mc := bom.Number{}
		if def.MC != nil {
			mc = *def.MC
		}
		out.mc = own.Number("mc", mcLabel, graph.Plain, mc, "mc")
	case known:
		ref := s.From(graph.Source{Where: row.Where, Cite: row.Cite})
		out.kc11 = ref.Number("kc11", kcLabel, unit, row.Value.Kc11NMM2, "")
		out.mc = ref.Number("mc", mcLabel, graph.Plain, row.Value.MC, "")
	default:
		return out, true
	}
	out.rise = s.By("M12").Subtract("force-fall", "−mc", s.Zero(graph.Plain), out.mc)
	return out, true
}
