package landed_test

import (
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/trade"
)

func tariffOf(rows ...trade.TariffRow) trade.Rules {
	for i := range rows {
		if rows[i].Territory == "" {
			rows[i].Territory = "GB"
		}
		if rows[i].Codes == nil {
			rows[i].Codes = []string{"9405"}
		}
	}
	return trade.Rules{Tariff: rows}
}

// Forms of duty after the published ones: by quantity, mass, content, the
// greater of two, a share of the base duty.
func TestFormsOfDuty(t *testing.T) {
	kilo := &bom.Parcel{LengthMM: bom.Whole(100), WidthMM: bom.Whole(100), HeightMM: bom.Whole(100), MassG: bom.Whole(1000)}
	for _, c := range []struct {
		name     string
		price    string
		quantity string
		rows     trade.Rules
		duty     string
	}{
		{"by quantity", "500", "3", tariffOf(trade.TariffRow{Duty: trade.Duty{PerPiece: ft.Num("60")}}), "180.00"},
		{"by mass", "500", "3", tariffOf(trade.TariffRow{Duty: trade.Duty{PerKg: ft.Num("0.412")}}), "1.24"},
		{"compound", "500", "2", tariffOf(trade.TariffRow{Duty: trade.Duty{Share: ft.Num("0.102"), PerKg: ft.Num("0.931")}}), "103.86"},
		// 1,000 kg with 40 % copper and 5 % lead at 0.7 c/kg each: 3.15
		{"content", "500", "1000", tariffOf(trade.TariffRow{Duty: trade.Duty{Contents: []trade.Content{
			{Name: "copper", Share: *ft.Num("0.4"), PerKg: *ft.Num("0.007")}, {Name: "lead", Share: *ft.Num("0.05"), PerKg: *ft.Num("0.007")}}}}), "3.15"},
		// 60 a piece or 20 %, whichever is higher
		{"greater, by quantity", "250", "1", tariffOf(trade.TariffRow{Duty: trade.Duty{Share: ft.Num("0.2"), PerPiece: ft.Num("60"), Combine: trade.TheGreater}}), "60.00"},
		{"greater, by value", "400", "1", tariffOf(trade.TariffRow{Duty: trade.Duty{Share: ft.Num("0.2"), PerPiece: ft.Num("60"), Combine: trade.TheGreater}}), "80.00"},
		{"smaller", "400", "1", tariffOf(trade.TariffRow{Duty: trade.Duty{Share: ft.Num("0.2"), PerPiece: ft.Num("60"), Combine: trade.TheSmaller}}), "60.00"},
		// 15 % and 10 % of that on top
		{"share of the base", "1320", "1", tariffOf(trade.TariffRow{Duty: trade.Duty{Share: ft.Num("0.15")}},
			trade.TariffRow{Layer: "welfare", Duty: trade.Duty{ShareOfBase: ft.Num("0.1")}}), "217.80"},
		// 50 % on a content of 150 in 400
		{"value of a content", "400", "1", tariffOf(trade.TariffRow{Duty: trade.Duty{Share: ft.Num("0.5"), ValueShare: ft.Num("0.375")}}), "75.00"},
		{"free", "400", "1", tariffOf(trade.TariffRow{}), "0.00"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := setup{to: trade.Destination{Country: "GB"}, own: c.rows,
				lines: []goods{{price: c.price, quantity: c.quantity, code: "9405.21", parcel: kilo}}}.build(t)
			v := b.at("")
			b.want(v, "duty", c.duty)
			// The all-paid price is the landed price where the buyer clears, so the value
			// read out of it is the price of the goods, but for rounding.
			forward, back := b.Get(v, b.id("customs-value")), b.Get(v, b.id("all-paid/regime/ordinary/implied-value"))
			if forward.Sub(back).Abs().GreaterThan(ft.Num("0.02").Likely.Mul(ft.Num(c.quantity).Likely)) {
				t.Errorf("declared %s, read back %s", forward, back)
			}
		})
	}
}

