package finish_test

import (
	"fmt"
	"math/big"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/making/finish"
	"kerfbook/costing/rates"
)

// lot is a process and a treatment as a graph, with the units in left open.
type lot struct {
	ft.Figures
	unitsIn, cost graph.ID
	sent          ft.Sent
}

const today = "2026-11-25"

func build(t *testing.T, p rates.Process, w bom.Treatment, rate string) *lot {
	t.Helper()
	return buildSent(t, p, w, rate, "", "")
}

// buildSent is the same of pieces with a mass in g, of which a share comes back good.
func buildSent(t *testing.T, p rates.Process, w bom.Treatment, rate, mass, yield string) *lot {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	root := b.Root().From(graph.Source{Where: "test"})
	exchange := graph.None
	if rate != "" {
		exchange = root.Input("rate", "exchange rate", graph.Currency("EUR").Per(graph.Currency(string(p.Currency))), ft.Dec(rate))
	}
	l := &lot{sent: ft.Sent{Day: today}, unitsIn: root.Input("units-in", "units in", graph.Piece, ft.Dec("1"))}
	metal := graph.None
	if p.Metal != nil {
		l.sent.MetalPerKg = ft.Rat("123.45")
		metal = root.Input("metal", "metal", graph.Currency("EUR").Per(graph.Kilogram), ft.Dec("123.45"))
		if p.Currency != "EUR" {
			metal = root.Input("metal-foreign", "metal", graph.Currency(string(p.Currency)).Per(graph.Kilogram), ft.Dec("123.45"))
		}
	}
	of := finish.Lot{In: l.unitsIn, Yield: graph.None, Surface: graph.None, Mass: graph.None}
	if mass != "" {
		of.Mass, l.sent.MassG = root.Input("mass", "mass", graph.Gram.Per(graph.Piece), ft.Dec(mass)), ft.Rat(mass)
	}
	if yield != "" {
		of.Yield, l.sent.Yield = root.Input("yield", "yield", graph.Plain, ft.Dec(yield)), ft.Rat(yield)
	}
	var err error
	l.cost, err = finish.Build(root.In("op"), &w, finish.NewProcess(root.In("process"), p, exchange, finishes(t), today, metal), of)
	if err != nil {
		t.Fatal(err)
	}
	l.Figures = ft.Of(t, b)
	return l
}

