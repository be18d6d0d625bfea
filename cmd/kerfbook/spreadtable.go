package main

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/study"
	"kerfbook/costing/papers/show"
)

// mostRows is how many inputs a ranking shows.
const mostRows = 10

// spreadTable writes a spread for people; asked is how many draws were asked for.
func spreadTable(w io.Writer, s study.Spread, asked int) error {
	t := &tableWriter{w: w}
	made := fmt.Sprintf("%d draws", s.Draws)
	if s.Draws > asked {
		made += fmt.Sprintf(" (%d asked for, rounded up to whole blocks of 1,024, at least ten)", asked)
	}
	t.line("%s, %s; %s; %s, seed %d", s.Book, s.Day, batch(s.Mix), made, s.Seed)
	if s.Draws == 0 {
		t.line("No input of these figures is a range, so nothing varies.")
	}
	if s.PrecisionReached != nil && !*s.PrecisionReached {
		t.line("The precision asked for was not reached; ask for more draws.")
	}
	t.spreads(s.Figures)
	t.chances(s.Channels)
	t.tornado(s.Movers)
	t.shares(s.Movers)
	t.held("Held as they are", s.Held)
	t.held("Following each draw", s.Free)
	return t.err
}

// spreads shows likely values, mean, quantiles, and how well P80 is known.
func (t *tableWriter) spreads(figures []study.SpreadFigure) {
	head := []string{"figure", "", "likely", "mean", "sd"}
	var rows [][]string
	for _, f := range figures {
		unit := unitOf(f.Figure)
		row := []string{named(f.Figure), unit, cell(f.Figure.Value, unit), cell(f.Mean.Value, unit), cell(f.Deviation.Value, unit)}
		for _, q := range f.Quantiles {
			row = append(row, cell(q.Value, unit))
			if len(rows) == 0 {
				head = append(head, "P"+percentOf(q.Share))
			}
		}
		rows = append(rows, row)
		if f.Undefined > 0 {
			rows = append(rows, []string{fmt.Sprintf("  %d draws without a value are left out", f.Undefined)})
		}
	}
	t.line("")
	t.table(head, rows)
}

// chances shows how sure each price is, and what would be as sure.
func (t *tableWriter) chances(channels []study.ChannelChance) {
	if len(channels) == 0 {
		return
	}
	t.line("\nChance that what is wanted is met, and the price that meets it with a chance (as price point)")
	head := []string{"variant, channel", "wanted", "price asked", "chance, %"}
	var rows [][]string
	var without []string
	for _, c := range channels {
		if c.Why != "" {
			without = append(without, fmt.Sprintf("  %s, %s: %s", c.Trim, c.Channel, c.Why))
			continue
		}
		row := []string{c.Trim + ", " + string(c.Channel), percent(c.Wanted), amount(c.Asked), chance(c.Chance)}
		for _, p := range c.Prices {
			if len(rows) == 0 {
				head = append(head, "at "+percentOf(p.Chance)+" %")
			}
			row = append(row, priceCell(p, c.Unit))
		}
		rows = append(rows, row)
		for _, a := range c.At {
			rows = append(rows, []string{"  at the price given", "", cell(a.Price, c.Unit), chance(&a.Chance)})
		}
	}
	t.ragged(head, rows)
	for _, line := range without {
		t.line("%s", line)
	}
}

func priceCell(p study.PriceAtChance, unit string) string {
	text := cell(p.Price.Value, unit)
	if p.Point != "" {
		text += " (" + cell(p.Point, unit) + ")"
	}
	return text
}

func chance(s *study.Statistic) string {
	if s == nil {
		return "–"
	}
	text := cell(s.Value, sharesUnit)
	d, err := decimal.NewFromString(s.Error)
	if err != nil || d.IsZero() {
		return text
	}
	if places := show.PercentPlaces(d, 1); places != "0.0" {
		return text + " ± " + places
	}
	return text + " ± <0.1"
}

