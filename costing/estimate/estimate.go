package estimate

import (
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/graph"
	"kerfbook/costing/selling/price"
	"kerfbook/costing/trade"
)

// MixLine is one variant of a batch, or a part that is made or bought alone.
type MixLine struct {
	Product bom.ID            `book:"product"`
	Trim    bom.ID            `book:"trim"`
	Choices map[bom.ID]bom.ID `book:"choices"` // in place of the trim's own
	// Part stands in the place of product and trim. It is asked what the channels earn
	// it by themselves, or Margin.
	Part   bom.ID      `book:"part"`
	Margin *bom.Number `book:"margin,min=0,under=1"`
	// Destinations are the places, such as CH or CA-ON, that a part alone is priced in.
	// Trims are in all of the book.
	Destinations []string   `book:"destinations"`
	Quantity     bom.Number `book:"quantity,required,over=0"`
}

// Check refuses a line that names neither a trim of a product nor a part, or both.
func (l MixLine) Check() error {
	switch sold := l.Product != "" || l.Trim != "" || len(l.Choices) > 0; {
	case l.Part == "" && (l.Product == "" || l.Trim == ""):
		return &BuildError{"", "a line of a batch names a product and its trim, or a part alone"}
	case l.Part != "" && sold:
		return &BuildError{"", fmt.Sprintf("a line names part %s beside a product or trim; a part alone has neither", l.Part)}
	case l.Part == "" && len(l.Destinations) > 0:
		return &BuildError{"", fmt.Sprintf("destinations are asked of %s; trims are priced in all of the book, only a part alone is asked where it goes", l.Trim)}
	case l.Part == "" && l.Margin != nil:
		return &BuildError{"", fmt.Sprintf("a margin is asked of %s; trims have theirs under prices, only a part alone is asked for one", l.Trim)}
	}
	for i, place := range l.Destinations {
		d := trade.Elsewhere(place)
		if err := d.Country.CheckText(string(d.Country), true); err != nil || slices.Contains(l.Destinations[:i], place) {
			return &BuildError{"", fmt.Sprintf("%q is no destination of %s, or named twice; write the two capital letters of a country, such as CH, with the region where rules differ, such as CA-ON", bom.Shorten(place), l.Part)}
		}
	}
	return l.CheckQuantity()
}

// AlonePrefix is what a part alone is told from a trim by, where a line is one word.
const AlonePrefix = "part:"

// Word names the line where a mix is one text: the trim, or part:HS-010.
func (l MixLine) Word() string {
	if l.Part != "" {
		return AlonePrefix + string(l.Part)
	}
	return string(l.Trim)
}

// Name is the trim, with the choices in place of its own, plain.mount-wall, or the part.
func (l MixLine) Name() string {
	if l.Part != "" {
		return string(l.Part)
	}
	var b strings.Builder
	b.WriteString(string(l.Trim))
	for _, option := range sortedIDs(l.Choices) {
		fmt.Fprintf(&b, ".%s-%s", option, l.Choices[option])
	}
	return b.String()
}

// MostPieces is the largest batch that is estimated: beyond it the powers of a
// learning curve leave the range in which figures are exact.
const MostPieces = 10_000_000

// CheckQuantity refuses a range, since a batch is made in one quantity, and more
// than [MostPieces].
func (l MixLine) CheckQuantity() error {
	switch {
	case l.Quantity.IsRange:
		return &BuildError{"", fmt.Sprintf("the quantity of %s is a range, and a batch is made in one quantity; how cost changes with it is what the batch curve shows", l.Name())}
	case l.Quantity.Likely.GreaterThan(decimal.NewFromInt(MostPieces)):
		return &BuildError{"", fmt.Sprintf("the quantity of %s is above %d pieces, the largest batch that is estimated; ask for fewer", l.Name(), MostPieces)}
	}
	return nil
}

// without leaves out choices that are the trim's own, so that a variant has one
// name.
func (l MixLine) without(own map[bom.ID]bom.ID) MixLine {
	choices := map[bom.ID]bom.ID{}
	for option, choice := range l.Choices {
		if own[option] != choice {
			choices[option] = choice
		}
	}
	l.Choices = choices
	return l
}

// Estimate is what a batch is expected to cost and earn. The figures are IDs of
// nodes of the graph.
type Estimate struct {
	Graph    *graph.Graph
	Book     *book.Book
	Day      bom.Date
	Variants []Variant
	Parts    []Part // parents before children
	Totals   Totals
	Landed   []Consignment
	// Channels are those that prices are in, as figures.
	Channels map[bom.ID]price.Channel
}

// Variant holds the headline figures of one variant of the mix.
type Variant struct {
	Line     MixLine
	Name     string // of the trim, for people
	Quantity graph.ID
	Costs
	Administration, Selling, SpecialSelling graph.ID // between Production and Full, None where there is none

	Full      graph.ID // C5, money/piece
	BatchFull graph.ID // of all pieces, money
	Prices    []ChannelPrice
}

// ChannelPrice is the price of a variant in one channel.
type ChannelPrice struct {
	Channel bom.ID
	Def     trade.Price // the record that says it
	price.Figures
	BatchProceeds, BatchProfit graph.ID // of all pieces of the variant, sold in this channel; money
}

// Totals are amounts of a whole mix of several variants, None for a single one.
type Totals struct {
	Quantity graph.ID
	Full     graph.ID
	Channels []ChannelTotals
}

// ChannelTotals are what all of the mix earns in a channel.
type ChannelTotals struct {
	Channel                  bom.ID
	Proceeds, Profit, Margin graph.ID
}

// Part holds the headline figures of one part, pooled over the mix.
type Part struct {
	Def  *bom.Part
	Need graph.ID // piece, whole
	Costs
}

// Costs are the costs of one piece by kind, children included, in money/piece.
type Costs struct {
	Kinds      costsByKind
	Material   graph.ID // C1
	Making     graph.ID // C2
	Special    graph.ID // C3, None without any
	Production graph.ID // C4
}

// BuildError is a mix that cannot be estimated, with the place in the book where
// there is one.
type BuildError struct {
	Path    string
	Message string
}

func (e *BuildError) Error() string {
	if e.Path == "" {
		return e.Message
	}
	return e.Path + ": " + e.Message
}

// Alone is a batch of one part.
func Alone(part bom.ID, quantity decimal.Decimal, margin *bom.Number) []MixLine {
	return []MixLine{{Part: part, Margin: margin, Quantity: bom.Exactly(quantity)}}
}

// NewMix gives one line per trim named, each with the same quantity.
func NewMix(product bom.ID, quantity decimal.Decimal, trims ...bom.ID) []MixLine {
	mix := make([]MixLine, len(trims))
	for i, t := range trims {
		mix[i] = MixLine{Product: product, Trim: t, Quantity: bom.Exactly(quantity)}
	}
	return mix
}
