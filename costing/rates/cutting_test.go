package rates

import (
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

func cutting(t *testing.T) Cutting {
	t.Helper()
	c, err := ReferenceCutting()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// TestReferenceCutting wants a speed and a feed of every kind of tool in every
// material, each row with a source, an id of its own and an order in its range.
func TestReferenceCutting(t *testing.T) {
	t.Parallel()
	c := cutting(t)
	tables := CuttingTables{Reference: c.Rows, Forces: c.Forces}
	ids := map[bom.ID]bool{}
	for _, r := range c.Rows {
		if ids[r.ID] || r.Source == "" || r.Measured {
			t.Errorf("row %s: twice, without a source, or measured", r.ID)
		}
		ids[r.ID] = true
	}
	three := bom.Whole(3)
	for _, m := range []bom.ID{"copper", "brass", "aluminium-6082", "pom-c", "acrylic", "stainless-304"} {
		for _, kind := range bom.ToolKind("").Values() {
			tool := bom.Tool{Kind: bom.ToolKind(kind)}
			if tool.Kind != bom.TurningTool && tool.Kind != bom.PartingBlade {
				tool.DiameterMM = &three
			}
			speed, feed := false, tool.Kind == bom.TapTool
			for _, row := range tables.For(CuttingUse{Materials: []bom.ID{m}, Tool: &tool, Day: "2026-11-25"}) {
				speed = speed || row.Value.SpeedMMin != nil
				feed = feed || row.Value.HasFeed(&tool)
			}
			if !speed || !feed {
				t.Errorf("%s in %s: speed %v, feed %v", kind, m, speed, feed)
			}
		}
		_, ok := tables.ForceOf([]bom.ID{"own", m}, "2026-11-25")
		if plastic := m == "pom-c" || m == "acrylic"; ok == plastic {
			t.Errorf("%s: cutting force %v", m, ok)
		}
	}
}

// TestConvertedSpeeds works out again the speeds that sources print in ft/min, and
// the feeds they print in inches.
func TestConvertedSpeeds(t *testing.T) {
	t.Parallel()
	c := cutting(t)
	row := func(id bom.ID) CuttingRow {
		for _, r := range c.Rows {
			if r.ID == id {
				return r
			}
		}
		t.Fatalf("there is no row %s", id)
		return CuttingRow{}
	}
	near := func(what string, got decimal.Decimal, printed, unit, within string) {
		exact := decimal.RequireFromString(printed).Mul(decimal.RequireFromString(unit))
		if got.Sub(exact).Abs().GreaterThan(decimal.RequireFromString(within)) {
			t.Errorf("%s is %s, printed %s are %s", what, got, printed, exact)
		}
	}
	for id, feet := range map[bom.ID][3]string{"BR-EM": {"400", "800", "1500"}, "POM-EM": {"920", "1280", "1640"}, "PMMA-EM": {"200", "400", "600"}} {
		v := row(id).SpeedMMin
		for i, got := range []decimal.Decimal{v.Low, v.Likely, v.High} {
			near(string(id), got, feet[i], "0.3048", "0.6")
		}
	}
	inches := map[string]string{"0.025": "0.001", "0.051": "0.002", "0.064": "0.0025", "0.076": "0.003", "0.102": "0.004", "0.152": "0.006"}
	sizes := map[string]string{"3.2": "0.125", "6.4": "0.25", "9.5": "0.375", "12.7": "0.5"}
	for _, id := range []bom.ID{"CU-EM", "BR-EM", "AL-EM", "POM-EM", "PMMA-EM"} {
		for _, f := range row(id).Feeds {
			near(string(id), f.FeedMM.Likely, inches[f.FeedMM.Likely.String()], "25.4", "0.0006")
			near(string(id), f.DiameterMM.Likely, sizes[f.DiameterMM.Likely.String()], "25.4", "0.06")
		}
	}
}

// TestPrecedence: measured before own before reference, later before earlier, and
// nothing that has not begun; the narrower name of a material first.
func TestPrecedence(t *testing.T) {
	t.Parallel()
	one := bom.Whole(1)
	own := []CuttingRow{
		{ID: "own-old", Material: "copper", Tool: bom.EndMill, SpeedMMin: &one, From: "2025-01-01"},
		{ID: "own", Material: "copper", Tool: bom.EndMill, SpeedMMin: &one, From: "2026-01-01"},
		{ID: "own-narrow", Material: "CU", Tool: bom.EndMill, SpeedMMin: &one, From: "2024-01-01"},
		{ID: "measured", Material: "copper", Tool: bom.EndMill, SpeedMMin: &one, From: "2024-01-01", Measured: true},
		{ID: "future", Material: "CU", Tool: bom.EndMill, SpeedMMin: &one, From: "2027-01-01", Measured: true},
		{ID: "other-grade", Material: "CU", Tool: bom.EndMill, Grade: bom.HSS, SpeedMMin: &one, From: "2026-01-01"},
		{ID: "pockets", Material: "CU", Tool: bom.EndMill, For: []bom.FeatureKind{bom.Pocket}, SpeedMMin: &one, From: "2023-01-01"},
		{ID: "large", Material: "CU", Tool: bom.EndMill, FromDiameterMM: &one, SpeedMMin: &one, From: "2023-01-01"},
	}
	names := MaterialNames([]Material{{ID: "CU", CuttingAs: "copper"}}, "CU")
	half := bom.Exactly(decimal.RequireFromString("0.5"))
	for _, c := range []struct {
		feature  bom.FeatureKind
		diameter bom.Number
		want     string
	}{
		{bom.Face, half, "measured own-narrow own own-old"},
		{bom.Pocket, half, "measured pockets own-narrow own own-old"},
		{bom.Face, one, "measured large own-narrow own own-old"},
	} {
		var got []string
		for _, r := range (CuttingTables{Own: own, Reference: cutting(t).Rows}).For(CuttingUse{
			Materials: names, Tool: &bom.Tool{Kind: bom.EndMill, DiameterMM: &c.diameter}, Feature: c.feature, Day: "2026-11-25"}) {
			if r.Path != "" {
				got = append(got, string(r.Value.ID))
			}
		}
		if text := strings.Join(got, " "); text != c.want {
			t.Errorf("%s at %s mm: %s, want %s", c.feature, c.diameter.Likely, text, c.want)
		}
	}
}
