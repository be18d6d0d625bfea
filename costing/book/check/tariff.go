package check

import (
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
)

// tariff checks what an outside process asks beside its prices.
func (c *checker) tariff(path string, p *rates.Process) {
	c.breaks(path+".piece_breaks", p.PieceBreaks)
	c.breaks(path+".area_breaks", p.AreaBreaks)
	if p.PiecePrice != nil && len(p.PieceBreaks) > 0 {
		c.fail(path+".piece_price", "is given, and piece_breaks too; keep one or the other")
	}
	if p.AreaPrice != nil && len(p.AreaBreaks) > 0 {
		c.fail(path+".price_per_dm2", "is given, and area_breaks too; keep one or the other")
	}
	c.unique(path+".charges", "id", ids(p.Charges, func(i int) bom.ID { return p.Charges[i].ID }))
	for i, ch := range p.Charges {
		switch at := text.Index(path+".charges", i); {
		case ch.Per == rates.Once && ch.OverPieces == nil:
			c.warn(at, "%s is paid once and falls on one lot as a whole; give over_pieces to spread it", ch.Name)
		case ch.Per != rates.Once && ch.OverPieces != nil:
			c.fail(at+".over_pieces", "only what is paid once is spread; make per once or delete it")
		}
	}
	inForce := p.SurchargesOn(c.day)
	for i, u := range p.Surcharges {
		at := text.Index(path+".surcharges", i)
		if u.Until != "" && u.Until < u.From {
			c.fail(at+".until", "%s is before the day it holds from", u.Until.Words())
		}
		if slices.ContainsFunc(p.Surcharges[:i], func(o rates.Surcharge) bool { return o.ID == u.ID && o.From == u.From }) {
			c.fail(at+".from", "two surcharges for %s begin on %s; delete one", u.ID, u.From.Words())
		}
		if c.day != "" && slices.Contains(inForce, i) && c.expired(u.Until) {
			c.warn(at+".until", "the surcharge for %s ran out on %s and goes on being used; ask for the new one", u.ID, u.Until.Words())
		}
	}
	c.metal(path, p)
	switch {
	case p.AllowedLoss != nil && p.SpoiledTimes == nil:
		c.gap(path+".allowed_loss", "it is not said who bears pieces spoiled beyond that: enter spoiled_times, 0 where we do")
	case p.AllowedLoss == nil && p.SpoiledTimes != nil:
		c.fail(path+".spoiled_times", "says what is paid beyond the loss allowed; enter allowed_loss, or delete it")
	}
}

// metal checks the part of a price that follows that of the metal deposited.
func (c *checker) metal(path string, p *rates.Process) {
	m := p.Metal
	if m == nil {
		return
	}
	c.refer(path+".metal.metal", m.Metal, "metal_prices")
	finishes, err := rates.ReferenceFinishes()
	if _, known := finishes.CoatingOf(p.Finish); err == nil && !known && p.CoatingDensityGCM3 == nil && p.Phosphorus == "" && m.MassG == nil {
		c.gap(path+".metal", "the mass of %s is not known: give finish, coating_density_g_cm3, or mass_g here", m.Metal)
	}
	if m.NeverBelow && m.BasePerKg == nil {
		c.fail(path+".metal.never_below_base", "there is no base; add base_per_kg or delete it")
	}
}

// asked checks what a treatment asks of the tariff of its process.
func (c *checker) asked(path string, t *bom.Treatment, p *rates.Process, mass bool) {
	contacts := false
	for _, ch := range p.Charges {
		contacts = contacts || ch.Per == rates.PerContact && ch.Asks(t.Charges)
	}
	for i, id := range t.Charges {
		at := slices.IndexFunc(p.Charges, func(ch rates.ProcessCharge) bool { return ch.ID == id })
		if at < 0 {
			c.fail(text.Index(path+".charges", i), "%s has no charge %s; enter it there, or delete it", p.ID, id)
		}
	}
	switch {
	case contacts && t.Contacts == nil:
		c.gap(path, "%s charges contacts: give contacts, or 0", p.ID)
	case !contacts && t.Contacts != nil:
		c.fail(path+".contacts", "%s charges no contacts; enter a charge per contact there, or delete it", p.ID)
	}
	if p.KilogramPrice != nil && !mass {
		c.gap(path, "%s charges by the kilogram: give mass_g of the part", p.ID)
	}
	switch {
	case p.LoadDM3 == nil && t.SpaceDM3 != nil:
		c.fail(path+".space_dm3", "%s does not say what space a load has; enter load_dm3 there, or delete it", p.ID)
	case p.LoadDM3 != nil && t.SpaceDM3 == nil && t.PiecesPerLoad == nil:
		c.gap(path, "loads of %s are filled by space: give space_dm3, or pieces_per_load", p.ID)
	case p.LoadDM3 != nil && t.SpaceDM3 != nil && t.PiecesPerLoad == nil && less(p.LoadDM3, t.SpaceDM3):
		c.fail(path+".space_dm3", "a piece of %s dm³ is larger than a load of %s, which has %s dm³", t.SpaceDM3.Likely, p.ID, p.LoadDM3.Likely)
	}
}
