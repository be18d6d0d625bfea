package quote

import (
	"fmt"

	"kerfbook/bom"
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
	parcels := map[bom.ID]freight.Parcel{}
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
func (w *work) landedLine(l lineFigures, parcels map[bom.ID]freight.Parcel) landed.Line {
	p, path := w.product(l.variant.Line.Product)
	if _, done := parcels[p.Number]; !done {
		parcels[p.Number] = freight.NewPacking(w.root.In("product", string(p.Number)).Of(p.Name+", parcel"), p, path)
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
		HSCode: p.HSCode, National: p.National, Origin: p.Origin, Parcel: parcels[p.Number], Path: path,
	}
}

func (w *work) product(number bom.ID) (*bom.Product, string) {
	p, at := w.book.Product(number)
	return p, place("products", at)
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
