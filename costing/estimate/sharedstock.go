package estimate

import (
	"errors"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/blank"
)

// blanks charges a made part with its stock: alone, or its share of stock that it
// is cut from together with other parts of the mix.
func (a *assembly) blanks(p *pool, st blank.Stock, mass graph.ID) blank.Charge {
	var charge blank.Charge
	if group := a.sharers(p); len(group) > 1 {
		charge = a.together(st, group)[p.def.Number]
	} else {
		charge = blank.Build(p.scope, p.def.Blank, st, p.flow.Start, p.need, mass)
	}
	var misfit *blank.MisfitError
	if err := charge.Misfit(p.scope, p.def.Blank, st.Def); errors.As(err, &misfit) {
		a.fail(p.path+"."+misfit.Field, "%s", misfit.Message)
	}
	return charge
}

// sharers are the parts of the mix that are cut from the same stock together, by
// number; none for a part that has its stock for itself.
func (a *assembly) sharers(p *pool) []*pool {
	if !p.def.Blank.ShareStock {
		return nil
	}
	var out []*pool
	for _, q := range a.order {
		if b := q.def.Blank; q.def.Kind == bom.Made && b != nil && b.ShareStock && b.Stock == p.def.Blank.Stock {
			out = append(out, q)
		}
	}
	slices.SortFunc(out, func(q, r *pool) int { return strings.Compare(string(q.def.Number), string(r.def.Number)) })
	return out
}

// together charges a group of parts once, and gives the charges by part.
func (a *assembly) together(st blank.Stock, group []*pool) map[bom.ID]blank.Charge {
	if done, ok := a.shared[st.Def.ID]; ok {
		return done
	}
	charges := map[bom.ID]blank.Charge{}
	if a.shared == nil {
		a.shared = map[bom.ID]map[bom.ID]blank.Charge{}
	}
	a.shared[st.Def.ID] = charges
	for _, p := range group {
		charges[p.def.Number] = blank.Uncharged()
	}
	var list []blank.Sharer
	for _, p := range group {
		if !a.cutAlike(st, group[0], p) {
			return charges
		}
		list = append(list, blank.Sharer{Part: p.def.Number, Def: p.def.Blank, Scope: p.scope, Start: p.flow.Start, Good: p.need, Mass: massOf(p, st)})
	}
	_, at := a.book.Stock(st.Def.ID)
	s := a.root.In("stock", string(st.Def.ID), "shared").Of(st.Def.Name + ", shared by several parts").
		From(graph.Source{Where: "stock " + st.Def.Name, Path: index("stocks", at)})
	for i, c := range blank.BuildShared(s, st, list) {
		charges[list[i].Part] = c
	}
	return charges
}

// cutAlike reports a part that cannot be cut from the same piece as the first.
func (a *assembly) cutAlike(st blank.Stock, first, p *pool) bool {
	if !blank.Dimensioned(st.Def, p.def.Blank) {
		a.fail(p.path+".blank", "the blank of part %s lacks a dimension for stock %s", p.def.Number, st.Def.ID)
		return false
	}
	if field := first.def.Blank.CutUnlike(p.def.Blank); field != "" {
		a.fail(p.path+".blank."+field, "parts %s and %s share stock %s and differ in %s; give both the same, or leave share_stock out of one",
			first.def.Number, p.def.Number, st.Def.ID, field)
		return false
	}
	return true
}
