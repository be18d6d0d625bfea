package main

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/costing/papers/show"
)

// priceTable writes a price list for people: per trim one row a batch quantity,
// then the landed prices at the last quantity, then what must be looked at.
func priceTable(w io.Writer, list answer.PriceList) error {
	t := &tableWriter{w: w}
	t.line("%s, %s; amounts in %s per piece", list.Book, list.Day, list.Currency)
	for _, group := range byVariant(list) {
		t.costs(group)
	}
	for _, group := range byVariant(list) {
		t.landed(group[len(group)-1])
	}
	for _, e := range lastOfEach(list.Estimates) {
		t.baskets(e)
	}
	t.findings(list)
	var omitted []answer.NotCounted
	for _, e := range list.Estimates {
		omitted = append(omitted, e.NotCounted...)
	}
	t.notCounted(omitted)
	return t.err
}

// byVariant groups the batches of each variant, in the order they were asked
// for.
func byVariant(list answer.PriceList) [][]answer.VariantPrices {
	var order []string
	groups := map[string][]answer.VariantPrices{}
	for _, e := range list.Estimates {
		for i, v := range e.Variants {
			name := v.Trim
			if e.Mix[i].Part != "" { // a trim may have the same
				name = estimate.AlonePrefix + name
			}
			if groups[name] == nil {
				order = append(order, name)
			}
			groups[name] = append(groups[name], v)
		}
	}
	out := make([][]answer.VariantPrices, len(order))
	for i, trim := range order {
		out[i] = groups[trim]
	}
	return out
}

// lastOfEach picks, for each mix of trims, the batch asked for last.
func lastOfEach(list []answer.Estimate) []answer.Estimate {
	var out []answer.Estimate
	for i, e := range list {
		if i+1 == len(list) || !sameTrims(e.Mix, list[i+1].Mix) {
			out = append(out, e)
		}
	}
	return out
}

