package rates

import (
	"cmp"
	"fmt"
	"iter"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/reference"
)

// ReferenceCutting gives the cutting data that ship with the program: starting
// values, each dated and with its source. What was recalled and not looked up
// says so.
var ReferenceCutting = reference.Rows[Cutting]("cutting.yaml")

// CuttingTables are the rows of a shop in front of the reference rows.
type CuttingTables struct {
	Own, Reference []CuttingRow
	Forces         []CuttingForce
	Known          []ReferenceMaterial // the materials that ship with the program, as far as asked for
}

// CuttingUse is what cutting data are looked up for.
type CuttingUse struct {
	Materials []bom.ID // names of the material, narrowest first
	Tool      *bom.Tool
	Feature   bom.FeatureKind
	Day       bom.Date
}

// For gives the rows that fit a use, the one that counts first: what the shop has
// measured before its other rows, and those before the reference rows; among
// equals the narrower material, rows for the kind of feature, for the grade and
// for a range of diameters, then the one that began last. Each value is taken
// from the first row that has it.
func (t CuttingTables) For(u CuttingUse) []reference.Row[*CuttingRow] {
	found := slices.SortedStableFunc(t.fitting(u), candidateRow.compare)
	out := make([]reference.Row[*CuttingRow], len(found))
	for i, c := range found {
		out[i] = reference.Row[*CuttingRow]{Value: c.row, Provenance: c.provenance()}
	}
	return out
}

// fitting gives the rows that fit a use, where they stand.
func (t CuttingTables) fitting(u CuttingUse) iter.Seq[candidateRow] {
	return func(yield func(candidateRow) bool) {
		for i, rows := range [...][]CuttingRow{t.Own, t.Reference} {
			for j := range rows {
				c, ok := u.rank(&rows[j])
				if c.table, c.at = 2*i, j; i == 0 && !rows[j].Measured {
					c.table = 1
				}
				if ok && !yield(c) {
					return
				}
			}
		}
	}
}

// candidateRow is a row that fits, with what ranks it; less goes first.
type candidateRow struct {
	row                       *CuttingRow
	table, material           int
	feature, grade, diameters int // 0 where the row is narrowed to it
	at                        int
}

func (u CuttingUse) rank(r *CuttingRow) (candidateRow, bool) {
	if r.Tool != u.Tool.Kind { // first, as most rows are of other tools
		return candidateRow{}, false
	}
	material := slices.Index(u.Materials, r.Material)
	switch {
	case material < 0 || u.Day != "" && r.From > u.Day:
		return candidateRow{}, false
	case len(r.For) > 0 && !slices.Contains(r.For, u.Feature):
		return candidateRow{}, false
	case r.Grade != "" && r.Grade != u.Tool.GradeOf():
		return candidateRow{}, false
	case !r.holdsFor(u.Tool.DiameterMM):
		return candidateRow{}, false
	}
	banded := r.FromDiameterMM != nil || r.ToDiameterMM != nil
	return candidateRow{row: r, material: material, feature: behind(len(r.For) == 0), grade: behind(r.Grade == ""), diameters: behind(!banded)}, true
}

// holdsFor reports whether a diameter lies in the range of the row, both ends
// included.
func (r *CuttingRow) holdsFor(d *bom.Number) bool {
	if r.FromDiameterMM != nil && (d == nil || d.Likely.LessThan(r.FromDiameterMM.Likely)) {
		return false
	}
	return r.ToDiameterMM == nil || d != nil && !d.Likely.GreaterThan(r.ToDiameterMM.Likely)
}

func (c candidateRow) compare(d candidateRow) int {
	return cmp.Or(cmp.Compare(c.table, d.table), cmp.Compare(c.material, d.material), cmp.Compare(c.feature, d.feature),
		cmp.Compare(c.grade, d.grade), cmp.Compare(c.diameters, d.diameters), cmp.Compare(d.row.From, c.row.From))
}

func (c candidateRow) provenance() reference.Provenance {
	p := reference.Provenance{Where: "reference cutting data " + c.row.Name() + " from " + string(c.row.From), Cite: c.row.Source}
	if c.row.ReadAgainst != "" {
		p.Cite += "; read against " + c.row.ReadAgainst
	}
	switch c.table {
	case 0:
		p.Where, p.Path = "measured cutting data "+c.row.Name()+" from "+string(c.row.From), fmt.Sprintf("cutting_data[%d]", c.at)
		p.Cite = cmp.Or(p.Cite, "measured by the shop")
	case 1:
		p.Where, p.Path = "own cutting data "+c.row.Name()+" from "+string(c.row.From), fmt.Sprintf("cutting_data[%d]", c.at)
	}
	return p
}

