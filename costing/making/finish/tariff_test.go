package finish_test

import (
	"math/big"
	"reflect"
	"slices"
	"strings"
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// tariffDrawn gives a process and a treatment what suppliers ask beside their prices, by
// chance, and a mass and a yield to the pieces.
func tariffDrawn(d ft.Draw, p *rates.Process, w *bom.Treatment) (mass, yield string) {
	is := func() bool { return d.IntN(3) == 0 }
	steps := func(limit int64) (out []rates.PriceBreak) {
		for _, from := range []string{"1", "60", "200"} {
			out = append(out, rates.PriceBreak{From: *ft.Num(from), Price: *d.Figure(limit, 2)})
		}
		return out
	}
	if p.PiecePrice == nil && is() {
		p.PieceBreaks = steps(300)
	}
	if p.AreaPrice == nil && w.AreaDM2 != nil && is() {
		p.AreaBreaks = steps(150)
	}
	if is() {
		p.LeastAreaDM2 = d.Figure(60, 1)
	}
	if is() {
		p.LoadDM3, w.SpaceDM3 = d.Figure(90, 0), d.Figure(90, 1)
	}
	if is() {
		mass, p.KilogramPrice = d.Figure(9000, 1).Likely.String(), d.Figure(900, 2)
	}
	for _, per := range []rates.ChargeUnit{rates.PerLot, rates.EachPiece, rates.PerContact, rates.Once} {
		c := rates.ProcessCharge{ID: bom.ID(per), Name: string(per), Amount: *d.Figure(9000, 2), Per: per, WhenAsked: is()}
		if is() {
			w.Charges = append(w.Charges, c.ID)
		}
		if per == rates.Once && !is() {
			c.OverPieces = d.Figure(900, 0)
		}
		if is() || slices.Contains(w.Charges, c.ID) {
			p.Charges = append(p.Charges, c)
		}
	}
	w.Contacts = d.Maybe(4, 0)
	for _, id := range []bom.ID{"metal", "energy", "metal"} {
		if is() {
			from := bom.Date([]string{"2026-10-01", "2026-11-01", "2026-12-01"}[d.IntN(3)])
			if !slices.ContainsFunc(p.Surcharges, func(s rates.Surcharge) bool { return s.ID == id && s.From == from }) {
				p.Surcharges = append(p.Surcharges, rates.Surcharge{ID: id, Share: *d.Figure(99, 3), From: from})
			}
		}
	}
	if is() {
		p.CoatingDensityGCM3 = d.Figure(190, 1)
		p.Metal = &rates.MetalPart{Metal: "gold", Share: d.Maybe(99, 2)}
		if is() {
			p.Metal.MassG = d.Figure(900, 2)
		}
	}
	if is() {
		p.AllowedLoss, p.SpoiledTimes, yield = d.Figure(50, 3), d.Figure(30, 1), []string{"0.9", "0.975", "0.995"}[d.IntN(3)]
	}
	return mass, yield
}

// TestSuppliersRules are the rules that suppliers print, with numbers of our own put
// through them. Sources: 100 a square inch and at least 500 (goldplating.us, "Gold
// plating cost factors"); a finish of 200 with 7.5 % for metal and 2.5 % for energy is 220
// (galvano-roehrig.de, "Teuerungszuschläge"); a profile of 0.10 m around is charged as
// 0.15 (rotocoat.com, "1D items").
func TestSuppliersRules(t *testing.T) {
	t.Parallel()
	area := func(dm2 string) bom.Treatment { return bom.Treatment{AreaDM2: ft.Num(dm2)} }
	gold := rates.Process{AreaPrice: ft.Num("100"), Minimum: ft.Num("500")}
	for _, c := range []struct {
		what    string
		process rates.Process
		work    bom.Treatment
		in, lot string
	}{
		{"3 square inches", gold, area("3"), "1", "500"},
		{"5 square inches", gold, area("5"), "1", "500"},
		{"8 square inches", gold, area("8"), "1", "800"},
		{"metal and energy", rates.Process{PiecePrice: ft.Num("200"), Surcharges: []rates.Surcharge{
			{ID: "metal", Share: *ft.Num("0.05"), From: "2026-10-01"}, {ID: "metal", Share: *ft.Num("0.075"), From: "2026-11-01"},
			{ID: "energy", Share: *ft.Num("0.025"), From: "2026-11-01"}, {ID: "energy", Share: *ft.Num("0.5"), From: "2026-12-01"}}}, area("1"), "1", "220"},
		{"a thin profile, in m²", rates.Process{AreaPrice: ft.Num("1"), LeastAreaDM2: ft.Num("0.45")}, area("0.3"), "1", "0.45"},
		{"a jig over 200 pieces", rates.Process{PiecePrice: ft.Num("1"), Charges: []rates.ProcessCharge{
			{ID: "jig", Name: "jig", Amount: *ft.Num("150"), Per: rates.Once, OverPieces: ft.Num("200")}}}, area("1"), "40", "70"},
	} {
		c.process.Currency = "EUR"
		l := build(t, c.process, c.work, "")
		l.want(c.in, c.what, l.cost, ft.Rat(c.lot))
	}
}

// full is a process that asks for all there is.
func full() (rates.Process, bom.Treatment) {
	p := nickel
	p.Minimum, p.KilogramPrice, p.LeastAreaDM2, p.LoadDM2, p.LoadDM3 = ft.Num("2"), ft.Num("3"), ft.Num("5"), ft.Num("300"), ft.Num("20")
	p.AreaPrice, p.PieceBreaks = nil, []rates.PriceBreak{{From: *ft.Num("1"), Price: *ft.Num("0.9")}, {From: *ft.Num("50"), Price: *ft.Num("0.7")}}
	p.AreaBreaks = []rates.PriceBreak{{From: *ft.Num("1"), Price: *ft.Num("0.8")}, {From: *ft.Num("100"), Price: *ft.Num("0.6")}}
	for i, per := range []rates.ChargeUnit{rates.PerLot, rates.EachPiece, rates.PerContact, rates.Once} {
		p.Charges = append(p.Charges, rates.ProcessCharge{ID: bom.ID(per), Name: "charge per " + string(per), Amount: bom.Whole(int64(3 + i)), Per: per, WhenAsked: i%2 == 0})
	}
	p.Charges[3].OverPieces = ft.Num("100")
	p.Surcharges = []rates.Surcharge{{ID: "energy", Share: *ft.Num("0.025"), From: "2026-11-01", Until: "2026-11-20"}, {ID: "metal", Share: *ft.Num("0.05"), From: "2026-11-01"}}
	p.Metal = &rates.MetalPart{Metal: "nickel", Share: ft.Num("0.9")}
	p.AllowedLoss, p.SpoiledTimes = ft.Num("0.01"), ft.Num("2")
	w := plating
	w.PiecesPerLoad, w.SpaceDM3, w.Contacts, w.Charges = nil, ft.Num("0.5"), ft.Num("2"), []bom.ID{"lot", "contact"}
	return p, w
}

// lotOf is what 60 pieces of a full tariff cost.
func lotOf(t *testing.T, p rates.Process, w bom.Treatment) (*lot, *big.Rat) {
	t.Helper()
	l := buildSent(t, p, w, "", "120", "0.95")
	return l, l.Get(l.at("60"), l.cost).Rat()
}

// TestOrderOfCharges: the order of charges, surcharges and days changes nothing, and a
// surcharge that ran out is told of.
func TestOrderOfCharges(t *testing.T) {
	t.Parallel()
	p, w := full()
	l, want := lotOf(t, p, w)
	if !told(l, graph.Warning, "the surcharge for energy ran out on 20 November 2026 and is still used") {
		t.Error("a surcharge that ran out is not told of")
	}
	l.sent.In = ft.Rat("60")
	if got := ft.Charge(p, w, l.sent); got.Cmp(want) != 0 {
		t.Errorf("the lot costs %s, by the invoice %s", want.FloatString(6), got.FloatString(6))
	}
	slices.Reverse(p.Charges)
	slices.Reverse(p.Surcharges)
	slices.Reverse(w.Charges)
	if _, got := lotOf(t, p, w); got.Cmp(want) != 0 {
		t.Errorf("in another order the lot costs %s, not %s", got.FloatString(6), want.FloatString(6))
	}
}

// TestEveryPriceTells: each number of a full tariff that is taken out changes the lot, or
// something says that it is missing.
func TestEveryPriceTells(t *testing.T) {
	t.Parallel()
	p, w := full()
	l, want := lotOf(t, p, w)
	before := len(l.Graph.Findings())
	said := func(what string, p rates.Process, w bom.Treatment) {
		l, got := lotOf(t, p, w)
		if gaps := len(l.Graph.Standing(nil).Missing(l.cost)); got.Cmp(want) == 0 && gaps == 0 && len(l.Graph.Findings()) <= before {
			t.Errorf("without %s the lot costs the same, and nothing says so", what)
		}
	}
	for _, record := range []reflect.Value{reflect.ValueOf(&p).Elem(), reflect.ValueOf(&w).Elem()} {
		for i := range record.NumField() {
			field, v := record.Type().Field(i), record.Field(i)
			what := strings.Split(field.Tag.Get("book"), ",")[0]
			if kind := v.Kind(); kind != reflect.Slice && kind != reflect.Pointer || v.IsNil() || what == "minimum" || what == "load_dm2" {
				continue // below what is charged anyway, or wider than the space of a load
			}
			was := reflect.New(v.Type()).Elem()
			was.Set(v)
			v.SetZero()
			said(what, p, w)
			v.Set(was)
		}
	}
	for i := range p.Charges {
		less := p
		less.Charges = slices.Delete(slices.Clone(p.Charges), i, i+1)
		said(string(p.Charges[i].ID), less, w)
	}
}

// TestMoreNeverCostsLess: area, least area, contacts, a higher price of the metal and a
// higher minimum; and the least of an order holds.
func TestMoreNeverCostsLess(t *testing.T) {
	t.Parallel()
	for what, set := range map[string]func(*rates.Process, *bom.Treatment, *bom.Number){
		"area": func(p *rates.Process, w *bom.Treatment, n *bom.Number) {
			p.AreaBreaks, p.AreaPrice, w.AreaDM2 = nil, ft.Num("0.6"), n
		},
		"least area": func(p *rates.Process, _ *bom.Treatment, n *bom.Number) { p.LeastAreaDM2 = n },
		"contacts":   func(_ *rates.Process, w *bom.Treatment, n *bom.Number) { w.Contacts = n },
		"metal":      func(p *rates.Process, _ *bom.Treatment, n *bom.Number) { p.Metal.MassG = n },
		"minimum":    func(p *rates.Process, _ *bom.Treatment, n *bom.Number) { p.Minimum = n },
	} {
		before := new(big.Rat)
		for _, text := range []string{"1", "2", "5", "6", "300", "9000"} {
			p, w := full()
			p.AllowedLoss, p.LoadDM2 = nil, nil
			set(&p, &w, ft.Num(text))
			_, got := lotOf(t, p, w)
			if got.Cmp(before) < 0 {
				t.Errorf("%s of %s costs %s, less of it %s", what, text, got.FloatString(4), before.FloatString(4))
			}
			if what == "minimum" && got.Cmp(ft.Rat(text)) < 0 {
				t.Errorf("a lot costs %s, less than its minimum of %s", got.FloatString(4), text)
			}
			before = got
		}
	}
}
