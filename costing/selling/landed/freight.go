package landed

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
	"kerfbook/costing/reference"
	"kerfbook/costing/trade"
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
	d.cost = w.convert(w.s, "delivery-cost", "freight and insurance at the selling rate", d.costBook, w.ctx.Currency, w.to, rates.ForSelling)
	if d.chargedBook = entered; entered == graph.None {
		d.chargedBook = d.costBook
	}
	local := w.convert(w.s, "delivery-unrounded", "delivery at the selling rate", d.chargedBook, w.ctx.Currency, w.to, rates.ForSelling)
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
		s := w.root.In("basket", string(b.ID)).From(graph.Source{Where: "basket " + string(b.ID), Path: w.consignment.BasketPath})
		return s.Shared("delivery-charge", "delivery charge of the basket", w.home, *b.DeliveryCharge, "delivery_charge")
	}
	d := w.ctx.Destination
	s := w.root.In("destination", d.Place()).From(graph.Source{Where: "destination " + d.Place(), Path: w.ctx.Path})
	return optional(s, "delivery-charge", "delivery charge to "+d.Place(), w.home, d.DeliveryCharge, "delivery_charge")
}

// carrierScope is where the figures of the carrier stand, shared by all
// consignments.
func (w *work) carrierScope() graph.Scope {
	c := w.carrier
	s := w.root.In("carrier", string(c.ID))
	if c.From != "" {
		s = s.In(string(c.From))
	}
	return s.From(graph.Source{Where: "carrier " + c.Name, Path: w.carrierPath,
		Cite: c.Cite, CheckedOn: string(c.CheckedOn), Unverified: c.Unverified()})
}

// carriage writes freight and insurance in book currency.
func (w *work) carriage(g goods) (freight, insurance graph.ID) {
	if w.carrier.Unverified() {
		w.from(reference.Provenance{Where: "carrier " + w.carrier.Name, CheckedOn: string(w.carrier.CheckedOn), Unverified: true})
	}
	name, home := "freight", w.ctx.Currency
	if w.carrier.Currency != home {
		name = "freight-as-invoiced"
	}
	s := w.s.By("L3")
	charged := s.Add(name, "freight with fuel", w.parcels(g)...)
	freight = w.convert(s, "freight", "freight with fuel in the currency of the book", charged, w.carrier.Currency, home, rates.ForBuying)
	return freight, w.premium(g, charged)
}

// parcels writes the freight of each parcel and gives that of all, in the
// carrier's currency.
func (w *work) parcels(g goods) []graph.ID {
	if b := w.consignment.Basket; b != nil && b.Parcel != nil {
		s := w.root.In("basket", string(b.ID), "parcel").From(graph.Source{Where: "basket " + string(b.ID), Path: w.consignment.BasketPath + ".parcel"})
		return []graph.ID{w.parcelFreight(w.s.In("parcel", "basket"), sharedParcel(s, b.Parcel))}
	}
	var out []graph.ID
	for i, l := range w.consignment.Lines {
		s := w.s.In("parcel", l.Key)
		one := w.parcelFreight(s, l.Parcel)
		if l.Parcel.Carton != nil {
			out = append(out, w.cartons(s, l, one))
			continue
		}
		out = append(out, s.By("L3").Multiply("freight-of-all", "freight of all parcels of "+l.Name, one, g.pieces[i]))
	}
	return out
}

