package estimate

import (
	"cmp"
	"fmt"
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/selling/freight"
	"kerfbook/costing/selling/landed"
	"kerfbook/costing/trade"
)

// Consignment holds the figures of one consignment to one destination.
type Consignment struct {
	Consignment string // trim or basket
	Basket      bool
	landed.Figures
}

// land writes the landed prices of every variant, and of every basket whose
// trims are in the mix, in every destination of the book.
func (a *assembly) land(est *Estimate) {
	if len(a.book.Destinations) == 0 && !slices.ContainsFunc(a.lines, func(l MixLine) bool { return len(l.Destinations) > 0 }) {
		return
	}
	reference, err := trade.Reference()
	if err != nil {
		a.problems = append(a.problems, err)
		return
	}
	tables := trade.Tables{Own: a.book.Rules, Reference: reference}
	parcels := a.parcels()
	for i, d := range a.book.Destinations {
		path := index("destinations", i)
		for _, v := range est.Variants {
			if v.Line.Part == "" {
				a.sell(est, tables, d, path, v, parcels)
			}
		}
		a.baskets(est, tables, d, path, parcels)
	}
	for _, v := range est.Variants {
		for _, place := range v.Line.Destinations {
			if d, i := a.book.Destination(place); d != nil {
				a.sell(est, tables, *d, index("destinations", i), v, parcels)
				continue
			}
			d := trade.Elsewhere(place)
			a.destination(d, "destinations", v.Line.Name()).Find(graph.Note, "", fmt.Sprintf(
				"%s: the book says nothing of sales there, so this is to a business that collects, without delivery; a destination of the book says who buys, by which carrier", place))
			a.sell(est, tables, d, "destinations", v, parcels)
		}
	}
}

// sell writes the landed price of a variant in a destination, if it has a price there.
func (a *assembly) sell(est *Estimate, tables trade.Tables, d trade.Destination, path string, v Variant, parcels map[string]freight.Parcel) {
	l, ok := a.saleLine(v, d, parcels)
	if !ok {
		return
	}
	if l.among > 1 {
		a.destination(d, path, v.Line.Name()).Find(graph.Note, "", fmt.Sprintf(
			"%s names no channel, and %s has a price in %d of them: that in %s, the first by id, is taken; name one at the destination",
			d.Place(), v.Name, l.among, l.channel))
	}
	a.consign(est, tables, d, path, []saleLine{l}, landed.Consignment{Key: v.Line.Name()})
}

// goods is what carriers and customs ask of a line, with its place in the book.
func (a *assembly) goods(l MixLine) (bom.Goods, string) {
	if l.Part != "" {
		return a.numbered[l.Part].Goods(a.book.Country), a.parts[l.Part].path
	}
	p, _, path := a.find(l)
	return p.Goods(), path
}

// parcels writes the packed measures of all goods of the mix once.
func (a *assembly) parcels() map[string]freight.Parcel {
	out := map[string]freight.Parcel{}
	for _, l := range a.lines {
		if l.Part != "" && len(l.Destinations) == 0 { // sent nowhere
			continue
		}
		g, path := a.goods(l)
		if _, done := out[g.Words()]; !done {
			out[g.Words()] = freight.NewPacking(a.root.In(g.Is, string(g.Number)), g, path)
		}
	}
	return out
}

// saleLine is a line of a consignment with the channel it is sold in.
type saleLine struct {
	landed.Line
	channel bom.ID
	among   int // channels it could be sold in
}

// saleLine is one piece of a variant at its price in the destination's channel, or
// in the channel with the lowest id where the destination names none. A reseller
// pays what its invoice asks.
func (a *assembly) saleLine(v Variant, d trade.Destination, parcels map[string]freight.Parcel) (saleLine, bool) {
	var in []ChannelPrice
	for _, p := range v.Prices {
		if d.Channel == "" || p.Channel == d.Channel {
			in = append(in, p)
		}
	}
	if len(in) == 0 {
		return saleLine{}, false
	}
	price := slices.MinFunc(in, func(p, q ChannelPrice) int { return cmp.Compare(p.Channel, q.Channel) })
	goods, path := a.goods(v.Line)
	net, shelf := price.ShelfNet, (*graph.ID)(nil)
	if ch := a.channel(price.Channel); ch.Resells() {
		shelf = &price.ShelfNet
		net = ch.Invoiced(a.root.In("variant", v.Line.Name(), "price", string(price.Channel)).Of(v.Name+", "+string(price.Channel)), price.ShelfNet)
	}
	var margin *graph.ID
	if price.MarginWanted != graph.None {
		margin = &price.MarginWanted
	}
	return saleLine{landed.Line{
		Key: v.Line.Name(), Name: v.Name, Product: v.Line.Product, Trim: v.Line.Trim,
		Price: net, Shelf: shelf, Margin: margin, Quantity: a.root.One(graph.Piece), Cost: price.Cost,
		HSCode: goods.HSCode, National: goods.National, Origin: goods.Origin, Parcel: parcels[goods.Words()], Path: path,
	}, price.Channel, len(in)}, true
}

