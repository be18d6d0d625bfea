package quote

import (
	"fmt"

	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/selling/freight"
	"kerfbook/costing/selling/landed"
	"kerfbook/costing/trade"
)

// land writes freight, duty and tax of the lines as one consignment.
func (w *work) land() error {
	d := w.destination
	c := landed.Consignment{Key: consignmentKey, TaxByRate: true}
	if !w.term.carried {
		// The buyer sends the carrier, so nothing is known of the freight.
		d.Carrier = ""
		c.Charge = ptr(w.s.Zero(graph.Currency(string(w.book.Currency))))
	} else if w.charge != nil {
		c.Charge = ptr(w.s.Number("delivery-asked", "delivery as asked for", graph.Currency(string(w.book.Currency)), *w.charge, ""))
	}
	parcels := map[string]freight.Parcel{}
	for _, l := range w.lines {
		c.Lines = append(c.Lines, w.landedLine(l, parcels))
	}
	ch := w.est.Channels[w.channel.ID].BehindInvoice() // margin and discount are off the price already
	f, err := landed.Build(w.root, landed.Context{
		Day: w.day, Dispatch: w.book.Country, Currency: w.book.Currency, Card: w.card, CardPath: w.at,
		Tables: w.tables, Carriers: w.book.Carriers, Destination: d, Path: w.path,
		Channel: &ch,
	}, c)
	w.landed = f
	return err
}

func ptr(id graph.ID) *graph.ID { return &id }

// landedLine hands a line over with its price after discount.
func (w *work) landedLine(l lineFigures, parcels map[string]freight.Parcel) landed.Line {
	g, path := w.goodsOf(l.variant.Line)
	if _, done := parcels[g.Words()]; !done {
		parcels[g.Words()] = freight.NewPacking(w.root.In(g.Is, string(g.Number)).Of(g.Name+", parcel"), g, path)
	}
	price := l.priceBook
	if w.share != graph.None {
		left := w.s.Once("discount-factor", func() graph.ID {
			return w.s.Subtract("discount-factor", "1 − discount", w.s.One(graph.Plain), w.share)
		})
		price = l.s.Multiply("price-book-net", "price of one piece after discount in the currency of the book", l.priceBook, left)
	}
	return landed.Line{
		Key: l.variant.Line.Name(), Name: l.variant.Name, Product: l.variant.Line.Product, Trim: l.variant.Line.Trim,
		Price: price, Quantity: l.quantity, Net: ptr(l.net), Cost: l.cost,
		HSCode: g.HSCode, National: g.National, Origin: g.Origin, Parcel: parcels[g.Words()], Path: path,
	}
}

// goodsOf is what carriers and customs ask of a line, with its place in the book.
func (w *work) goodsOf(l estimate.MixLine) (bom.Goods, string) {
	if p, at := w.book.Part(l.Part); p != nil {
		return p.Goods(w.book.Country), place("parts", at)
	}
	p, at := w.book.Product(l.Product)
	return p.Goods(), place("products", at)
}

// figure finds a figure of the consignment.
func (w *work) figure(name string) graph.ID {
	return w.root.Lookup("destination/" + w.destination.Place() + "/" + consignmentKey + "/" + name)
}

// within reports whether the goods stay in one customs territory.
func (w *work) within() bool { return len(w.landed.Regimes) == 0 }

// regimes are the ways the consignment may be treated at import, as its figures
// number them.
func (w *work) regimes() []trade.Regime {
	row, _ := w.tables.ImportRuleFor(w.book.Country, w.destination, w.day)
	var out []trade.Regime
	for _, known := range w.landed.Regimes {
		for _, r := range row.Value.Regimes {
			if string(r.ID) == known.ID {
				out = append(out, r)
			}
		}
	}
	return out
}

// place names an entry of a list of the book.
func place(list string, i int) string { return fmt.Sprintf("%s[%d]", list, i) }
