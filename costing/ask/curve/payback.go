package curve

import (
	"fmt"
	"maps"
	"sort"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/money"
)

// Sale is one variant of a batch in one channel: the figures of its price, in
// money/piece; None for what it has not.
type Sale struct {
	Pieces graph.ID // the batch quantity
	Full   graph.ID // full cost
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
func PayBack(e *exact.Evaluator, s Sale, hold exact.Pins) (*Payback, error) {
	p := &Payback{}
	if err := p.pieces(e, s, hold); err != nil {
		return nil, err
	}
	if s.Wanted != graph.None {
		return p, p.wanted(e, s, hold)
	}
	return p, p.entered(e, s, hold)
}

// pieces is P4 for a batch whose cost is laid out: full cost × pieces ÷ (profit +
// full cost), rounded up. Profit + full cost is what a piece brings in less the
// allowances that only a sold piece has.
func (p *Payback) pieces(e *exact.Evaluator, s Sale, hold exact.Pins) error {
	batch, err := e.Evaluate(hold)
	if err != nil {
		return err
	}
	b := graph.NewBuilder(graph.Limits{})
	at := b.Root().By("P4")
	var of [3]graph.ID
	for i, id := range [...]graph.ID{s.Full, s.Profit, s.Pieces} {
		v, ok := batch.Raw(id)
		if !ok {
			return nil
		}
		n := e.Graph().Node(id)
		of[i] = at.Input(n.Key, n.Label, n.Unit, v)
	}
	full, profit, count := of[0], of[1], of[2]
	laid := at.Multiply("laid-out", "full cost of the batch", full, count)
	keeps := at.Add("keeps", "proceeds of a piece sold, less its allowances", profit, full)
	sell := at.Whole("sell", "pieces to sell until the batch has paid back", at.Divide("sell-exact", "the same before rounding", laid, keeps))
	pays := at.Check("pays", "the batch has as many pieces", sell, graph.LessOrEqual, count)
	brings := at.Check("keeps-something", "a piece sold brings something in", keeps, graph.Greater, at.Zero(at.Unit(keeps)))
	small, err := b.Build()
	if err != nil {
		return &RequestError{"full", err.Error(), "give the pieces and full cost of the variant the price is for"}
	}
	values, err := exact.Evaluate(small, nil)
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
func (p *Payback) wanted(e *exact.Evaluator, s Sale, hold exact.Pins) error {
	v, err := e.Evaluate(with(hold, s.Wanted, decimal.Zero))
	if err != nil {
		return err
	}
	p.Free, p.AtPoint = raw(v, s.Free), raw(v, s.Shelf)
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
const mostCoins = 1 << 40

// entered looks for the smallest price, in coins, at which the profit is not
// negative. A higher price never earns less.
func (p *Payback) entered(e *exact.Evaluator, s Sale, hold exact.Pins) error {
	typed := s.Shelf
	if s.List != graph.None {
		typed = s.List
	}
	currency, ok := currencyOf(e.Graph().Node(typed).Unit)
	if !ok {
		return &RequestError{"price.shelf", fmt.Sprintf("%s is no money", e.Graph().Node(typed).Unit), "give a price in money per piece"}
	}
	var v *exact.Values
	var fault error // the first; nothing is evaluated after it
	earns := func(coins int) bool {
		var profit decimal.Decimal
		if fault == nil {
			v, fault = e.Evaluate(with(hold, typed, decimal.New(int64(coins), -currency.Places)))
		}
		if fault == nil {
			profit, fault = v.Get(s.Profit)
		}
		return fault != nil || profit.Sign() >= 0
	}
	enough := 1
	for enough <= mostCoins && !earns(enough) {
		enough *= 2
	}
	if fault != nil || enough > mostCoins {
		return fault
	}
	less := enough / 2 // does not earn, or is nothing
	coins := less + 1 + sort.Search(enough-less-1, func(i int) bool { return earns(less + 1 + i) })
	if earns(coins); fault == nil {
		p.AtPoint = raw(v, s.Shelf)
	}
	return fault
}
