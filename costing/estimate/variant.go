package estimate

import (
	"cmp"
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/selling/price"
	"kerfbook/costing/trade"
)

// costVariant writes C1 to C5 and the prices of a variant.
func (a *assembly) costVariant(v *made) Variant {
	i := slices.Index(a.variants, v)
	l := a.lines[i]
	if l.Part != "" {
		return a.costAlone(v, l)
	}
	product, trim, _ := a.find(l)
	v.kinds = noCosts()
	a.operations(v)
	quantity := a.root.Lookup("mix/" + l.Name())
	out := Variant{Line: l, Name: a.book.TrimName(product, trim), Quantity: quantity,
		Costs: a.costs(v, quantity, ownPerPiece{SpecialCost: func() graph.ID { return a.special(v.scope, product.Special, graph.Piece) }})}
	a.rejects(v)
	a.full(v.scope, &out, product.SpecialSelling)
	out.BatchFull = v.scope.In("batch").By("C5").Multiply("full", "full cost of the batch", out.Full, quantity)
	for j, p := range a.book.Prices {
		if p.Product == l.Product && (p.Trim == "" || p.Trim == l.Trim) && !a.overridden(p, l) {
			of := product.Name
			if p.Trim != "" {
				of = out.Name
			}
			out.Prices = append(out.Prices, a.price(v.scope, p, of, index("prices", j), out.Full, quantity))
		}
	}
	return out
}

// costAlone writes C4, C5 and the prices of a part by itself.
func (a *assembly) costAlone(v *made, l MixLine) Variant {
	def := a.numbered[l.Part]
	v.kinds = noCosts()
	quantity := a.root.Lookup("mix/" + l.Name())
	out := Variant{Line: l, Name: def.Name, Quantity: quantity, Costs: a.costs(v, quantity, nil)}
	a.full(v.scope, &out, nil)
	out.BatchFull = v.scope.In("batch").By("C5").Multiply("full", "full cost of the batch", out.Full, quantity)
	if l.Margin != nil && len(a.book.Channels) == 0 {
		out.Prices = append(out.Prices, a.priceAlone(v.scope, l, "", out.Full, quantity))
	}
	for _, c := range a.book.Channels {
		if l.Margin != nil || c.Margin != nil {
			out.Prices = append(out.Prices, a.priceAlone(v.scope, l, c.ID, out.Full, quantity))
		}
	}
	return out
}

// asGuessed is the cost that the price of a part rests on while a first guess stands in
// it: the sum of likely values of guesses is exceeded by most batches.
var asGuessed = trade.NotExceeded("80")

// priceAlone is the price of a part in a channel, or without one, at the margin that is
// asked, or else at that of the channel.
func (a *assembly) priceAlone(s graph.Scope, l MixLine, channel bom.ID, full, quantity graph.ID) ChannelPrice {
	def := trade.Price{Channel: channel, Margin: l.Margin}
	if a.numbered[l.Part].FirstGuess != nil {
		def.RestsOn = asGuessed
	}
	at := s.In("price", cmp.Or(string(channel), NoChannel)).From(graph.Source{Where: "the margin asked for"}).Entered(s.Thing(), "mix", l.Name())
	if l.Margin == nil {
		c, i := a.book.Channel(channel)
		def.Margin = c.Margin
		at = at.From(graph.Source{Where: "channel " + c.Name, Path: index("channels", i)}).Entered(c.Name, "channel", string(channel))
	}
	return a.priced(at.Also(", "+cmp.Or(string(channel), "no channel")), def, full, quantity)
}

// overridden reports that a price of the whole product gives way to one of the
// trim in the same channel.
func (a *assembly) overridden(p trade.Price, l MixLine) bool {
	return p.Trim == "" && slices.ContainsFunc(a.book.Prices, func(q trade.Price) bool {
		return q.Product == p.Product && q.Channel == p.Channel && q.Trim == l.Trim
	})
}

