package blank_test

import (
	"math/big"
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/making/blank"
)

// rootOf3 to 33 digits, OEIS A002194.
var rootOf3 = ft.Rat("1.73205080756887729352744634150587")

// formed is a job on a metre of stock of a form, with a kerf and blanks of 48 mm.
func formed(form bom.StockForm, dress func(*bom.Stock)) job {
	j := plain(form)
	j.stock = bom.Stock{ID: "S", Form: form, LengthMM: *ft.Num("1000")}
	dress(&j.stock)
	j.blank = bom.Blank{Stock: "S", LengthMM: ft.Num("48"), KerfMM: ft.Num("2")}
	j.start, j.good, j.massG = 41, 40, "100"
	return j
}

// TestForms compares the mass of a metre with the area of each section times the density,
// and the bars of the batch with those of a bar of any other form.
func TestForms(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name string
		job  job
		mm2  *big.Rat
	}{
		{"square", formed(bom.Square, func(s *bom.Stock) { s.AcrossFlatsMM = ft.Num("24") }), ft.Rat("576")},
		{"hexagon", formed(bom.Hexagon, func(s *bom.Stock) { s.AcrossFlatsMM = ft.Num("24") }), ft.Times(rootOf3, ft.Rat("288"))},
		{"extrusion by its section", formed(bom.Extrusion, func(s *bom.Stock) { s.SectionMM2 = ft.Num("312.5") }), ft.Rat("312.5")},
		{"extrusion by its mass", formed(bom.Extrusion, func(s *bom.Stock) { s.MassKgM = ft.Num("1.786") }), ft.Rat("200")}, // 1.786 ÷ 8.93 × 1000
	} {
		b := c.job.build(t)
		v := b.values()
		close := func(what, key string, want *big.Rat) {
			t.Helper()
			got := b.get(v, key).Rat()
			if diff := new(big.Rat).Sub(got, want); diff.Abs(diff).Cmp(ft.Rat("0.0000000000000000000000001")) > 0 {
				t.Errorf("%s: %s is %s, want %s", c.name, what, got.FloatString(12), want.FloatString(12))
			}
		}
		close("mass of a bar in kg", "stock/S/mass", ft.Times(c.mm2, ft.Rat("0.00893")))
		close("mass of a blank in g", "blank-mass", ft.Times(c.mm2, ft.Rat("0.42864"))) // 48 × 8.93 ÷ 1000
		close("blanks per bar", "per-stock", ft.Rat("20"))                              // 1002 ÷ 50
		close("bars", "stock-needed", ft.Rat("3"))
		picture, err := blank.Layout(&c.job.blank, &c.job.stock)
		if err != nil || picture.Blanks != 20 {
			t.Errorf("%s: the picture has %d blanks, %v", c.name, picture.Blanks, err)
		}
	}
}

// TestMassPerMetre: factors of mass in kg/m by the square of the size across flats, as a
// stockist's booklet prints them for hexagons (scribd.com/doc/111440150/Data), to their
// last digit; and the square of 20 of steel, 3.14 kg/m, 7.85 × 400 mm².
func TestMassPerMetre(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		form                                bom.StockForm
		metal, density, flats, kgM, halfway string
	}{
		{bom.Hexagon, "aluminium", "2.71", "100", "23.5", "0.05"},
		{bom.Hexagon, "steel", "7.85", "100", "68.0", "0.5"},
		{bom.Hexagon, "copper", "8.96", "100", "77.6", "0.05"},
		{bom.Square, "steel", "7.85", "20", "3.14", "0"},
	} {
		j := formed(c.form, func(s *bom.Stock) { s.AcrossFlatsMM = ft.Num(c.flats) })
		j.material.DensityGCM3 = *ft.Num(c.density)
		b := j.build(t)
		diff := ft.Minus(b.get(b.values(), "stock/S/mass").Rat(), ft.Rat(c.kgM))
		if diff.Abs(diff).Cmp(ft.Rat(c.halfway)) > 0 {
			t.Errorf("%s %s: off by %s kg/m", c.metal, c.form, diff.FloatString(4))
		}
	}
}

// TestNearNet: each piece of stock is one blank; chips are what it weighs more than the part.
func TestNearNet(t *testing.T) {
	t.Parallel()
	j := formed(bom.NearNet, func(s *bom.Stock) { s.MassG, s.LengthMM = ft.Num("130"), *ft.Num("60") })
	j.blank = bom.Blank{Stock: "S", LeftoverValue: ft.Num("0.5")}
	j.offer.MOQ, j.reclaim = ft.Num("50"), "2"
	b := j.build(t)
	v := b.values()
	b.Want(v, "charged", b.charge.Stock, ft.Rat("4550"))   // 50 at 100, 9 left over at half
	b.Want(v, "reclaim", b.charge.Reclaim, ft.Rat("2.66")) // (41 × 0.13 − 40 × 0.1) kg at 2
	if _, err := blank.Layout(&j.blank, &j.stock); err == nil {
		t.Error("there is a picture of a casting being cut")
	}
	j.stock.MassG, j.stock.DiameterMM = nil, ft.Num("20")
	b = j.build(t)
	quarter := ft.Rat("0.78539816339744830961566084581987575")
	b.Want(b.values(), "mass of a piece that fills its sizes", b.id("blank-mass"), ft.Times(quarter, ft.Rat("400"), ft.Rat("60"), ft.Rat("0.00893")))
}
