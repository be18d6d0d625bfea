package landed

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/reference"
	"kerfbook/costing/selling/freight"
)

// delivery is what bringing the consignment to the buyer costs, and what the
// buyer is asked for it.
type delivery struct {
	freight, insurance graph.ID // cost, book currency; insurance None without
	cost               graph.ID // both, destination currency at the selling rate
	costBook           graph.ID // both, book currency
	chargedBook        graph.ID // without tax
	charged            graph.ID // destination currency, rounded
}

// delivery writes freight, insurance and the delivery charge. Without a carrier
// the entered charge stands for the cost too. (L3, L4)
func (w *work) delivery(g goods) delivery {
	d := delivery{freight: graph.None, insurance: graph.None}
	entered := w.enteredCharge()
	switch {
	case w.carrier != nil:
		d.freight, d.insurance = w.carriage(g)
	case entered != graph.None:
		d.freight = w.s.By("L3").Add("freight", "freight as charged to the buyer", entered)
	default:
		w.s.Find(graph.Note, "", "no carrier and no delivery charge: delivery is taken as free of cost")
		d.freight = w.s.Add("freight", "freight", w.s.Zero(w.home))
	}
	d.costBook = w.s.Total("delivery-cost-book", "freight and insurance", d.freight, d.insurance)
	// Not rounded: a cost that nobody is asked to pay at the door.
	d.cost = w.toLocal(w.s, "delivery-cost", "freight and insurance at the selling rate", d.costBook)
	if d.chargedBook = entered; entered == graph.None {
		// Without a price of its own delivery is passed on at cost.
		d.chargedBook = d.costBook
	}
	local := w.toLocal(w.s, "delivery-unrounded", "delivery at the selling rate", d.chargedBook)
	d.charged = w.round(w.s, "delivery", "delivery charged to the buyer, without tax", local)
	return d
}

// enteredCharge is the delivery charge of the document, basket or destination,
// None without.
func (w *work) enteredCharge() graph.ID {
	if c := w.consignment.Charge; c != nil {
		return *c
	}
	if b := w.consignment.Basket; b != nil && b.DeliveryCharge != nil {
		return w.basket(b.ID).Shared("delivery-charge", "delivery charge of the basket", w.home, *b.DeliveryCharge, "delivery_charge")
	}
	d := w.ctx.Destination
	return w.place().Optional("delivery-charge", "delivery charge to "+d.Place(), w.home, d.DeliveryCharge, "delivery_charge")
}

// basket is where the figures of a basket stand that its consignments share.
func (w *work) basket(id bom.ID) graph.Scope {
	return w.root.In("basket", string(id)).From(graph.Source{Where: "basket " + string(id), Path: w.consignment.BasketPath})
}

// carriage writes freight and insurance in book currency.
func (w *work) carriage(g goods) (carried, insurance graph.ID) {
	if c := w.carrier; c.Unverified() {
		w.from(reference.Provenance{Where: "carrier " + c.Name, CheckedOn: string(c.CheckedOn), Unverified: true})
	}
	load := freight.Load{Carrier: w.carrier, Scope: w.s, Rates: w.rates, Goods: g.book}
	for i, l := range w.consignment.Lines {
		load.Items = append(load.Items, freight.Item{Key: l.Key, Name: l.Name, Parcel: l.Parcel, Quantity: l.Quantity, Pieces: g.pieces[i]})
	}
	if p := w.packed(); p != nil {
		packed := freight.NewParcel(w.basket(w.consignment.Basket.ID).In("parcel").Within("parcel"), p)
		load.Packed = &packed
	}
	return load.Freight()
}
