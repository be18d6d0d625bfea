package quote

import (
	"encoding/json"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/estimate"
)

// Document is a quote as it is kept: everything that is shown of it, and what it
// was computed from. It does not change; a new offer is the next revision.
type Document struct {
	Number   string   `json:"number"` // 2026-0001; empty before it is issued
	Revision int      `json:"revision"`
	IssuedOn bom.Date `json:"issued_on"`
	// ValidUntil is the last day on which the quote can be accepted.
	ValidUntil bom.Date `json:"valid_until"`
	Language   string   `json:"language"`

	Seller      Party  `json:"seller"`
	Customer    Party  `json:"customer"`
	Destination string `json:"destination"`
	Buyer       string `json:"buyer"` // consumer, business
	Channel     string `json:"channel"`
	Currency    string `json:"currency"`

	Lines  []Line `json:"lines"`
	Totals Totals `json:"totals"`
	Taxes  []Tax  `json:"taxes"`
	// TaxCategory is that of the lines, as in EN 16931: S where tax is charged, K
	// where the buyer accounts for it, G for goods that leave the customs territory.
	TaxCategory string        `json:"tax_category"`
	Arrival     *Arrival      `json:"arrival,omitempty"` // nil within one customs territory
	Exchange    []ExchangeRow `json:"exchange"`

	Terms      Agreement       `json:"terms"`
	Notes      string          `json:"notes,omitempty"`
	Cautions   []string        `json:"cautions"`
	Unverified []UnverifiedRow `json:"unverified"`
	// RanOut are prices that have run out. They are the shop's matter: no document
	// for the customer names them.
	RanOut []RanOut `json:"ran_out,omitempty"`
	// Confirmed says that the unverified rows and old prices were confirmed.
	Confirmed bool `json:"confirmed"`

	Inputs Inputs `json:"inputs"`
	// Graph is the formula graph with its figures in the form of graph/codec.
	Graph json.RawMessage `json:"graph"`
}

// Figure is a number with the key under which its proof is found. Value is a
// decimal; the zero Figure is a row that the document does not have.
type Figure struct {
	Key   string `json:"key"`
	Value string `json:"value"`
	Unit  string `json:"unit,omitempty"`
}

// Known reports whether the document has the figure.
func (f Figure) Known() bool { return f.Key != "" }

// Line is one line of goods.
type Line struct {
	Number  int    `json:"number"`
	Product string `json:"product"`
	Trim    string `json:"trim"` // with the choices that differ from it; of a part by itself, its number
	Part    string `json:"part,omitempty"`
	Name    string `json:"name"` // reading lamp, Glow
	// Described says what a part by itself is made of and how large it is.
	Described string   `json:"described,omitempty"`
	Choices   []string `json:"choices"` // shade: acrylic light ring
	HSCode    string   `json:"hs_code,omitempty"`
	Origin    string   `json:"origin,omitempty"`

	Quantity Figure `json:"quantity"`
	Batch    Figure `json:"batch"` // made at once
	Price    Figure `json:"price"` // of one piece, before discount and tax
	// RestsOn says what cost the price rests on where that is not the likely one.
	RestsOn  string `json:"rests_on,omitempty"`
	Total    Figure `json:"total"` // before discount and tax
	Discount Figure `json:"discount,omitzero"`
	Net      Figure `json:"net"`    // after discount, before tax
	Extras   Figure `json:"extras"` // its share of delivery and import charges
	Tax      Figure `json:"tax"`    // its share of the tax
	ToPay    Figure `json:"to_pay"`
}

// Totals are the amounts below the lines. Those of import are there only where
// the seller charges them.
type Totals struct {
	Goods         Figure `json:"goods"`
	DiscountShare Figure `json:"discount_share,omitzero"`
	Discount      Figure `json:"discount,omitzero"`
	GoodsNet      Figure `json:"goods_net"`
	Delivery      Figure `json:"delivery"`
	Duty          Figure `json:"duty,omitzero"`
	Charges       Figure `json:"import_charges,omitzero"`
	Clearance     Figure `json:"clearance,omitzero"`
	Net           Figure `json:"net"`
	Tax           Figure `json:"tax"`
	Total         Figure `json:"total"`
}

// Tax is the tax of one rate.
type Tax struct {
	Place  string `json:"place"` // PT
	Name   string `json:"name"`
	Base   Figure `json:"base,omitzero"`
	Rate   Figure `json:"rate,omitzero"`
	Amount Figure `json:"amount"`
	// AtImport says that it is paid at import and charged on.
	AtImport bool `json:"at_import,omitempty"`
	// OwnRounding says that the amount is not base × rate, rounded once to the
	// smallest unit: the rule of the place rounds by line, or in steps.
	OwnRounding bool `json:"own_rounding,omitempty"`
}

// Arrival is what import comes to, estimated with the rules of the day.
type Arrival struct {
	Regime       string `json:"regime"`
	AllPaid      bool   `json:"duty_paid"` // all paid: the seller pays, it is in the total
	Reclaims     bool   `json:"reclaims"`  // the buyer gets import tax back
	CustomsValue Figure `json:"customs_value"`
	Duty         Figure `json:"duty"`
	Charges      Figure `json:"charges"`
	Tax          Figure `json:"tax"`
	Clearance    Figure `json:"clearance"`
	Door         Figure `json:"door"`   // due on arrival beside the price
	Landed       Figure `json:"landed"` // all that the buyer pays
}

// ExchangeRow is an exchange rate the amounts rest on.
type ExchangeRow struct {
	Label  string `json:"label"`
	Rate   Figure `json:"rate"`
	Card   string `json:"card"` // rate card 2026-09
	Source string `json:"source,omitempty"`
}

// Agreement is what was agreed beside prices.
type Agreement struct {
	Delivery string `json:"delivery"` // DAP
	Place    string `json:"place"`
	Payment  string `json:"payment,omitempty"`
	LeadTime string `json:"lead_time,omitempty"`
}

// LacksTaxNumber reports a quote without tax to a business in another country of the
// customs territory that has not said under which number it accounts for the tax.
func (d *Document) LacksTaxNumber() bool {
	return d.TaxCategory == "K" && d.Customer.TaxNumber == "" && !strings.HasPrefix(d.Destination, d.Seller.Country)
}

// RanOut is a price that the quote rests on after its last day.
type RanOut struct {
	Where   string   `json:"where"`
	On      bom.Date `json:"on"` // its last day
	AgeDays int      `json:"age_days"`
	Key     string   `json:"key"` // a figure that comes from it
}

// UnverifiedRow is a row without a source that the quote rests on.
type UnverifiedRow struct {
	Where     string `json:"where"`
	CheckedOn string `json:"checked_on,omitempty"`
	// Key is a figure that comes from the row, if any does.
	Key string `json:"key,omitempty"`
	// OfPrice says that the price of the goods rests on it, which is the seller's matter.
	OfPrice bool `json:"of_price,omitempty"`
}

// Inputs are what the figures were computed from.
type Inputs struct {
	Day     bom.Date   `json:"day"`
	Request Request    `json:"request"`
	Mix     []MixInput `json:"mix"`
	Book    string     `json:"book"` // its text
}

// MixInput is one variant, or part, of the batch.
type MixInput struct {
	Product  string `json:"product"`
	Trim     string `json:"trim"`
	Part     string `json:"part,omitempty"`
	Quantity string `json:"quantity"`
}

func mixInputs(mix []estimate.MixLine) []MixInput {
	var out []MixInput
	for _, l := range mix {
		out = append(out, MixInput{string(l.Product), l.Name(), string(l.Part), l.Quantity.Likely.String()})
	}
	return out
}
