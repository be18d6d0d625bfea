package quote

import (
	"cmp"
	"fmt"

	"github.com/shopspring/decimal"

	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/codec"
	"kerfbook/costing/trade"
)

// Basis is what the seller looks at beside a quote. It is the shop's matter: no
// document for the customer has it.
type Basis struct {
	Lines     []LineBasis `json:"lines"`
	Notes     []string    `json:"notes,omitempty"`
	Unsourced []string    `json:"unsourced,omitempty"` // rows that a price rests on and nobody has given a source for
}

// LineBasis is what the price of a line rests on.
type LineBasis struct {
	Line      int      `json:"line"`
	Name      string   `json:"name"`
	Quantity  Figure   `json:"quantity"`
	Batch     Figure   `json:"batch"`
	PieceCost Figure   `json:"piece_cost,omitzero"` // full cost of one piece that the price rests on
	BatchCost Figure   `json:"batch_cost,omitzero"` // full cost of the batch
	Notes     []string `json:"notes,omitempty"`
}

// Basis reads it off the figures that are kept with the document. A figure that
// has no value, or that an older document lacks, is left out. The error is that of
// [Document.Computed].
func (d *Document) Basis() (*Basis, error) {
	g, values, err := d.Computed()
	if err != nil {
		return nil, err
	}
	r := basisReader{g, values}
	out := &Basis{Notes: d.buyerNotes(r)}
	if d.LacksTaxNumber() {
		out.Notes = append(out.Notes, "The buyer's tax number is missing: without it the invoice has to charge tax. Ask for it with the order.")
	}
	for _, u := range d.Unverified {
		if u.OfPrice {
			out.Unsourced = append(out.Unsourced, u.Where)
		}
	}
	for _, l := range d.Lines {
		b := LineBasis{Line: l.Number, Name: l.Name, Quantity: l.Quantity, Batch: l.Batch,
			PieceCost: r.figure("variant/" + l.Trim + "/each/full"), BatchCost: r.figure("quote/line/" + l.Trim + "/batch-cost")}
		b.Notes = append(batchNotes(l), d.packing(r, l)...)
		if drawn := "variant/" + l.Trim + "/price/" + cmp.Or(d.Channel, estimate.NoChannel) + "/"; l.RestsOn != "" {
			likely, added := b.PieceCost.number(), r.figure(drawn+"draws-add")
			b.PieceCost = r.figure(drawn + "cost")
			b.Notes = append(b.Notes, fmt.Sprintf("The price rests on the %s, %s %s above the likely full cost of %s.",
				l.RestsOn, added.number().StringFixed(2), added.Unit, likely.StringFixed(2)))
		}
		out.Lines = append(out.Lines, b)
	}
	return out, nil
}

type basisReader struct {
	g      *graph.Graph
	values *codec.Values
}

func (r basisReader) figure(key string) Figure {
	id, ok := r.g.Find(key)
	if !ok {
		return Figure{}
	}
	v, ok := r.values.Raw(id)
	if !ok {
		return Figure{}
	}
	return Figure{Key: key, Value: v.String(), Unit: r.g.Node(id).Unit.String()}
}

func (d *Document) buyerNotes(r basisReader) []string {
	switch resells := r.figure("channel/" + d.Channel + "/reseller-margin").Known(); {
	case resells && d.Buyer == string(trade.Business):
		return []string{"Channel " + d.Channel + " sells to resellers: the buyer is taken as a business."}
	case resells:
		return []string{"The buyer is a " + d.Buyer + " although channel " + d.Channel + " sells to resellers: " + d.Inputs.Request.BuyerReason}
	}
	return nil
}

// batchNotes says in words how the pieces asked for stand to the batch.
func batchNotes(l Line) []string {
	asked, batch := l.Quantity.number(), l.Batch.number()
	switch asked.Cmp(batch) {
	case 0:
		return []string{fmt.Sprintf("The quantity asked for is itself the batch: the price is that of %s made at once. Where more are made at once, enter that number.", batch)}
	case 1:
		return []string{fmt.Sprintf("More are asked for than the batch: the price is that of %s made at once, again and again until there are %s.", batch, asked)}
	}
	return []string{fmt.Sprintf("The price holds only if %s are made at once; %s of them are asked for here.", batch, asked)}
}

// packing says in how many parcels the pieces of a line go, where a carrier takes
// more than one.
func (d *Document) packing(r basisReader, l Line) []string {
	key := "destination/" + d.Destination + "/" + consignmentKey + "/parcel/" + l.Trim + "/"
	if !r.figure(key+"freight-of-all").Known() || l.Quantity.Value == "1" {
		return nil
	}
	full := r.figure(key + "full-cartons")
	if !full.Known() {
		text := fmt.Sprintf("They go as %s parcels, each piece in one of its own", l.Quantity.Value)
		if l.Part != "" {
			return []string{text + ". Ask for delivery in the terms of the quote if they go together."}
		}
		return []string{text + fmt.Sprintf(": product %s has no carton. Enter one there if pieces go together.", l.Product)}
	}
	text := fmt.Sprintf("They go in %s full cartons of %s", full.Value, r.figure("product/"+l.Product+"/carton/pieces").Value)
	if rest := r.figure(key + "pieces-left-over").Value; rest == "1" {
		text += " and a parcel of one"
	} else if rest != "0" {
		text += " and a carton with " + rest
	}
	return []string{text + "."}
}

// number is the value of a figure of pieces; 0 of one that the document does not
// have.
func (f Figure) number() decimal.Decimal {
	n, _ := decimal.NewFromString(f.Value)
	return n
}