func finishes(t *testing.T) rates.Finishes {
	t.Helper()
	f, err := rates.ReferenceFinishes()
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func (l *lot) at(unitsIn string) *exact.Values {
	l.T.Helper()
	return l.At(exact.Pins{l.unitsIn: ft.Dec(unitsIn)})
}

func (l *lot) want(unitsIn, what string, id graph.ID, expected *big.Rat) {
	l.T.Helper()
	l.Want(l.at(unitsIn), what+" of "+unitsIn+" units in", id, expected)
}

// TestLots compares F2 with an invoice written line by line.
func TestLots(t *testing.T) {
	t.Parallel()
	for seed := range uint64(400) {
		d := ft.Drawn(seed, 2)
		p := rates.Process{Currency: "EUR", Minimum: d.Maybe(40000, 2), Fixed: d.Maybe(5000, 2), LoadCharge: d.Maybe(3000, 2),
			PiecePrice: d.Maybe(300, 2), AreaPrice: d.Maybe(150, 2), AreaMicronPrice: d.Maybe(40, 2), MaskPrice: d.Maybe(90, 2), LoadDM2: d.Maybe(90, 0),
			TransportThere: d.Maybe(2000, 2), TransportBack: d.Maybe(2000, 2)}
		w := bom.Treatment{AreaDM2: d.Maybe(90, 1), ThicknessUM: d.Maybe(25, 0), Masks: d.Maybe(4, 0), PiecesPerLoad: d.Maybe(80, 0)}
		if w.AreaDM2 != nil && d.IntN(2) == 0 {
			half := bom.Exactly(w.AreaDM2.Likely.Mul(decimal.New(5, -1)))
			w.MaskedDM2 = &half
		}
		if p.MaskPrice == nil {
			p.MaskMin, p.MaskRatePerH = d.Maybe(40, 1), ft.Num("27.50")
		}
		rate, exchange := ft.Rat("1"), ""
		if d.IntN(2) == 0 {
			p.Currency, exchange, rate = "CHF", "1.0625", ft.Rat("1.0625")
		}
		mass, yield := tariffDrawn(d, &p, &w)
		l := buildSent(t, p, w, exchange, mass, yield)
		if l.cost == graph.None {
			continue // no entry that costs anything
		}
		for _, unitsIn := range []string{"0", "1", "59.5", "60", "101.0101010101010101", "480"} {
			l.sent.In = ft.Rat(unitsIn)
			l.want(unitsIn, fmt.Sprintf("seed %d: lot", seed), l.cost, ft.Times(ft.Charge(p, w, l.sent), rate))
		}
	}
}

// nickel is a process with everything but a piece price.
var nickel = rates.Process{Currency: "EUR", Minimum: ft.Num("140"), Fixed: ft.Num("35"), LoadCharge: ft.Num("22"), AreaPrice: ft.Num("0.85"),
	AreaMicronPrice: ft.Num("0.16"), MaskPrice: ft.Num("0.35"), TransportThere: ft.Num("12"), TransportBack: ft.Num("13"), CoatingDensityGCM3: ft.Num("7.8")}

var plating = bom.Treatment{AreaDM2: ft.Num("4.1"), ThicknessUM: ft.Num("12"), Masks: ft.Num("1"), PiecesPerLoad: ft.Num("60")}

// TestNickel by hand: a piece costs 4.1 × (0.85 + 12 × 0.16) + 0.35 = 11.707.
func TestNickel(t *testing.T) {
	t.Parallel()
	l := build(t, nickel, plating, "")
	for unitsIn, cost := range map[string]string{
		"0":    "0",
		"1":    "165", // 35 + 22 + 11.707 is below the minimum; transport comes on top
		"7":    "165",
		"8":    "175.656",
		"60":   "784.42",
		"60.5": "812.2735", // a second rack for half a piece, which is charged as half a piece
		"120":  "1508.84",
	} {
		l.want(unitsIn, "lot", l.cost, ft.Rat(cost))
	}
}

// TestExactLoads: units in that are exactly whole racks after a division take no
// rack more.
func TestExactLoads(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	root := b.Root()
	good := root.Input("good", "good", graph.Piece, ft.Dec("1"))
	unitsIn := root.Divide("units-in", "units in", good, root.Input("yield", "yield", graph.Plain, ft.Dec("0.97")))
	p := finish.NewProcess(root.In("process"), rates.Process{Currency: "EUR", LoadCharge: ft.Num("22")}, graph.None, finishes(t), today, graph.None)
	cost, err := finish.Build(root.In("op"), &bom.Treatment{PiecesPerLoad: ft.Num("30")}, p, finish.Lot{In: unitsIn, Yield: graph.None, Surface: graph.None, Mass: graph.None})
	if err != nil {
		t.Fatal(err)
	}
	f := ft.Of(t, b)
	for racks := int64(1); racks <= 400; racks++ { // 29.1 good pieces a rack
		if got := f.Get(f.At(exact.Pins{good: decimal.New(291*racks, -1)}), cost); !got.Equal(decimal.New(22*racks, 0)) {
			t.Fatalf("%d racks cost %s", racks, got)
		}
	}
}

// TestCoatingMass is F1: cm² × µm × 10⁻⁴ × g/cm³.
func TestCoatingMass(t *testing.T) {
	t.Parallel()
	l := build(t, nickel, plating, "")
	l.want("1", "coating", l.ID("op/coating-mass"), ft.Times(ft.Rat("410"), ft.Rat("12"), ft.Rat("0.0001"), ft.Rat("7.8"))) // 3.8376 g
	for _, w := range []bom.Treatment{{AreaDM2: ft.Num("4.1")}, {ThicknessUM: ft.Num("12")}} {
		if build(t, nickel, w, "").Has("op/coating-mass") {
			t.Errorf("%+v has a coating mass", w)
		}
	}
}

// TestOnlySomeEntries: a process may ask for one thing only.
func TestOnlySomeEntries(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name    string
		process rates.Process
		cost    string // of 100 units in
	}{
		{"minimum", rates.Process{Minimum: ft.Num("90")}, "90"},
		{"transport", rates.Process{TransportBack: ft.Num("12")}, "12"},
		{"minimum and transport", rates.Process{Minimum: ft.Num("90"), TransportThere: ft.Num("12")}, "102"},
		{"lot charge", rates.Process{Fixed: ft.Num("35")}, "35"},
		{"piece price", rates.Process{PiecePrice: ft.Num("0.2")}, "20"},
	} {
		c.process.Currency = "EUR"
		l := build(t, c.process, plating, "")
		l.want("100", c.name, l.cost, ft.Rat(c.cost))
		l.want("0", c.name, l.cost, ft.Rat("0"))
	}
	l := build(t, rates.Process{ID: "NI", Currency: "EUR"}, plating, "")
	if !told(l, graph.Note, "masks are entered, and NI charges none") {
		t.Error("masks that nobody charges are not told of")
	}
	if state := l.Graph.Standing(nil).Of(l.cost); state != graph.AtLeast {
		t.Errorf("the cost of a process that asks for nothing is %d", state)
	}
}