func sameTrims(a, b []answer.MixLine) bool {
	return slices.EqualFunc(a, b, func(x, y answer.MixLine) bool { return x.Product == y.Product && x.Trim == y.Trim && x.Part == y.Part })
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

func (t *tableWriter) costs(group []answer.VariantPrices) {
	head := []string{"batch", "material", "making", "special", "production", "full cost"}
	for _, c := range group[0].Channels {
		head = append(head, strings.TrimSpace(string(c.Channel)+" price"), "margin")
		if c.Chance != "" {
			head = append(head, "met in")
		}
	}
	var rows [][]string
	for _, v := range group {
		row := []string{plain(v.Quantity), amount(v.Material), amount(v.Making), amount(v.Special), amount(v.Production), amount(v.Full)}
		for _, c := range v.Channels {
			row = append(row, amount(c.Shelf), percent(c.Margin))
			if share, err := decimal.NewFromString(c.Chance); err == nil {
				row = append(row, show.Tenths(share))
			} else if told(group[0].Channels, c.Channel) {
				row = append(row, "")
			}
		}
		rows = append(rows, row)
	}
	t.line("\n%s (%s)", group[0].Name, group[0].Trim)
	t.table(head, rows)
	for _, c := range group[0].Channels {
		if c.RestsOn.Drawn() {
			t.line("  The %s price rests on the %s.", c.Channel, c.RestsOn.Words())
		}
	}
}

// told reports that the chance of the price in a channel has its column.
func told(all []answer.ChannelPrices, channel bom.ID) bool {
	return slices.ContainsFunc(all, func(c answer.ChannelPrices) bool { return c.Channel == channel && c.Chance != "" })
}

func (t *tableWriter) landed(v answer.VariantPrices) {
	if len(v.Landed) == 0 {
		return
	}
	t.line("\n%s landed, batch of %s", v.Name, plain(v.Quantity))
	t.consignments(v.Landed)
}

// baskets shows those of one batch, each with its name.
func (t *tableWriter) baskets(e answer.Estimate) {
	byName := map[string][]answer.LandedPrice{}
	for _, l := range e.Baskets {
		byName[l.Consignment] = append(byName[l.Consignment], l)
	}
	for _, name := range slices.Sorted(maps.Keys(byName)) {
		t.line("\nBasket %s landed, batch of %s", name, batch(e.Mix))
		t.consignments(byName[name])
	}
}

func batch(mix []answer.MixLine) string {
	var parts []string
	for _, l := range mix {
		parts = append(parts, plain(l.Quantity)+" "+l.Trim)
	}
	return strings.Join(parts, ", ")
}

// consignments shows both ways of selling side by side. Amounts are in the
// currency of the destination, what is kept in that of the book. A star marks
// rows without a source.
func (t *tableWriter) consignments(list []answer.LandedPrice) {
	kept := strings.TrimSpace("kept " + keptUnit(list))
	head := []string{"to", "", "goods", "delivery", "duty", "charges", "tax", "clearance", "buyer clears", kept, "margin", "all paid", kept, "margin"}
	var rows [][]string
	unsourced := false
	for _, l := range list {
		a, d := l.BuyerClears, l.AllPaid
		to := l.Destination
		if a.Total.Unverified || d.Total.Unverified {
			to, unsourced = to+" *", true
		}
		to += age(max(a.Kept.OutOfDateDays, d.Kept.OutOfDateDays, a.Total.OutOfDateDays, d.Total.OutOfDateDays))
		amount, percent := bare(amount), bare(percent)
		row := []string{to, l.Currency, amount(l.Goods), amount(l.Delivery), amount(a.Duty), amount(a.Charges), amount(a.Tax),
			amount(a.Clearance), amount(a.Total), amount(a.Kept), percent(a.Margin), amount(d.Total), amount(d.Kept), percent(d.Margin)}
		for i := range row {
			if len(l.Missing) > 0 && (row[i] == "undefined" || row[i] == "withheld") {
				row[i] = "" // the reason stands below
			}
		}
		rows = append(rows, row)
	}
	t.table(head, rows)
	if unsourced {
		t.line("  * rests on a row without a source")
	}
	told := map[answer.Gap]bool{}
	for _, l := range list {
		if l.Consumer.Key != "" {
			t.line("  %s: %s, %s %s", l.Destination, l.Consumer.Label, amount(l.Consumer), l.Consumer.Unit)
		}
		for _, gap := range l.Missing {
			if !told[gap] {
				t.line("  blank: %s [%s]", gap.Message, gap.Path)
			}
			told[gap] = true
		}
	}
}

func keptUnit(list []answer.LandedPrice) string {
	for _, l := range list {
		if l.BuyerClears.Kept.Key != "" {
			return l.BuyerClears.Kept.Unit
		}
	}
	return ""
}

// findings lists each remark once, however many batches and trims it concerns.
func (t *tableWriter) findings(list answer.PriceList) {
	seen := map[string]bool{}
	for _, e := range list.Estimates {
		for _, f := range e.Findings {
			once := f.Message
			if f.Severity == "warning" {
				once = f.Key
			}
			if seen[once] {
				continue
			}
			if len(seen) == 0 {
				t.line("\nTo look at")
			}
			seen[once] = true
			t.line("  %s: %s [%s]", f.Severity, f.Message, f.Key)
		}
	}
}

// notCounted lists once what no batch of the list has a figure for.
func (t *tableWriter) notCounted(list []answer.NotCounted) {
	seen := map[answer.NotCounted]bool{}
	for _, n := range list {
		if n.Answered() || seen[n] {
			continue
		}
		if len(seen) == 0 {
			t.line("\nUsual in the trade and not counted; enter it, or say under not_counted why there is no figure")
		}
		seen[n] = true
		t.line("  %s: %s [%s]", n.Name, n.Text, n.Record)
	}
}

func amount(f answer.Figure) string {
	code, _, _ := strings.Cut(f.Unit, "/")
	return aged(f, func(d decimal.Decimal) string { return show.Money(d, code) })
}

func percent(f answer.Figure) string { return aged(f, show.Percent) }

// aged writes a figure with its age, or why it has no value.
func aged(f answer.Figure, write func(decimal.Decimal) string) string {
	if f.Key == "" {
		return "–"
	}
	d, ok := f.Number()
	if !ok {
		return lacking(f)
	}
	return write(d) + age(f.OutOfDateDays)
}

// lacking writes a figure without a value; what is missing stands with the findings.
func lacking(f answer.Figure) string {
	least, err := decimal.NewFromString(f.AtLeast)
	switch code, _, _ := strings.Cut(f.Unit, "/"); {
	case err == nil:
		return "at least " + show.Money(least, code)
	case len(f.Without) > 0:
		return "withheld"
	default:
		return "undefined"
	}
}

func plain(f answer.Figure) string {
	if d, ok := f.Number(); ok {
		return d.String()
	}
	return "undefined"
}

// age says how old the oldest price is that has run out and a figure rests on.
func age(days int) string {
	if days == 0 {
		return ""
	}
	return fmt.Sprintf(" (%d d old)", days)
}

// bare writes figures without their age, where the row bears it.
func bare(write func(answer.Figure) string) func(answer.Figure) string {
	return func(f answer.Figure) string {
		f.OutOfDateDays = 0
		return write(f)
	}
}
