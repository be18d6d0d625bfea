package feature

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// Centre is a work centre as figures; None where the book gives no number.
type Centre struct {
	Def        *rates.WorkCentre
	s          graph.Scope
	spindleMax graph.ID // 1/min
	available  graph.ID // kW at the cut
	efficiency graph.ID // power at the cut ÷ power at the motor
	torque     graph.ID // N·m
	Change     graph.ID // min, one tool change
	reversal   graph.ID // min, per tapped hole

	rapid        graph.ID // mm/min
	acceleration graph.ID // mm/min²
	rampTime     graph.ID // min, to the full rapid rate
	rampWay      graph.ID // mm, to the full rate and to rest again
	settling     graph.ID // min, per position
	approach     graph.ID // min, per feature
}

// NewCentre writes the figures of a work centre below its scope.
func NewCentre(s graph.Scope, w *rates.WorkCentre) *Centre {
	c := &Centre{Def: w, s: s, available: graph.None, efficiency: graph.None, rampTime: graph.None, rampWay: graph.None}
	c.spindleMax = s.Optional("spindle-max", "highest spindle speed", graph.Plain.Per(graph.Minute), w.SpindleMaxPerMin, "spindle_max_per_min")
	c.torque = s.Optional("spindle-torque", "spindle torque", graph.Newton.Times(graph.Metre), w.SpindleTorqueNM, "spindle_torque_nm")
	c.motion()
	if w.SpindlePowerKW != nil {
		c.available = s.Number("spindle-power", "spindle power", graph.Kilowatt, *w.SpindlePowerKW, "spindle_power_kw")
		if w.SpindleEfficiency != nil {
			c.efficiency = s.Number("spindle-efficiency", "share of the power that reaches the cut", graph.Plain, *w.SpindleEfficiency, "spindle_efficiency")
			// Machine makers state the motor; M12 is about what arrives at the edge.
			c.available = s.By("M12").Multiply("spindle-available", "power at the cut", c.available, c.efficiency)
		} else {
			s.Find(graph.Note, "spindle-power", "no spindle_efficiency is entered for "+w.Name+", so that all of spindle_power_kw counts at the cut; belts and bearings lose a part of it")
		}
	}
	c.Change = s.By("M14").Total("tool-change-all", "one tool change, until the tool is ready",
		inMinutes(s, "tool-change", "one tool change", w.ToolChangeS, "tool_change_s"),
		inMinutes(s, "tool-settling", "until spindle and coolant run", w.ToolSettlingS, "tool_settling_s"))
	c.reversal = inMinutes(s, "tap-reversal", "reversal of a tap", w.TapReversalS, "tap_reversal_s")
	return c
}

func inMinutes(s graph.Scope, name, label string, n *bom.Number, path string) graph.ID {
	entered := s.Optional(name+"-s", label+", in seconds", graph.Second, n, path)
	return s.Convert(name, label, entered, graph.Second, graph.Minute)
}