// destination is the scope of a consignment.
func (a *assembly) destination(d trade.Destination, path, key string) graph.Scope {
	return a.root.In("destination", d.Place(), key).From(graph.Source{Where: "destination " + d.Place(), Path: path}).Of(key + " to " + d.Place())
}

// baskets writes the consignments of several lines that go to a destination.
func (a *assembly) baskets(est *Estimate, tables trade.Tables, d trade.Destination, path string, parcels map[string]freight.Parcel) {
	for i, b := range a.book.Baskets {
		if len(b.Destinations) > 0 && !slices.Contains(b.Destinations, d.Place()) {
			continue
		}
		at := index("baskets", i)
		var lines []saleLine
		for _, bl := range b.Lines {
			l, ok := a.basketLine(est, bl, d, parcels)
			if !ok {
				break
			}
			lines = append(lines, l)
		}
		if len(lines) == len(b.Lines) {
			for j, bl := range b.Lines {
				s := a.root.In("basket", string(b.ID), string(bl.Trim)).From(graph.Source{Where: "basket " + string(b.ID), Path: at})
				lines[j].Quantity = s.Shared("quantity", "pieces of "+lines[j].Name+" in the basket", graph.Piece, bl.Quantity, index("lines", j)+".quantity")
			}
			a.consign(est, tables, d, path, lines, landed.Consignment{Key: string(b.ID), Basket: &a.book.Baskets[i], BasketPath: at})
		}
	}
}

// basketLine finds the variant of a line of a basket in the mix.
func (a *assembly) basketLine(est *Estimate, bl trade.BasketLine, d trade.Destination, parcels map[string]freight.Parcel) (saleLine, bool) {
	at := slices.IndexFunc(est.Variants, func(v Variant) bool {
		return v.Line.Product == bl.Product && v.Line.Name() == string(bl.Trim)
	})
	if at < 0 {
		return saleLine{}, false
	}
	return a.saleLine(est.Variants[at], d, parcels)
}

// consign writes the figures of a consignment. It is sold in one channel: fees and
// price points are of all that is in it, so lines of different channels leave it
// blank.
func (a *assembly) consign(est *Estimate, tables trade.Tables, d trade.Destination, path string, lines []saleLine, c landed.Consignment) {
	channel := bom.ID("")
	for i, l := range lines {
		c.Lines = append(c.Lines, l.Line)
		if i == 0 {
			channel = l.channel
		}
		if l.channel != channel {
			a.blank(est, tables, d, path, c, &landed.MissingError{Place: d.Place(), Path: path, What: fmt.Sprintf(
				"%s is sold in channel %s and %s in %s; what goes in one consignment is sold in one channel: name it at the destination",
				lines[0].Name, channel, l.Name, l.channel)})
			return
		}
	}
	ctx := landed.Context{
		Day: a.day, Dispatch: a.book.Country, Currency: a.book.Currency, Card: a.card, CardPath: a.cardPath,
		Tables: tables, Carriers: a.book.Carriers, Destination: d, Path: path,
	}
	if len(lines) > 0 {
		ch := a.channel(channel)
		if ch.Resells() && d.Buyer == "" {
			ctx.Destination.Buyer = trade.Business
		}
		ch = ch.BehindInvoice()
		ctx.Channel = &ch
	}
	f, err := landed.Build(a.root, ctx, c)
	if err != nil {
		a.blank(est, tables, d, path, c, landed.Missing(err)...)
		return
	}
	est.Landed = append(est.Landed, Consignment{Consignment: c.Key, Basket: c.Basket != nil, Figures: f})
}

// blank leaves a consignment without figures and says why.
func (a *assembly) blank(est *Estimate, tables trade.Tables, d trade.Destination, path string, c landed.Consignment, missing ...*landed.MissingError) {
	row, _ := tables.CurrencyOf(d.Country, a.day)
	for _, m := range missing {
		a.destination(d, m.Path, c.Key).Find(graph.Warning, "", m.Text())
	}
	est.Landed = append(est.Landed, Consignment{Consignment: c.Key, Basket: c.Basket != nil, Figures: landed.Blank(d, row.Value.Currency, missing)})
}
