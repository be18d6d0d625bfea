package rates

import (
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/reference"
)

// TestStarters: whatever a shop can take in says whence it is and when that was looked
// at, in the record itself too; its tools are whole, live for a time that is stated, and
// have no cost of an edge, which is the shop's to know.
func TestStarters(t *testing.T) {
	t.Parallel()
	all, err := Starters()
	if err != nil {
		t.Fatal(err)
	}
	seen, tools := map[bom.ID]bool{}, map[bom.ID]bool{}
	sets := 0
	for _, s := range all {
		if seen[s.ID] || s.CheckedOn == "" || !saysWhence(s.Source) || s.About == "" || len(s.Materials)+len(s.Tools)+len(s.Stocks)+len(s.Machines) == 0 && s.Setup == nil {
			t.Errorf("%s: twice, empty, undated or without a source: %q, %q", s.ID, s.About, s.Source)
		}
		seen[s.ID] = true
		for _, m := range s.Materials {
			if m.ID != s.ID || !strings.Contains(m.Source, "reference material "+string(m.ID)+", looked at "+string(s.CheckedOn)) || !saysWhence(m.Source) {
				t.Errorf("%s is from %q", m.ID, m.Source)
			}
			if force := m.Kc11NMM2 != nil; force == (strings.HasPrefix(s.About, "plastic")) {
				t.Errorf("%s has a force: %v", m.ID, force)
			}
		}
		if len(s.Tools) > 0 {
			sets++
		}
		for i := range s.Tools {
			tool := &s.Tools[i]
			if tools[tool.ID] || len(tool.Faults()) > 0 || tool.Lacks() != "" || !tool.HasLife() || tool.EdgeCost != nil || tool.EdgeChangeMin == nil ||
				tool.Grade == "" || !strings.Contains(tool.Source, "starter set "+string(s.ID)) {
				t.Errorf("%s of %s: %v %s, from %q", tool.ID, s.ID, tool.Faults(), tool.Lacks(), tool.Source)
			}
			tools[tool.ID] = true
		}
	}
	if sets != 6 || len(all) != 62 {
		t.Errorf("%d starters, %d of them sets", len(all), sets)
	}
}

// TestFinishesHaveSources: no reference row of a finish is without source or mark, and
// each says when it was looked at.
func TestFinishesHaveSources(t *testing.T) {
	t.Parallel()
	f, err := ReferenceFinishes()
	if err != nil {
		t.Fatal(err)
	}
	told := func(what, source string, checked bom.Date) {
		if checked == "" || !saysWhence(source) && !strings.Contains(source, "by definition") {
			t.Errorf("%s: %q, looked at %q", what, source, checked)
		}
	}
	for _, c := range f.Classes {
		told(string(c.ID), c.Source, c.CheckedOn)
	}
	for _, d := range f.Deposits {
		told(string(d.Level), d.Source, d.CheckedOn)
	}
	for _, g := range f.Growth {
		told(string(g.Finish), g.Source, g.CheckedOn)
	}
	for _, c := range f.Coatings {
		told("coating "+string(c.Finish), c.Source, c.CheckedOn)
	}
	for _, b := range f.Baths {
		told("bath "+string(b.Finish), b.Source, b.CheckedOn)
	}
	for _, u := range f.Usual {
		told("thickness "+string(u.Finish), u.Source, u.CheckedOn)
	}
	for _, r := range f.Threads {
		told("thread "+r.PitchMM.Likely.String(), r.Source, r.CheckedOn)
	}
}

// TestStarterSetupsAddUp: the parts of a set-up that ship add up to the minutes of the
// first guess, at their low, likely and high ends: those of a clamping, of a tool, and
// until the first piece is approved. None lacks a part.
func TestStarterSetupsAddUp(t *testing.T) {
	t.Parallel()
	all, err := Starters()
	if err != nil {
		t.Fatal(err)
	}
	guess, err := ReferenceGuess()
	if err != nil {
		t.Fatal(err)
	}
	for id, way := range map[bom.ID]bom.Way{"setup-lathe": bom.Turned, "setup-mill": bom.Milled, "setup-plate": bom.Cut} {
		s, ok := StarterOf(all, id)
		if !ok || s.Kind() != "work_centres" || !strings.HasPrefix(s.Setup.Source, "starter "+string(id)+", looked at 2026-") || s.Programming.Source != s.Setup.Source {
			t.Fatalf("%s: %+v", id, s)
		}
		for _, p := range append(s.Setup.Parts(), s.Programming.Parts()...) {
			if p.Minutes == nil {
				t.Errorf("%s has no %s", id, p.Field)
			}
		}
		u := s.Setup
		for row, parts := range map[bom.ID][]*bom.Number{"setup-clamping": {u.FixtureMin, u.ZeroMin, u.CleanDownMin},
			"setup-tool": {u.ToolMin}, "first-article": {u.ProveOutMin, u.FirstOffMin}} {
			want, _ := guess.Range(row, way, "")
			var low, likely, high decimal.Decimal
			for _, n := range parts {
				low, likely, high = low.Add(n.Low), likely.Add(n.Likely), high.Add(n.High)
			}
			if !low.Equal(want.Value.Low) || !likely.Equal(want.Value.Likely) || !high.Equal(want.Value.High) {
				t.Errorf("%s: parts of %s are %s, %s, %s; the row is %s, %s, %s", id, row, low, likely, high, want.Value.Low, want.Value.Likely, want.Value.High)
			}
		}
	}
}

