package main

import (
	"fmt"
	"io"
	"strings"

	"kerfbook/api/service"
	"kerfbook/costing/show"
)

// priceTable writes a price list for people: per trim one row a batch quantity,
// then the landed prices at the last quantity, then what must be looked at.
func priceTable(w io.Writer, list service.PriceList) error {
	t := &tableWriter{w: w}
	t.line("%s, %s; amounts in %s per piece", list.Book, list.Day, list.Currency)
	for _, group := range byVariant(list) {
		t.costs(group)
	}
	for _, group := range byVariant(list) {
		t.landed(group[len(group)-1])
	}
	for _, e := range list.Estimates {
		t.baskets(e)
	}
	t.findings(list)
	return t.err
}

// byVariant groups the batches of each variant, in the order they were asked
// for.
func byVariant(list service.PriceList) [][]service.VariantPrices {
	var order []string
	groups := map[string][]service.VariantPrices{}
	for _, e := range list.Estimates {
		for _, v := range e.Variants {
			if groups[v.Trim] == nil {
				order = append(order, v.Trim)
			}
			groups[v.Trim] = append(groups[v.Trim], v)
		}
	}
	out := make([][]service.VariantPrices, len(order))
	for i, trim := range order {
		out[i] = groups[trim]
	}
	return out
}

type tableWriter struct {
	w   io.Writer
	err error
}

func (t *tableWriter) line(format string, args ...any) {
	if t.err == nil {
		_, t.err = fmt.Fprintf(t.w, format+"\n", args...)
	}
}

func (t *tableWriter) table(head []string, rows [][]string) {
	if t.err == nil {
		t.err = show.Table(t.w, head, rows)
	}
}

func (t *tableWriter) costs(group []service.VariantPrices) {
	head := []string{"batch", "material", "making", "special", "production", "full cost"}
	for _, c := range group[0].Channels {
		head = append(head, string(c.Channel)+" price", "margin")
	}
	var rows [][]string
	for _, v := range group {
		row := []string{plain(v.Quantity), amount(v.Material), amount(v.Making), amount(v.Special), amount(v.Production), amount(v.Full)}
		for _, c := range v.Channels {
			row = append(row, amount(c.Shelf), percent(c.Margin))
		}
		rows = append(rows, row)
	}
	t.line("\n%s (%s)", group[0].Name, group[0].Trim)
	t.table(head, rows)
}

func (t *tableWriter) landed(v service.VariantPrices) {
	if len(v.Landed) == 0 {
		return
	}
	t.line("\n%s landed, batch of %s", v.Name, plain(v.Quantity))
	t.consignments(v.Landed)
}

func (t *tableWriter) baskets(e service.Estimate) {
	if len(e.Baskets) > 0 {
		t.line("\nBaskets")
		t.consignments(e.Baskets)
	}
}

// consignments shows both ways of selling side by side; "kept" is in the
// currency of the book.
func (t *tableWriter) consignments(list []service.LandedPrice) {
	head := []string{"to", "", "goods", "delivery", "duty", "tax", "clearance", "at place", "kept", "margin", "duty paid", "kept", "margin"}
	var rows [][]string
	for _, l := range list {
		a, d := l.AtPlace, l.DutyPaid
		rows = append(rows, []string{l.Destination, l.Currency, amount(l.Goods), amount(l.Delivery), amount(a.Duty), amount(a.Tax),
			amount(a.Clearance), amount(a.Total), amount(a.Kept), percent(a.Margin), amount(d.Total), amount(d.Kept), percent(d.Margin)})
	}
	t.table(head, rows)
}

// findings lists each remark once, however many batches it concerns.
func (t *tableWriter) findings(list service.PriceList) {
	seen := map[string]bool{}
	for _, e := range list.Estimates {
		for _, f := range e.Findings {
			if seen[f.Message] {
				continue
			}
			if len(seen) == 0 {
				t.line("\nTo look at")
			}
			seen[f.Message] = true
			t.line("  %s: %s [%s]", f.Severity, f.Message, f.Key)
		}
	}
}

func amount(f service.Figure) string {
	if f.Key == "" {
		return "–"
	}
	d, ok := f.Number()
	if !ok {
		return "undefined"
	}
	code, _, _ := strings.Cut(f.Unit, "/")
	return show.Money(d, code)
}

func plain(f service.Figure) string {
	if d, ok := f.Number(); ok {
		return d.String()
	}
	return "undefined"
}

func percent(f service.Figure) string {
	if f.Key == "" {
		return "–"
	}
	d, ok := f.Number()
	if !ok {
		return "undefined"
	}
	return show.Percent(d)
}
