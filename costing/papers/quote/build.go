package quote

import (
	"context"
	"fmt"
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/ask/simulate"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
	"kerfbook/costing/selling/exchange"
	"kerfbook/costing/selling/landed"
	"kerfbook/costing/trade"
)

// consignmentKey names the consignment of a quote among the figures of its
// destination. No trim and no basket can have it.
const consignmentKey = "_quote"

// work writes the figures of a quote behind those of the estimate.
type work struct {
	*order
	est    *estimate.Estimate
	tables trade.Tables
	root   graph.Scope
	s      graph.Scope // quote/
	card   rates.RateCard
	at     string // place of the card in the book

	currency money.Code // of the destination
	money    graph.Unit
	minor    graph.ID
	rate     graph.ID // selling rate from the currency of the book; None in it

	lines  []lineFigures
	goods  graph.ID // before discount
	share  graph.ID // of the discount, None without
	off    graph.ID // discount, None without
	net    graph.ID // goods after discount
	landed landed.Figures
	sums   sums
}

// lineFigures are the figures of one line, in the currency of the destination.
type lineFigures struct {
	s         graph.Scope
	variant   estimate.Variant
	quantity  graph.ID
	priceBook graph.ID // of a piece before discount, in the currency of the book
	cost      graph.ID // full cost of a piece that the price rests on
	restsOn   string   // that in words; empty for the likely cost
	price     graph.ID // of a piece before discount, rounded
	total     graph.ID
	off       graph.ID // share of the discount, None without
	net       graph.ID
	extras    graph.ID // share of delivery and import charges
	tax       graph.ID // share of tax
	toPay     graph.ID
}

// Build makes the document of a request on a day, without a number yet. The
// error is an *InvalidError for what is wrong with the request, or what the book
// cannot be priced for: the errors of [estimate.Build] and [landed.Build].
func Build(b *book.Book, req Request, day bom.Date) (*Document, error) {
	o, err := check(b, req, day)
	if err != nil {
		return nil, err
	}
	w, builder, err := newWork(o)
	if err != nil {
		return nil, err
	}
	w.writeLines()
	w.writeDiscount()
	if err := w.land(); err != nil {
		return nil, err
	}
	w.writeSums()
	w.writeShares()
	g, err := builder.Build()
	if err != nil {
		return nil, err
	}
	values, err := simulate.Evaluate(context.Background(), exact.New(g), nil)
	if err != nil {
		return nil, err
	}
	return w.document(g, values)
}

// newWork estimates the batch. The landed prices of the book's destinations are
// left out: the quote has one consignment of its own.
func newWork(o *order) (*work, *graph.Builder, error) {
	shop := *o.book
	shop.Destinations, shop.Baskets = nil, nil
	est, err := estimate.Build(&shop, o.mix, o.day)
	if err != nil {
		return nil, nil, err
	}
	reference, err := trade.Reference()
	if err != nil {
		return nil, nil, err
	}
	builder := graph.Extend(est.Graph)
	w := &work{order: o, est: est, tables: trade.Tables{Own: o.book.Rules, Reference: reference}, root: builder.Root()}
	w.s = w.root.In("quote").From(graph.Source{Where: "the quote asked for"}).Of("quote")
	return w, builder, w.findCurrency()
}

// findCurrency looks up what the buyer pays in, and the rate to it.
func (w *work) findCurrency() error {
	row, ok := w.tables.CurrencyOf(w.destination.Country, w.day)
	if !ok {
		return &InvalidError{[]FieldError{{"destination", "/destination", fmt.Sprintf("the currency of %s is not known; add it under rules.countries", w.destination.Country)}}}
	}
	c, ok := money.Lookup(string(row.Value.Currency))
	w.card, _ = rates.CardOn(w.book.RateCards, w.day)
	_, at := w.book.RateCard(w.card.ID)
	w.at = place("rate_cards", at)
	rate, known := exchange.Rates{Root: w.root, Card: w.card, Path: w.at}.Rate(w.book.Currency, row.Value.Currency, rates.ForSelling)
	if !ok || !known {
		return &InvalidError{[]FieldError{{"destination", "/destination", fmt.Sprintf("rate card %s has no selling rate from %s to %s", w.card.ID, w.book.Currency, row.Value.Currency)}}}
	}
	w.currency, w.money, w.rate = row.Value.Currency, graph.Currency(c.Code), rate
	w.minor = exchange.SmallestUnit(w.s, w.currency)
	return nil
}

// writeLines writes quantity, price and total of each line.
func (w *work) writeLines() {
	var totals []graph.ID
	for i, v := range w.est.Variants {
		l := lineFigures{s: w.s.In("line", v.Line.Name()).Of(v.Name), variant: v}
		l.quantity = l.s.Number("quantity", "pieces offered", graph.Piece, w.quantities[i], "")
		w.setPrice(&l)
		local := l.priceBook
		local = graph.Or(l.s.Multiply("price-unrounded", "price of one piece at the selling rate", l.priceBook, w.rate), local)
		l.price = l.s.Round("price", "price of one piece without tax", local, exchange.SmallestPrice(w.s, w.currency))
		l.total = l.s.Round("total", "line total without tax", l.s.Multiply("total-unrounded", "price × quantity", l.price, l.quantity), w.minor)
		l.s.By("C5").Multiply("batch-cost", "full cost of the batch that the price rests on", l.cost, v.Quantity)
		totals = append(totals, l.total)
		w.lines = append(w.lines, l)
	}
	w.goods = w.s.Add("goods", "sum of the lines without tax", totals...)
}

// setPrice sets what a piece is sold at in the channel, without tax: the price asked,
// less the margin of the reseller who buys; and the cost it rests on.
func (w *work) setPrice(l *lineFigures) {
	l.priceBook, l.cost = graph.None, graph.None
	at := slices.IndexFunc(l.variant.Prices, func(p estimate.ChannelPrice) bool { return p.Channel == w.channel.ID })
	if at < 0 {
		return // checked before
	}
	p := l.variant.Prices[at]
	l.cost = p.Cost
	if p.Added != graph.None {
		l.restsOn = p.Def.RestsOn.Words()
	}
	if ch := w.est.Channels[w.channel.ID]; ch.Resells() {
		l.priceBook = ch.TradePrice(l.s.By("P2"), "reseller-factor", "price-book", "price of one piece to the reseller in the currency of the book", p.ShelfNet)
		return
	}
	l.priceBook = l.s.Add("price-book", "price of one piece in the currency of the book", p.ShelfNet)
}

// writeDiscount takes the discount off the sum and shares it out to the lines.
func (w *work) writeDiscount() {
	w.share, w.off, w.net = graph.None, graph.None, w.goods
	var totals []graph.ID
	var scopes []graph.Scope
	for i := range w.lines {
		l := &w.lines[i]
		l.off, l.net = graph.None, l.total
		totals, scopes = append(totals, l.total), append(scopes, l.s)
	}
	if w.discount == nil {
		return
	}
	w.share = w.s.Number("discount-share", "discount as a share of the goods", graph.Plain, *w.discount, "")
	w.off = w.s.Round("discount", "discount", w.s.Multiply("discount-unrounded", "discount before rounding", w.goods, w.share), w.minor)
	w.net = w.s.Subtract("goods-net", "goods after discount", w.goods, w.off)
	for i, off := range shareOut(scopes, "discount", "share of the discount", w.off, w.goods, w.minor, totals) {
		l := &w.lines[i]
		l.off, l.net = off, l.s.Subtract("net", "line after discount", l.total, off)
	}
}
