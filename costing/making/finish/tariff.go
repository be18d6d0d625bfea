package finish

import (
	"fmt"
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// tariff is what a supplier asks beside the prices that every process has; None where
// the book gives no number.
type tariff struct {
	pieceBreaks, areaBreaks steps
	kilogram                graph.ID // money/kg
	leastArea               graph.ID // dm²/piece
	charges                 []charge
	surcharge               graph.ID // all of the day, as a share
	fine                    graph.ID // share of the deposit that is metal
	metalMass               graph.ID // g/piece, where it is not that of the coating
	metalPrice              graph.ID // money/kg that is paid beside the other prices
	allowedLoss             graph.ID
	spoiledTimes            graph.ID
}

// charge is a named charge: its amount by its unit.
type charge struct {
	def          rates.ProcessCharge
	amount, over graph.ID
}

// steps are prices by quantity; the first also holds below its own.
type steps struct{ from, price []graph.ID }

func newSteps(s graph.Scope, name string, from, price graph.Unit, breaks []rates.PriceBreak, path string) (out steps) {
	for i, b := range breaks {
		at := s.Within(entry(path, i))
		key := name + "-" + b.From.Likely.String()
		out.from = append(out.from, at.Number(key+"-from", "quantity the price holds from", from, b.From, "from"))
		out.price = append(out.price, at.Number(key, "price from this quantity on", price, b.Price, "price"))
	}
	return out
}

func entry(list string, i int) string { return fmt.Sprintf("%s[%d]", list, i) }

// at is the price at a quantity.
func (b steps) at(s graph.Scope, name, label string, quantity graph.ID) graph.ID {
	axis := graph.Axis{X: quantity, Edges: b.from[1:], Bands: graph.Bands{BelowClosed: make([]bool, len(b.from)-1)}}
	return s.Band(name, label, axis, b.price...)
}

func newTariff(s graph.Scope, def *rates.Process, money graph.Unit, day bom.Date, metal graph.ID) tariff {
	area := graph.Dm.Power(2)
	t := tariff{
		pieceBreaks:  newSteps(s, "piece-break", graph.Piece, money.Per(graph.Piece), def.PieceBreaks, "piece_breaks"),
		areaBreaks:   newSteps(s, "area-break", area, money.Per(area), def.AreaBreaks, "area_breaks"),
		kilogram:     s.Optional("kilogram", "price per kilogram", money.Per(graph.Kilogram), def.KilogramPrice, "price_per_kg"),
		leastArea:    s.Optional("least-area", "least area charged for a piece", area.Per(graph.Piece), def.LeastAreaDM2, "least_area_dm2"),
		allowedLoss:  s.Optional("allowed-loss", "share that may be spoiled", graph.Plain, def.AllowedLoss, "allowed_loss"),
		spoiledTimes: s.Optional("spoiled-times", "charges of a piece paid for a spoiled one", graph.Plain, def.SpoiledTimes, "spoiled_times"),
		surcharge:    surcharges(s, def, day), fine: graph.None, metalMass: graph.None, metalPrice: metal,
	}
	for i, c := range def.Charges {
		at := s.Within(entry("charges", i))
		t.charges = append(t.charges, charge{def: c,
			amount: at.Number("charge-"+string(c.ID), c.Name, money, c.Amount, "amount"),
			over:   at.Optional("charge-"+string(c.ID)+"-over", "pieces that bear "+c.Name, graph.Piece, c.OverPieces, "over_pieces")})
	}
	if def.Metal != nil {
		t.fine = s.Optional("metal-share", "share of "+string(def.Metal.Metal)+" in the coating", graph.Plain, def.Metal.Share, "metal.share")
		t.metalMass = s.Optional("metal-mass", string(def.Metal.Metal)+" on a piece", graph.Gram.Per(graph.Piece), def.Metal.MassG, "metal.mass_g")
	}
	if def.AllowedLoss != nil && def.SpoiledTimes == nil {
		t.spoiledTimes = s.Within("spoiled_times").Missing("spoiled-times", "charges of a piece paid for a spoiled one", graph.Plain, "who bears the pieces that "+string(def.ID)+" spoils")
	}
	return t
}

// surcharges are those in force on a day together. One that has run out goes on being
// used, and is told of.
func surcharges(s graph.Scope, def *rates.Process, day bom.Date) graph.ID {
	var shares []graph.ID
	for _, i := range def.SurchargesOn(day) {
		u := &def.Surcharges[i]
		at := s.Within(entry("surcharges", i))
		shares = append(shares, at.Number("surcharge-"+string(u.ID), "surcharge for "+string(u.ID)+" from "+u.From.Words(), graph.Plain, u.Share, "share"))
		if u.Until != "" && u.Until < day {
			at.Find(graph.Warning, "", fmt.Sprintf("the surcharge for %s ran out on %s and is still used: ask for the new one and enter it", u.ID, u.Until.Words()))
		}
	}
	return s.By("F2").Total("surcharge", "surcharges together", shares...)
}

// pieceAt is the price of a piece, at breaks by the pieces sent.
func (p *Process) pieceAt(s graph.Scope, unitsIn graph.ID) graph.ID {
	if len(p.pieceBreaks.price) == 0 {
		return p.Piece
	}
	return p.pieceBreaks.at(s, "piece-price-break", "price per piece of a lot of this size", unitsIn)
}

// byMass is the charge of a piece by its mass, as of a barrel.
func (p *Process) byMass(s graph.Scope, mass graph.ID) graph.ID {
	if p.kilogram == graph.None {
		return graph.None
	}
	if mass == graph.None {
		mass = s.Missing("piece-mass", "mass of a piece", graph.Gram.Per(graph.Piece), "mass of "+s.Record())
	}
	return s.Multiply("mass-charge", "charge for the mass of a piece", s.Convert("mass-kg", "mass of a piece in kilograms", mass, graph.Gram, graph.Kilogram), p.kilogram)
}

// named are the charges by name that a treatment is asked for: by lot, piece or contact,
// and a share of what is paid once for as many pieces as bear it.
func (p *Process) named(s graph.Scope, def *bom.Treatment, t treatment, unitsIn graph.ID) graph.ID {
	var all []graph.ID
	for _, c := range p.charges {
		if !c.def.Asks(def.Charges) {
			continue
		}
		key := "charge-" + string(c.def.ID)
		switch c.def.Per {
		case rates.PerLot:
			all = append(all, c.amount)
		case rates.EachPiece:
			all = append(all, s.Multiply(key, c.def.Name+" of the lot", unitsIn, s.Divide(key+"-each", c.def.Name+" of a piece", c.amount, s.One(graph.Piece))))
		case rates.PerContact:
			contacts := t.contacts
			if contacts == graph.None {
				contacts = s.Once("contacts", func() graph.ID {
					return s.Within("contacts").Missing("contacts", "contacts charged per piece", graph.Plain.Per(graph.Piece), "contacts of "+s.Record())
				})
			}
			all = append(all, s.Multiply(key, c.def.Name+" of the lot", unitsIn, contacts, c.amount))
		case rates.Once:
			if c.over == graph.None {
				s.Find(graph.Note, "", c.def.Name+" is paid once, and the whole of it is charged to this lot; enter over_pieces to spread it")
				all = append(all, c.amount)
				continue
			}
			all = append(all, s.Multiply(key, c.def.Name+", share of the lot", unitsIn, s.Divide(key+"-each", c.def.Name+" of a piece", c.amount, c.over)))
		}
	}
	for i, id := range def.Charges {
		if !slices.ContainsFunc(p.charges, func(c charge) bool { return c.def.ID == id }) {
			money := graph.Currency(string(p.def.Currency))
			all = append(all, s.Within(entry("charges", i)).Missing("charge-"+string(id), "charge "+string(id), money, "charge "+string(id)+" of "+string(p.def.ID)))
		}
	}
	return s.Total("charges", "charges by name", all...)
}

// metal is the part of the lot that moves with the price of the metal.
func (p *Process) metal(s graph.Scope, coating, unitsIn graph.ID) graph.ID {
	if p.metalPrice == graph.None {
		return graph.None
	}
	name := string(p.def.Metal.Metal)
	mass := p.metalMass
	switch {
	case mass != graph.None:
	case coating == graph.None:
		mass = s.Missing("coating-mass", "mass of the coating", graph.Gram.Per(graph.Piece), "area, thickness or density of the coating of "+s.Record())
	default:
		mass = coating
	}
	mass = graph.Or(s.Multiply("fine-mass", "mass of "+name+" on a piece", mass, p.fine), mass)
	kg := s.Convert("metal-kg", "mass of "+name+" on a piece in kilograms", mass, graph.Gram, graph.Kilogram)
	return s.Multiply("metal-charge", name+" of the lot at the price of the day", unitsIn, kg, p.metalPrice)
}

// spoiled takes off what the supplier pays for pieces lost beyond the share allowed:
// some times the charge of a piece for each.
func (p *Process) spoiled(s graph.Scope, of Lot, each, lot graph.ID) graph.ID {
	if p.allowedLoss == graph.None || of.Yield == graph.None || each == graph.None {
		return lot
	}
	lost := s.Subtract("lost-share", "share of the pieces lost", s.One(graph.Plain), of.Yield)
	beyond := s.Maximum("spoiled-share", "share lost beyond what is allowed", s.Zero(graph.Plain), s.Subtract("lost-beyond", "share lost less that allowed", lost, p.allowedLoss))
	paid := s.Multiply("spoiled-paid", "paid by the supplier for spoiled pieces", of.In, beyond, p.spoiledTimes, each)
	return s.Subtract("lot-less-spoiled", "lot less what is paid for spoiled pieces", lot, paid)
}
