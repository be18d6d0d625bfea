package estimate

import (
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/machining"
	"kerfbook/costing/making/routing"
)

// workshop is the shop as the routing of a part asks it; part is nil for the
// routing of a product, and path is the place of the part or product in the book.
func (a *assembly) workshop(part *bom.Part, operations []bom.Operation, path string) routing.Shop {
	return routing.Shop{Centre: func(id bom.ID) routing.Centre { return a.centre(id).Centre }, Cut: func(s graph.Scope, op *bom.Operation) routing.Cut {
		at := slices.IndexFunc(operations, func(o bom.Operation) bool { return o.Number == op.Number })
		c := a.centre(op.WorkCentre)
		r, problems := a.cutting.Build(s, op, a.materialOf(part, op), machining.Rates{
			Machine: c.machineRate, Labour: c.LabourWithAllowance(s.By("C2"), c.labourRate)})
		place := path + "." + index("routing", at) + "."
		for _, p := range append(problems, a.outgrown(part, op)...) {
			if !p.Missing {
				a.fail(place+p.Field, "%s", p.Message)
			} else if r.Cutting == graph.None { // what it takes away is as unknown as its time
				lacks := missing{"time of " + s.Record() + ", since " + p.Message, place + p.Field}
				if op.WorkCentre == "" {
					lacks.what = noCentre(s)
				} else if cause := a.behind(p.Field, part, op); cause != (missing{}) {
					lacks = cause
				}
				gap := func(name, label string, of graph.Unit) graph.ID {
					return s.From(graph.Source{Path: lacks.path}).Missing(name, label, of, lacks.what)
				}
				r.Cutting = gap("cutting", "cutting time per piece", graph.Minute.Per(graph.Piece))
				r.Removed = gap("removed", "volume taken away", graph.Mm.Power(3).Per(graph.Piece))
				r.Area = gap("area", "surface gained", graph.Mm.Power(2).Per(graph.Piece))
				if c.def.Setup != nil && op.SetupMin == nil {
					r.Setup = gap("setup-time", "set-up time, from its parts", graph.Minute)
				}
				if c.def.Programming != nil {
					r.Program = gap("programming-time", "time of programming", graph.Minute)
				}
			}
		}
		return r
	}}
}

// outgrown gives the features of an operation that are larger than the blank.
func (a *assembly) outgrown(part *bom.Part, op *bom.Operation) []machining.Problem {
	room, known := bom.RoomOf(part, a.book.Stocks)
	if !known || part.Blank == nil && part.FirstGuess != nil { // its blank is larger than the part, by a guess
		return nil
	}
	var out []machining.Problem
	for i := range op.Features {
		f := &op.Features[i]
		if len(f.Faults()) > 0 || f.Lacks() != "" {
			continue // told by the build
		}
		for _, fault := range room.Outgrown(f) {
			out = append(out, machining.Problem{Field: strings.TrimSuffix(index("features", i)+"."+fault.Field, "."), Message: fault.Message})
		}
	}
	return out
}

// materialOf gives the material that an operation cuts; empty where it is not
// known.
func (a *assembly) materialOf(part *bom.Part, op *bom.Operation) bom.ID {
	switch {
	case op.Material != "":
		return op.Material
	case part == nil:
		return ""
	}
	material, _ := bom.MaterialOf(part, a.numbered, a.book.Stocks)
	return material
}