// TestStockSizes: every size is stock of its form that lacks its material alone, sizes rise,
// and no id is given twice.
func TestStockSizes(t *testing.T) {
	t.Parallel()
	all, err := Starters()
	if err != nil {
		t.Fatal(err)
	}
	forms, seen := map[bom.StockForm]int{}, map[bom.ID]bool{}
	for _, s := range all {
		if (s.Kind() == "stocks") != (len(s.Stocks) > 0) || s.Kind() == "stocks" && !saysWhence(s.Source) {
			t.Errorf("%s of %s: from %q", s.ID, s.Kind(), s.Source)
		}
		var last decimal.Decimal
		for _, st := range s.Stocks {
			size := st.DiameterMM
			switch st.Form {
			case bom.Square, bom.Hexagon:
				size = st.AcrossFlatsMM
			case bom.Plate, bom.Sheet:
				size = st.ThicknessMM
				if st.WidthMM == nil {
					t.Errorf("%s has no width", st.ID)
				}
			case bom.Bar:
				if size == nil && st.ThicknessMM != nil { // flat
					size = st.WidthMM
				}
			}
			if size == nil || size.Likely.LessThan(last) || seen[st.ID] || st.Material != "" || st.Name == "" {
				t.Fatalf("%s: %+v", s.ID, st)
			}
			if _, err := bom.ParseID(string(st.ID)); err != nil {
				t.Error(err)
			}
			last, seen[st.ID] = size.Likely, true
			forms[st.Form]++
		}
	}
	for _, form := range []bom.StockForm{bom.Bar, bom.Square, bom.Hexagon, bom.Plate, bom.Sheet} {
		if forms[form] < 9 {
			t.Errorf("%d sizes of %s", forms[form], form)
		}
	}
}

// TestMaterialOfStockSizes: the material of the shop is taken if one alone is meant, by its
// name or by what it is cut as.
func TestMaterialOfStockSizes(t *testing.T) {
	t.Parallel()
	bar := Starter{ID: "brass-round"}
	for _, c := range []struct {
		have []Material
		want bom.ID
	}{
		{nil, ""},
		{[]Material{{ID: "brass"}, {ID: "steel-c45"}}, "brass"},
		{[]Material{{ID: "MS58", CuttingAs: "brass"}}, "MS58"},
		{[]Material{{ID: "brass"}, {ID: "brass-cuzn37"}}, ""},
		{[]Material{{ID: "brassy"}}, ""},
	} {
		if got := bar.MaterialOf(c.have); got != c.want {
			t.Errorf("%v: %q, want %q", c.have, got, c.want)
		}
	}
}

// TestStarterMaterials: a first guess can be made of every material that ships with the
// program, under the name that it has there.
func TestStarterMaterials(t *testing.T) {
	t.Parallel()
	guess, err := ReferenceGuess()
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range ReferenceMaterialNames() {
		m, _, err := ReferenceMaterialOf(id)
		if row, ok := guess.Material([]bom.ID{id}); err != nil || !ok || row.Name != m.Material.Name {
			t.Errorf("%s is %q here and %q there: %v", id, row.Name, m.Material.Name, err)
		}
	}
}

// TestOriginFitsARecord: it leaves out what is not said, and what a record has no room for.
func TestOriginFitsARecord(t *testing.T) {
	t.Parallel()
	long := strings.Repeat("s", reference.LongestText)
	if got := origin("starter A", "2026-05-04", "", "a table", long, "a book"); got != "starter A, looked at 2026-05-04; a table; a book" {
		t.Errorf("it is from %q", got)
	}
}

// TestStarterFinishes: a finish is offered for the metals that take it, as a range in euro
// that says where it is from.
func TestStarterFinishes(t *testing.T) {
	t.Parallel()
	for material, want := range map[bom.ID]int{"brass": 10, "aluminium-6082": 7, "stainless-304": 8, "steel-c45": 12, "pom-c": 3} {
		all, err := StarterFinishes(material)
		if err != nil || len(all) != want {
			t.Errorf("%s: %d finishes, want %d: %v", material, len(all), want, err)
		}
		for _, p := range all {
			if !p.Minimum.IsRange || !p.AreaPrice.IsRange || !saysWhence(p.Source) || p.Finish != "" && !slices.Contains(p.Finish.Values(), string(p.Finish)) {
				t.Errorf("%+v", p)
			}
		}
	}
}

// TestStarterToolMadeToSize: what no tool of a set cuts is cut by one made to its diameter
// and depth, which says after which it is made.
func TestStarterToolMadeToSize(t *testing.T) {
	t.Parallel()
	wide, deep := bom.Exactly(decimal.RequireFromString("7.3")), bom.Whole(150)
	hole := bom.Feature{Kind: bom.Drill, DiameterMM: &wide, DepthMM: &deep}
	tool, ok, err := StarterTool(&hole)
	if err != nil || !ok {
		t.Fatalf("%t %v", ok, err)
	}
	if tool.DiameterMM.Likely.String() != "7.3" || tool.ReachMM.Likely.String() != "150" || !strings.Contains(tool.Source, "made to size after ") || !strings.HasSuffix(tool.Name, "7.3-150") {
		t.Errorf("%s, %s wide, reaches %s: %s", tool.Name, tool.DiameterMM.Likely, tool.ReachMM.Likely, tool.Source)
	}
}
