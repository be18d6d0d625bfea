package feature

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// Tool is a tool as figures; None where the book gives no number.
type Tool struct {
	*bom.Tool
	Scope graph.Scope
}

// NewTool writes what features share of a tool below its scope.
func NewTool(s graph.Scope, def *bom.Tool) Tool { return Tool{def, s} }

func (t Tool) number(name, label string, unit graph.Unit, n *bom.Number, path string) graph.ID {
	if n == nil {
		return graph.None
	}
	return t.Scope.Shared(name, label, unit, *n, path)
}

func (t Tool) Diameter() graph.ID {
	return t.number("diameter", "diameter", graph.Mm, t.DiameterMM, "diameter_mm")
}

// bar is the diameter of what holds the edge: of a mill its own, of a boring tool
// that of its bar, 0.8 of the smallest hole where none is entered.
func (t Tool) bar() graph.ID {
	if t.Kind != bom.BoringTool {
		return t.Diameter()
	}
	if t.BarDiameterMM != nil {
		return t.number("bar", "diameter of the bar", graph.Mm, t.BarDiameterMM, "bar_diameter_mm")
	}
	s := t.Scope.By("M4")
	return s.Multiply("bar", "diameter of the bar", t.Diameter(), fixed(s, "bar-share", "bar ÷ smallest hole", "0.8", "common practice"))
}

func (t Tool) width() graph.ID {
	return t.number("width", "width", graph.Mm, t.WidthMM, "width_mm")
}

func (t Tool) noseRadius() graph.ID {
	return t.number("nose-radius", "nose radius", graph.Mm, t.NoseRadiusMM, "nose_radius_mm")
}

// teeth is one where the book gives no number.
func (t Tool) teeth() graph.ID {
	if t.Teeth == nil {
		return t.Scope.One(graph.Plain)
	}
	return t.number("teeth", "teeth", graph.Plain, t.Teeth, "teeth")
}

// standardPoint is the full angle of a drill that states none, standardCone that of what
// spots and countersinks.
const (
	standardPoint = 118
	standardCone  = 90
)

// point are the sine and cosine of half the point angle of a drill.
func (t Tool) point() angle {
	if sin := t.Scope.Known("point-sine"); sin != graph.None {
		return angle{sin, t.Scope.Known("point-cosine")}
	}
	n, cite := bom.Whole(standardPoint), "common practice"
	if t.Kind == bom.SpotDrill || t.Kind == bom.ChamferMill {
		n = bom.Whole(standardCone)
	}
	if t.PointAngleDeg != nil {
		n, cite = *t.PointAngleDeg, ""
	}
	s := t.Scope
	if cite != "" {
		s = s.From(graph.Source{Where: "tool " + t.Name, Cite: cite})
	}
	return halfPoint(t.Scope.By("M7"), s.Number("point-angle", "full point angle in degrees", graph.Plain, n, "point_angle_deg"))
}

// pointLength is A = (D/2)/tan(θ/2), θ the full point angle.
func (t Tool) pointLength() graph.ID {
	p := t.point()
	s := t.Scope.By("M7")
	// Cosine ÷ sine, since the operations have no tangent.
	return s.Divide("point", "length of the point", s.Multiply("point-run", "half the diameter × cosine", s.Half(), t.Diameter(), p.cos), p.sin)
}

// Data are the cutting data of a tool in a material for a kind of feature; None
// where no row has the value.
type Data struct {
	Speed    graph.ID // m/min
	Feed     graph.ID // mm, per tooth or revolution
	Depth    graph.ID // mm, most per pass
	Width    graph.ID // mm, most per pass
	MinChip  graph.ID // mm
	TapForce graph.ID // N/mm²

	MorePasses graph.ID // of a turned thread
	SawRate    graph.ID // cm²/min
}

// Cutter is a tool at work in a material at a work centre. Figures that depend on
// the diameter turned are None for a turning tool; see [spin].
type Cutter struct {
	Tool
	Data
	Scope  graph.Scope // shared by features, or of one that overrides a figure
	Wanted graph.ID    // 1/min, spindle speed that the cutting speed asks for
	n      graph.ID    // 1/min
	VC     graph.ID    // m/min at n
	table  graph.ID    // mm/min
}

// NewCutter writes M1 and M2 of a tool that turns.
func NewCutter(s graph.Scope, t Tool, data Data, c *Centre) *Cutter {
	k := &Cutter{Tool: t, Data: data, Scope: s, Wanted: graph.None, n: graph.None, VC: graph.None, table: graph.None}
	// The spindle speed goes by the diameter turned, which only a feature has.
	if !k.Kind.Rotates() {
		k.Scope.By("M2").Sum("feed-revolution", "feed per revolution", k.Feed)
		return k
	}
	if k.Speed == graph.None {
		return k
	}
	k.Wanted, k.n, k.VC = spin(k.Scope, c, k.Speed, k.Diameter())
	if k.byTurn() {
		k.table = k.Scope.By("M2").Multiply("table-feed", "feed", k.Feed, k.n)
	} else {
		k.table = k.Scope.By("M2").Multiply("table-feed", "table feed", k.Feed, k.teeth(), k.n)
	}
	return k
}

// byTurn reports that the feed is by turn: the lips of a drill or reamer share it (M12),
// and a tap advances by its pitch.
func (k *Cutter) byTurn() bool {
	return k.Kind == bom.DrillTool || k.Kind == bom.TapTool || k.Kind == bom.SpotDrill || k.Kind == bom.Reamer
}

// spin is M1: n = min(1000·vc/(π·D), n_max); the speed is worked out again where n
// is held down. n is not rounded: worked examples that print whole turns differ by
// a few parts in a thousand.
func spin(s graph.Scope, c *Centre, speed, diameter graph.ID) (wanted, n, vc graph.ID) {
	s = s.By("M1")
	around := s.Multiply("circumference", "circumference", s.Pi(), diameter)
	wanted = s.Divide("spindle-wanted", "spindle speed wanted", s.Convert("speed-mm", "cutting speed in mm/min", speed, graph.Metre, graph.Mm), around)
	if c.spindleMax == graph.None {
		return wanted, s.Sum("spindle-speed", "spindle speed", wanted), s.Sum("speed", "cutting speed", speed)
	}
	n = s.Minimum("spindle-speed", "spindle speed", wanted, c.spindleMax)
	reached := s.Multiply("speed-reached-mm", "cutting speed reached, in mm/min", around, n)
	return wanted, n, s.Convert("speed", "cutting speed", reached, graph.Mm, graph.Metre)
}
