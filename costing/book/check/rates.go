package check

import (
	"fmt"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
)

// rateCards checks each card and that one is in force on the day.
func (c *checker) rateCards() {
	cards := c.book.RateCards
	for i, first := range repeats(cards, func(card rates.RateCard) bom.Date { return card.From }) {
		c.fail(entry("rate_cards", i, "from"), "two rate cards begin on %s; %s", cards[i].From, c.firstUse(entry("rate_cards", first, "from")))
	}
	for i := range cards {
		card := &cards[i]
		path := text.Index("rate_cards", i)
		c.overhead(path+".making_overhead", card.Making)
		c.exchange(path, card.Exchange)
	}
	if c.day == "" || len(cards) == 0 {
		return
	}
	card, ok := rates.CardOn(cards, c.day)
	if !ok {
		c.fail("rate_cards", "no rate card is in force on %s; add one that begins on that day or before", c.day)
		return
	}
	if card.HasOverheads() {
		at := slices.IndexFunc(cards, func(r rates.RateCard) bool { return r.From == card.From })
		for _, field := range card.OverheadsMissing() {
			c.gap(entry("rate_cards", at, field), "%s of rate card %s is missing; enter it, or 0 where there is none", strings.ReplaceAll(field, "_", " "), card.ID)
		}
	}
}

func (c *checker) overhead(path string, o *rates.Overhead) {
	if o == nil {
		return
	}
	budget := o.Budget != nil || o.BaseBudget != nil
	switch {
	case o.Rate != nil && budget:
		c.fail(path, "give either rate, or budget and base_budget, not both")
	case o.Rate == nil && (o.Budget == nil || o.BaseBudget == nil):
		c.gap(path, "give rate, or both budget and base_budget")
	}
}

func (c *checker) exchange(path string, list []rates.Exchange) {
	path += ".exchange"
	for i, x := range list {
		if x.From == x.To {
			c.fail(entry(path, i, "to"), "%s is exchanged for itself; delete this rate", x.From)
		}
	}
	type pair struct {
		from, to money.Code
		kind     rates.ExchangeKind
	}
	for i, first := range repeats(list, func(x rates.Exchange) pair { return pair{x.From, x.To, x.Kind} }) {
		x := list[i]
		c.fail(text.Index(path, i), "the %s rate from %s to %s is given twice; %s", x.Kind, x.From, x.To, c.firstUse(text.Index(path, first)))
	}
}

// currencies checks that prices in other currencies can be turned into the
// currency of the book on the day.
func (c *checker) currencies() {
	card, ok := rates.CardOn(c.book.RateCards, c.day)
	if !ok {
		return // rateCards reports it
	}
	for i := range c.book.Offers {
		c.exchangeable(entry("offers", i, "currency"), c.book.Offers[i].Currency, &card)
	}
	for i := range c.book.Processes {
		c.exchangeable(entry("outside_processes", i, "currency"), c.book.Processes[i].Currency, &card)
	}
}

func (c *checker) exchangeable(path string, from money.Code, card *rates.RateCard) {
	home := c.book.Currency
	if from == home {
		return
	}
	if _, _, ok := rates.FindExchange(*card, from, home, rates.ForBuying); ok {
		return
	}
	c.gap(path, "rate card %s has no buying or selling exchange rate between %s and %s; add it under exchange", card.ID, from, home)
}

// overrides checks that no figure has two numbers from the same day. Whether a
// figure of the key exists is seen only when an estimate is built.
func (c *checker) overrides() {
	for i, o := range c.book.Overrides {
		if o.Until != "" && o.Until < o.From {
			c.fail(entry("overrides", i, "until"), "ends on %s, before it begins on %s", o.Until, o.From)
		}
	}
	type start struct {
		figure book.FigureKey
		from   bom.Date
	}
	for i, first := range repeats(c.book.Overrides, func(o book.Override) start { return start{o.Figure, o.From} }) {
		o := c.book.Overrides[i]
		c.fail(entry("overrides", i, "figure"), "%s has another number from %s; %s", o.Figure, o.From, c.firstUse(entry("overrides", first, "figure")))
	}
}

// UnusedOverride is the warning about the override at a place of the list whose
// figure no estimate has.
func UnusedOverride(b *book.Book, i int, hint string) Problem {
	return Problem{Severity: Warning, Path: entry("overrides", i, "figure"), Message: fmt.Sprintf(
		"no trim has a computed figure with the key %s, so this override is not used%s", b.Overrides[i].Figure, hint)}
}
