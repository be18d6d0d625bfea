package machining_test

import (
	"math"
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
)

// table is a machine whose axes start and stop at rest at both ends of every straight
// piece of path: t = d/v + v/a where d ≥ v²/a, else 2·√(d/a), which is uniform
// acceleration. It runs paths that are laid out here point by point.
type table struct {
	seconds             float64
	rapid, acceleration float64 // mm/s, mm/s²
}

func (m *table) straight(d, v float64) {
	if d <= 0 {
		return
	}
	if d >= v*v/m.acceleration {
		m.seconds += d/v + v/m.acceleration
	} else {
		m.seconds += 2 * math.Sqrt(d/m.acceleration)
	}
}

// round goes along a circle, no faster than √(a·r): v²/r is the acceleration inwards.
func (m *table) round(r, d, v float64) {
	m.straight(d, math.Min(v, math.Sqrt(m.acceleration*r)))
}

// down goes at the rapid rate to a clearance above the cut, and up again.
func (m *table) downAndUp(d float64) { m.straight(d, m.rapid); m.straight(d, m.rapid) }

// rows goes over an area to and fro, with a step between two rows.
func (m *table) rows(count int, along, step, v float64) {
	for i := range count {
		m.straight(along, v)
		if i > 0 {
			m.straight(step, v)
		}
	}
}

