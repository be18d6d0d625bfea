package landed

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
	"kerfbook/costing/reference"
	"kerfbook/costing/selling/freight"
	"kerfbook/costing/trade"
)

// plan holds the rows that apply to a consignment on a day. It is complete
// before the first figure is written, so that a gap in the book is reported
// whole and leaves nothing half built. What only some regimes need is missing in
// those alone.
type plan struct {
	ctx         Context
	consignment Consignment
	to          money.Code // currency of the destination

	within  bool // one customs territory
	rule    reference.Row[trade.ImportRule]
	regimes []trade.Regime
	unknown [][]error // per regime, what it needs and the book lacks
	taxes   []reference.Row[trade.TaxRow]
	tariff  [][]reference.Row[trade.TariffRow] // per line
	charges []reference.Row[trade.ImportCharge]

	// distance is the rule for a sale across a border within the territory; nil
	// at home. originTaxes are those below its yearly limit.
	distance    *reference.Row[trade.DistanceSale]
	originTaxes []reference.Row[trade.TaxRow]

	carrier *freight.Carrier // nil without

	missing []error
}

func (p *plan) miss(path, format string, args ...any) {
	p.missing = append(p.missing, &MissingError{p.ctx.Destination.Place(), fmt.Sprintf(format, args...), path})
}

// newPlan finds all rows. The error joins a *MissingError for each gap. It searches
// on after a gap, so that a person gets the whole list at once.
func newPlan(ctx Context, c Consignment) (*plan, error) {
	p := &plan{ctx: ctx, consignment: c}
	if len(c.Lines) == 0 {
		p.miss(c.BasketPath, "the consignment %s has no lines", c.Key)
	}
	p.findCurrency()
	p.checkRegion()
	d := ctx.Destination
	home, there := ctx.Tables.TerritoryOf(ctx.Dispatch, ctx.Day), ctx.Tables.TerritoryOf(d.Country, ctx.Day)
	// Not missed yet: a regime without tax needs none.
	p.taxes = ctx.Tables.TaxesOf(d.Country, d.Region, d.BuyerKind(), ctx.Day)
	p.findCarrier()
	if p.within = home == there; p.within {
		p.findDistanceSale(there)
	} else {
		p.findImport()
	}
	p.needRates()
	return p, errors.Join(p.missing...)
}

func (p *plan) findCurrency() {
	d := p.ctx.Destination
	row, ok := p.ctx.Tables.CurrencyOf(d.Country, p.ctx.Day)
	if !ok {
		p.miss("rules.countries", "the currency of %s is not known; add it under countries", d.Country)
		return
	}
	p.to = row.Value.Currency
	if _, ok = money.Lookup(string(p.to)); !ok {
		p.miss("rules.countries", "%s is no currency of ISO 4217", p.to)
	}
}

// findDistanceSale looks up what a sale within the territory needs.
func (p *plan) findDistanceSale(territory string) {
	d := p.ctx.Destination
	if d.Country == p.ctx.Dispatch {
		p.needTaxes(p.taxes, string(d.Country))
		return
	}
	row, ok := p.ctx.Tables.DistanceSaleFor(territory, d.BuyerKind(), p.ctx.Day)
	if !ok {
		p.miss("rules.distance_sales", "no rule for sales across borders within %s to a %s on %s", territory, d.BuyerKind(), p.ctx.Day)
		return
	}
	p.distance = &row
	if row.Value.Tax == trade.NoTax {
		return
	}
	p.needTaxes(p.taxes, string(d.Country))
	// Up to EUR 10,000 of such sales a year the seller's own rate holds: source
	// `spanish-vat-handbook`. The limit is in the row.
	p.originTaxes = p.ctx.Tables.TaxesOf(p.ctx.Dispatch, "", d.BuyerKind(), p.ctx.Day)
	p.needTaxes(p.originTaxes, string(p.ctx.Dispatch))
}

func (p *plan) needTaxes(rows []reference.Row[trade.TaxRow], place string) {
	if len(rows) == 0 {
		p.miss("rules.taxes", "no tax rate of %s on %s is known", place, p.ctx.Day)
	}
	for _, r := range rows {
		// A tax that goes with a missing one would quietly come out too low.
		for _, id := range slices.Concat([]bom.ID{r.Value.ShareOf}, r.Value.BaseContains, r.Value.With) {
			if id != "" && taxIndex(rows, id) < 0 {
				p.miss("rules.taxes", "the tax %s of %s on %s is not known, which goes with %s", id, place, p.ctx.Day, r.Value.Name)
			}
		}
	}
}

// findImport looks up rule, regimes, tariff and charges.
func (p *plan) findImport() {
	d, ctx := p.ctx.Destination, p.ctx
	row, ok := ctx.Tables.ImportRuleFor(ctx.Dispatch, d, ctx.Day)
	if !ok {
		p.miss("rules.import_rules", "no import rule for goods from %s on %s", ctx.Dispatch, ctx.Day)
		return
	}
	p.rule = row
	p.findRegimes()
	p.charges = ctx.Tables.ChargesAt(d, ctx.Day)
	// Once for all regimes; those without a tariff duty are not held up by it.
	noTariff := p.collect(p.findTariff)
	for _, r := range p.regimes {
		p.unknown = append(p.unknown, p.collect(func() { p.needsOf(r, noTariff) }))
	}
}

