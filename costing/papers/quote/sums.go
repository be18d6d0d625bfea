package quote

import (
	"fmt"
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/reference"
	"kerfbook/costing/trade"
)

// sums are the amounts of the document below its lines, in the currency of the
// destination; None where the document has no such row.
type sums struct {
	delivery                 graph.ID
	duty, charges, clearance graph.ID // paid to the seller
	net, tax, total          graph.ID
	taxes                    []taxFigures
	arrival                  arrival
}

// taxFigures are the tax of one rate. applies is 1 where the row is charged,
// None where it always is.
type taxFigures struct {
	place, name  string
	key          string // name of the figures below tax/
	base, amount graph.ID
	applies      graph.ID
	atImport     bool // paid by the seller at import and charged on
	several      bool // the sum of several taxes
}

// arrival is what is due when the goods cross a customs border, whoever pays.
type arrival struct {
	customsValue, duty, charges, tax, clearance, door, landed graph.ID
}

// writeSums writes the amounts below the lines, and checks them against the
// landed price.
func (w *work) writeSums() {
	at, z := w.landed.BuyerClears, &w.sums
	z.duty, z.charges, z.clearance = graph.None, graph.None, graph.None
	z.delivery = w.s.Add("delivery", "delivery without tax", w.landed.Delivery)
	paid := at.Price
	if w.within() {
		z.taxes = w.taxesWithin()
	} else {
		w.writeArrival()
		paid = w.writeImport()
	}
	z.net = w.s.Total("net", "total without tax", w.net, z.delivery, z.duty, z.charges, z.clearance)
	var amounts []graph.ID
	for _, t := range z.taxes {
		amounts = append(amounts, t.amount)
	}
	if len(amounts) == 0 {
		amounts = append(amounts, w.s.Zero(w.money))
	}
	z.tax = w.s.By("L7").Add("tax", "tax", amounts...)
	z.total = w.s.Add("total", "total to pay", z.net, z.tax)
	w.s.Check("adds-up", "the total is what the landed price says is paid to the seller", z.total, graph.Equal, paid)
}

// writeArrival writes what is due at the border under names of the quote.
func (w *work) writeArrival() {
	at, s := w.landed.BuyerClears, w.s.In("arrival").By("L9")
	w.sums.arrival = arrival{
		customsValue: s.By("L5").Round("customs-value", "customs value", w.landed.CustomsValue, w.minor),
		duty:         s.Add("duty", "import duty", at.Duty),
		charges:      s.Add("charges", "import charges beside duty and tax", at.Charges),
		tax:          s.Add("tax", "import tax", at.Tax),
		clearance:    s.Add("clearance", "fee for clearance", at.Clearance),
		door:         s.Add("door", "due on arrival beside the price", at.Door),
		landed:       s.Add("landed", "landed price: all that the buyer pays", at.Total),
	}
}

// writeImport writes what the seller charges for import: what the regime has the
// seller collect, and all of it where the goods are delivered duty paid. It gives
// what the buyer pays the seller by the landed price.
func (w *work) writeImport() graph.ID {
	at, z := w.landed.BuyerClears, &w.sums
	recharged := w.perRegime("duty-recharged", "duty recharged by the seller", "duty", func(r trade.Regime) bool { return r.DutyRecharged })
	z.taxes = w.collectedTax(recharged)
	if !w.term.allPaid {
		z.duty = recharged
		return at.Price
	}
	z.duty = w.s.Add("duty", "import duty", at.Duty)
	z.charges = w.s.Add("charges", "import charges beside duty and tax", at.Charges)
	z.clearance = w.s.Add("clearance", "fee for clearance", at.Clearance)
	border := w.perRegime("tax/at-import/amount", "import tax paid by the seller", "tax", atBorder)
	base := w.perRegime("tax/at-import/base", "base of import tax", "tax-base", atBorder)
	if border != graph.None {
		applies := w.flag("tax/at-import/applies", atBorder)
		z.taxes = append(z.taxes, taxFigures{place: w.destination.Place(), name: "import tax", key: "at-import",
			base: base, amount: border, applies: applies, atImport: true, several: len(w.taxRowsThere()) != 1})
	}
	return at.Total
}

// perRegime gives a figure of the regime that holds, nothing in the regimes that
// do not have it, None where none has.
func (w *work) perRegime(name, label, figure string, has func(trade.Regime) bool) graph.ID {
	zero := w.s.Zero(w.money)
	if !slices.ContainsFunc(w.regimes(), has) {
		return graph.None
	}
	return w.pick(name, label, zero, has, func(r trade.Regime) graph.ID { return w.figure("regime/" + string(r.ID) + "/" + figure) })
}

// flag is 1 in the regimes that have a property.
func (w *work) flag(name string, has func(trade.Regime) bool) graph.ID {
	return w.pick(name, "1 where the row is charged", w.s.Zero(graph.Plain), has, func(trade.Regime) graph.ID { return w.s.One(graph.Plain) })
}

func (w *work) pick(name, label string, zero graph.ID, has func(trade.Regime) bool, of func(trade.Regime) graph.ID) graph.ID {
	var each []graph.ID
	for _, r := range w.regimes() {
		if has(r) {
			each = append(each, of(r))
		} else {
			each = append(each, zero)
		}
	}
	if len(each) == 1 {
		return w.s.Add(name, label, each[0])
	}
	return w.s.At(name, label, w.landed.BuyerClears.Regime, each...)
}

