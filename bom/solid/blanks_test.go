package solid_test

import (
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/bom/solid"
)

func of(text string) *bom.Number {
	n := bom.Exactly(decimal.RequireFromString(text))
	return &n
}

// TestBlanks: a shaft and a plate in a shop's stock, the smallest blank first, and with
// room in none.
func TestBlanks(t *testing.T) {
	t.Parallel()
	stocks := []bom.Stock{
		{ID: "ROD-25", Form: bom.Bar, LengthMM: *of("3000"), DiameterMM: of("25")},
		{ID: "ROD-20", Form: bom.Bar, LengthMM: *of("3000"), DiameterMM: of("20")},
		{ID: "ROD-18", Form: bom.Bar, LengthMM: *of("3000"), DiameterMM: of("18")},
		{ID: "FLAT-15", Form: bom.Bar, LengthMM: *of("3000"), WidthMM: of("60"), ThicknessMM: of("15")},
		{ID: "HEX-20", Form: bom.Hexagon, LengthMM: *of("3000"), AcrossFlatsMM: of("20")},
		{ID: "SQUARE-20", Form: bom.Square, LengthMM: *of("3000"), AcrossFlatsMM: of("20")},
		{ID: "PLATE-12", Form: bom.Plate, LengthMM: *of("1000"), WidthMM: of("500"), ThicknessMM: of("12")},
		{ID: "TUBE-20", Form: bom.Tube, LengthMM: *of("3000"), DiameterMM: of("20"), InnerDiameterMM: of("2")},
	}
	shaft := measured(t, binarySTL(turned("shaft", 64, [2]float64{0, 0}, [2]float64{10, 0}, [2]float64{10, 30}, [2]float64{6, 30}, [2]float64{6, 55}, [2]float64{0, 55}).triangles), solid.Millimetre)
	fits := shaft.Blanks(stocks, decimal.New(1, 0))
	if got := names(fits); got != "ROD-20 HEX-20 SQUARE-20 ROD-25" {
		t.Errorf("the shaft fits %s", got)
	}
	if f := fits[0]; !f.Blank.LengthMM.Likely.Equal(of("57").Likely) || !f.Finished.DiameterMM.Likely.Equal(of("20").Likely) || f.Finished.WidthMM != nil {
		t.Errorf("blank %v, finished %v", f.Blank, f.Finished)
	}
	near(t, "bought by what flies", fits[0].BuyToFly, 3.14159265*100*57/shaft.VolumeMM3, 1e-6)
	plate := measured(t, binarySTL(box(60, 20, 12).triangles), solid.Millimetre)
	fits = plate.Blanks(stocks, decimal.New(1, 0))
	if got := names(fits); got != "PLATE-12 FLAT-15 SQUARE-20 ROD-25" {
		t.Errorf("the plate fits %s", got)
	}
	if f := fits[0]; !f.Blank.LengthMM.Likely.Equal(of("62").Likely) || !f.Blank.WidthMM.Likely.Equal(of("22").Likely) || !f.Finished.ThicknessMM.Likely.Equal(of("12").Likely) {
		t.Errorf("blank %v, finished %v", f.Blank, f.Finished)
	}
	near(t, "smallest blank", fits[0].BlankMM3, 62*22*12, 1e-9)
	if m := plate.MassG(*of("2.7")); m.Likely.String() != "38.88" {
		t.Errorf("mass %s g", m.Likely)
	}
	// A hexagonal head lies in a hexagonal bar of its own size, with a flat or a corner up.
	for _, first := range []float64{0, 30} {
		head := measured(t, binarySTL(hexagonal(20, 12, first)), solid.Millimetre)
		fits = head.Blanks(stocks[:4], decimal.New(1, 0))
		if got := names(fits); got != "ROD-25 FLAT-15" {
			t.Errorf("the head fits %s", got)
		}
		fits = head.Blanks(stocks[4:5], decimal.New(1, 0))
		if got := names(fits); got != "HEX-20" {
			t.Fatalf("the head fits %s", got)
		}
		near(t, "bought by what flies", fits[0].BuyToFly, 14.0/12, 1e-6)
		if fits = head.Blanks([]bom.Stock{{ID: "HEX", Form: bom.Hexagon, LengthMM: *of("3000"), AcrossFlatsMM: of("19.9")}}, decimal.New(1, 0)); len(fits) > 0 {
			t.Error("a head of 20 lies in a bar of 19.9")
		}
	}
	big := measured(t, binarySTL(box(400, 300, 200).triangles), solid.Millimetre)
	if fits := big.Blanks(stocks, decimal.New(1, 0)); len(fits) != 0 {
		t.Errorf("the block fits %s", names(fits))
	}
}

// hexagonal is a prism of a size across flats, its first corner at an angle in degrees.
func hexagonal(flats, height, first float64) (out []solid.Triangle) {
	at := func(i int, z float64) solid.Point {
		angle := (first + 60*float64(i)) * math.Pi / 180
		return solid.Point{flats / math.Sqrt(3) * math.Cos(angle), flats / math.Sqrt(3) * math.Sin(angle), z}
	}
	for i := range 6 {
		j := (i + 1) % 6
		out = append(out, solid.Triangle{at(i, 0), at(j, 0), at(j, height)}, solid.Triangle{at(i, 0), at(j, height), at(i, height)},
			solid.Triangle{{0, 0, 0}, at(j, 0), at(i, 0)}, solid.Triangle{{0, 0, height}, at(i, height), at(j, height)})
	}
	return out
}

func names(fits []solid.Fit) (out string) {
	for i, f := range fits {
		if i > 0 {
			out += " "
		}
		out += string(f.Stock.ID)
	}
	return out
}