// collect gives what a search misses, without making the plan itself miss it.
func (p *plan) collect(search func()) []error {
	before := p.missing
	p.missing = nil
	search()
	found := p.missing
	p.missing = before
	return found
}

// needsOf looks for what one regime takes: rates of tax, duties, charges and
// terms of clearance.
func (p *plan) needsOf(r trade.Regime, noTariff []error) {
	if r.Tax != trade.NoTax || r.DutyTaxedApart {
		p.needTaxes(p.taxes, p.ctx.Destination.Place())
	}
	if r.Duty == trade.TariffDuty {
		p.missing = append(p.missing, noTariff...)
	}
	if r.Duty == trade.FlatPerClass && r.Flat == nil {
		p.miss(cmp.Or(p.rule.Path, "rules.import_rules"), "regime %s of rule %s needs flat_per_class", r.ID, p.rule.Value.ID)
	}
	p.needCharges(r)
	if !r.Cleared() || p.carrier == nil {
		return
	}
	if terms := p.carrier.Terms(); terms != nil {
		p.needRate(terms.Currency, p.to, rates.ForSelling)
		if terms.Fixed == nil && terms.Share == nil && terms.Minimum == nil && len(terms.Tiers) == 0 {
			p.miss(p.carrier.Path+".clearance", "the terms of clearance of carrier %s for %s have no amount; add it, with fixed: 0 if it asks nothing", p.carrier.ID, p.ctx.Destination.Place())
		}
	} else if len(p.carrier.Clearance) > 0 {
		p.miss(p.carrier.Path+".clearance", "carrier %s has terms of clearance, but none for %s; add them, with fixed: 0 if it asks nothing", p.carrier.ID, p.ctx.Destination.Place())
	}
}

// needCharges wants a row for each charge the regime names, and the exchange
// rates of all.
func (p *plan) needCharges(r trade.Regime) {
	for _, id := range r.Charges {
		if !slices.ContainsFunc(p.charges, func(c reference.Row[trade.ImportCharge]) bool { return c.Value.ID == id }) {
			p.miss("rules.import_charges", "the import charge %s of %s on %s is not known; add a row", id, p.ctx.Destination.Place(), p.ctx.Day)
		}
	}
	for _, c := range p.charges {
		if c.Value.On(r) {
			p.needRate(c.Value.Currency, p.to, rates.ForCustoms)
		}
	}
}

// findRegimes keeps the regimes open to seller and buyer, up to the first
// without a threshold. A regime that ends where one before it does cannot apply.
func (p *plan) findRegimes() {
	for _, r := range p.rule.Value.Regimes {
		d := p.ctx.Destination
		// Who sells and who buys is known when the graph is built; what the goods are worth
		// is not, so that thresholds stay open.
		closed := r.Seller == trade.RegisteredOnly && !d.Registered || r.Seller == trade.UnregisteredOnly && d.Registered ||
			r.Buyer != "" && r.Buyer != d.BuyerKind()
		if closed || slices.ContainsFunc(p.regimes, func(before trade.Regime) bool { return before.Up.Same(r.Up) }) {
			continue
		}
		p.regimes = append(p.regimes, r)
		if r.Up == nil {
			return
		}
	}
	p.miss(cmp.Or(p.rule.Path, "rules.import_rules"), "rule %s has no last regime without a threshold", p.rule.Value.ID)
}

// checkRegion refuses a region for which no row is known to hold.
func (p *plan) checkRegion() {
	d, path := p.ctx.Destination, p.ctx.Path+".region"
	known, fits := p.ctx.Tables.RegionsOf(d, p.ctx.Day)
	switch {
	case fits:
	case len(known) > 0:
		p.miss(path, "no rules are known for region %s of %s; write one of %s, or add rows of your own for %s under rules", d.Region, d.Country, strings.Join(known, ", "), d.Place())
	default:
		p.miss(path, "no rules are known for region %s of %s; leave the region out where those of %s hold, or add rows of your own for %s under rules", d.Region, d.Country, d.Country, d.Place())
	}
}

