package rates

import (
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

// band is what surface speeds in m/min lie between.
type band struct{ least, most float64 }

func (b band) holds(n bom.Number) bool {
	low, _ := n.Low.Float64()
	high, _ := n.High.Float64()
	return low >= b.least && high <= b.most
}

// speedBands are the surface speeds that are met in practice, by material, work and
// grade. They are wider than any one table, and narrow enough that no row passes
// with ft/min for m/min or the other way, a factor of 3.3. Ends: the lowest and the
// highest figure of the tables that the rows cite and of their neighbours, rounded
// outward; where there is no table, common practice.
var speedBands = map[bom.ID]map[string]band{
	"copper": {
		"mill carbide": {60, 500}, "mill hss": {30, 80}, "face carbide": {200, 600}, "engrave carbide": {50, 220}, "fly carbide": {250, 1000},
		"saw carbide": {80, 640}, "saw hss": {24, 150}, "drill carbide": {50, 150}, "drill hss": {20, 61}, "tap": {6, 24},
		"turn carbide": {90, 600}, "turn hss": {25, 80}, "turn diamond": {150, 900}, "part carbide": {50, 220}, "part hss": {20, 65},
		"ream carbide": {15, 120}, "ream hss": {7, 45}, "thread carbide": {40, 250}, "thread hss": {12, 60}, "knurl carbide": {10, 60}, "band carbide": {40, 130}},
	"brass": {
		"mill carbide": {60, 500}, "mill hss": {24, 150}, "face carbide": {180, 540}, "engrave carbide": {50, 220}, "fly carbide": {200, 1000},
		"saw carbide": {105, 640}, "saw hss": {24, 150}, "drill carbide": {80, 275}, "drill hss": {45, 92}, "tap": {10, 61},
		"turn carbide": {100, 600}, "turn hss": {45, 155}, "turn diamond": {150, 900}, "part carbide": {80, 220}, "part hss": {25, 95},
		"ream carbide": {25, 150}, "ream hss": {8, 50}, "thread carbide": {60, 260}, "thread hss": {20, 120}, "knurl carbide": {15, 80}, "band carbide": {50, 130}},
	"aluminium-6082": {
		"mill carbide": {100, 900}, "mill hss": {76, 245}, "face carbide": {240, 900}, "engrave carbide": {90, 400}, "fly carbide": {350, 1500},
		"saw carbide": {200, 1300}, "saw hss": {75, 310}, "drill carbide": {120, 330}, "drill hss": {59, 125}, "tap": {10, 46},
		"turn carbide": {100, 900}, "turn hss": {45, 305}, "turn diamond": {150, 2000}, "part carbide": {90, 500}, "part hss": {50, 125},
		"ream carbide": {61, 274}, "ream hss": {21, 110}, "thread carbide": {80, 400}, "thread hss": {20, 130}, "knurl carbide": {15, 80}, "band carbide": {60, 800}},
	"pom-c": {
		"mill carbide": {91, 500}, "mill hss": {80, 160}, "face carbide": {200, 600}, "engrave carbide": {60, 300}, "fly carbide": {200, 600},
		"saw carbide": {100, 500}, "saw hss": {60, 250}, "drill carbide": {50, 200}, "drill hss": {15, 100}, "tap": {12, 32},
		"turn carbide": {126, 600}, "turn hss": {45, 155}, "turn diamond": {150, 600}, "part carbide": {80, 300}, "part hss": {50, 155},
		"ream carbide": {15, 110}, "ream hss": {8, 60}, "thread carbide": {60, 300}, "thread hss": {20, 120}, "knurl carbide": {15, 80}, "band carbide": {100, 1500}},
	"acrylic": {
		"mill carbide": {45, 310}, "mill hss": {40, 120}, "face carbide": {60, 310}, "engrave carbide": {45, 200}, "fly carbide": {90, 450}, "fly diamond": {450, 3000},
		"saw carbide": {50, 250}, "saw hss": {25, 120}, "drill carbide": {25, 100}, "drill hss": {15, 76}, "tap": {4, 30},
		"turn carbide": {55, 310}, "turn hss": {20, 120}, "turn diamond": {80, 400}, "part carbide": {35, 150}, "part hss": {20, 100},
		"ream carbide": {12, 80}, "ream hss": {6, 45}, "thread carbide": {20, 130}, "thread hss": {10, 70}, "knurl carbide": {7, 40}, "band carbide": {500, 2400}},
	"stainless-304": {
		"mill carbide": {40, 160}, "mill hss": {9, 24}, "face carbide": {80, 250}, "engrave carbide": {25, 100}, "fly carbide": {80, 250},
		"saw carbide": {35, 110}, "saw hss": {10, 27}, "drill carbide": {45, 120}, "drill hss": {5, 22}, "tap": {1.5, 11},
		"turn carbide": {46, 200}, "turn hss": {5, 41}, "part carbide": {40, 180}, "part hss": {5, 20},
		"ream carbide": {20, 70}, "ream hss": {5, 15}, "thread carbide": {40, 170}, "thread hss": {3, 15}, "knurl carbide": {8, 40}, "band carbide": {20, 40}},
}

var workOf = map[bom.ToolKind]string{
	bom.EndMill: "mill", bom.BallMill: "mill", bom.FaceMill: "face", bom.ThreadMiller: "mill", bom.ChamferMill: "mill", bom.Engraver: "engrave",
	bom.FlyCutter: "fly", bom.SlittingSaw: "saw", bom.DrillTool: "drill", bom.TapTool: "tap",
	bom.TurningTool: "turn", bom.BoringTool: "turn", bom.PartingBlade: "part",
	bom.SpotDrill: "drill", bom.Reamer: "ream", bom.ThreadingTool: "thread", bom.KnurlingTool: "knurl", bom.BandSaw: "band"}

// feedBands are feeds in mm by kind of tool: per tooth of what turns with several
// edges, else per revolution. Those of mills and drills are shares of the diameter.
var feedBands = map[bom.ToolKind]band{
	bom.EndMill: {0.001, 0.017}, bom.BallMill: {0.001, 0.017}, bom.DrillTool: {0.004, 0.034},
	bom.FaceMill: {0.05, 0.4}, bom.FlyCutter: {0.01, 0.2}, bom.SlittingSaw: {0.004, 0.05}, bom.ThreadMiller: {0.01, 0.1}, bom.ChamferMill: {0.01, 0.1},
	bom.Engraver: {0.003, 0.04}, bom.TurningTool: {0.03, 0.4}, bom.BoringTool: {0.02, 0.3}, bom.PartingBlade: {0.02, 0.2},
	bom.SpotDrill: {0.004, 0.034}, bom.Reamer: {0.02, 0.06}, bom.KnurlingTool: {0.05, 0.4}}

// outside names the rows that lie outside their band on purpose, with the reason.
var outside = map[bom.ID]string{}

// speedBand gives the band of a row: a row without a grade is for carbide, and
// whatever turns of high-speed steel runs as a mill of it.
func (r *CuttingRow) speedBand() (band, bool) {
	bands, work, grade := speedBands[r.Material], workOf[r.Tool], r.Grade
	if grade == "" {
		grade = bom.Carbide
	}
	if grade == bom.HSS && (work == "face" || work == "engrave" || work == "fly") {
		work = "mill"
	}
	if work != "tap" {
		work += " " + string(grade)
	}
	b, ok := bands[work]
	return b, ok
}

// TestPlausibleRows holds every reference row to the bands of its group, kind and
// grade; rows outside are named with their reason, and none is named in vain.
func TestPlausibleRows(t *testing.T) {
	t.Parallel()
	for _, r := range cutting(t).Rows {
		fault := r.implausible(t)
		switch reason := outside[r.ID]; {
		case fault != "" && reason == "":
			t.Errorf("%s: %s", r.ID, fault)
		case fault == "" && reason != "":
			t.Errorf("%s is named as outside its band, and is inside", r.ID)
		}
	}
}

func (r *CuttingRow) implausible(t *testing.T) string {
	t.Helper()
	var faults []string
	if r.SpeedMMin != nil {
		b, ok := r.speedBand()
		if !ok {
			return "there is no band of speeds for it"
		}
		if !b.holds(*r.SpeedMMin) {
			faults = append(faults, "speed "+r.SpeedMMin.Low.String()+" to "+r.SpeedMMin.High.String())
		}
	}
	feed := feedBands[r.Tool]
	if r.FeedMM != nil && !feed.holds(*r.FeedMM) || r.FeedPerDiameter != nil && !feed.holds(*r.FeedPerDiameter) {
		faults = append(faults, "feed")
	}
	for _, f := range r.Feeds {
		share := bom.Number{Low: f.FeedMM.Low.DivRound(f.DiameterMM.Likely, 9), High: f.FeedMM.High.DivRound(f.DiameterMM.Likely, 9)}
		if !feed.holds(share) {
			faults = append(faults, "feed at "+f.DiameterMM.Likely.String()+" mm: "+share.High.String()+" of the diameter")
		}
	}
	return strings.Join(faults, ", ")
}

// TestSlipsAreImplausible: every speed of a row written in ft/min for m/min or the
// other way leaves its band, or is named; so do the slip of a published table, HSS
// drills in aluminium at 195 to 390, and feeds in inches.
func TestSlipsAreImplausible(t *testing.T) {
	t.Parallel()
	slip := CuttingRow{ID: "slip", Material: "aluminium-6082", Tool: bom.DrillTool, Grade: bom.HSS,
		SpeedMMin: &bom.Number{Low: decimal.New(195, 0), Likely: decimal.New(195, 0), High: decimal.New(390, 0)}}
	if slip.implausible(t) == "" {
		t.Error("HSS drills in aluminium at 195 to 390 m/min pass")
	}
	feet := decimal.RequireFromString("3.280839895")
	for _, r := range cutting(t).Rows {
		if r.SpeedMMin != nil {
			v := *r.SpeedMMin
			for _, slipped := range []bom.Number{
				{Low: v.Low.Mul(feet), High: v.High.Mul(feet)}, {Low: v.Low.DivRound(feet, 6), High: v.High.DivRound(feet, 6)}} {
				s := r
				s.SpeedMMin = &slipped
				if s.implausible(t) == "" {
					t.Errorf("%s passes at %s to %s m/min", r.ID, slipped.Low, slipped.High)
				}
			}
		}
	}
}
