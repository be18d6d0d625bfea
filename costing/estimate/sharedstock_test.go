package estimate_test

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/check"
	"kerfbook/costing/estimate"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/making/blank"
	"kerfbook/costing/papers/recalctest"
)

// stockBook is a shop with one bar and one sheet and as many parts as there are
// blanks, one of each in the product.
func stockBook(t *testing.T, blanks ...string) *book.Book {
	t.Helper()
	var parts, positions strings.Builder
	for i, b := range blanks {
		fmt.Fprintf(&parts, "  - {number: P%d, name: part %d, kind: made, mass_g: 10, blank: {%s}}\n", i, i, b)
		fmt.Fprintf(&positions, "{number: %d, part: P%d, quantity: 1},", 10*(i+1), i)
	}
	return smallBook(t, `materials: [{id: M, name: metal, density_g_cm3: 8, reclaim_per_kg: 2, recovered_share: 0.9, source: invented}]
stocks:
  - {id: BAR, name: bar, material: M, form: bar, length_mm: 3000, width_mm: 50, thickness_mm: 10}
  - {id: SHEET, name: sheet, material: M, form: sheet, length_mm: 1000, width_mm: 500, thickness_mm: 2}
offers:
  - {for: BAR, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 30}, {from: 10, price: 27}], inbound: {fixed: 12}}
  - {for: SHEET, supplier: S, unit: sheet, currency: EUR, breaks: [{from: 1, price: 40}]}
parts:
`+parts.String()+`products:
  - number: X
    name: product
    positions: [`+positions.String()+`]
    trims: [{id: only, name: Only}]
`)
}

func (s sheet) of(format string, args ...any) *big.Rat {
	s.T.Helper()
	return s.key(fmt.Sprintf(format, args...))
}

// TestSharedBars: two parts on one bar. Each alone takes a bar for 5 blanks of
// 580; 2 of 1400 leave 192 in a bar of 3000. Together they are cut from fewer.
func TestSharedBars(t *testing.T) {
	t.Parallel()
	const common = "stock: BAR, kerf_mm: 2, end_cut_mm: 10, bar_end_mm: 40, leftover_value: 0.5"
	b := stockBook(t, common+", length_mm: 1700, share_stock: true", common+", length_mm: 580, share_stock: true")
	s := smallSheet(t, b, 8)
	// 1702 + 2 × 582 = 2866 of 2950: eight bars with the long ones hold 16 short.
	ft.Same(t, "pieces", s.of("stock/BAR/shared/pieces"), ft.Rat("8"))
	ft.Same(t, "long ones alone", s.of("part/P0/stock-alone"), ft.Rat("8"))
	ft.Same(t, "short ones alone", s.of("part/P1/stock-alone"), ft.Rat("2"))
	for _, check := range []string{"stock/BAR/shared/at-least", "stock/BAR/shared/no-more-than-alone", "part/P0/shared-enough", "part/P1/shared-enough"} {
		ft.Same(t, check, s.key(check), ft.Rat("1"))
	}
	cost := ft.Plus(ft.Times(ft.Rat("8"), ft.Rat("30")), ft.Rat("12"))
	ft.Same(t, "cost", ft.Plus(s.of("part/P0/shared-cost"), s.of("part/P1/shared-cost")), cost)
	ft.Same(t, "by length", s.of("part/P0/shared-cost"), ft.Times(cost, ft.Over(ft.Rat("1702"), ft.Rat("2284"))))
	ft.Same(t, "nothing left over", s.of("stock/BAR/shared/leftover"), ft.Rat("0"))

	apart := stockBook(t, common+", length_mm: 1700", common+", length_mm: 580, share_stock: true")
	alone, never := smallSheet(t, apart, 8), smallSheet(t, stockBook(t, common+", length_mm: 1700", common+", length_mm: 580"), 8)
	if alone.Has("stock/BAR/shared/pieces") {
		t.Error("a part that has its stock for itself shares it")
	}
	ft.Same(t, "one sharer alone", alone.rat(alone.est.Variants[0].Full), never.rat(never.est.Variants[0].Full))
	if s.rat(s.est.Variants[0].Full).Cmp(never.rat(never.est.Variants[0].Full)) >= 0 {
		t.Error("sharing saves nothing")
	}
}

