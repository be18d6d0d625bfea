package finish_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/finish"
	"kerfbook/costing/rates"
)

// figures wants figures of one lot of 60 units by key, exactly.
func (l *lot) figures(what string, wanted map[string]string) {
	l.T.Helper()
	v := l.at("60")
	for key, text := range wanted {
		if d := l.Get(v, l.ID("op/"+key)); !d.Equal(ft.Dec(text)) {
			l.T.Errorf("%s: %s is %s, want %s", what, key, d, text)
		}
	}
}

func nickelOf(change func(*rates.Process)) rates.Process {
	p := rates.Process{Currency: "EUR", AreaPrice: ft.Num("0.50"), AreaMicronPrice: ft.Num("0.10"), Finish: rates.ElectrolessNickel}
	change(&p)
	return p
}

// TestClassSetsTheThickness: the least thickness of the class is charged and
// deposited where none is entered; an entered one is checked against it.
func TestClassSetsTheThickness(t *testing.T) {
	t.Parallel()
	p := nickelOf(func(p *rates.Process) { p.Phosphorus = "high" })
	w := bom.Treatment{AreaDM2: ft.Num("2"), Class: "SC3"}
	build(t, p, w, "").figures("least of SC3", map[string]string{
		"thickness": "25", "piece-charge": "6", "coating-mass": "3.875", // 200 cm² × 25 × 10⁻⁴ × 7.75
		"growth": "25", "growth-mm": "0.025", "growth-diameter": "0.05", "growth-hole": "-0.05",
	})
	w.ThicknessUM = ft.Num("30")
	build(t, p, w, "").figures("thicker than SC3", map[string]string{"thickness": "30", "class-thickness": "25", "thickness-fits": "1", "piece-charge": "7"})
	w.ThicknessUM = ft.Num("20")
	build(t, p, w, "").figures("thinner than SC3", map[string]string{"thickness-fits": "0", "piece-charge": "5"})
}

// TestDesignation takes thickness and phosphorus from what the drawing says.
func TestDesignation(t *testing.T) {
	t.Parallel()
	w := bom.Treatment{AreaDM2: ft.Num("1"), Class: "NiP(8)10"}
	build(t, nickelOf(func(*rates.Process) {}), w, "").figures("NiP(8)10", map[string]string{"thickness": "10", "coating-mass": "0.81"})
	entered := nickelOf(func(p *rates.Process) { p.CoatingDensityGCM3 = ft.Num("8") })
	build(t, entered, w, "").figures("with a density entered", map[string]string{"coating-mass": "0.8"})
	between := bom.Treatment{AreaDM2: ft.Num("1"), Class: "NiP(9.5)10"} // no row is read for 9.5 %
	if l := build(t, nickelOf(func(*rates.Process) {}), between, ""); l.Has("op/coating-mass") || !l.Has("op/growth") {
		t.Error("a mass is computed from a density that nobody knows, or the growth is not")
	}
}

// TestMaskedArea is charged neither by area nor by mass, but by mask.
func TestMaskedArea(t *testing.T) {
	t.Parallel()
	p := nickelOf(func(p *rates.Process) {
		p.CoatingDensityGCM3, p.MaskMin, p.MaskRatePerH = ft.Num("8"), ft.Num("3"), ft.Num("24")
	})
	w := bom.Treatment{AreaDM2: ft.Num("2"), MaskedDM2: ft.Num("0.5"), ThicknessUM: ft.Num("10"), Masks: ft.Num("2")}
	build(t, p, w, "").figures("masked", map[string]string{
		"plated-area": "1.5", "masked-fits": "1", "coating-mass": "1.2", "area-charge": "2.25", "masks-charge": "2.4"})
}

// TestLoadsByArea: as many pieces hang in a load as its area holds, exact fits
// included; one larger than a load is a load, and the check says so.
func TestLoadsByArea(t *testing.T) {
	t.Parallel()
	p := rates.Process{Currency: "EUR", LoadCharge: ft.Num("10"), LoadDM2: ft.Num("8.4")}
	for area, wanted := range map[string]map[string]string{
		"1.2": {"pieces-per-load": "7", "loads": "9", "loads-charge": "90"}, // 8.4 ÷ 1.2 = 7 exactly
		"1.3": {"pieces-per-load": "6", "loads": "10", "piece-fits": "1"},
		"9":   {"pieces-per-load": "1", "loads": "60", "piece-fits": "0"},
	} {
		build(t, p, bom.Treatment{AreaDM2: ft.Num(area)}, "").figures(area+" dm²", wanted)
	}
	entered := bom.Treatment{AreaDM2: ft.Num("1.2"), PiecesPerLoad: ft.Num("5")}
	build(t, p, entered, "").figures("entered", map[string]string{"pieces-per-load": "5", "loads": "12"})
}

