package finish_test

import (
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// near compares a figure with a published answer that was computed again to six
// digits.
func (l *lot) near(what, key, want string) {
	l.T.Helper()
	got, expected := l.Get(l.at("60"), l.ID("op/"+key)), ft.Dec(want)
	if off := got.Sub(expected).Abs(); off.GreaterThan(expected.Abs().Mul(ft.Dec("0.00001"))) {
		l.T.Errorf("%s: %s is %s, want %s", what, key, got, want)
	}
}

// bathOf is a shop's own bath of a metal.
func bathOf(kind rates.FinishKind, density, current, efficiency string) rates.Process {
	return rates.Process{Currency: "EUR", PiecePrice: ft.Num("1"), Finish: kind, CoatingDensityGCM3: ft.Num(density),
		CurrentADM2: ft.Num(current), Efficiency: ft.Num(efficiency)}
}

// TestFaraday are published times in a bath, computed again with the rows of the
// metals. Sources: the chart at 95 % `nickel-efficiency` (0.178 g and 0.17 A·h on a dm² of
// 2 µm; 10 min at 1 A/dm², 5.1 at 2), the table of `deposit-rates` (0.205 µm of nickel,
// 0.286 of zinc, 0.506 of tin, 0.639 of silver, 0.635 of gold in a minute at 1 A/dm²), of
// which the thickness of that minute must take a minute.
func TestFaraday(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		what                                string
		kind                                rates.FinishKind
		density, current, efficiency, thick string
		minutes                             string
	}{
		{"nickel, 2 µm at 0.5 A/dm²", rates.Nickel, "8.9", "0.5", "0.95", "2", "20.5319"},
		{"nickel, 2 µm at 4 A/dm²", rates.Nickel, "8.9", "4", "0.95", "2", "2.56649"},
		{"nickel, 6 µm at 3 A/dm²", rates.Nickel, "8.9", "3", "0.95", "6", "10.2660"},
		{"nickel, a minute", rates.Nickel, "8.9", "1", "1", "0.205073", "1"},
		{"zinc, a minute", rates.Zinc, "7.1", "1", "1", "0.286317", "1"},
		{"tin, a minute", rates.Tin, "7.3", "1", "1", "0.505578", "1"},
		{"silver, a minute", rates.Silver, "10.5", "1", "1", "0.639031", "1"},
		{"gold, a minute", rates.Gold, "19.3", "1", "1", "0.634744", "1"},
		{"chromium from chromium(VI), 20 µm", rates.Chromium, "7.19", "10", "0.15", "20", "177.879"},
		{"chromium, 0.3 µm", rates.Chromium, "7.19", "15", "0.15", "0.3", "1.77879"},
	} {
		w := bom.Treatment{AreaDM2: ft.Num("1"), ThicknessUM: ft.Num(c.thick)}
		build(t, bathOf(c.kind, c.density, c.current, c.efficiency), w, "").near(c.what, "bath-time", c.minutes)
	}
}

// TestOnlyAnOwnBathTakesTime: a supplier's is theirs.
func TestOnlyAnOwnBathTakesTime(t *testing.T) {
	t.Parallel()
	w := bom.Treatment{AreaDM2: ft.Num("1"), ThicknessUM: ft.Num("10")}
	for kind, want := range map[rates.FinishKind]string{rates.Nickel: "0.89", rates.Zinc: "0.714", rates.Silver: "1.05", rates.Gold: "1.93", rates.HardGold: "1.7", rates.Tin: "0.729", rates.Chromium: "0.719"} {
		l := build(t, rates.Process{Currency: "EUR", PiecePrice: ft.Num("1"), Finish: kind}, w, "")
		if l.Has("op/bath-time") {
			t.Errorf("%s of a supplier has a time in the bath", kind)
		}
		l.near(string(kind)+", 10 µm on a dm²", "coating-mass", want) // area × µm × density ÷ 100
	}
}

// TestSizes are published changes of size. Sources: hard coat of 0.002 in grows 0.001 in
// a surface and closes a bore by 0.002 in (mechainc.com, "Anodizing thicknesses"); a
// bore of 10 under 25 µm of hard coat is 9.975; 3 µm on a thread grow its pitch
// diameter by 12 µm, 5 µm by 20 (`thread-plating`), which leaves 6 of the 26 of M6, 6g.
func TestSizes(t *testing.T) {
	t.Parallel()
	of := func(kind rates.FinishKind, thick, pitch string) *lot {
		w := bom.Treatment{AreaDM2: ft.Num("1")}
		if thick != "" {
			w.ThicknessUM = ft.Num(thick)
		}
		if pitch != "" {
			w.ThreadPitchMM = ft.Num(pitch)
		}
		return build(t, rates.Process{Currency: "EUR", PiecePrice: ft.Num("1"), Finish: kind}, w, "")
	}
	of(rates.HardAnodising, "50.8", "").figures("hard coat of 2 mil", map[string]string{"growth": "25.4", "growth-hole": "-0.0508"})
	of(rates.HardAnodising, "25", "").figures("hard coat of 25 µm", map[string]string{"growth-hole": "-0.025"})
	of(rates.Zinc, "3", "1").figures("zinc on M6", map[string]string{"growth-thread": "12", "thread-allowance": "26", "thread-fits": "1"})
	of(rates.Zinc, "5", "1").figures("thicker zinc on M6", map[string]string{"growth-thread": "20", "thread-fits": "1"})
	of(rates.Zinc, "8", "1").figures("too thick", map[string]string{"growth-thread": "32", "thread-fits": "0"})
	of(rates.Passivation, "", "1").figures("passivation", map[string]string{"growth": "0", "growth-thread": "0", "thread-fits": "1"})
	of(rates.Vibratory, "", "").figures("vibratory", map[string]string{"growth": "-5", "growth-diameter": "-0.01", "growth-hole": "0.01"})
	odd := of(rates.Zinc, "3", "0.6")
	if odd.Has("op/thread-allowance") || !told(odd, graph.Warning, "the room of a thread of pitch 0.6 mm is not known") {
		t.Error("a pitch without a row is not told of")
	}
}
