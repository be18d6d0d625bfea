package estimate

import (
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/blank"
	"kerfbook/costing/making/finish"
	"kerfbook/costing/making/routing"
)

// surfaceAt writes the surface of a piece of a part as it comes to an operation
// of its routing, in dm²/piece: that of its outline, and what the features before
// the operation add. None where the outline is not known.
func (a *assembly) surfaceAt(p *pool, f routing.Flow, at int) graph.ID {
	s, bare := f.Steps[at].Scope, a.bare(p)
	if bare == graph.None {
		if lacks := a.unsized(p); lacks != (missing{}) {
			return s.From(graph.Source{Path: lacks.path}).Missing("surface", "surface of a piece", graph.Dm.Power(2).Per(graph.Piece), lacks.what)
		}
		return graph.None
	}
	parts := append([]graph.ID{bare}, changes(p.def, f.Steps[:at])...)
	return s.Convert("surface", "surface of a piece", s.Sum("surface-mm", "surface of a piece in mm²", parts...), graph.Mm, graph.Dm)
}

// bare is the surface in mm²/piece before the operations of a part: that of its
// outline, or of the one piece that an assembly is made of.
func (a *assembly) bare(p *pool) graph.ID {
	if p.def.Kind == bom.Assembly && p.def.Finished == nil {
		return a.madeOf(p)
	}
	o, ok := a.outlineOf(p)
	if !ok {
		return graph.None
	}
	return o.Area(p.scope, "outline")
}

// madeOf is the finished surface of the child of an assembly that consists of one
// piece of one part; surfaces that touch in others are not known.
func (a *assembly) madeOf(p *pool) graph.ID {
	children := p.def.Children
	if len(children) != 1 || children[0].Quantity.IsRange || children[0].Quantity.Likely.String() != "1" {
		return graph.None
	}
	child, ok := a.parts[children[0].Part]
	if !ok || child.scope.Key("") == "" {
		return graph.None // the routing of a parent is written before that of its child
	}
	bare := a.bare(child)
	if bare == graph.None {
		return graph.None
	}
	return child.scope.Sum("surface-mm", "surface of the finished piece", append([]graph.ID{bare}, changes(child.def, child.flow.Steps)...)...)
}

// changes are what the features of operations add to the surface. Where the
// finished outline is entered, only what goes into it counts: facing and turning
// have made the outline.
func changes(def *bom.Part, steps []routing.Step) []graph.ID {
	var out []graph.ID
	for _, st := range steps {
		if def.Finished == nil {
			out = append(out, st.Cut.Area)
			continue
		}
		out = append(out, recesses(st))
	}
	return out
}

// recesses is what the features of one operation that go into the outline add to
// the surface, in mm²/piece.
func recesses(st routing.Step) graph.ID {
	s := st.Scope
	const name = "recesses"
	var areas []graph.ID
	for _, f := range st.Operation.Features {
		if f.Kind.Recess() {
			areas = append(areas, s.Known("feature/"+string(f.ID)+"/area"))
		}
	}
	all := s.Sum(name+"-features", "surface gained by what goes into the outline", areas...)
	return s.Divide(name, "surface gained by what goes into the outline, per piece", all, s.One(graph.Piece))
}

// outlineOf gives the outside dimensions of a part: those entered as finished, or
// those of its blank.
func (a *assembly) outlineOf(p *pool) (finish.Outline, bool) {
	if f := p.def.Finished; f != nil {
		s := p.scope.In("finished").Within("finished")
		length := func(name, label string, n *bom.Number, path string) graph.ID {
			return s.Optional(name, label, graph.Mm, n, path)
		}
		return finish.Outline{
			Length:    length("length", "finished length", f.LengthMM, "length_mm"),
			Width:     length("width", "finished width", f.WidthMM, "width_mm"),
			Thickness: length("thickness", "finished thickness", f.ThicknessMM, "thickness_mm"),
			Diameter:  length("diameter", "finished diameter", f.DiameterMM, "diameter_mm"),
			Inner:     length("inner-diameter", "finished inner diameter", f.InnerDiameterMM, "inner_diameter_mm"),
			Flats:     graph.None,
		}, true
	}
	if p.def.Blank == nil {
		return finish.Outline{}, false
	}
	st, _ := a.stock(p.def.Blank.Stock)
	if st.Def == nil {
		return finish.Outline{}, false
	}
	return a.blankOutline(p, st.Def), true
}

// blankOutline are the dimensions of a blank, those it has from its stock
// included. The figures are shared with what counts the blanks.
func (a *assembly) blankOutline(p *pool, st *bom.Stock) finish.Outline {
	s := p.scope.Within("blank")
	own := func(name, label string, n *bom.Number, path string) graph.ID {
		if n == nil {
			return graph.None
		}
		return s.Shared(name, label, graph.Mm, *n, path)
	}
	of := func(name string) graph.ID { return a.root.Lookup("stock/" + string(st.ID) + "/" + name) }
	b := p.def.Blank
	o := finish.Outline{Length: own("blank-length", "blank length", b.LengthMM, "length_mm"),
		Width: own("blank-width", "blank width", b.WidthMM, "width_mm"), Thickness: of("thickness"), Diameter: graph.None, Inner: graph.None, Flats: graph.None}
	switch {
	case st.Form == bom.Hexagon:
		o.Flats = of("across-flats")
	case st.Form == bom.Square:
		o.Width, o.Thickness = of("across-flats"), of("across-flats")
	case st.Form == bom.Extrusion: // nobody knows how long the way round its section is
		o.Length = graph.None
	case st.Form == bom.NearNet:
		o.Length, o.Width, o.Diameter = of("length"), of("width"), of("diameter")
	case st.Form.Linear():
		o.Width, o.Diameter, o.Inner = of("width"), of("diameter"), of("inner-diameter")
	case b.DiameterMM != nil:
		o.Length, o.Diameter = o.Thickness, own("blank-diameter", "blank diameter", b.DiameterMM, "diameter_mm")
	}
	return o
}

// massOf gives the mass of a finished part, in g/piece: the one entered, or that
// of its blank less what its features take away. None where a machining operation
// is described by entered minutes, from which nobody knows what it takes away.
func massOf(p *pool, st blank.Stock) graph.ID {
	const name, label = "mass", "mass of the finished part"
	switch {
	case p.def.MassG != nil:
		return p.scope.Shared(name, label, graph.Gram.Per(graph.Piece), *p.def.MassG, "mass_g")
	case !byFeatures(p.def.Routing):
		return graph.None
	}
	s := p.scope.By("S4")
	if id := s.Known(name); id != graph.None {
		return id
	}
	var removed []graph.ID
	for _, step := range p.flow.Steps {
		removed = append(removed, step.Cut.Removed)
	}
	all := s.Sum("removed", "volume taken away by all features", removed...)
	if all == graph.None {
		return graph.None
	}
	chips := s.Multiply("removed-mass", "mass taken away by all features", all, st.Density)
	mass := s.Subtract(name, label, blank.Mass(p.scope, p.def.Blank, st), chips)
	s.Check("mass-left", "the features leave something of the blank", mass, graph.Greater, s.Zero(graph.Gram.Per(graph.Piece)))
	return mass
}

// byFeatures reports whether every machining operation is described by features.
func byFeatures(routing []bom.Operation) bool {
	machined := func(o bom.Operation) bool { return o.Kind == bom.Machining }
	return slices.ContainsFunc(routing, machined) &&
		!slices.ContainsFunc(routing, func(o bom.Operation) bool { return machined(o) && len(o.Features) == 0 })
}