// TestPathsOfAMotionModel runs the paths of fifteen features, laid out anew, through a machine
// with acceleration: what the features are said to take, their ways in and out included,
// lies within 15 % of it.
func TestPathsOfAMotionModel(t *testing.T) {
	t.Parallel()
	n := ft.Num
	// Speeds are given: 300 m/min at 8 mm is 11,937 rev/min, above which the spindle of
	// 12,000 does not go; three teeth of 0.04 mm are 1,432 mm/min.
	v := func(d, speed, teeth, feed float64) float64 {
		return math.Min(12000, 1000*speed/(math.Pi*d)) * teeth * feed / 60
	}
	mill := endMill("T", "8", "3")
	vf := v(8, 300, 3, 0.04)
	of := func(f bom.Feature) bom.Feature {
		f.ID, f.Name, f.ClearanceMM = "F", "feature", n("2")
		if f.SpeedMMin == nil {
			f.SpeedMMin, f.FeedMM = n("300"), n("0.04")
		}
		return f
	}
	for _, c := range []struct {
		name string
		tool bom.Tool
		f    bom.Feature
		path func(m *table)
	}{
		{"pocket", mill, bom.Feature{Kind: bom.Pocket, LengthMM: n("50"), WidthMM: n("30"), DepthMM: n("8"), DepthOfCutMM: n("4"), WidthOfCutMM: n("3.2")}, func(m *table) {
			for level := range 2 {
				m.straight(4/math.Sin(3*math.Pi/180), vf) // ramp of 3°
				m.rows(8, 42, 22.0/7, vf)
				for range 2 { // round the wall
					m.straight(42, vf)
					m.straight(22, vf)
				}
				m.downAndUp(2 + 4*float64(level+1))
			}
		}},
		{"face", endMill("T", "20", "3"), bom.Feature{Kind: bom.Face, LengthMM: n("100"), WidthMM: n("60"), DepthMM: n("1"), WidthOfCutMM: n("15"), SpeedMMin: n("300"), FeedMM: n("0.08")}, func(m *table) {
			m.rows(4, 100+20+4, 15, v(20, 300, 3, 0.08))
			m.downAndUp(3)
		}},
		{"slot", mill, bom.Feature{Kind: bom.Slot, LengthMM: n("60"), WidthMM: n("8"), DepthMM: n("6"), DepthOfCutMM: n("3")}, func(m *table) {
			for level := range 2 {
				m.straight(60+8+4, vf)
				m.downAndUp(2 + 3*float64(level+1))
			}
		}},
		{"contour", mill, bom.Feature{Kind: bom.Contour, PathMM: n("260"), WidthMM: n("1"), DepthMM: n("10"), DepthOfCutMM: n("10"), WidthOfCutMM: n("1")}, func(m *table) {
			m.straight(math.Sqrt(1*7)+2, vf)
			for range 2 { // round 80 × 50
				m.straight(80, vf)
				m.straight(50, vf)
			}
			m.straight(2, vf)
			m.downAndUp(12)
		}},
		{"holes", bom.Tool{ID: "T", Name: "drill", Kind: bom.DrillTool, DiameterMM: n("5"), PointAngleDeg: n("140")}, bom.Feature{Kind: bom.Drill, Count: n("12"), SpacingMM: n("25"), DiameterMM: n("5"), DepthMM: n("12"), SpeedMMin: n("100"), FeedMM: n("0.12")}, func(m *table) {
			deep := 12 + 2.5/math.Tan(70*math.Pi/180)
			for i := range 12 {
				if i > 0 {
					m.straight(25, m.rapid)
				}
				m.straight(2+deep, v(5, 100, 1, 0.12))
				m.straight(2+deep, m.rapid)
			}
		}},
		{"chamfer", bom.Tool{ID: "T", Name: "chamfer mill", Kind: bom.ChamferMill, DiameterMM: n("8"), Teeth: n("3")}, bom.Feature{Kind: bom.Chamfer, PathMM: n("260")}, func(m *table) {
			m.straight(2, vf)
			for range 2 {
				m.straight(80, vf)
				m.straight(50, vf)
			}
			m.straight(2, vf)
			m.downAndUp(2)
		}},
		{"engraving", bom.Tool{ID: "T", Name: "engraver", Kind: bom.Engraver, DiameterMM: n("0.5")}, bom.Feature{Kind: bom.Engrave, PathMM: n("120"), WidthMM: n("0.5"), DepthMM: n("0.1"), DepthOfCutMM: n("0.1"), SpeedMMin: n("15"), FeedMM: n("0.06")}, func(m *table) {
			feed := v(0.5, 15, 1, 0.06)
			m.straight(2.1, feed/3)
			for range 40 { // strokes of 3 mm
				m.straight(3, feed)
			}
			m.downAndUp(2.1)
		}},
		{"finished face", endMill("T", "20", "3"), bom.Feature{Kind: bom.FinishFace, LengthMM: n("62"), WidthMM: n("18"), DepthMM: n("0.2"), SpeedMMin: n("300"), FeedMM: n("0.05")}, func(m *table) {
			m.straight(62+20+4, v(20, 300, 3, 0.05))
			m.downAndUp(2.2)
		}},
		{"fins", bom.Tool{ID: "T", Name: "saw", Kind: bom.SlittingSaw, DiameterMM: n("80"), WidthMM: n("1"), Teeth: n("64")}, bom.Feature{Kind: bom.SlotArray, LengthMM: n("60"), WidthMM: n("21"), DepthMM: n("8"), DepthOfCutMM: n("8"), SlotWidthMM: n("1"), FinWidthMM: n("1"), SpeedMMin: n("100"), FeedMM: n("0.02")}, func(m *table) {
			feed := v(80, 100, 64, 0.02)
			for range 10 {
				m.straight(60+math.Sqrt(8*72)+4, feed)
				m.downAndUp(10)
			}
		}},
		{"tapped holes", bom.Tool{ID: "T", Name: "tap", Kind: bom.TapTool, DiameterMM: n("5"), PitchMM: n("0.8")}, bom.Feature{Kind: bom.Tap, Count: n("6"), SpacingMM: n("25"), DiameterMM: n("5"), DepthMM: n("10"), PitchMM: n("0.8"), OverrunMM: n("2"), SpeedMMin: n("15")}, func(m *table) {
			speed := 1000 * 15 / (math.Pi * 5) * 0.8 / 60
			for i := range 6 {
				if i > 0 {
					m.straight(25, m.rapid)
				}
				m.straight(14, speed)
				m.straight(14, speed)
			}
		}},
		{"round pocket", mill, bom.Feature{Kind: bom.CircularPocket, DiameterMM: n("32"), DepthMM: n("4"), DepthOfCutMM: n("2"), WidthOfCutMM: n("4")}, func(m *table) {
			centre := vf * 24 / 32
			for level := range 2 {
				m.round(4, 2/math.Sin(3*math.Pi/180), centre) // helix of 3°
				for r := 4.0; r <= 12; r += 4 {
					m.round(r, 2*math.Pi*r, centre)
					m.straight(4, centre)
				}
				m.downAndUp(2 + 2*float64(level+1))
			}
		}},
		{"bore by a helix", mill, bom.Feature{Kind: bom.CircularPocket, DiameterMM: n("14"), DepthMM: n("12"), DepthOfCutMM: n("4"), WidthOfCutMM: n("4")}, func(m *table) {
			centre := vf * 6 / 14
			m.round(3, 12/math.Sin(3*math.Pi/180), centre)
			m.round(3, 2*math.Pi*3, centre)
			m.downAndUp(14)
		}},
		{"groove", bom.Tool{ID: "T", Name: "blade", Kind: bom.PartingBlade, WidthMM: n("3")}, bom.Feature{Kind: bom.Groove, DiameterMM: n("40"), ToDiameterMM: n("34"), WidthMM: n("5"), SpeedMMin: n("100"), FeedMM: n("0.05")}, func(m *table) {
			feed := v(40, 100, 1, 0.05)
			for range 2 {
				m.straight(5, feed)
				m.straight(5, m.rapid)
				m.straight(2, m.rapid)
			}
			m.straight(2, feed)
		}},
		{"turned taper", bom.Tool{ID: "T", Name: "turning tool", Kind: bom.TurningTool}, bom.Feature{Kind: bom.TurnProfile, DiameterMM: n("30"), ToDiameterMM: n("20"), LengthMM: n("40"), DepthOfCutMM: n("1"), SpeedMMin: n("200"), FeedMM: n("0.2")}, func(m *table) {
			for x := 1.0; x < 5; x++ { // steps of 1 mm, each 8 mm shorter, at one surface speed
				long := 40 - 8*x
				m.straight(long+2, v(30-2*(x-1), 200, 1, 0.2))
				m.straight(long+2, m.rapid)
				m.straight(3, m.rapid)
			}
			m.straight(2+math.Hypot(40, 5), v(25, 200, 1, 0.2))
			m.straight(42, m.rapid)
		}},
		{"turned thread", bom.Tool{ID: "T", Name: "threading tool", Kind: bom.ThreadingTool}, bom.Feature{Kind: bom.ThreadTurn, DiameterMM: n("20"), LengthMM: n("20"), PitchMM: n("1.5"), SpeedMMin: n("100")}, func(m *table) {
			for range 8 {
				m.straight(25, v(20, 100, 1, 1.5))
				m.straight(3, m.rapid)
				m.straight(25, m.rapid)
				m.straight(3, m.rapid)
			}
		}},
	} {
		s := moving()
		s.tools = []bom.Tool{c.tool}
		s.centre.SettlingS, s.centre.ApproachMM, s.centre.TapReversalS = n("0"), n("0"), n("0")
		b := s.cut(t, of(c.f))
		minutes := b.figure("op/cutting").InexactFloat64()
		if b.Has("op/positioning") {
			minutes += b.figure("op/positioning").InexactFloat64()
		}
		m := &table{rapid: 600, acceleration: 5000}
		c.path(m)
		ratio := minutes * 60 / m.seconds
		t.Logf("%-14s %6.2f s, on its path %6.2f s, ratio %.3f", c.name, minutes*60, m.seconds, ratio)
		if ratio < 0.85 || ratio > 1.15 {
			t.Errorf("%s takes %.2f s, on its path %.2f s", c.name, minutes*60, m.seconds)
		}
	}
}