// cartons writes the freight of pieces that share cartons: full ones, and what is
// left over in one more of the same size, or in the parcel of a piece if it is a
// single one. (L3)
func (w *work) cartons(s graph.Scope, l Line, one graph.ID) graph.ID {
	c, money, piece := l.Parcel.Carton, graph.Currency(string(w.carrier.Currency)), s.One(graph.Piece)
	s = s.By("L3")
	inFull := s.Floor("pieces-in-full-cartons", "pieces of "+l.Name+" in full cartons", l.Quantity, c.Pieces)
	full := s.Divide("full-cartons", "full cartons of "+l.Name, inFull, c.Pieces)
	rest := s.Subtract("pieces-left-over", "pieces of "+l.Name+" left over", l.Quantity, inFull)
	freight := func(name, label string, pieces graph.ID) graph.ID {
		in := s.In(name)
		filled := *c
		filled.MassG = in.Add("mass-packed", "mass of the "+label, c.MassG,
			in.Multiply("mass-of-pieces", "mass of the pieces in the "+label, l.Parcel.MassG, in.Divide("pieces", "pieces in the "+label, pieces, piece)))
		return w.parcelFreight(in, filled.Parcel)
	}
	zero := s.Zero(money)
	// A full carton that the carrier does not take is no matter where none goes.
	ofFull := s.Choose("freight-of-full", "freight of full cartons", full, graph.Greater, s.Zero(graph.Plain),
		s.Multiply("freight-if-full", "full cartons × freight of one", freight("full-carton", "full carton", c.Pieces), full), zero)
	ofSingle := s.Choose("freight-of-single", "freight of a single piece left over", rest, graph.Greater, s.Zero(graph.Piece), one, zero)
	ofRest := s.Choose("freight-of-rest", "freight of what is left over", rest, graph.Greater, piece,
		freight("part-filled-carton", "part-filled carton", rest), ofSingle)
	return s.Add("freight-of-all", "freight of all parcels of "+l.Name, ofFull, ofRest)
}

// sharedParcel finds the parcel of a basket again that went to another
// destination.
func sharedParcel(s graph.Scope, p *bom.Parcel) Parcel {
	if l := s.Lookup(s.Key("length")); l != graph.None {
		return Parcel{LengthMM: l, WidthMM: s.Lookup(s.Key("width")), HeightMM: s.Lookup(s.Key("height")), MassG: s.Lookup(s.Key("mass"))}
	}
	return NewParcel(s, p)
}

// parcelFreight writes the freight of one parcel. (L1 to L3)
func (w *work) parcelFreight(s graph.Scope, p Parcel) graph.ID {
	return w.tablePrice(s, w.chargeableMass(s, p))
}

// chargeableMass is the greater of mass and volumetric mass, up to the carrier's
// step. (L1, L2)
func (w *work) chargeableMass(s graph.Scope, p Parcel) graph.ID {
	cs, mass := w.carrierScope(), graph.Kilogram
	if w.carrier.MassUnit == trade.Pounds {
		mass = graph.Pound
	}
	real := s.By("L2").Convert("mass", "mass of the parcel", p.MassG, graph.Gram, mass)
	counts := real
	if n := w.carrier.Divisor; n != nil {
		length := graph.Cm
		if w.carrier.LengthUnit == trade.Inches {
			length = graph.Inch
		}
		divisor := cs.Shared("volumetric-divisor", "volume that counts as one "+mass.String(), length.Power(3).Per(mass), *n, "volumetric_divisor")
		volumetric := s.By("L1").Divide("volumetric-mass", "volumetric mass", w.volume(s, p, length), divisor)
		counts = s.By("L2").Maximum("greater-mass", "greater of mass and volumetric mass", real, volumetric)
	}
	if n := w.carrier.MassStep; n != nil {
		step := cs.Shared("mass-step", "step of chargeable mass", mass, *n, "mass_step")
		return s.By("L2").Ceiling("chargeable-mass", "chargeable mass", counts, step)
	}
	return s.By("L2").Add("chargeable-mass", "chargeable mass", counts)
}

// volume multiplies the sides as the carrier rounds them. (L1)
func (w *work) volume(s graph.Scope, p Parcel, unit graph.Unit) graph.ID {
	s = s.By("L1")
	side := func(name string, mm graph.ID) graph.ID {
		r := w.carrier.SideRounding
		if r == nil {
			return s.Convert(name, name, mm, graph.Mm, unit)
		}
		step := w.carrierScope().Shared("side-step", "step of sides", unit, r.Step, "side_rounding.step")
		return roundBy(s, name, name+" as the carrier rounds it", s.Convert(name+"-measured", name+" as measured", mm, graph.Mm, unit), step, r.Mode)
	}
	return s.Multiply("volume", "volume of the parcel", side("length", p.LengthMM), side("width", p.WidthMM), side("height", p.HeightMM))
}