// TestSharedStockAddsUp: whatever is shared, bars or sheets, the shares are the
// cost of the order, chips + parts + what is kept are the mass bought, and no more
// stock is needed than apart.
func TestSharedStockAddsUp(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(3, 9))
	saved := 0
	for i := range 60 {
		stock, n := "BAR", 2+rng.IntN(3)
		keep := []string{"", ", keep_remnant_mm: 150"}[rng.IntN(2)]
		var blanks []string
		for range n {
			if i%2 == 0 {
				blanks = append(blanks, fmt.Sprintf("stock: BAR, kerf_mm: 2.5, end_cut_mm: 8, bar_end_mm: 30, length_mm: %d.%d, share_stock: true, leftover_value: 0.%d%s",
					60+rng.IntN(1500), rng.IntN(10), rng.IntN(10), keep))
				continue
			}
			stock = "SHEET"
			size := fmt.Sprintf("length_mm: %d, width_mm: %d, grain: %v", 40+rng.IntN(400), 40+rng.IntN(300), rng.IntN(3) == 0)
			if rng.IntN(4) == 0 {
				size = fmt.Sprintf("diameter_mm: %d", 40+rng.IntN(250))
			}
			blanks = append(blanks, fmt.Sprintf("stock: SHEET, kerf_mm: 3, margin_mm: 5, share_stock: true, leftover_value: 0.%d, %s%s", rng.IntN(10), size, keep))
		}
		s := smallSheet(t, stockBook(t, blanks...), 1+rng.Int64N(90))
		if s.sharedAddsUp(fmt.Sprint(blanks), stock, n) {
			saved++
		}
	}
	if saved < 15 {
		t.Errorf("sharing saves stock in %d cases only; they are too tame", saved)
	}
}

func (s sheet) sharedAddsUp(what, stock string, n int) (saved bool) {
	s.T.Helper()
	cost, mass, alone := new(big.Rat), new(big.Rat), new(big.Rat)
	for i := range n {
		part := fmt.Sprintf("part/P%d/", i)
		cost = ft.Plus(cost, s.key(part+"shared-cost"))
		mass = ft.Plus(mass, s.key(part+"mass-chips"), s.key(part+"mass-good"), s.key(part+"mass-leftover"))
		alone = ft.Plus(alone, s.key(part+"stock-alone"))
		ft.Same(s.T, what+": enough", s.key(part+"shared-enough"), ft.Rat("1"))
		if s.key(part+"mass-chips").Sign() < 0 || s.key(part+"charged").Sign() < 0 {
			s.T.Errorf("%s: part %d has chips of %s kg and is charged %s", what, i, s.key(part+"mass-chips").FloatString(6), s.key(part+"charged").FloatString(6))
		}
	}
	shared := "stock/" + stock + "/shared/"
	ft.Same(s.T, what+": cost", cost, s.key(shared+"order/S/order-cost"))
	bought := ft.Times(s.key(shared+"order/S/order-quantity"), s.of("stock/%s/mass", stock))
	ft.Same(s.T, what+": mass", mass, bought)
	for _, check := range []string{"at-least", "no-more-than-alone"} {
		ft.Same(s.T, what+": "+check, s.key(shared+check), ft.Rat("1"))
	}
	ft.Same(s.T, what+": needed", s.key(shared+"stock-needed"), s.key(shared+"pieces"))
	return s.key(shared+"pieces").Cmp(alone) < 0
}

// TestSharedStockFollowsItsQuantities: another quantity asks for another layout, which is
// the one of an estimate built for it; another size asks for another estimate.
func TestSharedStockFollowsItsQuantities(t *testing.T) {
	t.Parallel()
	const common = "stock: BAR, kerf_mm: 2, end_cut_mm: 10, bar_end_mm: 40, keep_remnant_mm: 200, leftover_value: 0.5, share_stock: true"
	b := stockBook(t, common+", length_mm: 1700", common+", length_mm: 580")
	est := build(t, b, estimate.NewMix("X", decimal.NewFromInt(8), "only"))
	plan, err := column.New(est.Graph, column.Options{Vary: []graph.ID{est.Variants[0].Quantity}, Outputs: []graph.ID{est.Variants[0].Full}})
	if err != nil {
		t.Fatal(err)
	}
	c := plan.Columns()
	for q := int64(1); q < 30; q++ {
		quantity := decimal.NewFromInt(q)
		again := build(t, b, estimate.NewMix("X", quantity, "only"))
		followed, built := evaluate(t, est, map[string]decimal.Decimal{"mix/only": quantity}), evaluate(t, again, nil)
		ft.Same(t, fmt.Sprintf("%d pieces", q), built.of("stock/BAR/shared/pieces"), big.NewRat(q, 1))
		for id := range graph.ID(est.Graph.Len()) {
			if key := est.Graph.Node(id).Key; est.Graph.Node(id).Kind != graph.Input {
				ft.Same(t, fmt.Sprintf("%d pieces: %s", q, key), followed.key(key), built.key(key))
			}
		}
		c.In(0)[q-1] = float64(q)
	}
	if err := c.Run(29); err != nil {
		t.Fatal(err)
	}
	for q := int64(1); q < 30; q++ {
		want, _ := evaluate(t, est, map[string]decimal.Decimal{"mix/only": decimal.NewFromInt(q)}).key(est.Graph.Node(est.Variants[0].Full).Key).Float64()
		if got := c.Out(0)[q-1]; math.Abs(got-want) > 1e-9*want {
			t.Errorf("%d pieces: %g in a column, %g", q, got, want)
		}
	}
	length, _ := est.Graph.Find("stock/BAR/length")
	_, err = exact.Evaluate(est.Graph, exact.Pins{length: decimal.NewFromInt(3100)})
	var outside *exact.OutsideDecisionError
	if !errors.As(err, &outside) || outside.Input != "stock/BAR/length" {
		t.Errorf("another bar: %v", err)
	}
}

