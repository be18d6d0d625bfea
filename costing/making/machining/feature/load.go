package feature

import (
	"fmt"
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// Material is what is cut, with its names for cutting data.
type Material struct {
	ID         bom.ID
	Label      string
	Names      []bom.ID   // for cutting data, narrowest first
	shares     []graph.ID // of each name's cutting speeds that it bears; None for all
	kc11, rise graph.ID   // N/mm², and −mc; None where no force is known
	mc         graph.ID
}

// NewMaterial writes the forces of one of the materials of a book: its own, or those of
// what it cuts as.
func NewMaterial(root graph.Scope, all []rates.Material, at int, data rates.CuttingTables, day bom.Date) Material {
	def := &all[at]
	out := Material{ID: def.ID, Label: def.Name, kc11: graph.None, rise: graph.None, mc: graph.None}
	s := root.In("material", string(def.ID)).Of(def.Name)
	for _, step := range data.Steps(all, def.ID) {
		from := s.From(graph.Source{Where: step.Where, Path: step.Path, Cite: step.Cite, CheckedOn: step.CheckedOn})
		share := from.Optional("cutting-share/"+string(step.Value.Material), "cutting speed ÷ that of "+string(step.Value.Material), graph.Plain, step.Value.Share, "cutting_share")
		out.Names, out.shares = append(out.Names, step.Value.Material), append(out.shares, share)
	}
	if kc := s.Known("kc11"); kc != graph.None {
		out.kc11, out.mc, out.rise = kc, s.Known("mc"), s.Known("force-fall")
		return out
	}
	unit := graph.Newton.Per(graph.Mm.Power(2))
	const kcLabel, mcLabel = "specific cutting force at a chip of 1 mm", "fall of the force with thicker chips, mc"
	switch row, known := data.ForceOf(out.Names, day); {
	case def.Kc11NMM2 != nil:
		own := s.From(graph.Source{Where: "material " + def.Name, Path: fmt.Sprintf("materials[%d]", at), Cite: def.Source})
		out.kc11 = own.Number("kc11", kcLabel, unit, *def.Kc11NMM2, "kc11_n_mm2")
		// Without mc the force entered holds for every chip.
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
		return out
	}
	out.rise = s.By("M12").Subtract("force-fall", "−mc", s.Zero(graph.Plain), out.mc)
	return out
}

// Borrowed is the cutting speed of a row by the shares of the steps that lead to its
// material: its own where the row speaks of what is cut.
func (m Material) Borrowed(s graph.Scope, speed graph.ID, from bom.ID) graph.ID {
	for i := range slices.Index(m.Names, from) {
		if share := m.shares[i+1]; share != graph.None {
			of := string(m.Names[i+1])
			speed = s.Multiply("speed-borrowed/"+of, "cutting speed, borrowed from "+of, speed, share)
		}
	}
	return speed
}

// force is kc = kc1.1·h^(−mc).
func (m Material) force(s graph.Scope, chip graph.ID) graph.ID {
	if id := s.Known("kc"); id != graph.None {
		return id
	}
	s = s.By("M12")
	plain := s.Divide("chip-plain", "chip thickness, a plain number of mm", chip, s.One(graph.Mm))
	return s.Multiply("kc", "specific cutting force", m.kc11, s.Power("force-rise", "rise of the force with thinner chips", plain, m.rise))
}

// engaged gives the mean chip of a mill that turns through an angle φ of
// engagement: hm = 2·ae·fz/(D·φ), φ = arccos(1 − 2·ae/D), ae the radial width.
// Source `milling-calculations`. A full slot has φ = π and ae = D. feed is that per tooth.
func (k *Cutter) engaged(s graph.Scope, radial, feed graph.ID) graph.ID {
	if id := s.Known("mean-chip"); id != graph.None {
		return id
	}
	s = s.By("M12")
	if radial == graph.None {
		return s.Divide("mean-chip", "mean chip thickness", s.Multiply("chip-double", "twice the feed per tooth", s.Two(), feed), s.Pi())
	}
	ratio := s.Divide("engaged-share", "width of cut ÷ diameter", radial, k.Diameter())
	twice := s.Multiply("engaged-double", "twice that", s.Two(), ratio)
	phi := s.ArcCosine("engaged-angle", "angle of engagement", s.Subtract("engaged-cosine", "cosine of the angle of engagement", s.One(graph.Plain), twice))
	return s.Divide("mean-chip", "mean chip thickness", s.Multiply("chip-area", "twice width × feed ÷ diameter", twice, feed), phi)
}

// load writes M11 and M12 for a removal rate in mm³/min and a mean chip: the power
// and what the limits of the spindle leave of the feed. It gives into how many
// passes each pass is split because the chip would get too thin; None for one.
//
// The torque falls with the feed per tooth as fz^(1−mc), since the removal rate grows
// with fz and the specific force falls with fz^mc; the power falls with the speed.
// Torque comes first: a smaller feed lowers power with it, and what power is then still
// missing costs speed, which leaves chip and torque as they are (M12).
func (c *Cut) load(removal, chip, n graph.ID, shared graph.Scope) (split graph.ID) {
	c.thin(chip)
	split = graph.None
	// As of plastics: then nothing limits but the speed (M12).
	if c.mat.kc11 == graph.None {
		return split
	}
	s := c.s.By("M12")
	kc := c.mat.force(shared, chip)
	power := s.Divide("power", "cutting power", s.Multiply("force-rate", "removal rate × specific force", removal, kc), perKilowatt(s))
	share := graph.None
	if c.centre.torque != graph.None {
		split, share, power = c.torqueLimit(s, power, n)
		c.thin(c.Times("chip-held", "mean chip at the feed held", chip, share))
	}
	c.fewer, c.slower = share, c.powerLimit(s, power)
	c.slow = c.Times("spindle-share", "share of the feed left", c.slower, share)
	return split
}

// powerLimit gives the share of the speed that the power drives, None where no
// limit is known, and writes the power at that speed: at the cut, and at the motor
// where the efficiency of the spindle is known.
func (c *Cut) powerLimit(s graph.Scope, power graph.ID) graph.ID {
	const name, label = "power-at-cut", "power at the cut, within the limits"
	slower, held := graph.None, graph.None
	if c.centre.available == graph.None {
		held = s.Sum(name, label, power)
	} else {
		room := s.Divide("power-room", "power there is ÷ power", c.centre.available, power)
		slower = s.Minimum("power-share", "share of the speed that the power drives", s.One(graph.Plain), room)
		held = s.Multiply(name, label, power, slower)
	}
	// Only shown: the load meter of a machine reads the motor.
	s.Divide("power-at-motor", "power at the motor", held, c.centre.efficiency)
	return slower
}

// thin compares the chip with the thinnest that is cut. Below that the edge rubs
// and wears: a check says so, and passes are rather split than fed so little.
func (c *Cut) thin(chip graph.ID) {
	if c.k.MinChip != graph.None && chip != graph.None {
		name := "chip-share"
		if c.chip != graph.None {
			name = "chip-share-held"
		}
		c.chip = c.s.By("M12").Divide(name, "mean chip ÷ thinnest chip that is cut", chip, c.k.MinChip)
	}
}

// torqueLimit lowers the feed per tooth until the torque is within the limit; where
// the chip would get too thin, each pass is split into the fewest equal ones that
// keep it. Torque = 60000·Pc/(2π·n). Torque also falls with the depth of a pass, so
// n equal passes take one nth each.
func (c *Cut) torqueLimit(s graph.Scope, power, n graph.ID) (split, share, left graph.ID) {
	split = graph.None
	one := s.One(graph.Plain)
	work := s.Divide("turn-work", "work of one turn", s.Multiply("power-work", "power as work", power, perKilowatt(s)), n)
	torque := s.Divide("torque", "torque", s.Convert("turn-work-m", "work of one turn", work, graph.Mm, graph.Metre),
		s.Multiply("two-pi", "2π", s.Two(), s.Pi()))
	fall := s.Subtract("torque-fall", "1 − mc", one, c.mat.mc)
	if c.chip != graph.None && !c.whole {
		// A chip that is too thin at the full feed gets no thinner by a split.
		thin := s.Minimum("chip-least", "thinnest chip ÷ mean chip, at most one", one, s.Divide("chip-inverse", "thinnest chip ÷ mean chip", one, c.chip))
		thinnest := s.Power("thin-torque", "torque at the thinnest chip ÷ torque", thin, fall)
		// The feed falls down to the thinnest chip first (M12); only what that cannot reach
		// is split.
		needed := s.Divide("split-exact", "passes before rounding", s.Multiply("torque-thin", "torque at the thinnest chip", torque, thinnest), c.centre.torque)
		split = s.Maximum("split", "passes that each pass is split into", one, s.Whole("split-whole", "passes, rounded up", needed))
	}
	each := torque
	each = graph.Or(s.Divide("torque-split", "torque of a split pass", torque, split), each)
	// At most one: a strong spindle is no reason to go above the cutting data.
	room := s.Minimum("torque-room", "share of the torque that the spindle has", one, s.Divide("torque-ratio", "torque there is ÷ torque", c.centre.torque, each))
	share = s.Power("torque-share", "share of the feed per tooth that the torque drives", room, s.Divide("torque-exponent", "1 ÷ (1 − mc)", one, fall))
	left = s.Multiply("power-held", "power at the feed held", power, room)
	left = graph.Or(s.Divide("power-split", "power of a split pass", left, split), left)
	return split, share, left
}