// tornado shows the widest swings.
func (t *tableWriter) tornado(m study.Movers) {
	if len(m.Tornado) == 0 {
		return
	}
	unit := unitOf(m.Figure)
	t.line("\nWhat moves %s (%s), one input at a time", named(m.Figure), strings.TrimPrefix(withUnit("", unit)+", likely "+cell(m.Figure.Value, unit), ", "))
	var rows [][]string
	for _, s := range m.Tornado[:min(mostRows, len(m.Tornado))] {
		rows = append(rows, []string{named(s.Input), s.Input.Unit, input(s.P10), input(s.P90), cell(s.FigureAtP10, unit), cell(s.FigureAtP90, unit), cell(s.Swing, unit)})
	}
	t.table([]string{"input", "", "P10", "P90", "at P10", "at P90", "swing"}, rows)
	t.more(len(m.Tornado))
}

func (t *tableWriter) more(of int) {
	if of > mostRows {
		t.line("  … and %d more; --json lists all", of-mostRows)
	}
}

// shares shows who accounts for the variance.
func (t *tableWriter) shares(m study.Movers) {
	if len(m.Shares) == 0 {
		return
	}
	title := "Shares of its variance: one input has all of it"
	if m.ShareDraws > 0 {
		title = fmt.Sprintf("Shares of its variance, estimated from %d draws", m.ShareDraws)
	}
	t.line("\n%s", title)
	var rows [][]string
	for _, s := range m.Shares[:min(mostRows, len(m.Shares))] {
		rows = append(rows, []string{s.Name(named), chance(&s.First), chance(&s.Total)})
	}
	t.table([]string{"input", "by itself, %", "with others, %"}, rows)
	t.more(len(m.Shares))
	if m.ShareDraws > 0 {
		t.line("  Each share is an estimate of its own: one below 0 or above 100, or less with others than by itself, is sampling error.")
	}
}

func (t *tableWriter) held(title string, choices []study.HeldChoice) {
	for i, h := range choices {
		if i == 0 {
			t.line("\n%s", title)
		}
		t.line("  %s: %s", named(h.Figure), cmp.Or(h.Choice, amount(h.Figure)))
	}
}

// ragged fills rows up to the length of the head.
func (t *tableWriter) ragged(head []string, rows [][]string) {
	for i := range rows {
		for len(rows[i]) < len(head) {
			rows[i] = append(rows[i], "")
		}
	}
	t.table(head, rows)
}

// named is a figure with the thing it is of.
func named(f answer.Figure) string {
	if f.Of == "" {
		return f.Label
	}
	return f.Of + ": " + f.Label
}

// sharesUnit is what stands for the unit of shares, which are told in per cent.
const sharesUnit = "%"

// unitOf is the unit of a figure; a plain number has none.
func unitOf(f answer.Figure) string {
	if f.IsShare() {
		return sharesUnit
	}
	return f.Unit
}

// withUnit puts a unit, if there is one, behind a heading.
func withUnit(heading, unit string) string {
	if unit == "" {
		return heading
	}
	return heading + ", " + unit
}

// cell writes a number of a unit for the eye: an amount with the decimals of its
// currency, a share in per cent, anything else with at most twelve digits.
func cell(text, unit string) string {
	code, _, _ := strings.Cut(unit, "/")
	return ifNumber(text, func(d decimal.Decimal) string {
		switch {
		case unit == sharesUnit:
			return strings.TrimSuffix(show.Percent(d), " %")
		case len(code) == 3 && strings.ToUpper(code) == code:
			return show.Money(d, code)
		}
		return show.Full(d)
	})
}

// input writes the value of an input with four decimals at most.
func input(text string) string {
	return ifNumber(text, func(d decimal.Decimal) string {
		return strings.TrimSuffix(strings.TrimRight(show.Places(d, 4), "0"), ".")
	})
}

// percentOf writes a share as a number of per cent without needless digits.
func percentOf(share string) string {
	return ifNumber(share, func(d decimal.Decimal) string { return strings.TrimSuffix(show.PercentPlaces(d, 1), ".0") })
}

// tenths writes a number of per cent with one decimal.
func tenths(percent string) string {
	return ifNumber(percent, func(d decimal.Decimal) string { return show.Places(d, 1) })
}

// ifNumber writes a number, and a dash where there is none.
func ifNumber(text string, write func(decimal.Decimal) string) string {
	d, err := decimal.NewFromString(text)
	if err != nil {
		return "–"
	}
	return write(d)
}