// TestSharedLayoutIsTheOneCounted draws shared stock and counts pieces and blanks.
func TestSharedLayoutIsTheOneCounted(t *testing.T) {
	t.Parallel()
	const common = "stock: SHEET, kerf_mm: 3, margin_mm: 5, share_stock: true"
	b := stockBook(t, common+", length_mm: 310, width_mm: 205", common+", diameter_mm: 122", common+", length_mm: 95, width_mm: 60, grain: true")
	s := smallSheet(t, b, 23)
	var lot []blank.SharedBlank
	for i := range b.Parts {
		per := s.of("part/P%d/per-stock", i)
		lot = append(lot, blank.SharedBlank{Part: b.Parts[i].Number, Def: b.Parts[i].Blank, Start: 23, PerStock: per.Num().Int64()})
	}
	pictures, err := blank.SharedLayout(lot, &b.Stocks[1])
	if err != nil {
		t.Fatal(err)
	}
	pieces, drawn := 0, map[bom.ID]int{}
	for _, p := range pictures {
		pieces += p.Pieces
		for _, a := range p.Areas {
			if a.Role == blank.BlankArea {
				drawn[a.Part] += p.Pieces
			}
		}
	}
	ft.Same(t, "pieces", s.of("stock/SHEET/shared/pieces"), big.NewRat(int64(pieces), 1))
	for _, p := range b.Parts {
		if drawn[p.Number] != 23 {
			t.Errorf("%d blanks of %s drawn", drawn[p.Number], p.Number)
		}
	}
}

// TestUnlikeBlanksCannotShare: a bar is trimmed and held one way.
func TestUnlikeBlanksCannotShare(t *testing.T) {
	t.Parallel()
	b := stockBook(t, "stock: BAR, length_mm: 100, kerf_mm: 2, share_stock: true", "stock: BAR, length_mm: 200, kerf_mm: 3, share_stock: true")
	_, err := estimate.Build(b, estimate.NewMix("X", decimal.NewFromInt(5), "only"), demoDay)
	says(t, messages(err), "parts[1].blank.kerf_mm", "P0 and P1", "kerf_mm", "share_stock")
	found := false
	for _, p := range check.Book(b, nil, demoDay) {
		found = found || p.Path == "parts[1].blank.kerf_mm" && p.Severity != check.Warning
	}
	if !found {
		t.Error("the check of the book says nothing")
	}
}

// TestMisfits: a blank that the stock does not yield, and a part heavier than its
// blank, with both sizes and a remedy. The check of a book finds what needs no
// count: a blank larger than its stock.
func TestMisfits(t *testing.T) {
	t.Parallel()
	for blanks, words := range map[string][]string{
		"stock: BAR, length_mm: 2990, end_cut_mm: 8, bar_end_mm: 40":                                   {"parts[0].blank.length_mm", "2990 mm", "3000 mm", "8 mm cut off the end and 40 mm of the end held", "shorten"},
		"stock: SHEET, length_mm: 700, width_mm: 496, margin_mm: 5":                                    {"parts[0].blank.length_mm", "700 × 496", "1000 × 500", "5 mm left free", "larger sheet"},
		"stock: SHEET, length_mm: 480, width_mm: 700, grain: true":                                     {"parts[0].blank.length_mm", "480 × 700", "1000 × 500", "grain"},
		"stock: SHEET, diameter_mm: 495, margin_mm: 4":                                                 {"parts[0].blank.diameter_mm", "495", "1000 × 500", "larger sheet"},
		"stock: BAR, length_mm: 2.4":                                                                   {"parts[0].mass_g", "10 g", "9.600 g", "density"},
		"stock: BAR, length_mm: 2990, end_cut_mm: 8, bar_end_mm: 40, share_stock: true":                {"parts[0].blank.length_mm", "2990 mm", "shorten"},
		"stock: SHEET, length_mm: 10, width_mm: 10, share_stock: true, kerf_mm: 2, keep_remnant_mm: 1": {"parts[0].mass_g", "10 g", "1.600 g"},
	} {
		b := stockBook(t, blanks, strings.Replace(blanks, "2990", "100", 1))
		_, err := estimate.Build(b, estimate.NewMix("X", decimal.NewFromInt(5), "only"), demoDay)
		says(t, messages(err), words...)
	}
	if _, err := estimate.Build(stockBook(t, "stock: BAR, length_mm: 2.5"), estimate.NewMix("X", decimal.NewFromInt(5), "only"), demoDay); err != nil {
		t.Errorf("a part as heavy as its blank: %v", err)
	}
	if _, err := estimate.Build(stockBook(t, "stock: BAR, length_mm: {low: 2.3, likely: 2.4, high: 2.9}"), estimate.NewMix("X", decimal.NewFromInt(5), "only"), demoDay); err != nil {
		t.Errorf("a range that may hold the part: %v", err)
	}
}

