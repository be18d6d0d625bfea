package curve

import (
	"fmt"
	"maps"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/money"
)

// Sale is one variant of a batch in one channel.
type Sale struct {
	Pieces graph.ID // the batch quantity
	Full   graph.ID // full cost, money/piece
	Price  Price
}

// Price are the figures of a price, in money/piece; None for what it has not.
type Price struct {
	Wanted graph.ID // margin or markup wanted, plain; None for an entered price
	List   graph.ID // net list price; None for an entered shelf price
	Free   graph.ID // price asked before the price point; None for an entered shelf price
	Shelf  graph.ID // price asked
	Profit graph.ID
}

// Payback says what pays a batch back.
type Payback struct {
	// AtPoint is the price asked at which nothing is earned, at the price points of
	// the channel. Free is the same before the price point; nil for a price that
	// was entered, where AtPoint is the smallest such price in whole coins. Both
	// are nil where no price pays the batch back.
	Free, AtPoint *decimal.Decimal
	// Sell is how many pieces, sold at the price asked, pay the batch back (P4);
	// nil where there is no such price, or its proceeds do not even cover the
	// allowances.
	Sell *decimal.Decimal
	// Pays reports that the batch has so many pieces.
	Pays bool
}

// PayBack gives the price at which a batch pays back, and the pieces that must be
// sold at the price asked to pay it back. The error is a [*RequestError], or one
// of the exact evaluator.
func PayBack(g *graph.Graph, s Sale, hold exact.Pins) (*Payback, error) {
	for _, f := range []struct {
		field string
		id    graph.ID
	}{{"pieces", s.Pieces}, {"full", s.Full}, {"price.shelf", s.Price.Shelf}, {"price.profit", s.Price.Profit}} {
		if err := known(g, f.id, f.field); err != nil {
			return nil, err
		}
	}
	p := &Payback{}
	if err := p.pieces(g, s, hold); err != nil {
		return nil, err
	}
	if s.Price.Wanted != graph.None {
		return p, p.wanted(g, s, hold)
	}
	return p, p.entered(g, s, hold)
}

// pieces is P4 for a batch whose cost is laid out: full cost × pieces ÷ (profit +
// full cost), rounded up. Profit + full cost is what a piece brings in less the
// allowances that only a sold piece has.
func (p *Payback) pieces(g *graph.Graph, s Sale, hold exact.Pins) error {
	b := graph.Extend(g)
	at := b.Root().In("pay-back", strings.TrimSuffix(g.Node(s.Price.Shelf).Key, "/shelf-price")).Of(g.Node(s.Full).Of).By("P4")
	laid := at.Multiply("laid-out", "full cost of the batch", s.Full, s.Pieces)
	keeps := at.Add("keeps", "proceeds of a piece sold, less its allowances", s.Price.Profit, s.Full)
	sell := at.Whole("sell", "pieces to sell until the batch has paid back", at.Divide("sell-exact", "the same before rounding", laid, keeps))
	pays := at.Check("pays", "the batch has as many pieces", sell, graph.LessOrEqual, s.Pieces)
	brings := at.Check("keeps-something", "a piece sold brings something in", keeps, graph.Greater, at.Zero(at.Unit(keeps)))
	extended, err := b.Build()
	if err != nil {
		return &RequestError{"full", err.Error(), "give the pieces and full cost of the variant the price is for"}
	}
	values, err := exact.Evaluate(extended, hold)
	if err != nil {
		return err
	}
	if some, ok := values.Raw(brings); !ok || some.IsZero() {
		return nil
	}
	pieces, err := values.Get(sell)
	if err != nil {
		return err
	}
	enough, _ := values.Raw(pays)
	p.Sell, p.Pays = &pieces, !enough.IsZero()
	return nil
}

// wanted reads the price at a margin, or markup, of nothing.
func (p *Payback) wanted(g *graph.Graph, s Sale, hold exact.Pins) error {
	v, err := exact.Evaluate(g, with(hold, s.Price.Wanted, decimal.Zero))
	if err != nil {
		return err
	}
	p.Free, p.AtPoint = raw(v, s.Price.Free), raw(v, s.Price.Shelf)
	return nil
}

func with(hold exact.Pins, id graph.ID, v decimal.Decimal) exact.Pins {
	out := exact.Pins{}
	maps.Copy(out, hold)
	out[id] = v
	return out
}

// currencyOf is the currency that a unit starts with, as units with one are
// written.
func currencyOf(u graph.Unit) (money.Currency, bool) {
	code, _, _ := strings.Cut(u.String(), "/")
	code, _, _ = strings.Cut(code, "·")
	return money.Lookup(code)
}

// mostCoins bounds the search for a price: a billion in any currency.
const mostCoins = int64(1) << 40

// entered looks for the smallest price, in coins, at which the profit is not
// negative. A higher price never earns less.
func (p *Payback) entered(g *graph.Graph, s Sale, hold exact.Pins) error {
	typed := s.Price.Shelf
	if s.Price.List != graph.None {
		typed = s.Price.List
	}
	currency, ok := currencyOf(g.Node(typed).Unit)
	if !ok {
		return &RequestError{"price.shelf", fmt.Sprintf("%s is no money", g.Node(typed).Unit), "give a price in money per piece"}
	}
	e := exact.New(g)
	at := func(coins int64) (*exact.Values, error) {
		return e.Evaluate(with(hold, typed, decimal.New(coins, -currency.Places)))
	}
	coins, err := smallest(func(coins int64) (bool, error) {
		v, err := at(coins)
		if err != nil {
			return false, err
		}
		profit, err := v.Get(s.Price.Profit)
		return profit.Sign() >= 0, err
	})
	if err != nil || coins > mostCoins {
		return err
	}
	v, err := at(coins)
	if err != nil {
		return err
	}
	p.AtPoint = raw(v, s.Price.Shelf)
	return nil
}

// smallest is the smallest number from 1 for which something holds that holds for
// all larger ones; a number beyond mostCoins if it does not for any up to there.
func smallest(holds func(int64) (bool, error)) (int64, error) {
	low, high := int64(0), int64(1) // does not hold, holds
	for ; high <= mostCoins; low, high = high, 2*high {
		ok, err := holds(high)
		if err != nil {
			return 0, err
		}
		if ok {
			break
		}
	}
	for high-low > 1 && high <= mostCoins {
		middle := low + (high-low)/2
		ok, err := holds(middle)
		switch {
		case err != nil:
			return 0, err
		case ok:
			high = middle
		default:
			low = middle
		}
	}
	return high, nil
}
