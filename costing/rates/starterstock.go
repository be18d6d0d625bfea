package rates

import (
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/reference"
)

// stockSeries are the sizes that stock of a form is usually sold in. A size is a diameter,
// across flats, or the thickness of plate and sheet.
type stockSeries struct {
	shipped
	Form     bom.StockForm `book:"form,required"`
	LengthMM bom.Number    `book:"length_mm,required,over=0"`
	WidthMM  *bom.Number   `book:"width_mm,over=0"`
	SizesMM  []bom.Number  `book:"sizes_mm"`
	Flats    []struct {
		WidthMM     bom.Number `book:"width_mm,required,over=0"`
		ThicknessMM bom.Number `book:"thickness_mm,required,over=0"`
	} `book:"flats"`
}

var stockSizes = reference.Rows[struct {
	Series []stockSeries `book:"stock_series"`
}]("stocksizes.yaml")

// starter gives the sizes as stock that lacks its material, which the shop knows.
func (s *stockSeries) starter() Starter {
	out := s.shipped.starter()
	add := func(size string, st bom.Stock) {
		st.ID, st.Name = bom.ID(string(s.ID)+"-"+size), s.Form.Words()+" "+size
		st.Form, st.LengthMM = s.Form, s.LengthMM
		out.Stocks = append(out.Stocks, st)
	}
	for i := range s.SizesMM {
		n, st := &s.SizesMM[i], bom.Stock{}
		switch s.Form {
		case bom.Bar:
			st.DiameterMM = n
		case bom.Plate, bom.Sheet:
			st.ThicknessMM, st.WidthMM = n, s.WidthMM
		default:
			st.AcrossFlatsMM = n
		}
		add(n.Likely.String(), st)
	}
	for i := range s.Flats {
		f := &s.Flats[i]
		add(f.WidthMM.Likely.String()+"x"+f.ThicknessMM.Likely.String(), bom.Stock{WidthMM: &f.WidthMM, ThicknessMM: &f.ThicknessMM})
	}
	return out
}

// MaterialOf is the material that sizes of a series are of, such as brass of brass-round:
// that of the shop if it has one alone, else none, since only the shop knows which it buys.
func (s *Starter) MaterialOf(materials []Material) bom.ID {
	word, _, _ := strings.Cut(string(s.ID), "-")
	is := func(id bom.ID) bool { return string(id) == word || strings.HasPrefix(string(id), word+"-") }
	var found []bom.ID
	for _, m := range materials {
		if is(m.ID) || is(m.CuttingAs) {
			found = append(found, m.ID)
		}
	}
	if len(found) != 1 {
		return ""
	}
	return found[0]
}
