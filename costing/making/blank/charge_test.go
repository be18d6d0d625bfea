package blank_test

import (
	"fmt"
	"math/big"
	"math/rand/v2"
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/making/blank"
	"kerfbook/costing/rates"
)

// copper is a flat bar 60 × 20 of 3 m that yields 46 blanks of 62 and weighs
// 32.148 kg.
func copper() job {
	j := plain(bom.Bar)
	j.stock.LengthMM, j.stock.WidthMM, j.stock.ThicknessMM = *ft.Num("3000"), ft.Num("60"), ft.Num("20")
	j.blank = bom.Blank{Stock: "S", LengthMM: ft.Num("62"), KerfMM: ft.Num("1.8"), EndCutMM: ft.Num("10"), BarEndMM: ft.Num("45")}
	j.massG = "402"
	return j
}

const (
	copperBlanks = 46
	barKg        = "32.148" // 3000 × 60 × 20 mm³ × 8.93 g/cm³
	barM         = "3"
)

// yard is what the oracle buys: whole bars cut one after another, or a quantity
// by mass or length that may end in a part of a bar.
type yard struct {
	bars     *big.Rat // bought
	cost     *big.Rat
	leftover int // whole blanks that are not started
}

// buy fetches bars until there are blanks enough, then raises the quantity to
// the minimum and up to the multiple, in purchase units of perBar each.
func buy(start int, o rates.Offer, perBar *big.Rat) yard {
	needed := 0
	for blanks := 0; blanks < start; blanks += copperBlanks {
		needed++
	}
	quantity := ft.Times(whole(needed), perBar)
	if o.MOQ != nil && needed > 0 && quantity.Cmp(o.MOQ.Likely.Rat()) < 0 {
		quantity = o.MOQ.Likely.Rat()
	}
	if o.Multiple != nil {
		packs := new(big.Rat)
		for packs.Cmp(quantity) < 0 {
			packs.Add(packs, o.Multiple.Likely.Rat())
		}
		quantity = packs
	}
	y := yard{bars: ft.Over(quantity, perBar), cost: ft.Times(quantity, o.Breaks[0].Price.Likely.Rat())}
	for left := y.bars; left.Cmp(ft.Rat("1")) >= 0; left = ft.Minus(left, ft.Rat("1")) {
		y.leftover += copperBlanks
	}
	y.leftover -= start
	return y
}

// charged takes off what is left: each blank at what the bars cost by blank.
func (y yard) charged(v *big.Rat) *big.Rat {
	charge := y.cost
	for range y.leftover {
		charge = ft.Minus(charge, ft.Times(v, ft.Over(y.cost, ft.Times(y.bars, whole(copperBlanks)))))
	}
	return charge
}

// units are the ways bars are sold, with purchase units by bar.
var units = []struct {
	unit   rates.PurchaseUnit
	perBar string
}{{rates.PerPiece, "1"}, {rates.PerKilogram, barKg}, {rates.PerMetre, barM}}

// TestCharge is S3 for random needs, minimums, multiples and credits.
func TestCharge(t *testing.T) {
	t.Parallel()
	d := ft.Drawn(60, 20)
	for range 200 {
		j := copper()
		u := units[d.IntN(len(units))]
		j.offer.Unit, j.offer.MOQ, j.offer.Multiple = u.unit, d.Maybe(900, 1), d.Maybe(250, 1)
		if u.unit == rates.PerPiece && j.offer.Multiple != nil {
			j.offer.Multiple = ft.Num(fmt.Sprint(1 + d.IntN(6)))
		}
		j.start, j.good = d.IntN(200), 1
		if d.IntN(4) == 0 {
			j.start = copperBlanks * d.IntN(5) // bars used up
		}
		share := []string{"", "0", "0.6", "1"}[d.IntN(4)]
		j.blank.LeftoverValue = ft.Num(share)
		j.checkCharge(t, u.perBar, share)
	}
}

func (j job) checkCharge(t *testing.T, perBar, share string) {
	t.Helper()
	offered := j.offer
	if offered.Unit != rates.PerPiece && offered.Multiple == nil {
		offered.Multiple = ft.Num(perBar) // sold by mass or length, and still in whole bars
	}
	y := buy(j.start, offered, ft.Rat(perBar))
	b := j.build(t)
	v := b.values()
	what := fmt.Sprintf("start %d, by %s, MOQ %v, multiple %v, v %q", j.start, j.offer.Unit, j.offer.MOQ, j.offer.Multiple, share)
	b.Want(v, what+": leftover", b.id("leftover"), whole(y.leftover))
	b.Want(v, what+": charged", b.charge.Stock, y.charged(entry(share)))
	if b.get(v, "leftover").IsNegative() {
		t.Errorf("%s: fewer blanks than pieces to start", what)
	}
}

