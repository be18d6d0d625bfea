package machining

import (
	"slices"
	"strconv"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// setup is one set-up in its parts at the work centre, with the tools that the features
// have chosen; None where the minutes are entered or the work centre gives no parts.
func (o *operation) setup() graph.ID {
	w, s := o.centre.Def, o.s.By("M15")
	if o.op.SetupMin != nil || w.Setup == nil {
		return graph.None
	}
	return o.inParts(s, "setup", w.Setup.Source, w.Setup.Parts(), func(tool graph.ID) graph.ID {
		return s.Multiply("setup-tools", "tools loaded and measured", o.distinct(s), tool)
	})
}

// program is the time of programming the operation; None where the work centre does
// not say.
func (o *operation) program() graph.ID {
	w, s := o.centre.Def, o.s.By("C3")
	if w.Programming == nil {
		return graph.None
	}
	cut := 0 // an array or a pattern is one to program
	for i := range o.op.Features {
		if !o.op.Features[i].Kind.ByHand() {
			cut++
		}
	}
	return o.inParts(s, "programming", w.Programming.Source, w.Programming.Parts(), func(feature graph.ID) graph.ID {
		count := s.Fixed("count-"+strconv.Itoa(cut), strconv.Itoa(cut), graph.Plain, bom.Whole(int64(cut)).Likely, "definition")
		return s.Multiply("programming-features", "programming of the features", count, feature)
	})
}

// inParts adds up the times of a field of the work centre, of which one is by tool or by
// feature.
func (o *operation) inParts(s graph.Scope, field, cite string, parts []rates.TimePart, each func(graph.ID) graph.ID) graph.ID {
	at := slices.IndexFunc(o.def.Centres, func(w rates.WorkCentre) bool { return w.ID == o.op.WorkCentre })
	of := o.centreScope(at, cite).In(field).Within(field)
	var ids []graph.ID
	for _, p := range parts {
		if p.Minutes == nil {
			continue
		}
		id := of.Shared(p.Name, p.Label, graph.Minute, *p.Minutes, p.Field)
		if p.Each {
			id = each(id)
		}
		ids = append(ids, id)
	}
	return s.Sum(field+"-time", map[string]string{"setup": "set-up time, from its parts", "programming": "time of programming"}[field], ids...)
}
