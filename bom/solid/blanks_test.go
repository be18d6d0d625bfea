package solid_test

import (
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
		{ID: "PLATE-12", Form: bom.Plate, LengthMM: *of("1000"), WidthMM: of("500"), ThicknessMM: of("12")},
		{ID: "TUBE-20", Form: bom.Tube, LengthMM: *of("3000"), DiameterMM: of("20"), InnerDiameterMM: of("2")},
	}
	shaft := measured(t, binarySTL(turned("shaft", 64, [2]float64{0, 0}, [2]float64{10, 0}, [2]float64{10, 30}, [2]float64{6, 30}, [2]float64{6, 55}, [2]float64{0, 55}).triangles), solid.Millimetre)
	fits := shaft.Blanks(stocks, decimal.New(1, 0))
	if got := names(fits); got != "ROD-20 ROD-25" {
		t.Errorf("the shaft fits %s", got)
	}
	if f := fits[0]; !f.Blank.LengthMM.Likely.Equal(of("57").Likely) || !f.Finished.DiameterMM.Likely.Equal(of("20").Likely) || f.Finished.WidthMM != nil {
		t.Errorf("blank %v, finished %v", f.Blank, f.Finished)
	}
	near(t, "bought by what flies", fits[0].BuyToFly, 3.14159265*100*57/shaft.VolumeMM3, 1e-6)
	plate := measured(t, binarySTL(box(60, 20, 12).triangles), solid.Millimetre)
	fits = plate.Blanks(stocks, decimal.New(1, 0))
	if got := names(fits); got != "PLATE-12 FLAT-15 ROD-25" {
		t.Errorf("the plate fits %s", got)
	}
	if f := fits[0]; !f.Blank.LengthMM.Likely.Equal(of("62").Likely) || !f.Blank.WidthMM.Likely.Equal(of("22").Likely) || !f.Finished.ThicknessMM.Likely.Equal(of("12").Likely) {
		t.Errorf("blank %v, finished %v", f.Blank, f.Finished)
	}
	near(t, "smallest blank", fits[0].BlankMM3, 62*22*12, 1e-9)
	if m := plate.MassG(*of("2.7")); m.Likely.String() != "38.88" {
		t.Errorf("mass %s g", m.Likely)
	}
	big := measured(t, binarySTL(box(400, 300, 200).triangles), solid.Millimetre)
	if fits := big.Blanks(stocks, decimal.New(1, 0)); len(fits) != 0 {
		t.Errorf("the block fits %s", names(fits))
	}
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