// Name tells what the row is for; rows of one name differ by date or by who wrote
// them. It is made of the letters a key may have.
func (r *CuttingRow) Name() string {
	parts := []string{string(r.Material), string(r.Tool)}
	if r.Grade != "" {
		parts = append(parts, string(r.Grade))
	}
	for _, f := range r.For {
		parts = append(parts, string(f))
	}
	if r.FromDiameterMM != nil {
		parts = append(parts, "from-"+r.FromDiameterMM.Likely.String())
	}
	if r.ToDiameterMM != nil {
		parts = append(parts, "to-"+r.ToDiameterMM.Likely.String())
	}
	return strings.Join(parts, ".")
}

// ForceOf gives the specific cutting force of a material that goes by these
// names, the narrowest first, and of its rows the one that began last.
func (t CuttingTables) ForceOf(materials []bom.ID, day bom.Date) (reference.Row[CuttingForce], bool) {
	for _, m := range materials {
		at := -1
		for i, f := range t.Forces {
			if f.Material == m && (day == "" || f.From <= day) && (at < 0 || f.From > t.Forces[at].From) {
				at = i
			}
		}
		if at >= 0 {
			f := t.Forces[at]
			return reference.Row[CuttingForce]{Value: f, Provenance: reference.Provenance{Where: fmt.Sprintf("reference cutting force %s from %s", f.Material, f.From), Cite: f.Source}}, true
		}
	}
	return reference.Row[CuttingForce]{}, false
}

// Step leads from a material to one whose cutting data hold where it has none.
type Step struct {
	Material bom.ID
	Share    *bom.Number // of its cutting speeds; absent means all
}

// Steps gives the names under which cutting data may speak of a material: its own,
// then what it cuts as, and so on. What the book says goes before what ships with the
// program.
func (t CuttingTables) Steps(materials []Material, id bom.ID) []reference.Row[Step] {
	out := []reference.Row[Step]{{Value: Step{Material: id}}}
	for {
		next, ok := t.step(materials, out[len(out)-1].Value.Material)
		if !ok || slices.ContainsFunc(out, func(s reference.Row[Step]) bool { return s.Value.Material == next.Value.Material }) {
			return out
		}
		out = append(out, next)
	}
}

func (t CuttingTables) step(materials []Material, id bom.ID) (reference.Row[Step], bool) {
	at := slices.IndexFunc(materials, func(m Material) bool { return m.ID == id && m.CuttingAs != "" })
	if at >= 0 {
		m := &materials[at]
		return reference.Row[Step]{Value: Step{m.CuttingAs, m.CuttingShare},
			Provenance: reference.Provenance{Where: "material " + m.Name, Path: fmt.Sprintf("materials[%d]", at), Cite: m.Source}}, true
	}
	at = slices.IndexFunc(t.Known, func(m ReferenceMaterial) bool { return m.ID == id && m.CuttingAs != "" })
	if at < 0 {
		return reference.Row[Step]{}, false
	}
	m := &t.Known[at]
	return reference.Row[Step]{Value: Step{m.CuttingAs, m.CuttingShare},
		Provenance: reference.Provenance{Where: "reference material " + m.Name, Cite: m.CuttingSource, CheckedOn: string(m.CheckedOn)}}, true
}

// Names gives the names of the steps.
func (t CuttingTables) Names(materials []Material, id bom.ID) []bom.ID {
	var out []bom.ID
	for _, s := range t.Steps(materials, id) {
		out = append(out, s.Value.Material)
	}
	return out
}

// Unknown gives what a material is said to cut as, where that is neither a
// material of the book nor one that any row speaks of.
func (t CuttingTables) Unknown(materials []Material, id bom.ID) (name bom.ID, unknown bool) {
	names := t.Names(materials, id)
	if len(names) < 2 {
		return "", false
	}
	name = names[len(names)-1]
	speaks := func(r CuttingRow) bool { return r.Material == name }
	known := slices.ContainsFunc(materials, func(m Material) bool { return m.ID == name }) || slices.ContainsFunc(t.Own, speaks) ||
		slices.ContainsFunc(t.Reference, speaks) || slices.ContainsFunc(t.Known, func(m ReferenceMaterial) bool { return m.ID == name }) || slices.ContainsFunc(t.Forces, func(f CuttingForce) bool { return f.Material == name })
	return name, !known
}

// FactorFor gives the place of the factor in force for a kind of feature at a
// work centre: one for the material, the narrower name first, before one for any,
// then the one that began last. has says which of its values is wanted.
func FactorFor(factors []Factor, centre bom.ID, kind bom.FeatureKind, materials []bom.ID, day bom.Date, has func(Factor) bool) (at int, ok bool) {
	at, top := -1, 0
	for i, f := range factors {
		if f.WorkCentre != centre || f.Feature != kind || day != "" && f.From > day || !has(f) {
			continue
		}
		rank := 1
		if f.Material != "" {
			at := slices.Index(materials, f.Material)
			if at < 0 {
				continue
			}
			rank += len(materials) - at
		}
		if rank > top || rank == top && f.From > factors[at].From {
			at, top = i, rank
		}
	}
	return at, at >= 0
}

// behind is 1 for a row that stands behind those that are narrower.
func behind(wide bool) int {
	if wide {
		return 1
	}
	return 0
}
