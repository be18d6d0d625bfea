package estimate

import (
	"kerfbook/bom"
	"kerfbook/costing/making/blank"
)

// missing is something that the book lacks, with the place where it belongs.
type missing struct{ what, path string }

// unsized is what the book lacks where neither the material nor the size of a part
// is known: what keeps its blank, or that of a part in it, from being counted. What
// rests on either lacks that, and not something of its own.
func (a *assembly) unsized(part *bom.Part) missing {
	if part.Blank != nil {
		st, lacks := a.stock(part.Blank.Stock)
		switch {
		case st.Def == nil:
			return lacks
		case !blank.Dimensioned(st.Def, part.Blank):
			return missing{"a dimension of the blank of " + part.Name, a.parts[part.Number].path + ".blank"}
		}
	}
	for i, c := range part.Children {
		child, ok := a.parts[c.Part]
		switch {
		case !ok:
		case child.path == "":
			return missing{"part " + string(c.Part), "parts"}
		case c.Quantity.Missing:
			return missing{"quantity of " + child.def.Name + " per piece of " + part.Name, a.parts[part.Number].path + "." + index("children", i) + ".quantity"}
		default:
			if lacks := a.unsized(child.def); lacks != (missing{}) {
				return lacks
			}
		}
	}
	return missing{}
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
		return a.unsized(part)
	}
	return missing{}
}