// The ladder of Japan: customs value and base down to 1,000 yen, the base from
// the unrounded value; duty and both taxes down to 100.
func TestLadderOrder(t *testing.T) {
	b := setup{to: trade.Destination{Country: "JP"}, own: duty("JP", "0.05"), lines: lamp("15999")}.build(t)
	b.want(b.at(""), "regime/ordinary/line/a/dutiable-value", "15000", "duty", "700", "regime/ordinary/line/a/tax-base-unrounded", "16699",
		"tax-base", "16000", "regime/ordinary/tax-national", "1200", "regime/ordinary/line/a/tax-local-before-last", "338", "tax", "1500")
}

// The example of Japan Customs, question 1111: two kinds of goods go through the
// ladder one by one. Its second kind bears a reduced rate, which rows of ours do
// not have, so taxes are checked on the first and the totals follow from 7.8 % on
// both: 47,502 + 11,154 = 58,656 and 13,397 + 3,130 = 16,527.
func TestLadderByKindOfGoods(t *testing.T) {
	two := []goods{{price: "534795", quantity: "1", code: "9405.21"}, {price: "126258", quantity: "1", code: "9405.29"}}
	b := setup{to: trade.Destination{Country: "JP"}, own: duty("JP", "0.14"), lines: two}.build(t)
	b.want(b.at(""), "regime/ordinary/line/a/duty", "74760", "regime/ordinary/line/b/duty", "17640", "duty", "92400",
		"regime/ordinary/line/a/tax-base-unrounded", "609495", "regime/ordinary/line/a/tax-base", "609000",
		"regime/ordinary/line/b/tax-base-unrounded", "143858", "regime/ordinary/line/b/tax-base", "143000",
		"regime/ordinary/line/a/tax-national-unrounded", "47502", "regime/ordinary/line/a/tax-national", "47500",
		"regime/ordinary/line/a/tax-local-before-last", "13397",
		"regime/ordinary/tax-national", "58600", "regime/ordinary/tax-local", "16500", "tax", "75100")
}

// Two lines of one class add up before the duty is rounded.
func TestDutyIsRoundedOverAllLines(t *testing.T) {
	two := []goods{{price: "200.50", quantity: "1", code: "9405.21"}, {price: "200.50", quantity: "1", code: "9405.29"}}
	b := setup{to: trade.Destination{Country: "GB"}, own: duty("GB", "0.012"), lines: two}.build(t)
	b.want(b.at(""), "duty", "4.81") // 2 × 2.406; rounded line by line it would be 4.82
}

func TestInclusiveAndStackedTaxes(t *testing.T) {
	own := duty("GB", "0.2")
	own.Taxes = []trade.TaxRow{{ID: "inner", Name: "tax inside its base", Country: "GB", Rate: *ft.Num("0.17"), InsideBase: true}}
	b := setup{to: trade.Destination{Country: "GB"}, own: own, lines: lamp("500")}.build(t)
	b.want(b.at(""), "duty", "100.00", "tax", "122.89") // 600 × 0.17/0.83
	own.Taxes = []trade.TaxRow{
		{ID: "first", Name: "first", Country: "GB", Rate: *ft.Num("0.05")},
		{ID: "second", Name: "second", Country: "GB", Rate: *ft.Num("0.1"), BaseContains: []bom.ID{"first"}},
		{ID: "third", Name: "third", Country: "GB", Rate: *ft.Num("0.5"), ShareOf: "first"},
		{ID: "fourth", Name: "fourth", Country: "GB", Rate: *ft.Num("0.1"), BaseShare: ft.Num("0.6")}}
	b = setup{to: trade.Destination{Country: "GB"}, own: own, lines: lamp("500")}.build(t)
	b.want(b.at(""), "regime/ordinary/tax-first", "30.00", "regime/ordinary/tax-second", "63.00",
		"regime/ordinary/tax-third", "15.00", "regime/ordinary/tax-fourth", "36.00", "tax-rate", "0.240")
}