// TestChargeByHand are bars at a price by piece or by kilogram, and what is credited
// for the blanks that are left over.
func TestChargeByHand(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		price, perKg, moq, multiple, value string
		start                              int
		leftover, charged                  string
	}{
		// 100 pieces take three bars, 38 blanks remain; at 60 % they bring 38/46 × 96 × 0.6.
		"no credit":     {"96", "", "", "", "", 100, "38", "288"},
		"worth nothing": {"96", "", "", "", "0", 100, "38", "288"},
		"worth all":     {"96", "", "", "", "1", 100, "38", "4800/23"},        // 288 − 3648/46
		"worth 60 %":    {"96", "", "", "", "0.6", 100, "38", "27648/115"},    // 288 − 2188.8/46
		"whole bars":    {"", "12.5", "40", "", "1", 20, "72", "16074/92"},    // 40 kg are more than a bar of 32.148: two bars, 64.296 × 12.5, of which 72 of 92 blanks are left
		"no whole bars": {"", "12.5", "40", "1", "1", 20, "26", "125519/460"}, // a bar and a bit that yields no blank: 500 − 26 × 12.5 × 32.148 ÷ 46
	} {
		j := copper()
		if c.perKg != "" {
			j.offer.Unit = rates.PerKilogram
		}
		j.offer.Breaks[0].Price = *ft.Num(c.price + c.perKg)
		j.offer.MOQ, j.offer.Multiple, j.blank.LeftoverValue = ft.Num(c.moq), ft.Num(c.multiple), ft.Num(c.value)
		j.start, j.good = c.start, c.start-3
		b := j.build(t)
		b.Want(b.values(), name+": leftover", b.id("leftover"), ft.Rat(c.leftover))
		b.Want(b.values(), name+": charged", b.charge.Stock, ft.Rat(c.charged))
	}
}

// TestReclaim is S4 piece by piece: a good piece sheds its share of the bar less
// its own mass, a piece that went wrong all of it, and so does a part of a bar
// that yields no blank.
func TestReclaim(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(4, 8))
	for range 120 {
		j := copper()
		u := units[rng.IntN(len(units))]
		j.offer.Unit = u.unit
		if rng.IntN(2) == 0 {
			j.offer.MOQ = ft.Num(fmt.Sprint(1 + rng.IntN(90)))
		}
		j.good = rng.IntN(150)
		j.start = j.good + rng.IntN(12)
		if j.good == 0 {
			j.start = 0
		}
		j.reclaim, j.recovered = "5.1", []string{"", "0.92", "0"}[rng.IntN(3)]
		j.blank.LeftoverValue = ft.Num([]string{"", "0", "0.6", "1"}[rng.IntN(4)])
		j.checkReclaim(t, u.perBar)
	}
}

func (j job) checkReclaim(t *testing.T, perBar string) {
	t.Helper()
	offered := j.offer
	if offered.Unit != rates.PerPiece && offered.Multiple == nil {
		offered.Multiple = ft.Num(perBar) // sold by mass or length, and still in whole bars
	}
	y := buy(j.start, offered, ft.Rat(perBar))
	share := ft.Over(ft.Rat(barKg), whole(copperBlanks))
	chips := new(big.Rat)
	for piece := range j.start {
		chips = ft.Plus(chips, share)
		if piece < j.good {
			chips = ft.Minus(chips, ft.Rat("0.402"))
		}
	}
	for left := y.bars; ; left = ft.Minus(left, ft.Rat("1")) {
		if left.Cmp(ft.Rat("1")) < 0 {
			chips = ft.Plus(chips, ft.Times(left, ft.Rat(barKg)))
			break
		}
	}
	b := j.build(t)
	v := b.values()
	recovered := ft.Rat("1")
	if j.recovered != "" {
		recovered = ft.Rat(j.recovered)
	}
	what := fmt.Sprintf("start %d, good %d, by %s, MOQ %v", j.start, j.good, j.offer.Unit, j.offer.MOQ)
	b.Want(v, what+": reclaim", b.charge.Reclaim, ft.Times(chips, recovered, ft.Rat("5.1")))
	balance := ft.Plus(b.rat(v, "mass-chips"), b.rat(v, "mass-good"), b.rat(v, "mass-leftover"))
	b.Want(v, what+": chips + parts + leftover", b.id("mass-bought"), balance)
	b.Want(v, what+": bought", b.id("mass-bought"), ft.Times(y.bars, ft.Rat(barKg)))
}