// bySeller and atBorder say who collects the tax of a regime.
func bySeller(r trade.Regime) bool { return r.Tax == trade.TaxBySeller }
func atBorder(r trade.Regime) bool { return r.Tax == trade.TaxAtBorder }

// collectedTax is the tax the seller collects for the country of import.
func (w *work) collectedTax(recharged graph.ID) []taxFigures {
	amount := w.perRegime("tax/collected/amount", "tax collected by the seller", "tax", bySeller)
	if amount == graph.None {
		return nil
	}
	name := "tax"
	rows := w.taxRowsThere()
	if len(rows) == 1 {
		name = rows[0].Value.Name
	}
	base := w.s.Total("tax/collected/base", "goods, delivery and duty recharged", w.net, w.sums.delivery, recharged)
	return []taxFigures{{place: w.destination.Place(), name: name, key: "collected", base: base, amount: amount, several: len(rows) != 1,
		applies: w.flag("tax/collected/applies", bySeller)}}
}

func (w *work) taxRowsThere() []reference.Row[trade.TaxRow] {
	return w.tables.TaxesOf(w.destination.Country, w.destination.Region, w.destination.BuyerKind(), w.day)
}

// taxesWithin are the taxes of a sale within one customs territory: those of the
// country of dispatch, or of the destination, by the year's distance sales.
func (w *work) taxesWithin() []taxFigures {
	home, there := w.book.Country, w.destination.Country
	if w.figure("origin/tax") == graph.None {
		if w.figure("tax-rate") == graph.None {
			return nil // the buyer accounts for the tax
		}
		return w.taxRows("", there, w.destination.Region, graph.None)
	}
	sales := w.figure("year-sales")
	limit := w.root.Lookup("distance-sales/" + w.tables.TerritoryOf(there, w.day) + "/yearly-limit")
	one, zero := w.s.One(graph.Plain), w.s.Zero(graph.Plain)
	of := func(name string, then, otherwise graph.ID) graph.ID {
		return w.s.Choose("tax/"+name, "1 where the row is charged", sales, graph.LessOrEqual, limit, then, otherwise)
	}
	return append(w.taxRows("origin/", home, "", of("by-origin", one, zero)),
		w.taxRows("there/", there, w.destination.Region, of("by-destination", zero, one))...)
}

// taxRows gives a row per tax of a country; the figures stand below a prefix of
// the consignment's.
func (w *work) taxRows(prefix string, country bom.Country, region string, applies graph.ID) []taxFigures {
	var out []taxFigures
	for _, r := range w.tables.TaxesOf(country, region, w.destination.BuyerKind(), w.day) {
		key := fmt.Sprintf("%s-%s", country, r.Value.ID)
		s := w.s.In("tax", key)
		from := prefix + "tax-" + string(r.Value.ID)
		t := taxFigures{place: string(country), name: r.Value.Name, key: key, applies: applies,
			base: w.figure(from + "/base"), amount: w.figure(from + "/all")}
		if applies == graph.None {
			t.amount = s.By("L7").Add("amount", r.Value.Name, t.amount)
		} else {
			t.amount = s.By("L7").Multiply("amount", r.Value.Name+", where it is charged", t.amount, applies)
		}
		out = append(out, t)
	}
	return out
}

// writeShares shares out to the lines what is added to the goods.
func (w *work) writeShares() {
	var scopes []graph.Scope
	var nets, bases []graph.ID
	for _, l := range w.lines {
		scopes, nets = append(scopes, l.s), append(nets, l.net)
	}
	z := w.sums
	extras := w.s.Total("extras", "delivery and import charges in the price", z.delivery, z.duty, z.charges, z.clearance)
	parts := shareOut(scopes, "extras", "share of delivery and import charges", extras, w.net, w.minor, nets)
	for i := range w.lines {
		l := &w.lines[i]
		l.extras = parts[i]
		bases = append(bases, l.s.Add("with-extras", "line with its share of delivery", l.net, l.extras))
	}
	taxes := shareOut(scopes, "tax", "share of the tax", z.tax, z.net, w.minor, bases)
	for i := range w.lines {
		l := &w.lines[i]
		l.tax = taxes[i]
		l.toPay = l.s.Add("to-pay", "what the line comes to in all", bases[i], l.tax)
	}
}

// shareOut divides an amount over lines by their weights, so that the shares are
// whole multiples of the step and add up to the amount: each is what the lines up
// to it bear, rounded, less what those before it bear, rounded. The weights must
// add up to the total, and the amount must be a multiple of the step. scopes and
// weights go by line.
func shareOut(scopes []graph.Scope, name, label string, amount, total, step graph.ID, weights []graph.ID) []graph.ID {
	out := make([]graph.ID, len(weights))
	before, upTo := graph.None, graph.None
	for i, s := range scopes {
		if upTo == graph.None {
			upTo = weights[i]
		} else {
			upTo = s.Add(name+"-weight", "weight of the lines up to this one", upTo, weights[i])
		}
		exact := s.Divide(name+"-unrounded", label+" up to this line, before rounding",
			s.Multiply(name+"-weighted", label+" × weight of the lines up to this one", amount, upTo), total)
		if before == graph.None {
			out[i] = s.Round(name, label, exact, step)
			before = out[i]
			continue
		}
		rounded := s.Round(name+"-up-to", label+" up to this line", exact, step)
		out[i] = s.Subtract(name, label, rounded, before)
		before = rounded
	}
	return out
}
