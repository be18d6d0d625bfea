package answer

import (
	"context"
	"errors"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/check"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/trade"
)

// PriceRequest asks for prices of trims at batch quantities.
type PriceRequest struct {
	Day bom.Date `book:"day"`
	// Trims to price; none means all of the book.
	Trims []bom.ID `book:"trims"`
	// Parts to price alone, each in a batch of its own; with none named beside them, no
	// trims.
	Parts []bom.ID `book:"parts"`
	// Margin is asked of the parts, in place of what their channels ask.
	Margin *bom.Number `book:"margin,min=0,under=1"`
	// Destinations are where the parts are sold, such as CH.
	Destinations []string `book:"destinations"`
	// Quantities to price each trim or part at.
	Quantities []decimal.Decimal `book:"quantities,required,over=0"`
	// Together prices the trims as one batch that shares parts and set-ups,
	// each trim at the quantity; otherwise each trim is a batch of its own.
	Together bool `book:"together"`
	// Chances asks how likely each price of the parts meets what is wanted.
	Chances bool `book:"chances"`
	// All asks for every figure of each batch and not only those of the table.
	All bool `book:"all"`
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
	// NotCounted is what is usual in the trade and has no figure in the batch.
	NotCounted []NotCounted `json:"not_counted"`
	// Figures are all of the batch, in the order of the graph, if asked for.
	Figures []Figure `json:"figures,omitempty"`
}

// MixLine is a variant with its quantity.
type MixLine struct {
	Product  bom.ID `json:"product"`
	Trim     string `json:"trim" doc:"With the choices in place of its own; of a part alone its number"`
	Part     bom.ID `json:"part,omitempty" doc:"Of a part alone, which has no product"`
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
	// RestsOn is the cost behind the price where that is not the likely one: its words
	// in the book, what the draws add to the likely cost, and the full cost with that.
	RestsOn     trade.CostBasis `json:"rests_on,omitempty"`
	DrawsAdd    Figure          `json:"draws_add,omitzero"`
	RestsOnCost Figure          `json:"rests_on_cost,omitzero"`
	// Chance is the share of batches that earn what is wanted at the price, if it was asked for.
	Chance string      `json:"chance,omitempty" doc:"The share of batches that earn what is wanted at the price, of a part alone and if asked for"`
	Def    trade.Price `json:"-"` // the record of the price
}

// Price prices trims at batch quantities. A batch that lacks a record, or one
// that can be read, is in the list without figures, with the reasons.
func (o Origin) Price(ctx context.Context, req PriceRequest) (PriceList, error) {
	for _, t := range req.Trims {
		if _, err := ProductOf(o.Book, t); err != nil {
			return PriceList{}, Invalidf("%s", err)
		}
	}
	for _, id := range req.Parts {
		if !slices.ContainsFunc(o.Book.Parts, func(p bom.Part) bool { return p.Number == id }) {
			return PriceList{}, Invalidf("the book has no part %s", bom.Shorten(string(id)))
		}
	}
	list := PriceList{Book: o.Book.Name, Day: req.Day, Currency: string(o.Book.Currency), Estimates: []Estimate{}}
	for _, mix := range mixes(o.Book, req) {
		for _, q := range req.Quantities {
			for i := range mix {
				mix[i].Quantity = bom.Exactly(q)
			}
			e, err := o.Evaluate(ctx, mix, req.Day)
			switch {
			case err == nil:
				priced := e.Figures()
				if req.All {
					priced.Figures = NewReader(e.Estimate.Graph, e.Values).all()
				}
				list.Estimates = append(list.Estimates, priced)
			case CodeOf(err) == Invalid && lacking(o.Book):
				list.Estimates = append(list.Estimates, blankEstimate(mix, err))
			default:
				return PriceList{}, err
			}
		}
	}
	return list, nil
}

// lacking reports whether records of a book cannot be read or refer to what is not
// there.
func lacking(b *book.Book) bool {
	return len(b.Unread) > 0 || slices.ContainsFunc(check.Book(b, nil, ""), func(p check.Problem) bool { return p.Severity == check.Gap })
}