// TestRemnantsKept: 100 blanks of 410 from bars of 3000 with 50 held; seven go on a
// bar and leave 3000 − 7 × 412 = 116.
func TestRemnantsKept(t *testing.T) {
	t.Parallel()
	const bar = "stock: BAR, length_mm: 410, kerf_mm: 2, bar_end_mm: 50, leftover_value: 0.6"
	without, with := smallSheet(t, stockBook(t, bar), 100), smallSheet(t, stockBook(t, bar+", keep_remnant_mm: 116"), 100)
	short := smallSheet(t, stockBook(t, bar+", keep_remnant_mm: 116.1"), 100)
	ft.Same(t, "charged with a remnant too short", short.of("part/P0/remnant/charged"), without.of("part/P0/charged"))
	ft.Same(t, "share of a bar", with.of("part/P0/remnant/share"), ft.Over(ft.Rat("116"), ft.Rat("3000")))
	pieces := ft.Times(ft.Over(ft.Rat("100"), ft.Rat("7")), ft.Over(ft.Rat("116"), ft.Rat("3000")))
	ft.Same(t, "remnants", with.of("part/P0/remnant/pieces"), pieces)
	perBar := ft.Plus(ft.Rat("27"), ft.Over(ft.Rat("12"), ft.Rat("15")))
	ft.Same(t, "charged", with.of("part/P0/remnant/charged"), ft.Minus(without.of("part/P0/charged"), ft.Times(pieces, perBar, ft.Rat("0.6"))))
	ft.Same(t, "chips", with.of("part/P0/mass-chips"), ft.Minus(without.of("part/P0/mass-chips"), ft.Times(pieces, ft.Rat("12"))))

	// A sheet of 1000 × 500 with 3 × 2 blanks of 300 × 200 leaves 100 × 500 and 900 × 100.
	const plate = "stock: SHEET, length_mm: 300, width_mm: 200, grain: true, leftover_value: 1"
	for keep, area := range map[string]string{"100": "140000", "100.5": "0", "40": "140000"} {
		s := smallSheet(t, stockBook(t, plate+", keep_remnant_mm: "+keep), 12)
		ft.Same(t, "offcuts of at least "+keep, ft.Times(s.of("part/P0/remnant/share"), ft.Rat("500000")), ft.Rat(area))
	}
}

// TestBuyToFly is the mass bought for each kilogram of good pieces.
func TestBuyToFly(t *testing.T) {
	t.Parallel()
	s := smallSheet(t, stockBook(t, "stock: BAR, length_mm: 50"), 120)
	ft.Same(t, "bought", s.of("part/P0/mass-bought"), ft.Rat("24"))
	ft.Same(t, "buy to fly", s.of("part/P0/buy-to-fly"), ft.Rat("20"))
	ft.Same(t, "use of a bar", s.of("part/P0/stock-use"), ft.Rat("1"))
	if id := s.ID("part/P0/mass-chips"); s.est.Graph.Node(id).Unit != graph.Kilogram {
		t.Error("chips are not in kg")
	}
}

// TestSharedStockInAWorkbook: the figures of shared stock are live formulas, with
// their checks, and give what the engine gives.
func TestSharedStockInAWorkbook(t *testing.T) {
	t.Parallel()
	const bar = "stock: BAR, kerf_mm: 2.4, end_cut_mm: 10, bar_end_mm: 40, share_stock: true, leftover_value: 0.5, keep_remnant_mm: 90"
	const plate = "stock: SHEET, kerf_mm: 3, margin_mm: 5, share_stock: true, keep_remnant_mm: 60, leftover_value: 1"
	b := stockBook(t, bar+", length_mm: 434.6", bar+", length_mm: 151.2", plate+", length_mm: 310, width_mm: 205", plate+", diameter_mm: 122",
		"stock: SHEET, length_mm: 120, width_mm: 80, kerf_mm: 3, margin_mm: 10, keep_remnant_mm: 40, leftover_value: 0.4")
	s := smallSheet(t, b, 37)
	recalctest.Compare(t, s.est.Graph, recalctest.Graphs(t, s.est.Graph)[0])
}
