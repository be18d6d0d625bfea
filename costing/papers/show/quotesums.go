package show

import (
	"slices"
	"strings"

	"kerfbook/costing/papers/quote"
)

// DeliveryLabel says where the goods are brought, or collected.
func DeliveryLabel(t quote.Agreement) string {
	if t.Delivery == "EXW" || t.Delivery == "FCA" {
		return "Collected in " + t.Place + ", no delivery"
	}
	return "Delivery to " + t.Place
}

// quoteSums are the rows below the lines, from the goods to the total.
func quoteSums(d *quote.Document) []Amount {
	t := d.Totals
	rows := []Amount{amount("Goods", t.Goods)}
	if t.Discount.Known() {
		off := amount("Discount of "+Percent(value(t.DiscountShare)), t.Discount)
		rows = append(rows, off.TakenOff(), amount("Goods after discount", t.GoodsNet))
	}
	rows = append(rows, amount(DeliveryLabel(d.Terms), t.Delivery))
	for _, r := range []Amount{amount("Import duty, paid by the seller", t.Duty), amount("Import charges, paid by the seller", t.Charges),
		amount("Clearance, paid by the seller", t.Clearance)} {
		if r.Figure.Known() {
			rows = append(rows, r)
		}
	}
	net := amount("Total without tax", t.Net)
	net.Strong = true
	rows = append(rows, net)
	for _, tax := range d.Taxes {
		rows = append(rows, taxRow(tax))
	}
	total := amount("Total to pay", t.Total)
	total.Strong = true
	return append(rows, amount("Tax", t.Tax), total)
}

// taxRow names the tax, its rate and what it falls on.
func taxRow(t quote.Tax) Amount {
	label := TaxName(t)
	if t.Rate.Known() {
		label += ", " + Percent(value(t.Rate))
	}
	if t.Base.Known() {
		label += " of " + amount("", t.Base).Text
	}
	return amount(label, t.Amount)
}

// TaxName names a tax with its place.
func TaxName(t quote.Tax) string {
	if t.AtImport {
		return "Import tax " + t.Place + ", paid by the seller"
	}
	return t.Name + " " + t.Place
}

// taxK says in words what the code stands for in EN 16931.
const taxK = "This is an intra-Community supply: goods for a business in another country of the customs territory (code K)."

func taxNote(d *quote.Document) string {
	switch {
	case d.LacksTaxNumber(): // Art. 138(1)(b) exempts goods for a buyer who has said its number
		return "No tax is charged on condition that the buyer's tax number is given with the order (Directive 2006/112/EC, Art. 138); the buyer then accounts for the tax (reverse charge). " + taxK
	case d.TaxCategory == "K":
		return "No tax is charged: the buyer accounts for it (reverse charge). " + taxK
	case d.TaxCategory == "G":
		return "The seller charges no tax of its own: the goods leave the customs territory. This is an export (code G)."
	default:
		return ""
	}
}

// quoteArrival are the estimates of import, and who pays.
func quoteArrival(d *quote.Document) ([]Amount, string) {
	a := d.Arrival
	if a == nil {
		return nil, ""
	}
	who := "At place, the buyer pays this on arrival beside the price; delivered duty paid, it would be in the price."
	door := amount("Due on arrival beside the price", a.Door)
	if a.AllPaid {
		who = "Duty paid: the seller pays this, and it is in the total."
		door.Label = "Due at the border, paid by the seller"
	}
	note := "Estimated as of " + d.Inputs.Day.Words() + " (" + a.Regime + "). " + who
	if a.Reclaims {
		note += " The buyer can reclaim the import tax."
	}
	landed := amount("Landed price in all", a.Landed)
	landed.Strong = true
	return []Amount{
		amount("Customs value", a.CustomsValue), amount("Import duty", a.Duty), amount("Import charges", a.Charges),
		amount("Import tax", a.Tax), amount("Fee for clearance", a.Clearance), door, landed,
	}, note
}

// quoteBasis says what the figures rest on and what they leave out.
func quoteBasis(d *quote.Document) []string {
	made := "made as one batch"
	if slices.ContainsFunc(d.Lines, func(l quote.Line) bool { return l.Batch.Value != l.Quantity.Value }) {
		made = "each line made at its batch"
	}
	out := []string{
		"Prices are for the quantities stated, " + made + ", with the rates of " + d.Inputs.Day.Words() + ".",
		"Amounts are rounded to the smallest unit of " + d.Currency + ", halves away from zero: the price of a piece, each line, the discount, the delivery; tax once per rate over all lines.",
	}
	if d.Totals.Delivery.Known() && value(d.Totals.Delivery).IsZero() {
		out = append(out, "Freight, and what depends on it, is not part of this quote.")
	}
	if abroad := d.UnverifiedAbroad(); len(abroad) > 0 && d.Confirmed {
		var rows []string
		for _, u := range abroad {
			rows = append(rows, u.Where)
		}
		out = append(out, "Estimates of import rest on rates that the seller confirmed without a published source: "+strings.Join(rows, "; ")+".")
	}
	return out
}
