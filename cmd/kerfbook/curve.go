package main

import (
	"context"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
)

// curveArgs are the flags of curve.
type curveArgs struct {
	trim, part, against, figure *string
	from, to, quantity          *int64
	breaks                      *int
	asJSON                      *bool
	set                         []string
}

func curveFlags(c *call) *curveArgs {
	f := c.flags
	a := &curveArgs{
		trim:     f.String("trim", "", "trim with choices in place of its own, such as glow or plain+wall (default: the first of the book)"),
		part:     f.String("part", "", "a part alone in the place of a trim"),
		against:  f.String("against", "", "a second trim to hold it against"),
		figure:   f.String("figure", "", "key of a figure of the trim (default: its full cost)"),
		from:     f.Int64("from", 10, "first batch quantity"),
		to:       f.Int64("to", 500, "last batch quantity"),
		quantity: f.Int64("quantity", 0, "how many are asked for: advised on, and to pay back (default 100 where that is drawn, or the first quantity)"),
		breaks:   f.Int("breaks", mostRows, "steps to describe, those with the largest effect"),
		asJSON:   f.Bool("json", false, "write JSON with every point"),
	}
	f.StringArrayVar(&a.set, "set", nil, "an input of the second trim at another value, or without one of the first: `key=value`; may be repeated")
	return a
}

// runCurve draws a cost against the batch quantity.
func runCurve(c *call) action {
	a := curveFlags(c)
	return func(ctx context.Context, args []string) error {
		o, day, err := c.open(args[0])
		if err != nil {
			return err
		}
		req, err := a.request(o.Book, day)
		if err != nil {
			return err
		}
		out, err := study.Curves(ctx, change.OriginOf(o), req)
		if err != nil {
			return flagFaults(err)
		}
		if *a.asJSON {
			return c.json(out)
		}
		return curveTable(c.stdout, out)
	}
}

func (a *curveArgs) request(b *book.Book, day bom.Date) (study.CurveRequest, error) {
	req := study.CurveRequest{Day: day, From: *a.from, To: *a.to, Quantity: *a.quantity, Breaks: *a.breaks}
	const usual = 100
	if req.Quantity == 0 && req.From <= usual && usual <= req.To {
		req.Quantity = usual
	}
	trims := []string{*a.trim}
	switch {
	case *a.part != "" && *a.trim != "":
		return req, usagef("--trim and --part name the same thing in two ways; give one")
	case *a.part != "":
		trims[0] = estimate.AlonePrefix + *a.part
	case *a.trim == "":
		trims[0] = firstTrim(b)
	}
	if *a.against != "" {
		trims = append(trims, *a.against)
	}
	var first estimate.MixLine
	for i, trim := range trims {
		mix, err := trimsAt(b, trim, "1")
		if err != nil {
			return req, err
		}
		if len(mix) != 1 {
			return req, usagef("%q: a curve is of one trim; --against names a second one", trim)
		}
		if i == 0 {
			first = mix[0]
		}
		req.Curves = append(req.Curves, study.SelectionOf(mix[0], sameFigure(*a.figure, first, mix[0])))
	}
	set, err := changes("set", a.set)
	req.Curves[len(req.Curves)-1].Changes = set
	return req, err
}

// curveTable writes curves for people.
func curveTable(w io.Writer, s study.BatchCurves) error {
	t := &tableWriter{w: w}
	first := s.Curves[0]
	t.line("%s, %s; %s, batches of %d to %d", s.Book, s.Day, withUnit(first.Figure.Label, unitOf(first.Figure)), s.From, s.To)
	for _, c := range s.Curves {
		if c.Advice != nil {
			t.line("\n%s: %s", curveName(c), c.Advice.Words)
		}
	}
	t.marks(s.Curves)
	for _, c := range s.Curves {
		if c.Settles != nil && c.Least.Quantity == s.To && !c.Least.Flat {
			t.line("%s: from %s on a further doubling saves less than 5 %%; the range ends at %s", curveName(c), countOf(c.Settles.Quantity), countOf(s.To))
		}
	}
	for _, c := range s.Curves {
		t.steps(c, s.Currency)
	}
	t.duel(s)
	for _, c := range s.Curves {
		t.payBack(c, s)
	}
	return t.err
}

