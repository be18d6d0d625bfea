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
	return routing.Shop{Centre: a.centre, Cut: func(s graph.Scope, op *bom.Operation) routing.Cut {
		at := slices.IndexFunc(operations, func(o bom.Operation) bool { return o.Number == op.Number })
		c := a.centre(op.WorkCentre)
		r, problems := a.cutting.Build(s, op, a.materialOf(part, op), machining.Rates{
			Machine: c.MachineRate, Labour: c.LabourWithAllowance(s.By("C2"))})
		if a.lacksStock(part) {
			problems = nil
		}
		problems = append(problems, a.outgrown(part, op)...)
		for _, p := range problems {
			a.fail(path+"."+index("routing", at)+"."+p.Field, "%s", p.Message)
		}
		return routing.Cut{Cutting: r.Cutting, Positioning: r.Positioning, WornEdge: r.WornEdge, ToolChanges: r.ToolChanges,
			ToolsPerPiece: r.Tools, Removed: r.Removed, Area: r.Area}
	}}
}

// outgrown gives the features of an operation that are larger than the blank.
func (a *assembly) outgrown(part *bom.Part, op *bom.Operation) []machining.Problem {
	room, known := bom.RoomOf(part, a.book.Stocks)
	if !known {
		return nil
	}
	var out []machining.Problem
	for i := range op.Features {
		f := &op.Features[i]
		if len(f.Faults()) > 0 {
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
	return bom.MaterialOf(part, bom.PartsByNumber(a.book.Parts), a.book.Stocks)
}

// lacksStock reports whether a part, or one it is put together from, is cut from a
// stock that the book does not have. That is told where the stock is charged, and
// it is why nobody knows the material.
func (a *assembly) lacksStock(part *bom.Part) bool {
	if part == nil {
		return false
	}
	if part.Blank != nil && !slices.ContainsFunc(a.book.Stocks, func(s bom.Stock) bool { return s.ID == part.Blank.Stock }) {
		return true
	}
	return slices.ContainsFunc(part.Children, func(c bom.Child) bool {
		p, ok := a.parts[c.Part]
		return ok && a.lacksStock(p.def)
	})
}