func (p *plan) findTariff() {
	if !slices.ContainsFunc(p.regimes, func(r trade.Regime) bool { return r.Duty == trade.TariffDuty }) {
		return
	}
	for _, l := range p.consignment.Lines {
		goods := trade.Goods{HSCode: l.HSCode, National: l.National, Origin: l.Origin}
		rows, ok := p.ctx.Tables.TariffFor(goods, p.ctx.Destination, p.ctx.Day)
		switch longer := p.ctx.Tables.LongerCodes(goods, p.ctx.Destination, p.ctx.Day); {
		case goods.Class() == "":
			p.miss(l.path()+".hs_code", "%s has no hs_code, so its duty is not known", l.goods())
		// Only six digits are common to all countries; below them a place may split a code
		// into different duties, and no rule says which is ours.
		case !ok && len(longer) > 0:
			p.miss(l.path()+".hs_code", "the duty on %s, the code of %s, depends on more digits: enter the one of %s that fits under its national_codes", l.HSCode, l.goods(), strings.Join(longer, ", "))
		case !ok:
			p.miss(l.path()+".hs_code", "no duty on %s, the code of %s, from %s on %s is known; look at the code, or add a row under rules.tariff", l.HSCode, l.goods(), l.Origin, p.ctx.Day)
		}
		p.checkTariff(l, rows)
		p.tariff = append(p.tariff, rows)
	}
	p.checkMixed()
}

// checkTariff wants the mass where a duty is by mass.
func (p *plan) checkTariff(l Line, rows []reference.Row[trade.TariffRow]) {
	for _, r := range rows {
		d := r.Value.Duty
		if (d.PerKg != nil || len(d.Contents) > 0) && l.Parcel.MassG == graph.None {
			p.miss(l.path()+".parcel", "%s has no parcel.mass_g, which its duty is by", l.goods())
		}
		p.needRate(d.Currency, p.to, rates.ForCustoms)
	}
}

// maxMixed bounds the duties of one consignment that are the greater or smaller
// of two amounts: an all-paid price is solved backwards through each way to pick
// their parts.
const maxMixed = 4

func (p *plan) checkMixed() {
	// With both kinds at once neither the least nor the greatest solution is the right one.
	kinds, n := map[trade.Combining]bool{}, 0
	for _, rows := range p.tariff {
		for _, r := range rows {
			if c := r.Value.Duty.Combine; c == trade.TheGreater || c == trade.TheSmaller {
				kinds[c] = true
				n++
			}
		}
	}
	if len(kinds) > 1 || n > maxMixed {
		p.miss("rules.tariff", "the goods bear %d duties that are the greater or smaller of two amounts; at most %d of one kind can be solved", n, maxMixed)
	}
}

// findCarrier looks up the carrier of the destination and wants the parcels its
// prices are by.
func (p *plan) findCarrier() {
	d := p.ctx.Destination
	if d.Carrier == "" {
		return
	}
	carrier, gaps := freight.Find(p.ctx.Carriers, d.Carrier, p.ctx.Path+".carrier", p.ctx.Day, []string{d.Place(), string(d.Country)})
	for _, g := range gaps {
		p.miss(g.Path, "%s", g.What)
	}
	// A basket is weighed and measured as one.
	if p.carrier = carrier; carrier == nil || p.packed() != nil {
		return
	}
	for _, l := range p.consignment.Lines {
		if !l.Parcel.Known() {
			p.miss(l.path()+".parcel", "%s has no parcel, so carrier %s cannot be priced", l.goods(), d.Carrier)
		}
	}
}

// packed is the parcel all goods go in; nil where each goes by itself.
func (p *plan) packed() *bom.Parcel {
	if p.consignment.Basket == nil {
		return nil
	}
	return p.consignment.Basket.Parcel
}

// needRates checks that the exchange rates every regime asks for are on the rate
// card.
func (p *plan) needRates() {
	home := p.ctx.Currency
	p.needRate(home, p.to, rates.ForSelling)
	if !p.within {
		p.needRate(home, p.to, rates.ForCustoms)
		p.needRate(p.rule.Value.Currency, p.to, rates.ForCustoms)
	}
	if p.carrier != nil {
		p.needRate(p.carrier.Currency, home, rates.ForBuying)
	}
	if p.distance != nil && p.distance.Value.Limit != nil {
		p.needRate(home, p.distance.Value.Currency, rates.ForSelling)
	}
}

func (p *plan) needRate(from, to money.Code, kind rates.ExchangeKind) {
	if from == "" || to == "" || from == to {
		return
	}
	if _, _, ok := rates.FindExchange(p.ctx.Card, from, to, kind); ok {
		return
	}
	gap := &MissingError{p.ctx.Destination.Place(),
		fmt.Sprintf("rate card %s has no %s exchange rate from %s to %s", p.ctx.Card.ID, kind, from, to), p.ctx.CardPath + ".exchange"}
	// Several rows may want one rate: the person is told once.
	if !slices.ContainsFunc(p.missing, func(e error) bool { return e.Error() == gap.Error() }) {
		p.missing = append(p.missing, gap)
	}
}

// deliveredPrice is the entered all-paid price of a line's trim.
func (p *plan) deliveredPrice(l Line) (bom.Number, int, bool) {
	best, found := -1, bom.Number{}
	for i, e := range p.ctx.Destination.Delivered {
		// The price of a trim goes before that of its whole product.
		if e.Product == l.Product && (e.Trim == l.Trim || e.Trim == "" && best < 0) {
			best, found = i, e.Price
		}
	}
	return found, best, best >= 0
}