// full is C5: cost of production + administration + selling, each a share of it,
// + special direct selling cost, which bears no overhead.
func (a *assembly) full(s graph.Scope, v *Variant, selling *bom.Number) {
	at := s.In("each").By("C5")
	share := func(name, label string, rate graph.ID) graph.ID {
		return at.Multiply(name, label, v.Production, rate)
	}
	v.SpecialSelling = s.Optional("special-selling", "special direct selling cost", a.money.Per(graph.Piece), selling, "special_selling_per_piece")
	v.Administration = share("administration", "administration", a.overheads.administration)
	v.Selling = share("selling", "selling", a.overheads.selling)
	v.Full = at.Sum("full", "full cost", v.Production, v.Administration, v.Selling, v.SpecialSelling)
	if v.Full == graph.None {
		v.Full = at.Sum("full", "full cost", at.Zero(a.money.Per(graph.Piece)))
	}
}

// price writes the prices of a variant in one channel, by a record of the thing it is for.
func (a *assembly) price(s graph.Scope, def trade.Price, of, path string, full, quantity graph.ID) ChannelPrice {
	if def.Margin == nil && def.Markup == nil && def.ListPrice == nil && def.ShelfPrice == nil {
		def.Margin = &bom.Number{Missing: true}
	}
	at := s.In("price", string(def.Channel)).From(graph.Source{Where: "price of " + string(def.Product), Path: path}).
		Entered(of, "price", string(def.ID())).Also(", " + string(def.Channel))
	return a.priced(at, def, full, quantity)
}

// priced writes the price that a record asks, and what a batch earns at it.
func (a *assembly) priced(at graph.Scope, def trade.Price, full, quantity graph.ID) ChannelPrice {
	count, seed := a.book.Draws()
	f, batch := price.Build(at, def, a.channel(def.Channel), full, graph.Draws{Count: count, Seed: seed}), at.In("batch").By("P1")
	return ChannelPrice{def.Channel, def, f,
		batch.Multiply("proceeds", "proceeds of the batch, all sold in this channel", f.Proceeds, quantity),
		batch.Multiply("profit", "profit of the batch, all sold in this channel", f.Profit, quantity)}
}

// totals adds up what the variants of a mix cost and earn. A channel has totals where
// every variant has a price in it.
func (a *assembly) totals(all []Variant) Totals {
	if len(all) < 2 {
		return Totals{Quantity: graph.None, Full: graph.None}
	}
	var quantities, costs []graph.ID
	proceeds, profits := map[bom.ID][]graph.ID{}, map[bom.ID][]graph.ID{}
	for _, v := range all {
		quantities, costs = append(quantities, v.Quantity), append(costs, v.BatchFull)
		for _, p := range v.Prices {
			proceeds[p.Channel], profits[p.Channel] = append(proceeds[p.Channel], p.BatchProceeds), append(profits[p.Channel], p.BatchProfit)
		}
	}
	s := a.root.In("batch").Of("the whole batch")
	out := Totals{Quantity: s.By("Y1").Sum("quantity", "pieces", quantities...), Full: s.By("C5").Sum("full", "full cost", costs...)}
	for _, channel := range sortedIDs(proceeds) {
		if len(proceeds[channel]) < len(all) {
			continue
		}
		in := s.In("price", cmp.Or(string(channel), NoChannel)).By("P1")
		t := ChannelTotals{Channel: channel, Proceeds: in.Sum("proceeds", "proceeds", proceeds[channel]...), Profit: in.Sum("profit", "profit", profits[channel]...)}
		t.Margin = in.Divide("margin", "margin", t.Profit, t.Proceeds)
		out.Channels = append(out.Channels, t)
	}
	return out
}

// loads adds up the time each work centre is occupied by the whole mix.
func (a *assembly) loads() {
	occupied := map[bom.ID][]graph.ID{}
	collect := func(m *made) {
		for _, st := range m.flow.Steps {
			if st.Occupied != graph.None && st.Operation.WorkCentre != "" {
				occupied[st.Operation.WorkCentre] = append(occupied[st.Operation.WorkCentre], st.Occupied)
			}
		}
	}
	for _, v := range a.variants {
		collect(v)
	}
	for _, p := range a.order {
		collect(&p.made)
	}
	for _, id := range sortedIDs(occupied) {
		a.root.In("work-centre", string(id)).Of(string(id)).By("M15").Add("occupied", "time occupied by the batch", occupied[id]...)
	}
}
