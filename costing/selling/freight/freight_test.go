package freight_test

import (
	"strings"
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/rates"
	"kerfbook/costing/selling/exchange"
	"kerfbook/costing/selling/freight"
	"kerfbook/costing/trade"
)

// post takes up to 2 kg for 9 and up to 10 kg for 10.70.
func post() trade.Carrier {
	return trade.Carrier{ID: "post", Name: "post", Currency: "EUR", LengthUnit: trade.Centimetres, MassUnit: trade.Kilograms,
		Zones: []trade.Zone{{ID: "one", Places: []string{"DE"}, Bands: []trade.MassBand{{UpTo: *ft.Num("2"), Price: *ft.Num("9")}, {UpTo: *ft.Num("10"), Price: *ft.Num("10.7")}}}}}
}

// item is one kind of goods: pieces that weigh so much packed.
type item struct {
	pieces, massG string
	carton        *bom.Carton
}

func box(massG string) *bom.Parcel {
	return &bom.Parcel{LengthMM: bom.Whole(300), WidthMM: bom.Whole(200), HeightMM: bom.Whole(100), MassG: *ft.Num(massG)}
}

// load is what a carrier asks to take goods worth 100, evaluated.
type load struct {
	ft.Figures
	v *exact.Values
}

func carry(t *testing.T, c trade.Carrier, packed *bom.Parcel, items ...item) load {
	t.Helper()
	carrier, gaps := freight.Find([]trade.Carrier{c}, c.ID, "carrier", "2026-08-03", []string{"DE"})
	if len(gaps) > 0 {
		t.Fatal(gaps)
	}
	b := graph.NewBuilder(graph.Limits{})
	root := b.Root().From(graph.Source{Where: "test"})
	l := freight.Load{Carrier: carrier, Scope: root.In("to"), Goods: root.Input("goods", "goods", graph.Currency("EUR"), ft.Dec("100")),
		Rates: exchange.Rates{Root: root, Book: "EUR", Card: rates.RateCard{ID: "card", Exchange: []rates.Exchange{
			{From: "GBP", To: "EUR", Kind: rates.ForSelling, Rate: *ft.Num("1.25")}}}}}
	for i, it := range items {
		key := string(rune('a' + i))
		s := root.In(key)
		l.Items = append(l.Items, freight.Item{Key: key, Name: key, Quantity: s.Input("quantity", "quantity", graph.Piece, ft.Dec(it.pieces)),
			Pieces: s.Input("pieces", "pieces", graph.Plain, ft.Dec(it.pieces)),
			Parcel: freight.NewPacking(s, bom.Goods{Is: "product", Number: bom.ID(key), Parcel: box(it.massG), Carton: it.carton}, "products[0]")})
	}
	if packed != nil {
		p := freight.NewParcel(root.In("basket"), packed)
		l.Packed = &p
	}
	l.Freight()
	figures := ft.Of(t, b)
	return load{figures, figures.At(nil)}
}

// want compares figures by name with what they are to the last place written.
func (l load) want(figures ...string) {
	l.T.Helper()
	for i := 0; i < len(figures); i += 2 {
		got := l.Get(l.v, l.ID("to/"+figures[i]))
		if want := ft.Dec(figures[i+1]); !got.Round(-want.Exponent()).Equal(want) {
			l.T.Errorf("%s is %s, want %s", figures[i], got, want)
		}
	}
}

// Surcharges that bear fuel join the table price before it, others after.
func TestFuelAndSurcharges(t *testing.T) {
	t.Parallel()
	c := post()
	c.Fuel = ft.Num("0.27")
	c.Surcharges = []trade.Surcharge{
		{ID: "remote", Name: "remote area", Amount: ft.Num("31"), BearsFuel: true},
		{ID: "paper", Name: "paperwork", Amount: ft.Num("1.5")},
		{ID: "peak", Name: "peak", Share: ft.Num("0.1")},
	}
	// (9 + 31) × 1.27 + 1.5 + 0.9 = 53.2, two parcels
	carry(t, c, nil, item{pieces: "2", massG: "1000"}).want("parcel/a/fuel", "10.80", "parcel/a/freight", "53.20", "freight", "106.40")
}

func TestPriceAboveTheLastBand(t *testing.T) {
	t.Parallel()
	c := post()
	c.Zones[0].PerUnitAbove = ft.Num("2")
	for mass, want := range map[string]string{"2000": "9.00", "2001": "10.70", "10000": "10.70", "12500": "15.70"} {
		carry(t, c, nil, item{pieces: "1", massG: mass}).want("freight", want)
	}
}

// A basket with its own parcel pays for one; without, for each piece.
func TestBasketParcel(t *testing.T) {
	t.Parallel()
	items := []item{{pieces: "2", massG: "1000"}, {pieces: "1", massG: "500"}}
	carry(t, post(), nil, items...).want("freight", "27.00")
	carry(t, post(), box("2500"), items...).want("freight", "10.70")
}

// Pieces share cartons: full ones, one more for what is left, and the parcel of a
// piece for a single one.
func TestPiecesShareCartons(t *testing.T) {
	t.Parallel()
	carton := bom.Carton{Pieces: bom.Whole(5), LengthMM: bom.Whole(400), WidthMM: bom.Whole(300), HeightMM: bom.Whole(200), EmptyG: bom.Whole(500)}
	for pieces, want := range map[string]string{
		"1":  "9.00",  // its parcel of 1 kg
		"2":  "10.70", // a carton of 2.5 kg
		"4":  "10.70",
		"5":  "10.70", // a full carton of 5.5 kg
		"6":  "19.70", // and a parcel
		"10": "21.40",
		"12": "32.10", // and a carton of 2.5 kg
	} {
		carry(t, post(), nil, item{pieces, "1000", &carton}).want("freight", want)
	}
	heavy := carton
	heavy.Pieces = bom.Whole(20)
	carry(t, post(), nil, item{"3", "1000", &heavy}).want("freight", "10.70") // a full one would not be taken, and none goes
}

// A carrier that invoices in other money, here entered the other way round.
func TestCarrierInOtherMoney(t *testing.T) {
	t.Parallel()
	c := post()
	c.Currency = "GBP"
	c.Insurance = &trade.Insurance{Rate: *ft.Num("0.005"), Minimum: ft.Num("2")}
	carry(t, c, nil, item{pieces: "1", massG: "1000"}).want("freight-as-invoiced", "9.00", "freight", "11.25", "insurance-as-invoiced", "2.00", "insurance", "2.50")
}

// A parcel above the last band has no price; a check says so in words.
func TestParcelTooHeavyForTheCarrier(t *testing.T) {
	t.Parallel()
	for mass, carried := range map[string]string{"10000": "1", "10001": "0"} {
		l := carry(t, post(), nil, item{pieces: "1", massG: mass})
		l.want("parcel/a/carried", carried)
		if l.v.Defined(l.ID("to/freight")) != (carried == "1") {
			t.Errorf("%s g: the freight has a value: %t", mass, carried != "1")
		}
		if label := l.Graph.Node(l.ID("to/parcel/a/carried")).Label; !strings.Contains(label, "carrier post takes the parcel") {
			t.Errorf("the check says %q", label)
		}
	}
}
