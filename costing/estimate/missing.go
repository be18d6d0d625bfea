package estimate

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/blank"
)

// missing is something that the book lacks, with the place where it belongs.
type missing struct{ what, path string }

// unsized is what the book lacks where neither the material nor the size of a part
// is known: what keeps its blank, or that of a part in it, from being counted. What
// rests on either lacks that, and not something of its own.
func (a *assembly) unsized(p *pool) missing {
	if p.def.Blank != nil {
		st, lacks := a.stock(p.def.Blank.Stock)
		if st.Def == nil {
			return lacks
		}
		if lacks = p.undimensioned(st); lacks != (missing{}) {
			return lacks
		}
	}
	for i, c := range p.def.Children {
		child, ok := a.parts[c.Part]
		switch {
		case !ok:
		case child.path == "":
			return missing{"part " + string(c.Part), "parts"}
		case c.Quantity.Missing:
			return missing{"quantity of " + child.def.Name + " per piece of " + p.def.Name, p.path + "." + index("children", i) + ".quantity"}
		default:
			if lacks := a.unsized(child); lacks != (missing{}) {
				return lacks
			}
		}
	}
	return missing{}
}

// undimensioned is what the blank of a part lacks to be cut from a stock.
func (p *pool) undimensioned(st blank.Stock) missing {
	if blank.Dimensioned(st.Def, p.def.Blank) {
		return missing{}
	}
	return missing{"a dimension of the blank of " + p.def.Name, p.path + ".blank"}
}

// behind is what the book lacks where an operation lacks something in one of its
// fields for a reason that lies elsewhere.
func (a *assembly) behind(field string, part *bom.Part, op *bom.Operation) missing {
	switch field {
	case "work_centre":
		return missing{"work centre " + string(op.WorkCentre), "work_centres"}
	case "material":
		return a.uncuttable(part, op)
	}
	return missing{}
}

// uncuttable is what the book lacks where no cutting data are known of what an
// operation cuts.
func (a *assembly) uncuttable(part *bom.Part, op *bom.Operation) missing {
	m, at := a.material(a.materialOf(part, op))
	switch {
	case at >= 0 && m.CuttingAs != "":
		return missing{"cutting data of " + string(m.CuttingAs), index("materials", at) + ".cutting_as"}
	case at < 0 && op.Material == "" && part != nil:
		return a.unsized(a.parts[part.Number])
	}
	return missing{}
}

// noCentre is what an operation in the shop lacks, for its rates as for its time, that
// names no work centre yet.
func noCentre(operation graph.Scope) string { return "work centre of " + operation.Record() }