func (b *built) rat(v *exact.Values, key string) *big.Rat { return b.get(v, key).Rat() }

// TestNothingStarted buys nothing, charges nothing and has no chips.
func TestNothingStarted(t *testing.T) {
	t.Parallel()
	for _, v := range []string{"", "0.6"} {
		j := copper()
		j.start, j.good, j.reclaim = 0, 0, "5.1"
		j.offer.MOQ, j.offer.Inbound = ft.Num("3"), &rates.Inbound{Fixed: ft.Num("38")}
		j.blank.LeftoverValue = ft.Num(v)
		b := j.build(t)
		b.Want(b.values(), "charged", b.charge.Stock, ft.Rat("0"))
		b.Want(b.values(), "reclaim", b.charge.Reclaim, ft.Rat("0"))
	}
}

// TestInboundIsPartOfThePrice: leftover is credited at the price paid with the
// cost of getting it here.
func TestInboundIsPartOfThePrice(t *testing.T) {
	t.Parallel()
	j := copper()
	j.offer.Inbound = &rates.Inbound{Fixed: ft.Num("38"), PerUnit: ft.Num("2"), Share: ft.Num("0.05")}
	j.blank.LeftoverValue = ft.Num("1")
	j.start, j.good = 23, 23
	b := j.build(t)
	b.Want(b.values(), "half a bar of 145", b.charge.Stock, ft.Rat("72.5"))
}

// TestHeavierThanBlank: a part cannot weigh more than what it is cut from.
func TestHeavierThanBlank(t *testing.T) {
	t.Parallel()
	for mass, fits := range map[string]int{"402": 1, "664.392": 1, "664.393": 0} { // 62 × 60 × 20 × 8.93
		j := copper()
		j.massG = mass
		b := j.build(t)
		b.Want(b.values(), "a part of "+mass+" g fits", b.id("mass-fits"), whole(fits))
	}
}

// TestStockMass: the four forms of stock, each with its own volume.
func TestStockMass(t *testing.T) {
	t.Parallel()
	pi := ft.Rat("3.141592653589793238462643383279503")
	for _, c := range []struct {
		name  string
		stock bom.Stock
		kg    *big.Rat // at 8.93 g/cm³
	}{
		{"flat bar", bom.Stock{Form: bom.Bar, LengthMM: *ft.Num("3000"), WidthMM: ft.Num("60"), ThicknessMM: ft.Num("20")}, ft.Rat(barKg)},
		{"round bar", bom.Stock{Form: bom.Bar, LengthMM: *ft.Num("1000"), DiameterMM: ft.Num("20")}, ft.Times(pi, ft.Rat("0.893"))},
		{"tube", bom.Stock{Form: bom.Tube, LengthMM: *ft.Num("1000"), DiameterMM: ft.Num("20"), InnerDiameterMM: ft.Num("10")}, ft.Times(pi, ft.Rat("0.66975"))},
		{"plate", bom.Stock{Form: bom.Plate, LengthMM: *ft.Num("1000"), WidthMM: ft.Num("500"), ThicknessMM: ft.Num("12")}, ft.Rat("53.58")},
	} {
		j := plain(c.stock.Form)
		c.stock.ID = "S"
		j.stock = c.stock
		j.blank = bom.Blank{Stock: "S", LengthMM: ft.Num("100"), WidthMM: ft.Num("50")}
		b := j.build(t)
		b.Want(b.values(), "mass of a "+c.name, b.id("stock/S/mass"), c.kg)
	}
}

// TestNearNetIsDimensioned by its mass, its diameter, or its width and thickness.
func TestNearNetIsDimensioned(t *testing.T) {
	t.Parallel()
	n := ft.Num("1")
	for _, c := range []struct {
		of   bom.Stock
		want bool
	}{
		{bom.Stock{}, false}, {bom.Stock{WidthMM: n}, false}, {bom.Stock{ThicknessMM: n}, false},
		{bom.Stock{MassG: n}, true}, {bom.Stock{DiameterMM: n}, true}, {bom.Stock{WidthMM: n, ThicknessMM: n}, true},
	} {
		if c.of.Form = bom.NearNet; blank.Dimensioned(&c.of, &bom.Blank{}) != c.want {
			t.Errorf("%+v: not %t", c.of, c.want)
		}
	}
}
