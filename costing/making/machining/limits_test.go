package machining_test

import (
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// shoulder cuts 5 × 4 mm at 250 m/min and 0.05 mm with a mill of 10 mm, source
// `milling-calculations`, own arithmetic:
// 0.706462 kW at 7957.747 1/min, so 0.847754 N·m.
func shoulder() bom.Feature {
	return bom.Feature{ID: "F", Name: "shoulder", Kind: bom.Contour, PathMM: ft.Num("100"), WidthMM: ft.Num("5"), DepthMM: ft.Num("4"), WidthOfCutMM: ft.Num("5"),
		DepthOfCutMM: ft.Num("4"), SpeedMMin: ft.Num("250"), FeedMM: ft.Num("0.05"), ClearanceMM: ft.Num("0")}
}

func inCopper(change func(*rates.WorkCentre)) shop {
	s := milling(endMill("T", "10", "3"))
	s.mat = rates.Material{ID: "M", Name: "copper", Kc11NMM2: ft.Num("700"), MC: ft.Num("0.27")}
	change(&s.centre)
	return s
}

// TestPowerLimit lowers the speed at the same feed per tooth: half the power takes
// twice the time. The power that reaches the cut is the spindle's × efficiency.
func TestPowerLimit(t *testing.T) {
	t.Parallel()
	free := inCopper(func(*rates.WorkCentre) {}).cut(t, shoulder())
	free.want("op/feature/F/with/T/power", "0.706462")
	if free.Has("op/feature/F/power-free") {
		t.Error("nothing limits the spindle, and a check says that nothing does")
	}
	half := inCopper(func(w *rates.WorkCentre) { w.SpindlePowerKW, w.SpindleEfficiency = ft.Num("0.441539"), ft.Num("0.8") }).cut(t, shoulder())
	half.want("op/feature/F/with/T/power-share", "0.5000")
	half.want("op/feature/F/power-free", "0")
	ratio := half.figure("op/feature/F/cutting").DivRound(free.figure("op/feature/F/cutting"), 5)
	if !ratio.Equal(ft.Dec("2")) {
		t.Errorf("half the power takes %s times the time", ratio)
	}
	ample := inCopper(func(w *rates.WorkCentre) { w.SpindlePowerKW = ft.Num("5") }).cut(t, shoulder())
	ample.want("op/feature/F/power-free", "1")
	if !ample.figure("op/feature/F/cutting").Equal(free.figure("op/feature/F/cutting")) {
		t.Error("a limit that is not reached changes the time")
	}
}

// TestTorqueLimit lowers the feed per tooth: the torque goes with fz^(1 − mc), so
// half of it takes 0.5^(1/0.73) = 0.38693 of the feed.
func TestTorqueLimit(t *testing.T) {
	t.Parallel()
	b := inCopper(func(w *rates.WorkCentre) { w.SpindleTorqueNM = ft.Num("0.423877") }).cut(t, shoulder())
	b.want("op/feature/F/with/T/torque", "0.847754")
	b.want("op/feature/F/with/T/torque-share", "0.3869")
	b.want("op/feature/F/with/T/power-held", "0.35323")
	b.want("op/feature/F/power-free", "0")
}

// TestThinChip: a chip that the torque would make thinner than 0.02 mm is kept by
// splitting the pass. hm is 0.031831 mm; 0.02 mm is reached at (0.02/0.031831)^0.73 =
// 0.71235 of the torque, 0.603897 N·m, which 0.423877 N·m drive in two passes; half
// the torque is then within the limit at the full feed.
func TestThinChip(t *testing.T) {
	t.Parallel()
	s := inCopper(func(w *rates.WorkCentre) { w.SpindleTorqueNM = ft.Num("0.423878") })
	s.data = []rates.CuttingRow{{ID: "R", Material: "M", Tool: bom.EndMill, MinChipMM: ft.Num("0.02"), From: "2026-01-01", Source: "test"}}
	b := s.cut(t, shoulder())
	b.want("op/feature/F/with/T/chip-share", "1.59155")
	b.want("op/feature/F/with/T/split", "2")
	b.want("op/feature/F/with/T/torque-share", "1")
	b.want("op/feature/F/with/T/path", "210.00") // two passes of 100 mm and 5 mm of approach
	b.want("op/feature/F/chip-cut", "1")

	thin := shoulder()
	thin.FeedMM = ft.Num("0.015") // 0.0095 mm: rubs even at the full feed
	b = s.cut(t, thin)
	b.want("op/feature/F/with/T/split", "1")
	b.want("op/feature/F/chip-cut", "0")
}

// TestSpindleLimit holds the speed and works the cutting speed out again.
func TestSpindleLimit(t *testing.T) {
	t.Parallel()
	b := inCopper(func(w *rates.WorkCentre) { w.SpindleMaxPerMin = ft.Num("4000") }).cut(t, shoulder())
	b.want("op/feature/F/with/T/spindle-speed", "4000")
	b.want("op/feature/F/with/T/speed", "125.664")
	b.want("op/feature/F/spindle-free", "0")
	b = inCopper(func(w *rates.WorkCentre) { w.SpindleMaxPerMin = ft.Num("8000") }).cut(t, shoulder())
	b.want("op/feature/F/spindle-free", "1")
}

// TestUnknownForce: without a specific force, as for plastics, power never limits.
func TestUnknownForce(t *testing.T) {
	t.Parallel()
	s := inCopper(func(w *rates.WorkCentre) { w.SpindlePowerKW, w.SpindleTorqueNM = ft.Num("0.001"), ft.Num("0.001") })
	s.mat = rates.Material{ID: "M", Name: "plastic"}
	b := s.cut(t, shoulder())
	if b.Has("op/feature/F/with/T/power") || b.Has("op/feature/F/power-free") {
		t.Error("a power without a force")
	}
}

// TestCaution is said once in an estimate, however many features use the data.
func TestCaution(t *testing.T) {
	t.Parallel()
	b := milling(endMill("T", "8", "3")).cut(t, pocketOf("A"), pocketOf("B"))
	said := 0
	for _, f := range b.Graph.Findings() {
		if f.Severity == graph.Note && f.Key == "cutting" {
			said++
		}
	}
	if said != 1 {
		t.Errorf("the caution is said %d times", said)
	}
}
