package rates

import (
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/reference"
)

// materialsOfReference are all materials that ship with the program.
func materialsOfReference(t *testing.T) map[bom.ID]MaterialRows {
	t.Helper()
	out := map[bom.ID]MaterialRows{}
	for _, id := range ReferenceMaterialNames() {
		rows, ok, err := ReferenceMaterialOf(id)
		if err != nil || !ok || rows.Material.ID != id {
			t.Fatalf("%s: %v %s %v", id, ok, rows.Material.ID, err)
		}
		out[id] = rows
	}
	return out
}

// TestReferenceMaterials: every material that ships with the program has a source or
// a mark for its density, its force and each value of its rows, the day it was looked
// at, an id of its own for each row, and speeds and feeds of what mills, drills and
// turns it, its own or borrowed.
func TestReferenceMaterials(t *testing.T) {
	t.Parallel()
	all := materialsOfReference(t)
	ids := map[bom.ID]bool{}
	for id, m := range all {
		if m.Material.CheckedOn == "" || !saysWhence(m.Material.Source) || m.Material.CuttingAs != "" && !saysWhence(m.Material.CuttingSource) {
			t.Errorf("%s does not say whence it is, or when that was looked at", id)
		}
		if (m.Material.CuttingAs == "") != (m.Material.CuttingShare == nil) || m.Material.CuttingAs != "" && all[m.Material.CuttingAs].Material.ID == "" {
			t.Errorf("%s borrows from %q without a share, or from nobody", id, m.Material.CuttingAs)
		}
		for _, f := range m.Forces {
			if f.Material != id || f.CheckedOn == "" || !saysWhence(f.Source) {
				t.Errorf("the force of %s: %+v", id, f)
			}
		}
		for _, r := range m.Rows {
			if ids[r.ID] || r.Material != id || r.CheckedOn == "" || r.Measured {
				t.Errorf("row %s of %s is there twice, of another material, undated or measured", r.ID, id)
			}
			ids[r.ID] = true
			for value, given := range map[string]bool{"speed": r.SpeedMMin != nil, "feed": r.FeedMM != nil || len(r.Feeds) > 0,
				"depth": r.DepthMM != nil || r.DepthPerDiameter != nil} {
				if given && !r.told(value) {
					t.Errorf("%s does not say how far its %s is to be trusted: %q", r.ID, value, r.Source)
				}
			}
		}
		ten := bom.Whole(10)
		tables, err := ReferenceTables([]bom.ID{id})
		if err != nil {
			t.Fatal(err)
		}
		for _, kind := range []bom.ToolKind{bom.EndMill, bom.DrillTool, bom.TurningTool} {
			for _, grade := range []bom.ToolGrade{bom.Carbide, bom.HSS} {
				tool := bom.Tool{Kind: kind, Grade: grade, DiameterMM: &ten}
				if kind == bom.TurningTool {
					tool.DiameterMM = nil
				}
				speed, feed := false, false
				for _, r := range tables.For(CuttingUse{Materials: tables.Names(nil, id), Tool: &tool, Day: "2026-11-28"}) {
					speed, feed = speed || r.Value.SpeedMMin != nil, feed || r.Value.HasFeed(&tool)
				}
				if !speed || !feed {
					t.Errorf("%s of %s in %s: speed %v, feed %v", kind, grade, id, speed, feed)
				}
			}
		}
	}
	for _, id := range []bom.ID{"steel-11smn30", "steel-s235", "steel-c45", "stainless-303", "stainless-304", "stainless-316l", "brass", "brass-cuzn37",
		"bronze-cusn8", "copper", "copper-cutep", "aluminium-6061", "aluminium-6082", "aluminium-7075", "pom-c", "acrylic"} {
		if all[id].Material.ID == "" {
			t.Errorf("there is no %s", id)
		}
	}
}

// saysWhence reports that a text names a publication that was looked at, or says that
// it was recalled.
func saysWhence(source string) bool {
	return strings.Contains(source, "looked at ") || strings.Contains(source, reference.FromMemory)
}

