package finish

import (
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
	"kerfbook/costing/reference"
)

// treatment is what is done to one piece, as figures; None where nothing is known.
type treatment struct {
	area, thickness, masks, perLoad graph.ID
	contacts                        graph.ID
	coating                         coating
}

func newTreatment(s graph.Scope, def *bom.Treatment, p Process, surface graph.ID) (treatment, error) {
	t := treatment{
		masks:    s.Optional("masks", "masks per piece", graph.Plain.Per(graph.Piece), def.Masks, "masks"),
		contacts: s.Optional("contacts", "contacts charged per piece", graph.Plain.Per(graph.Piece), def.Contacts, "contacts"),
		coating:  p.coating,
	}
	var class reference.Row[rates.FinishClass]
	if def.Class != "" {
		var err error
		if class, err = p.finishes.Class(p.def.Finish, def.Class); err != nil {
			return t, err
		}
		// A designation such as NiP(10)15 states the phosphorus, which decides density and
		// growth; what the process states goes before it.
		if percent := class.Value.Percent; percent != nil && p.def.Phosphorus == "" {
			if row, known := p.finishes.DepositOf(*percent); known {
				t.coating = t.coating.or(s, row)
			}
		}
	}
	t.area = platedArea(s, def, surface)
	t.thickness = thickness(s, def, class)
	t.perLoad = piecesPerLoad(s, def, p, t.area)
	return t, nil
}

// platedArea is the area of a piece less what is masked: what is charged, and
// what the coating is deposited on.
func platedArea(s graph.Scope, def *bom.Treatment, surface graph.ID) graph.ID {
	unit := graph.Dm.Power(2).Per(graph.Piece)
	area := graph.Or(s.Optional("area", "treated area of a piece", unit, def.AreaDM2, "area_dm2"), surface)
	if area == graph.None || def.MaskedDM2 == nil {
		return area
	}
	masked := s.Number("masked-area", "masked area of a piece", unit, *def.MaskedDM2, "masked_dm2")
	s.Check("masked-fits", "the masked area is not larger than the area of the piece", masked, graph.LessOrEqual, area)
	return s.Subtract("plated-area", "plated area of a piece", area, masked)
}

// thickness is the one entered, or the least that the class asks for.
func thickness(s graph.Scope, def *bom.Treatment, class reference.Row[rates.FinishClass]) graph.ID {
	least := s
	if class.Where != "" {
		least = s.From(source(class.Provenance))
	}
	least.Optional("class-local", "least local thickness of class "+def.Class, graph.Micron, class.Value.LeastLocalUM, "")
	if def.ThicknessUM == nil {
		return least.Optional("thickness", "thickness of the coating, least of class "+def.Class, graph.Micron, class.Value.LeastUM, classPath(class))
	}
	entered := s.Number("thickness", "thickness of the coating", graph.Micron, *def.ThicknessUM, "thickness_um")
	// A drawing may ask for more than its class, never for less.
	if class.Value.LeastUM != nil {
		want := least.Number("class-thickness", "least thickness of class "+def.Class, graph.Micron, *class.Value.LeastUM, classPath(class))
		s.Check("thickness-fits", "the thickness is at least that of the class", entered, graph.GreaterOrEqual, want)
		if bom.Beyond([]bom.Number{*def.ThicknessUM}, unusual, *class.Value.LeastUM) {
			s.Find(graph.Note, "thickness", fmt.Sprintf("the thickness of %s µm is more than ten times the %s µm of class %s; look at it again", def.ThicknessUM.Likely, class.Value.LeastUM.Likely, def.Class))
		}
	}
	return entered
}

// unusual is how many times the least thickness of its class is worth a remark.
const unusual = 10

// classPath is the field of the book that a thickness was typed in: that of a
// designation.
func classPath(class reference.Row[rates.FinishClass]) string {
	if class.Where != "" {
		return ""
	}
	return "class"
}

// piecesPerLoad is the number entered, or how many pieces of this area and space a load
// holds, whichever fills it sooner; a piece larger than a load is one load.
func piecesPerLoad(s graph.Scope, def *bom.Treatment, p Process, area graph.ID) graph.ID {
	if def.PiecesPerLoad != nil {
		return s.Optional("pieces-per-load", "pieces per load", graph.Piece, def.PiecesPerLoad, "pieces_per_load")
	}
	one, exact := s.One(graph.Piece), graph.None
	if p.loadArea != graph.None && area != graph.None {
		exact = s.Divide("pieces-per-load-exact", "pieces per load before rounding", p.loadArea, area)
		s.Check("piece-fits", "the area of a piece is not larger than that of a load", one, graph.LessOrEqual, exact)
	}
	if p.loadSpace != graph.None && def.SpaceDM3 != nil {
		space := s.Number("space", "space of a piece", graph.Dm.Power(3).Per(graph.Piece), *def.SpaceDM3, "space_dm3")
		roomy := s.Divide("pieces-per-space", "pieces per load by space, before rounding", p.loadSpace, space)
		s.Check("piece-has-room", "the space of a piece is not larger than that of a load", one, graph.LessOrEqual, roomy)
		if exact == graph.None {
			exact = roomy
		} else {
			exact = s.Minimum("pieces-per-load-fewer", "pieces per load by area and space", exact, roomy)
		}
	}
	if exact == graph.None {
		return graph.None
	}
	// At least one, so that no lot is divided by nothing; the checks above tell it.
	return s.Maximum("pieces-per-load", "pieces per load", one, s.Floor("pieces-per-load-whole", "whole pieces per load", exact, one))
}

