package estimate_test

import (
	"math/big"
	"slices"
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/estimate"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
)

// twoChannels is a shop with one product sold directly and one sold to dealers, and
// a destination that names no channel.
const twoChannels = `
parts:
  - {number: P, kind: bought, revision: A, name: part P}
offers:
  - {for: P, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 20}]}
products:
  - number: A
    revision: A
    name: product A
    trims: [{id: alpha, name: Alpha}]
    positions: [{number: 1, part: P, quantity: 1}]
  - number: B
    revision: A
    name: product B
    trims: [{id: beta, name: Beta}]
    positions: [{number: 1, part: P, quantity: 1}]
channels:
  - {id: shop, name: own shop, payment_share: 0.02}
  - {id: dealer, name: dealers, reseller_margin: 0.38}
prices:
  - {product: A, channel: shop, shelf_price: 50}
  - {product: B, channel: dealer, shelf_price: 60}
destinations:
  - {country: "PT", delivery_charge: 5}
baskets:
  - {id: both, lines: [{product: A, trim: alpha, quantity: 1}, {product: B, trim: beta, quantity: 1}]}
  - {id: pair, lines: [{product: A, trim: alpha, quantity: 2}]}
`

func lines(trims ...bom.ID) (mix []estimate.MixLine) {
	for _, t := range trims {
		product := map[bom.ID]bom.ID{"alpha": "A", "beta": "B"}[t]
		mix = append(mix, estimate.MixLine{Product: product, Trim: t, Quantity: bom.Whole(10)})
	}
	return mix
}

// TestEverySaleHasItsChannel: a destination without a channel takes that of each
// line, whatever else is in the mix and in which order.
func TestEverySaleHasItsChannel(t *testing.T) {
	t.Parallel()
	b := smallBook(t, twoChannels)
	want := map[string]string{}
	for _, mix := range [][]estimate.MixLine{lines("alpha"), lines("beta"), lines("alpha", "beta"), lines("beta", "alpha")} {
		s := evaluate(t, build(t, b, mix), nil)
		for _, l := range s.est.Landed {
			if l.Missing != nil {
				continue
			}
			margin := s.rat(l.BuyerClears.Margin).FloatString(30)
			if first, known := want[l.Consignment]; known && first != margin {
				t.Errorf("%v: the margin of %s is %s, in another mix %s", mix, l.Consignment, margin, first)
			}
			want[l.Consignment] = margin
		}
	}
	// Beta to a dealer: 60 less 38 % keeps 37.20 of the goods, at a cost of 20.
	if got := want["beta"]; got != new(big.Rat).Quo(ft.Rat("17.2"), ft.Rat("37.2")).FloatString(30) {
		t.Errorf("the margin of beta is %s", got)
	}
	if len(want) != 3 {
		t.Errorf("%d consignments have a margin, want alpha, beta and the pair: %v", len(want), want)
	}
}

// TestLinesOfDifferentChannels: what goes in one consignment is sold in one
// channel; where it is not, that consignment alone is blank and says why.
func TestLinesOfDifferentChannels(t *testing.T) {
	t.Parallel()
	est := build(t, smallBook(t, twoChannels), lines("alpha", "beta"))
	for _, l := range est.Landed {
		if blank := l.BuyerClears.Total == graph.None; blank != (l.Consignment == "both") || blank != (l.Missing != nil) {
			t.Errorf("%s: blank is %t, the reasons %v", l.Consignment, blank, l.Missing)
		}
	}
	told := slices.ContainsFunc(est.Graph.Findings(), func(f graph.Finding) bool {
		return f.Key == "destination/PT/both" && f.Severity == graph.Warning && f.Path == "destinations[0]" &&
			strings.Contains(f.Message, "product A, Alpha is sold in channel shop and product B, Beta in dealer")
	})
	if !told {
		t.Errorf("nothing is said: %v", est.Graph.Findings())
	}
}

// TestChannelTakenIsSaid: where a line could be sold in several channels the one
// with the lowest id is taken, not the first of the book, with a note.
func TestChannelTakenIsSaid(t *testing.T) {
	t.Parallel()
	b := smallBook(t, strings.Replace(twoChannels, "destinations:", "  - {product: A, channel: dealer, shelf_price: 60}\ndestinations:", 1))
	margin := func() string {
		s := evaluate(t, build(t, b, lines("alpha")), nil)
		if f := s.est.Graph.Findings(); len(f) != 1 || f[0].Severity != graph.Note || !strings.Contains(f[0].Message, "that in dealer") {
			t.Errorf("said: %v", f)
		}
		return s.rat(s.est.Landed[0].BuyerClears.Margin).FloatString(30)
	}
	first := margin()
	slices.Reverse(b.Prices)
	if again := margin(); first != again {
		t.Errorf("the margin is %s, with the prices the other way round %s", first, again)
	}
}