// TestSpeedsOfMaterials holds the rows that ship with the program to what slips of
// units break: a speed lies within a factor of three of what the neighbour's row,
// borrowed, would give, a range is at most fifteen wide, and carbide runs at least as
// fast as high-speed steel, at most twelve times.
func TestSpeedsOfMaterials(t *testing.T) {
	t.Parallel()
	ten := bom.Whole(10)
	for id, m := range materialsOfReference(t) {
		tables, err := ReferenceTables([]bom.ID{id})
		if err != nil {
			t.Fatal(err)
		}
		likely := func(materials []bom.ID, r CuttingRow, grade bom.ToolGrade) float64 {
			tool := bom.Tool{Kind: r.Tool, Grade: grade, DiameterMM: &ten}
			feature := bom.Pocket
			if len(r.For) > 0 {
				feature = r.For[0]
			}
			for _, found := range tables.For(CuttingUse{Materials: materials, Tool: &tool, Feature: feature, Day: "2026-11-28"}) {
				if found.Value.SpeedMMin != nil {
					return found.Value.SpeedMMin.Likely.InexactFloat64()
				}
			}
			return 0
		}
		for _, r := range m.Rows {
			v := r.SpeedMMin.Likely.InexactFloat64()
			if r.SpeedMMin.High.GreaterThan(r.SpeedMMin.Low.Mul(decimal.NewFromInt(15))) {
				t.Errorf("%s: %s to %s", r.ID, r.SpeedMMin.Low, r.SpeedMMin.High)
			}
			if m.Material.CuttingShare != nil && m.Material.Group != "wood" {
				as := likely([]bom.ID{m.Material.CuttingAs}, r, gradeAsked(r.Grade)) * m.Material.CuttingShare.Likely.InexactFloat64()
				if as == 0 || v > 3*as || v < as/3 {
					t.Errorf("%s: %g m/min, where %s would give %g", r.ID, v, m.Material.CuttingAs, as)
				}
			}
			if r.Grade == bom.Carbide {
				if hss := likely([]bom.ID{id}, r, bom.HSS); v < hss || v > 12*hss && hss > 0 {
					t.Errorf("%s: carbide %g, high-speed steel %g", r.ID, v, hss)
				}
			}
		}
	}
}

// gradeAsked is a grade that a row without one is asked for with.
func gradeAsked(g bom.ToolGrade) bom.ToolGrade {
	if g == "" {
		return bom.HSS
	}
	return g
}

// TestSteps: what the book says a material cuts as goes before what ships with the
// program, which goes on from there; a circle ends.
func TestSteps(t *testing.T) {
	t.Parallel()
	own := []Material{{ID: "MY", Name: "mine", CuttingAs: "stainless-316l", Source: "a note"}, {ID: "stainless-304", Name: "304", CuttingAs: "MY"}}
	tables, err := ReferenceTables([]bom.ID{"MY", "stainless-316l"})
	if err != nil {
		t.Fatal(err)
	}
	steps := tables.Steps(own, "MY")
	if len(steps) != 3 || steps[1].Cite != "a note" || steps[1].Path != "materials[0]" || steps[1].Value.Share != nil {
		t.Fatalf("%+v", steps)
	}
	last := steps[2]
	if last.Value.Material != "stainless-304" || last.Value.Share.Likely.String() != "0.9" || last.CheckedOn != "2026-11-28" || !strings.Contains(last.Cite, "15.2") {
		t.Errorf("%+v", last)
	}
	if shipped := tables.Names(nil, "stainless-316l"); !slices.Equal(shipped, []bom.ID{"stainless-316l", "stainless-304"}) {
		t.Errorf("%v", shipped)
	}
}

// TestOrderOfRows: no value hangs on the order in which rows stand: backwards, the same
// rows give speed, feed, depth and width of every kind of tool in every material.
func TestOrderOfRows(t *testing.T) {
	t.Parallel()
	size := bom.Whole(6)
	for _, id := range ReferenceMaterialNames() {
		tables, err := ReferenceTables([]bom.ID{id})
		if err != nil {
			t.Fatal(err)
		}
		back := tables
		back.Reference, back.Known = slices.Clone(tables.Reference), slices.Clone(tables.Known)
		slices.Reverse(back.Reference)
		slices.Reverse(back.Known)
		for _, kind := range bom.ToolKind("").Values() {
			for _, grade := range []bom.ToolGrade{bom.Carbide, bom.HSS} {
				for _, feature := range []bom.FeatureKind{bom.Pocket, bom.Slot} {
					tool := bom.Tool{Kind: bom.ToolKind(kind), Grade: grade, DiameterMM: &size}
					if one, other := tables.gives(id, &tool, feature), back.gives(id, &tool, feature); one != other {
						t.Errorf("%s of %s in %s, %s: %v, backwards %v", kind, grade, id, feature, one, other)
					}
				}
			}
		}
	}
}

// gives names the rows that each value comes from.
func (t CuttingTables) gives(material bom.ID, tool *bom.Tool, feature bom.FeatureKind) (from [4]bom.ID) {
	for _, r := range t.For(CuttingUse{Materials: t.Names(nil, material), Tool: tool, Feature: feature, Day: "2026-11-28"}) {
		row := r.Value
		for i, given := range []bool{row.SpeedMMin != nil, row.HasFeed(tool), row.DepthMM != nil || row.DepthPerDiameter != nil, row.WidthMM != nil || row.WidthPerDiameter != nil} {
			if given && from[i] == "" {
				from[i] = row.ID
			}
		}
	}
	return from
}