// TestAnodising: decorative films grow by a third, from memory; hard ones by half,
// and their time does not follow from the 720 rule.
func TestAnodising(t *testing.T) {
	t.Parallel()
	w := bom.Treatment{AreaDM2: ft.Num("1"), Class: "AA10"}
	soft := rates.Process{Currency: "EUR", AreaPrice: ft.Num("1"), Finish: rates.Anodising, CurrentADM2: ft.Num("1.5"), LoadDM2: ft.Num("30")}
	build(t, soft, w, "").figures("AA10", map[string]string{
		"thickness": "10", "class-local": "8", "growth": "3.3", "growth-hole": "-0.0066", "current-piece": "1.5", "current-load": "45"})
	hard := rates.Process{Currency: "EUR", AreaPrice: ft.Num("1"), Finish: rates.HardAnodising, CurrentADM2: ft.Num("3")}
	w = bom.Treatment{AreaDM2: ft.Num("1"), Class: "ISO10074", ThicknessUM: ft.Num("50")}
	l := build(t, hard, w, "")
	l.figures("hard", map[string]string{"growth": "25", "growth-diameter": "0.05", "edge-radius": "0.5", "current-piece": "3"})
	if l.Has("op/bath-time") {
		t.Error("hard anodising has a time by a rule that does not hold for it")
	}
	hard.DepositUMH = ft.Num("25")
	build(t, hard, w, "").figures("hard, with a rate", map[string]string{"bath-time": "2"})
}

func TestUnknownClassStops(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	root := b.Root()
	p := finish.NewProcess(root.In("process"), nickelOf(func(*rates.Process) {}), graph.None, finishes(t), today, graph.None)
	_, err := finish.Build(root.In("op"), &bom.Treatment{Class: "SC9"}, p, finish.Lot{In: root.Input("in", "in", graph.Piece, ft.Dec("1")), Yield: graph.None, Surface: graph.None, Mass: graph.None})
	var unknown *rates.UnknownClassError
	if !errors.As(err, &unknown) {
		t.Errorf("class SC9 gives %v", err)
	}
}

// TestThickerNeverCheaper, and larger areas neither.
func TestThickerNeverCheaper(t *testing.T) {
	t.Parallel()
	p := nickel
	rise := func(what string, change func(*bom.Treatment, *bom.Number), steps ...string) {
		before := decimal.Zero
		for _, step := range steps {
			w := plating
			change(&w, ft.Num(step))
			l := build(t, p, w, "")
			got, err := l.at("200").Get(l.cost)
			if err != nil || got.LessThan(before) {
				t.Errorf("%s of %s costs %s (%v), less of it %s", what, step, got, err, before)
			}
			before = got
		}
	}
	rise("a thickness", func(w *bom.Treatment, n *bom.Number) { w.ThicknessUM = n }, "0.1", "5", "5.5", "13", "25", "75")
	rise("an area", func(w *bom.Treatment, n *bom.Number) { w.AreaDM2 = n }, "0.01", "0.5", "4", "4.1", "90")
	rise("a number of masks", func(w *bom.Treatment, n *bom.Number) { w.Masks = n }, "0", "1", "2", "7")
}

// TestFullerLoadsNeverCostMore: at the same charge per load, more pieces in each
// never cost more by piece.
func TestFullerLoadsNeverCostMore(t *testing.T) {
	t.Parallel()
	for _, unitsIn := range []string{"1", "59.5", "60", "61", "487"} {
		before := decimal.New(1, 12)
		for perLoad := int64(1); perLoad <= 90; perLoad++ {
			w := plating
			n := bom.Whole(perLoad)
			w.PiecesPerLoad = &n
			l := build(t, nickel, w, "")
			got, err := l.at(unitsIn).Get(l.cost)
			if err != nil || got.GreaterThan(before) {
				t.Errorf("%s pieces in loads of %d cost %s (%v), in smaller ones %s", unitsIn, perLoad, got, err, before)
			}
			before = got
		}
	}
}

// TestOutlineWithoutASide: a box without a width has no surface. The surfaces of
// whole outlines are compared where an estimate charges by them.
func TestOutlineWithoutASide(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root()
	o := finish.Outline{Length: s.Input("l", "length", graph.Mm, decimal.New(1, 0)), Width: graph.None, Thickness: graph.None, Diameter: graph.None, Inner: graph.None, Flats: graph.None}
	if o.Area(s, "outline") != graph.None {
		t.Error("a box without a width has a surface")
	}
}

// TestThickFinish: a thickness beyond ten times that of its class is told of, and
// charged all the same.
func TestThickFinish(t *testing.T) {
	t.Parallel()
	p := nickelOf(func(p *rates.Process) { p.Phosphorus = "high" })
	for entered, want := range map[string]bool{"250": false, "250.1": true} {
		l := build(t, p, bom.Treatment{AreaDM2: ft.Num("2"), Class: "SC3", ThicknessUM: ft.Num(entered)}, "")
		if got := told(l, graph.Note, "more than ten times the 25 µm of class SC3"); got != want {
			t.Errorf("%s µm: told %v, want %v", entered, got, want)
		}
	}
}

// told reports that a lot has a remark.
func told(l *lot, severity graph.Severity, part string) bool {
	return slices.ContainsFunc(l.Graph.Findings(), func(f graph.Finding) bool {
		return f.Severity == severity && strings.Contains(f.Message, part)
	})
}
