package landed_test

import (
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
	"kerfbook/costing/selling/exchange"
	"kerfbook/costing/selling/freight"
	"kerfbook/costing/selling/landed"
	"kerfbook/costing/selling/price"
	"kerfbook/costing/trade"
)

// setup is a consignment under test. What is left out is Porto, a day in August
// 2026, and prices in the currency of the destination.
type setup struct {
	dispatch bom.Country
	currency money.Code
	day      bom.Date
	to       trade.Destination
	lines    []goods
	own      trade.Rules
	carriers []trade.Carrier
	channel  *trade.Channel
	exchange []rates.Exchange
	basket   *trade.Basket
}

type goods struct {
	price, quantity string
	code            string
	national        []bom.NationalCode
	parcel          *bom.Parcel
	cost            string
}

const key = "parcel"

func (u setup) context(t *testing.T) landed.Context {
	t.Helper()
	reference, err := trade.Reference()
	if err != nil {
		t.Fatal(err)
	}
	if u.dispatch == "" {
		u.dispatch = "PT"
	}
	if u.day == "" {
		u.day = "2026-08-03"
	}
	tables := trade.Tables{Own: u.own, Reference: reference}
	if u.currency == "" {
		row, _ := tables.CurrencyOf(u.to.Country, u.day)
		u.currency = row.Value.Currency
	}
	return landed.Context{Day: u.day, Dispatch: u.dispatch, Currency: u.currency, Card: rates.RateCard{ID: "card", Exchange: u.exchange},
		CardPath: "rate_cards[0]", Tables: tables, Carriers: u.carriers, Destination: u.to, Path: "destinations[0]"}
}

// built is a consignment with its graph; prices and quantities can be pinned.
type built struct {
	ft.Figures
	landed   landed.Figures
	price    []graph.ID
	quantity []graph.ID
	place    string
}

// try writes the figures and gives the error.
func (u setup) try(t *testing.T) (built, error) {
	t.Helper()
	ctx := u.context(t)
	builder := graph.NewBuilder(graph.Limits{})
	s := builder.Root()
	if u.channel != nil {
		minor := exchange.SmallestUnit(s, ctx.Currency)
		ch := price.NewChannel(s.In("channel", string(u.channel.ID)).From(graph.Source{Path: "channels[0]"}), *u.channel, string(ctx.Currency), minor)
		ctx.Channel = &ch
	}
	b := built{place: u.to.Place()}
	c := landed.Consignment{Key: key, Basket: u.basket, BasketPath: "baskets[0]"}
	unit := graph.Currency(string(ctx.Currency)).Per(graph.Piece)
	for i, g := range u.lines {
		name := string(rune('a' + i))
		l := landed.Line{Key: name, Name: name, Product: bom.ID(name), HSCode: g.code, Origin: ctx.Dispatch, Cost: graph.None, National: g.national, Path: "products[0]",
			Parcel: freight.NewPacking(s.In("product", name), bom.Goods{Is: "product", Number: bom.ID(name), Parcel: g.parcel}, "products[0]")}
		l.Price = s.In(name).Input("price", "price", unit, ft.Dec(g.price))
		l.Quantity = s.In(name).Input("quantity", "quantity", graph.Piece, ft.Dec(g.quantity))
		if g.cost != "" {
			l.Cost = s.In(name).Input("cost", "cost", unit, ft.Dec(g.cost))
		}
		b.price, b.quantity = append(b.price, l.Price), append(b.quantity, l.Quantity)
		c.Lines = append(c.Lines, l)
	}
	var err error
	if b.landed, err = landed.Build(s, ctx, c); err != nil {
		return b, err
	}
	b.Figures = ft.Of(t, builder)
	return b, nil
}

func (u setup) build(t *testing.T) built {
	t.Helper()
	b, err := u.try(t)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// at evaluates with the first line at a price; an empty price leaves it.
func (b built) at(price string) *exact.Values {
	b.T.Helper()
	pins := exact.Pins{}
	if price != "" {
		pins[b.price[0]] = ft.Dec(price)
	}
	return b.At(pins)
}

func (b built) id(name string) graph.ID {
	b.T.Helper()
	return b.ID("destination/" + b.place + "/" + key + "/" + name)
}

// want compares figures by name at the places they are written with.
func (b built) want(v *exact.Values, figures ...string) {
	b.T.Helper()
	for i := 0; i < len(figures); i += 2 {
		got, want := b.Get(v, b.id(figures[i])), ft.Dec(figures[i+1])
		if !got.Round(-want.Exponent()).Equal(want) {
			b.T.Errorf("%s: got %s, want %s", figures[i], got, want)
		}
	}
}

// lamp is one lamp of steel.
func lamp(price string) []goods {
	return []goods{{price: price, quantity: "1", code: "9405.21", national: []bom.NationalCode{{Place: "US", Code: "9405.21.60"}}}}
}

// duty is an own row with a rate by value, so that examples do not lean on
// reference rows.
func duty(territory, rate string) trade.Rules {
	return trade.Rules{Tariff: []trade.TariffRow{{Codes: []string{"9405"}, Territory: territory, Duty: trade.Duty{Share: ft.Num(rate)}, Cite: "example"}}}
}