// blankEstimate is a batch without figures, with the reasons.
func blankEstimate(mix []estimate.MixLine, err error) Estimate {
	out := Estimate{Variants: []VariantPrices{}, Findings: []Finding{}, NotCounted: []NotCounted{}}
	for _, l := range mix {
		out.Mix = append(out.Mix, MixLine{l.Product, l.Name(), l.Part, Figure{Value: l.Quantity.Likely.String()}})
	}
	var known *Error
	if errors.As(err, &known) {
		for _, f := range known.Fields {
			out.Findings = append(out.Findings, Finding{Severity: "error", Message: f.Message, Path: f.Path})
		}
	}
	if len(out.Findings) == 0 {
		out.Findings = append(out.Findings, Finding{Severity: "error", Message: err.Error()})
	}
	return out
}

// Batches counts the batches that are asked for.
func (r PriceRequest) Batches(b *book.Book) int { return len(mixes(b, r)) * len(r.Quantities) }

// mixes gives the batches asked for: one per trim, or all trims in one, and one per part.
func mixes(b *book.Book, req PriceRequest) [][]estimate.MixLine {
	var lines []estimate.MixLine
	var out [][]estimate.MixLine
	for _, p := range b.Products {
		for _, t := range p.Trims {
			if len(req.Trims) == 0 && len(req.Parts) == 0 || slices.Contains(req.Trims, t.ID) {
				lines = append(lines, estimate.MixLine{Product: p.Number, Trim: t.ID, Quantity: bom.Whole(1)})
			}
		}
	}
	if req.Together && len(lines) > 0 {
		out, lines = append(out, lines), nil
	}
	for _, l := range lines {
		out = append(out, []estimate.MixLine{l})
	}
	for _, id := range req.Parts {
		alone := estimate.Alone(id, decimal.New(1, 0), req.Margin)
		alone[0].Destinations = req.Destinations
		out = append(out, alone)
	}
	return out
}

// usually is how many are made at once where the book does not say.
const usually = 100

// mostAlone bounds the parts of a book without products.
const mostAlone = 24

// UsualBatches asks for each trim in the usual batch of its product, or for the parts where
// there is no product yet.
func UsualBatches(b *book.Book) (out []PriceRequest) {
	for _, p := range b.Products {
		req := PriceRequest{Quantities: []decimal.Decimal{decimal.NewFromInt(usually)}}
		if p.UsualBatch != nil {
			req.Quantities[0] = p.UsualBatch.Likely
		}
		for _, t := range p.Trims {
			req.Trims = append(req.Trims, t.ID)
		}
		if len(req.Trims) > 0 {
			out = append(out, req)
		}
	}
	if len(b.Products) > 0 {
		return out
	}
	req := PriceRequest{Quantities: []decimal.Decimal{decimal.NewFromInt(usually)}}
	for _, p := range b.Parts[:min(len(b.Parts), mostAlone)] {
		req.Parts = append(req.Parts, p.Number)
	}
	if len(req.Parts) > 0 {
		out = append(out, req)
	}
	return out
}

// headlines reads the headline figures of a batch.
func (e *Evaluation) headlines() Estimate {
	est, r := e.Estimate, e.Sheet().read()
	read := r.Figure
	out := Estimate{Nodes: est.Graph.Len(), Findings: r.Findings(Headline(est)), NotCounted: notCounted(est)}
	for _, v := range est.Variants {
		out.Mix = append(out.Mix, MixLine{v.Line.Product, v.Line.Name(), v.Line.Part, read(v.Quantity)})
		of := variantPrices(v, read)
		of.Landed = make([]LandedPrice, 0, len(est.Landed)/len(est.Variants)) // large ones
		for _, l := range est.Landed {
			if l.Consignment == of.Trim && !l.Basket {
				of.Landed = append(of.Landed, landedPrice(l, r))
			}
		}
		out.Variants = append(out.Variants, of)
	}
	for _, l := range est.Landed {
		if l.Basket {
			out.Baskets = append(out.Baskets, landedPrice(l, r))
		}
	}
	return out
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
		c := ChannelPrices{
			Channel: p.Channel, Shelf: read(p.Shelf), ShelfNet: read(p.ShelfNet), Proceeds: read(p.Proceeds),
			Profit: read(p.Profit), Margin: read(p.Margin), Markup: read(p.Markup), TargetCost: read(p.Target), Def: p.Def,
		}
		if p.Added != graph.None {
			c.RestsOn, c.DrawsAdd, c.RestsOnCost = p.Def.RestsOn, read(p.Added), read(p.Cost)
		}
		out.Channels = append(out.Channels, c)
	}
	return out
}
