package costing

import (
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/landed"
	"kerfbook/costing/rates"
)

// Landed holds the figures of one consignment to one destination.
type Landed struct {
	Consignment string // trim or basket
	Basket      bool
	landed.Figures
}

// land writes the landed prices of every variant, and of every basket whose
// trims are in the mix, in every destination of the book.
func (a *assembly) land(est *Estimate) {
	if len(a.book.Destinations) == 0 {
		return
	}
	reference, err := rates.Reference()
	if err != nil {
		a.problems = append(a.problems, err)
		return
	}
	tables := rates.Tables{Own: a.book.Rules, Reference: reference}
	parcels := a.parcels()
	for i, d := range a.book.Destinations {
		path := index("destinations", i)
		for _, v := range est.Variants {
			if l, ok := a.saleLine(v, d, parcels); ok {
				a.consign(est, tables, d, path, landed.Consignment{Key: v.Line.Name(), Lines: []landed.Line{l}})
			}
		}
		a.baskets(est, tables, d, path, parcels)
	}
}

// parcels writes the packed measures of every product of the mix once.
func (a *assembly) parcels() map[bom.ID]landed.Parcel {
	out := map[bom.ID]landed.Parcel{}
	for _, l := range a.lines {
		p, _, path := a.find(l)
		if _, done := out[p.Number]; done {
			continue
		}
		s := a.root.In("product", string(p.Number), "parcel").From(graph.Source{
			Where: "product " + string(p.Number) + " revision " + p.Revision, Path: path + ".parcel"})
		out[p.Number] = landed.NewParcel(s, p.Parcel)
	}
	return out
}

// saleLine is one piece of a variant at the price of the destination's channel,
// or of the first channel that has a price.
func (a *assembly) saleLine(v Variant, d rates.Destination, parcels map[bom.ID]landed.Parcel) (landed.Line, bool) {
	at := slices.IndexFunc(v.Prices, func(p ChannelPrice) bool { return d.Channel == "" || p.Channel == d.Channel })
	if at < 0 {
		return landed.Line{}, false
	}
	product, _, _ := a.find(v.Line)
	return landed.Line{
		Key: v.Line.Name(), Name: v.Name, Product: v.Line.Product, Trim: v.Line.Trim,
		Price: v.Prices[at].ShelfNet, Quantity: a.root.One(graph.Piece), Cost: v.Full,
		HSCode: product.HSCode, Origin: product.Origin, Parcel: parcels[product.Number],
	}, true
}

// baskets writes the consignments of several lines that go to a destination.
func (a *assembly) baskets(est *Estimate, tables rates.Tables, d rates.Destination, path string, parcels map[bom.ID]landed.Parcel) {
	for i, b := range a.book.Baskets {
		if len(b.Destinations) > 0 && !slices.Contains(b.Destinations, d.Place()) {
			continue
		}
		at := index("baskets", i)
		var lines []landed.Line
		for j, bl := range b.Lines {
			l, ok := a.basketLine(est, bl, d, parcels)
			if !ok {
				break
			}
			s := a.root.In("basket", string(b.ID), string(bl.Trim)).From(graph.Source{Where: "basket " + string(b.ID), Path: at})
			l.Quantity = s.Shared("quantity", "pieces of "+l.Name+" in the basket", graph.Piece, bl.Quantity, index("lines", j)+".quantity")
			lines = append(lines, l)
		}
		if len(lines) == len(b.Lines) {
			a.consign(est, tables, d, path, landed.Consignment{Key: string(b.ID), Lines: lines, Basket: &a.book.Baskets[i], BasketPath: at})
		}
	}
}

// basketLine finds the variant of a line of a basket in the mix.
func (a *assembly) basketLine(est *Estimate, bl rates.BasketLine, d rates.Destination, parcels map[bom.ID]landed.Parcel) (landed.Line, bool) {
	at := slices.IndexFunc(est.Variants, func(v Variant) bool {
		return v.Line.Product == bl.Product && v.Line.Name() == string(bl.Trim)
	})
	if at < 0 {
		return landed.Line{}, false
	}
	return a.saleLine(est.Variants[at], d, parcels)
}

func (a *assembly) consign(est *Estimate, tables rates.Tables, d rates.Destination, path string, c landed.Consignment) {
	ctx := landed.Context{
		Day: a.day, Dispatch: a.book.Country, Currency: a.book.Currency, Card: a.card, CardPath: a.cardPath,
		Tables: tables, Carriers: a.book.Carriers, Destination: d, Path: path,
	}
	if at := slices.IndexFunc(a.book.Channels, func(ch rates.Channel) bool { return ch.ID == a.channelOf(est, d) }); at >= 0 {
		ctx.Channel, ctx.ChannelPath = &a.book.Channels[at], index("channels", at)
	}
	f, err := landed.Build(a.root, ctx, c)
	if err != nil {
		a.problems = append(a.problems, err)
		return
	}
	est.Landed = append(est.Landed, Landed{Consignment: c.Key, Basket: c.Basket != nil, Figures: f})
}

// channelOf is the channel a destination is sold in.
func (a *assembly) channelOf(est *Estimate, d rates.Destination) bom.ID {
	if d.Channel != "" {
		return d.Channel
	}
	for _, v := range est.Variants {
		for _, p := range v.Prices {
			return p.Channel
		}
	}
	return ""
}