// marks shows the curves side by side at round quantities.
func (t *tableWriter) marks(curves []study.BatchCurve) {
	head := []string{"batch"}
	for _, c := range curves {
		head = append(head, curveName(c))
	}
	var rows [][]string
	for i, m := range curves[0].Marks {
		row := []string{countOf(m.Quantity)}
		for _, c := range curves {
			row = append(row, cell(c.Marks[i].Value, unitOf(c.Figure)))
		}
		rows = append(rows, row)
	}
	least := []string{"least at"}
	for _, c := range curves {
		least = append(least, countOf(c.Least.Quantity)+": "+cell(c.Least.Value, unitOf(c.Figure)))
	}
	t.line("")
	t.table(head, append(rows, least))
}

// curveName tells variants of one trim apart.
func curveName(c study.BatchCurve) string {
	if len(c.Changes) > 0 {
		return c.Trim + ", changed"
	}
	return c.Trim
}

func countOf(p study.Pieces) string {
	text, _ := p.MarshalText() // never fails
	return string(text)
}

// steps shows where the curve steps, and by how much money.
func (t *tableWriter) steps(c study.BatchCurve, currency string) {
	if len(c.Breaks) == 0 {
		return
	}
	t.line("\n%s steps at %s quantities; the largest, with what they add to the cost of the batch, %s:", curveName(c), countOf(c.AllBreaks), currency)
	unit := unitOf(c.Figure)
	var rows [][]string
	for _, b := range c.Breaks {
		row := []string{"from " + countOf(b.From), cell(b.Before, unit), cell(b.After, unit), cell(b.Effect, currency)}
		rows = append(rows, append(row, because(b.Causes)))
	}
	t.lastLeft([]string{"batch", "before", "after", "effect", "because"}, rows)
}

// lastLeft writes a table whose last column is text.
func (t *tableWriter) lastLeft(head []string, rows [][]string) {
	widest, last := 0, len(head)-1
	all := append([][]string{head}, rows...)
	for _, row := range all {
		widest = max(widest, utf8.RuneCountInString(row[last]))
	}
	for _, row := range all {
		row[last] += strings.Repeat(" ", widest-utf8.RuneCountInString(row[last]))
	}
	t.table(head, rows)
}

func because(causes []study.CurveStep) string {
	var words []string
	for _, s := range causes {
		words = append(words, s.Words)
	}
	return strings.Join(words, "; ")
}

// duel says which of two curves is lower where.
func (t *tableWriter) duel(s study.BatchCurves) {
	if s.Crossing == nil {
		return
	}
	names := map[string]string{study.LowerFirst: curveName(s.Curves[0]) + " is lower", study.LowerSecond: curveName(s.Curves[1]) + " is lower", study.LowerEqual: "both are equal"}
	t.line("\nWhich is lower")
	for _, x := range s.Crossing.Stretches {
		t.line("  %s to %s: %s", countOf(x.From), countOf(x.To), names[x.Lower])
	}
}

// payBack says what pays a batch back.
func (t *tableWriter) payBack(c study.BatchCurve, of study.BatchCurves) {
	if len(c.PayBack) == 0 {
		return
	}
	outside := ""
	if of.Quantity < of.From || of.Quantity > of.To {
		outside = fmt.Sprintf(", which is outside the range of %s to %s,", countOf(of.From), countOf(of.To))
	}
	for _, f := range c.Findings {
		if strings.HasSuffix(f.Key, "/"+study.DrawsAdd) {
			t.line("\nNote: %s", f.Message)
		}
	}
	t.line("\nA batch of %s %s%s pays back", countOf(of.Quantity), curveName(c), outside)
	for _, p := range c.PayBack {
		at := "no price does"
		if p.Point != "" {
			at = "all sold at " + cell(p.Point, p.Unit)
		}
		sold := "no number sold does"
		if p.Sell != "" {
			sold = p.Sell + " sold"
		}
		t.line("  %s: %s; at the price asked, %s: %s", p.Channel, at, amount(p.Asked), sold)
	}
}
