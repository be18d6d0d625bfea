package rates

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/reference"
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
// material, of carbide and of high-speed steel, each row with a source and an id of
// its own. What cuts with high-speed steel never takes a speed of carbide.
func TestReferenceCutting(t *testing.T) {
	t.Parallel()
	c := cutting(t)
	tables := CuttingTables{Reference: c.Rows, Forces: c.Forces}
	ids := map[bom.ID]bool{}
	for _, r := range c.Rows {
		if ids[r.ID] || r.Source == "" || r.CheckedOn == "" || r.Measured {
			t.Errorf("row %s: twice, without a source, undated, or measured", r.ID)
		}
		ids[r.ID] = true
	}
	three := bom.Whole(3)
	for _, m := range []bom.ID{"copper", "brass", "aluminium-6082", "pom-c", "acrylic", "stainless-304"} {
		for i, kind := range slices.Repeat(bom.ToolKind("").Values(), 2) {
			tool := bom.Tool{Kind: bom.ToolKind(kind), Grade: []bom.ToolGrade{bom.Carbide, bom.HSS}[i%2]}
			if tool.Kind != bom.TurningTool && tool.Kind != bom.PartingBlade {
				tool.DiameterMM = &three
			}
			// Taps and threads advance by their pitch; wheels press, and a band has one grade.
			oneGrade := tool.Kind == bom.TapTool || tool.Kind == bom.KnurlingTool || tool.Kind == bom.BandSaw
			speed, feed := false, tool.Kind == bom.TapTool || tool.Kind == bom.ThreadingTool
			for _, row := range tables.For(CuttingUse{Materials: []bom.ID{m}, Tool: &tool, Day: "2026-11-25"}) {
				if !speed && row.Value.SpeedMMin != nil && tool.Grade == bom.HSS && row.Value.Grade != bom.HSS && !oneGrade {
					t.Errorf("%s of high-speed steel in %s takes the speed of %s", kind, m, row.Value.ID)
				}
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

func (c Cutting) row(t *testing.T, id bom.ID) CuttingRow {
	t.Helper()
	at := slices.IndexFunc(c.Rows, func(r CuttingRow) bool { return r.ID == id })
	if at < 0 {
		t.Fatalf("there is no row %s", id)
	}
	return c.Rows[at]
}

// TestConvertedExactly works out again the speeds that sources print in ft/min, and
// the sizes and feeds they print in inches: 1 ft = 0.3048 m, 1 in = 25.4 mm. Sizes
// rounded up once put a 6.35 mm mill below its row.
func TestConvertedExactly(t *testing.T) {
	t.Parallel()
	c := cutting(t)
	same := func(what string, got decimal.Decimal, printed, unit string) {
		if want := decimal.RequireFromString(printed).Mul(decimal.RequireFromString(unit)); !got.Equal(want) {
			t.Errorf("%s is %s, printed %s is %s", what, got, printed, want)
		}
	}
	for id, feet := range map[bom.ID][3]string{
		"BR-EM": {"400", "800", "1500"}, "POM-EM": {"920", "1280", "1640"}, "PMMA-EM": {"200", "400", "600"},
		"BR-EM-HSS": {"150", "250", "450"}, "SS-EM-HSS": {"55", "", "75"}, "AL-DR-HSS": {"200", "300", "400"}, "CU-DR-HSS": {"70", "", ""},
		"CU-TU-HSS": {"100", "175", "250"}, "BR-TU-HSS": {"250", "375", "500"}, "SS-TU-HSS": {"20", "50", "80"}} {
		v := c.row(t, id).SpeedMMin
		for i, got := range []decimal.Decimal{v.Low, v.Likely, v.High} {
			if feet[i] != "" {
				same(string(id), got, feet[i], "0.3048")
			}
		}
	}
	sizes := []string{"0.125", "0.25", "0.375", "0.5", "0.75", "1"}
	for id, feeds := range map[bom.ID][]string{
		"CU-EM": {"0.001", "0.002", "0.0025", "0.003", "0.004", "0.005"}, "BR-EM": {"0.001", "0.002", "0.0025", "0.003", "0.004", "0.005"},
		"AL-EM": {"0.001", "0.002", "0.003", "0.004", "0.006", "0.007"}, "PMMA-EM": {"0.001", "0.003", "0.004", "0.006", "0.010", "0.015"},
		"POM-EM": {"0.002", "0.003", "", "0.006", "0.010", "0.012"}, "SS-EM-HSS": {"", "0.001", "", "", "", "0.004"},
		"CU-DR-HSS": {"0.002", "0.004", "", "0.007", "", "0.015"}, "AL-DR": {"0.003", "0.006", "", "0.010", "", "0.015"}} {
		at, row := 0, c.row(t, id)
		for i, feed := range feeds {
			if feed != "" {
				same(string(id)+" size", row.Feeds[at].DiameterMM.Likely, sizes[i], "25.4")
				same(string(id)+" feed", row.Feeds[at].FeedMM.Likely, feed, "25.4")
				at++
			}
		}
		if at != len(row.Feeds) {
			t.Errorf("%s has %d feeds, %d are read", id, len(row.Feeds), at)
		}
	}
}

// TestReadAgainst: every value of a reference row was read against a second source,
// or the row says that there is one, or that it was recalled or is common practice.
func TestReadAgainst(t *testing.T) {
	t.Parallel()
	for _, r := range cutting(t).Rows {
		for value, given := range map[string]bool{"speed": r.SpeedMMin != nil, "feed": r.FeedMM != nil || r.FeedPerDiameter != nil || len(r.Feeds) > 0,
			"depth": r.DepthMM != nil || r.DepthPerDiameter != nil, "specific force": r.TapForceNMM2 != nil} {
			if given && !r.told(value) {
				t.Errorf("%s does not say how far its %s is to be trusted: %q", r.ID, value, r.Source)
			}
		}
	}
}

// told reports whether a row says of a value how many sources it has.
func (r CuttingRow) told(value string) bool {
	if strings.HasPrefix(r.Source, reference.FromMemory) {
		return true
	}
	for _, clause := range strings.Split(r.Source, "; ") {
		named, _, _ := strings.Cut(strings.Replace(clause, reference.FromMemory, ": "+reference.FromMemory, 1), ":")
		if strings.Contains(named, value) && (strings.Contains(clause, "one source") || strings.Contains(clause, reference.FromMemory) || strings.Contains(clause, "common practice")) {
			return true
		}
	}
	return slices.ContainsFunc(strings.Split(r.ReadAgainst, "; "), func(clause string) bool { return strings.HasPrefix(clause, value+": ") })
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
	names := CuttingTables{}.Names([]Material{{ID: "CU", CuttingAs: "copper"}}, "CU")
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

// TestDiamondInAcrylic: a diamond fly cutter takes the row of diamond and not that of
// carbide, whose 150 m/min at 0.1 mm move a cutter of 60 mm at 80 mm/min. The row of
// diamond, 1200 m/min at 0.04 mm, moves it at 255: from memory 200 to 800 mm/min.
func TestDiamondInAcrylic(t *testing.T) {
	t.Parallel()
	d := bom.Whole(60)
	rows := CuttingTables{Reference: cutting(t).Rows}.For(CuttingUse{Materials: []bom.ID{"acrylic"}, Day: "2026-11-25",
		Tool: &bom.Tool{Kind: bom.FlyCutter, Grade: bom.Diamond, DiameterMM: &d}})
	if len(rows) == 0 || rows[0].Value.ID != "PMMA-FLY-DIA" {
		t.Fatalf("the first row is %v", rows)
	}
	speed, _ := rows[0].Value.SpeedMMin.Likely.Float64()
	feed, _ := rows[0].Value.FeedMM.Likely.Float64()
	if table := feed * 1000 * speed / (math.Pi * 60); table < 200 || table > 800 {
		t.Errorf("the table moves at %.0f mm/min", table)
	}
}

// TestFeedReach: the stated diameters that a diameter lies between, from its low to its
// high end, in order of their size.
func TestFeedReach(t *testing.T) {
	t.Parallel()
	var r CuttingRow
	for _, d := range []int64{8, 2, 4} {
		r.Feeds = append(r.Feeds, FeedAt{DiameterMM: bom.Whole(d)})
	}
	for _, c := range []struct {
		low, high    int64
		places       []int
		below, above bool
	}{
		{3, 3, []int{1, 2}, false, false}, {4, 4, []int{2}, false, false}, {5, 5, []int{2, 0}, false, false}, {3, 6, []int{1, 2, 0}, false, false},
		{1, 1, []int{1}, true, false}, {8, 8, []int{0}, false, false}, {9, 9, []int{0}, false, true}, {1, 9, []int{1, 2, 0}, true, true},
	} {
		d := bom.Number{Low: decimal.New(c.low, 0), Likely: decimal.New(c.low, 0), High: decimal.New(c.high, 0)}
		if places, below, above := r.FeedReach(&d); !slices.Equal(places, c.places) || below != c.below || above != c.above {
			t.Errorf("from %d to %d: %v, below %t, above %t", c.low, c.high, places, below, above)
		}
	}
}
