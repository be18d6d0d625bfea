package answer

import (
	"slices"

	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/selling/landed"
)

// LandedPrice is one consignment to one destination, both ways of selling side
// by side, in the currency of the destination unless a figure says otherwise.
type LandedPrice struct {
	Destination  string     `json:"destination"`
	Currency     string     `json:"currency"`
	Consignment  string     `json:"consignment"`
	Goods        Figure     `json:"goods"`
	Delivery     Figure     `json:"delivery"`
	Freight      Figure     `json:"freight"`
	Insurance    Figure     `json:"insurance"`
	CustomsValue Figure     `json:"customs_value"`
	Consumer     Figure     `json:"consumer_pays_reseller"`
	BuyerClears  Settlement `json:"buyer_clears"`
	AllPaid      Settlement `json:"all_paid"`
	// Missing says why a landed price is blank.
	Missing []Gap `json:"missing,omitempty"`
}

// Settlement is who pays what in one way of selling.
type Settlement struct {
	Price     Figure `json:"price"`
	Duty      Figure `json:"duty"`
	Charges   Figure `json:"charges"`
	Tax       Figure `json:"tax"`
	Clearance Figure `json:"clearance"`
	AtDoor    Figure `json:"at_door"`
	Total     Figure `json:"landed"`
	Fees      Figure `json:"fees"`
	Reseller  Figure `json:"reseller_margin"`
	Discounts Figure `json:"discounts"`
	Kept      Figure `json:"kept"`
	Profit    Figure `json:"profit"`
	Margin    Figure `json:"margin"`
}

func landedPrice(l estimate.Consignment, r Reader) LandedPrice {
	f, read := l.Figures, r.Figure
	out := LandedPrice{
		Destination: f.Place, Currency: string(f.Currency), Consignment: l.Consignment,
		Goods: read(f.Goods), Delivery: read(f.Delivery), Freight: read(f.Freight), Insurance: read(f.Insurance),
		CustomsValue: read(f.CustomsValue), Consumer: read(f.Consumer), BuyerClears: settlement(f.BuyerClears, read), AllPaid: settlement(f.AllPaid, read),
	}
	for _, m := range f.Missing {
		out.Missing = append(out.Missing, Gap{m.Text(), m.Path})
	}
	for _, total := range Compact([]graph.ID{f.BuyerClears.Total, f.AllPaid.Total}) {
		if gap := r.gap(total); gap.Message != "" && !slices.Contains(out.Missing, gap) {
			out.Missing = append(out.Missing, gap)
		}
		for _, gap := range r.missing(total) {
			if !slices.Contains(out.Missing, gap) {
				out.Missing = append(out.Missing, gap)
			}
		}
	}
	return out
}

func settlement(s landed.Settlement, read func(graph.ID) Figure) Settlement {
	return Settlement{
		Price: read(s.Price), Duty: read(s.Duty), Charges: read(s.Charges), Tax: read(s.Tax), Clearance: read(s.Clearance), AtDoor: read(s.Door),
		Total: read(s.Total), Fees: read(s.Fees), Reseller: read(s.Reseller), Discounts: read(s.Discounts), Kept: read(s.KeptBook), Profit: read(s.Profit), Margin: read(s.Margin),
	}
}
