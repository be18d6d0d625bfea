package service

import (
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// PriceRequest asks for prices of trims at batch quantities.
type PriceRequest struct {
	Day bom.Date
	// Trims to price; none means all of the book.
	Trims []bom.ID
	// Quantities to price each trim at.
	Quantities []decimal.Decimal
	// Together prices the trims as one batch that shares parts and set-ups,
	// each trim at the quantity; otherwise each trim is a batch of its own.
	Together bool
	// All asks for every figure of each batch and not only those of the table.
	All bool
}

// PriceList is the answer: one estimate per batch.
type PriceList struct {
	Book      string     `json:"book"`
	Day       bom.Date   `json:"day"`
	Currency  string     `json:"currency"`
	Estimates []Estimate `json:"estimates"`
}

// Estimate is one batch with the figures of its variants.
type Estimate struct {
	Mix      []MixLine       `json:"mix"`
	Nodes    int             `json:"nodes"`
	Variants []VariantPrices `json:"variants"`
	Baskets  []LandedPrice   `json:"baskets,omitempty"`
	Findings []Finding       `json:"findings"`
	// Figures are all of the batch, in the order of the graph, if asked for.
	Figures []Figure `json:"figures,omitempty"`
}

// MixLine is a variant with its quantity.
type MixLine struct {
	Product  bom.ID `json:"product"`
	Trim     string `json:"trim"`
	Quantity Figure `json:"quantity"`
}

// VariantPrices are the costs, prices and landed prices of one variant, by piece.
type VariantPrices struct {
	Trim       string          `json:"trim"`
	Name       string          `json:"name"`
	Quantity   Figure          `json:"quantity"`
	Kinds      []Figure        `json:"kinds"`
	Material   Figure          `json:"material"`
	Making     Figure          `json:"making"`
	Special    Figure          `json:"special_direct"`
	Production Figure          `json:"cost_of_production"`
	Full       Figure          `json:"full_cost"`
	Channels   []ChannelPrices `json:"channels"`
	Landed     []LandedPrice   `json:"landed,omitempty"`
}

// ChannelPrices are the prices of a variant in one channel, by piece.
type ChannelPrices struct {
	Channel    bom.ID `json:"channel"`
	Shelf      Figure `json:"price_asked"`
	ShelfNet   Figure `json:"price_without_tax"`
	Proceeds   Figure `json:"proceeds"`
	Profit     Figure `json:"profit"`
	Margin     Figure `json:"margin"`
	Markup     Figure `json:"markup"`
	TargetCost Figure `json:"target_cost"`
}

// Price prices trims at batch quantities. Each batch is built once and evaluated
// for every quantity.
func Price(b *book.Book, req PriceRequest) (PriceList, error) {
	for _, t := range req.Trims {
		if _, err := productOf(b, t); err != nil {
			return PriceList{}, err
		}
	}
	asked := mixes(b, req)
	if len(asked) == 0 {
		return PriceList{}, noTrim()
	}
	list := PriceList{Book: b.Name, Day: req.Day, Currency: string(b.Currency), Estimates: []Estimate{}}
	for _, mix := range asked {
		est, err := estimate.Build(b, mix, req.Day)
		if err != nil {
			return PriceList{}, err
		}
		for _, q := range req.Quantities {
			batch := est
			values, err := evaluate(est, q)
			if outsideDecision(err) {
				batch, values, err = decidedFor(b, mix, req.Day, q)
			}
			if err != nil {
				return PriceList{}, err
			}
			e := figuresOf(batch, values)
			if req.All {
				e.Figures = newReader(batch.Graph, values).all()
			}
			list.Estimates = append(list.Estimates, e)
		}
	}
	return list, nil
}

// mixes gives the batches asked for: one per trim, or all trims in one.
func mixes(b *book.Book, req PriceRequest) [][]estimate.MixLine {
	var lines []estimate.MixLine
	for _, p := range b.Products {
		for _, t := range p.Trims {
			if len(req.Trims) == 0 || slices.Contains(req.Trims, t.ID) {
				lines = append(lines, estimate.MixLine{Product: p.Number, Trim: t.ID, Quantity: bom.Whole(1)})
			}
		}
	}
	if req.Together && len(lines) > 0 {
		return [][]estimate.MixLine{lines}
	}
	var out [][]estimate.MixLine
	for _, l := range lines {
		out = append(out, []estimate.MixLine{l})
	}
	return out
}

// evaluate computes a batch with every quantity of the mix set to q.
func evaluate(est *estimate.Estimate, q decimal.Decimal) (*exact.Values, error) {
	pins := exact.Pins{}
	for _, v := range est.Variants {
		pins[v.Quantity] = q
	}
	return exact.Evaluate(est.Graph, pins)
}

// decidedFor builds a batch with its decisions taken for just this quantity.
func decidedFor(b *book.Book, mix []estimate.MixLine, day bom.Date, q decimal.Decimal) (*estimate.Estimate, *exact.Values, error) {
	mix = slices.Clone(mix)
	for i := range mix {
		mix[i].Quantity = bom.Exactly(q)
	}
	return evaluateMix(b, mix, day)
}

// figuresOf reads the headline figures of an evaluated estimate.
func figuresOf(est *estimate.Estimate, values *exact.Values) Estimate {
	r := newReader(est.Graph, values)
	read := r.figure
	e := Estimate{Nodes: est.Graph.Len(), Findings: r.findings(headline(est))}
	for _, v := range est.Variants {
		e.Mix = append(e.Mix, MixLine{v.Line.Product, v.Line.Name(), read(v.Quantity)})
		out := variantPrices(v, read)
		for _, l := range est.Landed {
			if l.Consignment == out.Trim && !l.Basket {
				out.Landed = append(out.Landed, landedPrice(l, r))
			}
		}
		e.Variants = append(e.Variants, out)
	}
	for _, l := range est.Landed {
		if l.Basket {
			e.Baskets = append(e.Baskets, landedPrice(l, r))
		}
	}
	return e
}

func variantPrices(v estimate.Variant, read func(graph.ID) Figure) VariantPrices {
	out := VariantPrices{
		Trim: v.Line.Name(), Name: v.Name, Quantity: read(v.Quantity),
		Material: read(v.Material), Making: read(v.Making), Special: read(v.Special),
		Production: read(v.Production), Full: read(v.Full),
		Kinds: []Figure{}, Channels: []ChannelPrices{},
	}
	for _, id := range v.Kinds {
		if id != graph.None {
			out.Kinds = append(out.Kinds, read(id))
		}
	}
	for _, p := range v.Prices {
		out.Channels = append(out.Channels, ChannelPrices{
			Channel: p.Channel, Shelf: read(p.Shelf), ShelfNet: read(p.ShelfNet), Proceeds: read(p.Proceeds),
			Profit: read(p.Profit), Margin: read(p.Margin), Markup: read(p.Markup), TargetCost: read(p.Target),
		})
	}
	return out
}