// mass is F1: area × thickness × density, in g/piece; None where one is not known.
func (t treatment) mass(s graph.Scope) graph.ID {
	if t.area == graph.None || t.thickness == graph.None || t.coating.density == graph.None {
		return graph.None
	}
	area := s.Convert("area-mm", "treated area in mm²", t.area, graph.Dm, graph.Mm)
	thickness := s.Convert("thickness-mm", "thickness in mm", t.thickness, graph.Micron, graph.Mm)
	return s.Multiply("coating-mass", "mass of the coating", area, thickness, t.coating.density)
}

// growth writes by how much surfaces, outer diameters, holes and threads change, so
// that the drawing can allow for it: a surface grows by its share of the thickness, or
// loses what is taken off; a diameter by twice that, and a hole becomes smaller by as
// much.
func (t treatment) growth(s graph.Scope, def *bom.Treatment, p Process) {
	surface := graph.None
	switch {
	case p.removed != graph.None:
		surface = s.Subtract("growth", "growth of a surface", s.Zero(graph.Micron), p.removed)
	case p.growth == graph.None:
	case t.thickness != graph.None:
		surface = s.Multiply("growth", "growth of a surface", p.growth, t.thickness)
	case p.sizeless:
		surface = s.Multiply("growth", "growth of a surface", p.growth, s.Zero(graph.Micron))
	}
	if surface == graph.None {
		return
	}
	mm := s.Convert("growth-mm", "growth of a surface in mm", surface, graph.Micron, graph.Mm)
	diameter := s.Add("growth-diameter", "growth of an outer diameter", mm, mm)
	s.Subtract("growth-hole", "change of the diameter of a hole", s.Zero(graph.Mm), diameter)
	if def.ThreadPitchMM != nil {
		thread(s.By("F4"), *def.ThreadPitchMM, surface, p.finishes)
	}
	if p.edgeRadius != graph.None && t.thickness != graph.None {
		thick := s.Convert("thickness-mm", "thickness in mm", t.thickness, graph.Micron, graph.Mm)
		s.Multiply("edge-radius", "least radius of edges", p.edgeRadius, thick)
	}
}

// thread is what the growth does to the pitch diameter of a thread of 60°: four times
// the growth of its flanks (F4), for which an external thread of position g has only
// its allowance as room. Source `thread-plating`.
func thread(s graph.Scope, pitch bom.Number, surface graph.ID, finishes rates.Finishes) {
	grown := pitchGrowth(s, "growth-thread", surface)
	row, known := finishes.Thread(pitch)
	if !known {
		s.Within("thread_pitch_mm").Find(graph.Warning, "growth-thread", fmt.Sprintf("the room of a thread of pitch %s mm is not known; compare its growth with the allowance of its position by hand", pitch.Likely))
		return
	}
	room := s.From(source(row.Provenance)).Number("thread-allowance", "allowance of an external thread, position g", graph.Micron, row.Value.AllowanceUM, "")
	s.Check("thread-fits", "the coating leaves an external thread of position g below the thread without play; where it does not, cut the thread smaller or coat thinner", grown, graph.LessOrEqual, room)
}

// threadsChanged says by how much a layer, the usual one where none is said, changes threads of which
// nobody has said whether they are masked: the pitch of an outer one holds its growth against its
// allowance instead.
func (t treatment) threadsChanged(s graph.Scope, def *bom.Treatment, p Process, threads []*bom.Feature) {
	if def.Masks != nil || p.growth == graph.None || p.sizeless {
		return
	}
	told := map[bool][]string{} // of outer threads, and of inner ones
	for _, f := range threads {
		outer, name := f.ExternalThread(), string(rates.MetricThread(*f.DiameterMM, *f.PitchMM).ID)
		if !(outer && def.ThreadPitchMM != nil) && !slices.Contains(told[outer], name) {
			told[outer] = append(told[outer], name)
		}
	}
	if len(told) == 0 {
		return
	}
	thickness, of, grown := t.thickness, " of ", s.Known("growth-thread")
	if usual, known := p.finishes.UsualOf(p.def.Finish); thickness == graph.None && known {
		of, thickness = ", usually of ", s.From(source(usual.Provenance)).Number("usual-thickness", "usual thickness of the coating", graph.Micron, usual.Value.UsualUM, "")
	}
	if thickness == graph.None {
		s.Find(graph.Warning, "growth-thread", fmt.Sprintf("%s changes threads, and its thickness is not known: ask your plater how much to leave, or have them masked", p.def.Name))
		return
	}
	if grown == graph.None {
		name := "growth-thread"
		if t.thickness == graph.None {
			name += "-usual"
		}
		grown = pitchGrowth(s, name, s.Multiply(name+"-surface", "growth of a flank", p.growth, thickness))
	}
	layer := p.def.Name + of + s.Told(thickness)
	if t.thickness == graph.None {
		layer += ","
	}
	say := func(names []string, does string) {
		if len(names) > 0 {
			s.Find(graph.Warning, "growth-thread", layer+fmt.Sprintf(does, s.Told(grown), strings.Join(names, " and "))+", or have it masked and enter the masks")
		}
	}
	say(told[false], " takes %s off the pitch diameter of the inner thread %s: cut it that much larger (ask your plater which tap)")
	say(told[true], " adds %s to the pitch diameter of the outer thread %s: cut it that much smaller")
}

// pitchGrowth is what the growth of the flanks of a thread of 60° makes of its pitch diameter (F4).
func pitchGrowth(s graph.Scope, name string, surface graph.ID) graph.ID {
	four := s.Fixed("four", "growth of a pitch diameter in growths of a flank", graph.Plain, decimal.New(4, 0), "two flanks, each at 30° to the axis: 2 ÷ sin 30°")
	return s.Multiply(name, "growth of the pitch diameter of a thread", four, surface)
}
