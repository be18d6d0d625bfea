package study

import (
	"errors"
	"slices"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/study"
	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// compareBody shows why two figures differ.
type compareBody struct {
	View   []frame.Link
	Pages  []frame.Link
	Sides  []sideForm
	Figure frame.Field
	Fault  string
	Shown  *compareView
}

// sideForm asks for one side of a comparison.
type sideForm struct {
	Title  string
	Fields []frame.Field
}

// compareFigures are the figures that can be compared, by the last element of
// their keys, and what a quote comes to.
var compareFigures = []frame.Option{{Value: "full", Label: "full cost of a piece"}, {Value: "production", Label: "cost of production of a piece"},
	{Value: "material", Label: "material of a piece"}, {Value: "making", Label: "making of a piece"}, {Value: frame.TotalKey, Label: "price asked, the total of the quote"}}

// figureWords is what a figure that can be compared is called.
func figureWords(value string) string {
	at := slices.IndexFunc(compareFigures, func(o frame.Option) bool { return o.Value == value })
	return compareFigures[max(at, 0)].Label
}

// compareSide is one side as it was asked for.
type compareSide struct {
	prefix, title string
	form          sideForm
	line          *estimate.MixLine
	of            study.DifferenceSide
	asked         bool
}

// compare says why the figure of one side differs from that of another.
func compare(c *frame.Call) error {
	found := c.Faults
	before, after := Sides(c, &found)
	body := &compareBody{View: hiddenView(c), Sides: []sideForm{before.form, after.form}, Figure: compareFigure(c, &found)}
	body.Pages = form.CostPages(c, form.Selection{Lines: linesOf(before.line)}, "compare")
	p := c.Page("trims", "Why they differ", body)
	p.Query = c.View.Query()
	if found.Empty() && before.asked && after.asked {
		if err := answerDifference(c, body, before, after, &found); err != nil {
			return err
		}
		body.Sides = []sideForm{before.form, after.form}
	}
	if body.Shown != nil && body.Shown.Alone != "" {
		p.Batch = frame.BatchLine{Text: body.Shown.Alone, Day: string(before.of.Day)}
	}
	p.Problems = found
	return c.Show("compare", p)
}

func linesOf(l *estimate.MixLine) []estimate.MixLine {
	if l == nil {
		return nil
	}
	return []estimate.MixLine{*l}
}

// Sides reads both sides.
func Sides(c *frame.Call, found *frame.Problems) (before, after *compareSide) {
	before = side(c, form.BeforeSide, "From", c.View.Lines, found)
	return before, side(c, form.AfterSide, "To", linesBeside(c, before.line), found)
}

// linesBeside lists what the view has beside a line, or all of it if there is
// nothing else.
func linesBeside(c *frame.Call, line *estimate.MixLine) []estimate.MixLine {
	for i, l := range c.View.Lines {
		if line == nil || l.Trim != line.Trim {
			return c.View.Lines[i:]
		}
	}
	return c.View.Lines
}

// side reads one side. Where nothing is said it is the first of the usual lines.
func side(c *frame.Call, prefix, title string, usual []estimate.MixLine, found *frame.Problems) *compareSide {
	s := &compareSide{prefix: prefix, title: title, form: sideForm{Title: title}}
	p := onlyOne(c)
	p.Amount = "Pieces in the batch"
	p.Extra = []frame.Option{{Value: form.QuoteSide, Label: "a quote, as issued"}, {Value: form.TodaySide, Label: "a quote, computed today"}}
	if len(usual) > 0 {
		p.First = &usual[0]
	}
	sel := p.Read(prefix, found)
	day, on := sideDay(c, prefix, found)
	s.form.Fields = sel.Fields
	switch {
	case sel.Trim == form.QuoteSide, sel.Trim == form.TodaySide:
		number := frame.Field{Name: prefix + "quote", Label: "Number of the quote", Value: c.R.Form.Get(prefix + "quote")}
		s.of.Quote, s.of.Today = strings.TrimSpace(number.Value), sel.Trim == form.TodaySide
		revision := revisionField(c, prefix, found)
		s.of.Revision = revision.n
		s.asked = s.of.Quote != ""
		if c.R.Form.Has(number.Name) && s.of.Quote == "" {
			found.Add(number.Name, title+", number of the quote: enter one such as 2026-0001")
			number.Error = found.Of(number.Name)
		}
		s.form.Fields = append(s.form.Fields, number, revision.field)
	case len(sel.Lines) == 1:
		s.line, s.asked = &sel.Lines[0], true
		s.of.Mix, s.of.Day = sel.Lines, on
		s.form.Fields = append(s.form.Fields, day)
	}
	return s
}

// typedRevision is the revision of a quote with the field it was typed into.
type typedRevision struct {
	field frame.Field
	n     int // 0 for the newest
}

func revisionField(c *frame.Call, prefix string, found *frame.Problems) typedRevision {
	out := typedRevision{field: frame.Field{Name: prefix + "revision", Label: "Revision", Hint: "Leave empty for the newest.", Mode: "numeric", Value: c.R.Form.Get(prefix + "revision")}}
	if out.field.Value == "" {
		return out
	}
	n, err := form.WholeNumber(c.Style, out.field.Value)
	if err != nil || n < 1 {
		found.Wrong(&out.field, "enter a whole number from 1 up, or leave it empty")
	}
	out.n = n
	return out
}

// sideDay reads the day of a side; the view's is the usual one.
func sideDay(c *frame.Call, prefix string, found *frame.Problems) (frame.Field, bom.Date) {
	f := frame.Field{Name: prefix + "day", Label: "Rates and rules of the day", Value: strings.TrimSpace(c.Typed(prefix+"day", c.Style.ShowDay(c.View.Day)))}
	day, err := c.Style.Day(f.Value)
	if err != nil {
		found.Add(f.Name, "Day: "+err.Error())
		f.Error = found.Of(f.Name)
	}
	return f, day
}

// compareFigure reads which figure is compared.
func compareFigure(c *frame.Call, found *frame.Problems) frame.Field {
	f := frame.Field{Name: "figure", Label: "Figure"}
	if !f.Offer(compareFigures, c.Typed("figure", compareFigures[0].Value)) {
		found.Wrong(&f, "choose one of the list; there is no "+bom.Shorten(c.R.Form.Get(f.Name)))
	}
	return f
}

// answerDifference compares the sides. What is wrong with what was asked becomes a
// problem of the form, or a fault of a batch.
func answerDifference(c *frame.Call, body *compareBody, before, after *compareSide, found *frame.Problems) error {
	req, err := DifferenceRequest(c, before, after)
	var result study.Difference
	if err == nil {
		result, _, err = c.Site.Service.Difference(c.R.Context(), req)
	}
	switch answer.CodeOf(err) {
	case answer.Invalid, answer.Incomplete, answer.NotFound:
		body.Fault = refuseSides(err, before, after, found)
		return nil
	}
	if err != nil {
		return err
	}
	body.Shown, err = showDifference(c, result, before, after)
	return err
}

// DifferenceRequest asks about the same figure on both sides.
func DifferenceRequest(c *frame.Call, before, after *compareSide) (req study.DifferenceRequest, err error) {
	name := c.Typed("figure", compareFigures[0].Value)
	req = study.DifferenceRequest{Before: before.of, After: after.of}
	if req.Before.Figure, err = keyOn(c, before, name); err == nil {
		req.After.Figure, err = keyOn(c, after, name)
	}
	return req, err
}

// keyOn gives the key of a figure on a side.
func keyOn(c *frame.Call, s *compareSide, name string) (string, error) {
	switch {
	case name == frame.TotalKey:
		return frame.TotalKey, nil
	case s.line != nil:
		return "variant/" + s.line.Name() + "/each/" + name, nil
	}
	d, err := c.Site.Service.Quote(c.R.Context(), s.of.Quote, s.of.Revision)
	if err != nil {
		return "", &quoteNotFound{s, err}
	}
	return "variant/" + d.Inputs.Mix[0].Trim + "/each/" + name, nil
}

// quoteNotFound is a quote that a side names and nobody issued.
type quoteNotFound struct {
	side *compareSide
	err  error
}

func (e *quoteNotFound) Error() string { return e.err.Error() }

func (e *quoteNotFound) Unwrap() error { return e.err }

// refuseSides gives each fault to the field it is about; the others are a fault of
// the whole.
func refuseSides(err error, before, after *compareSide, found *frame.Problems) (fault string) {
	var missing *quoteNotFound
	if errors.As(err, &missing) {
		missing.side.wrong("quote", "number of the quote: "+err.Error(), found)
		return ""
	}
	left := faultsLeft(err, func(f answer.FieldError) bool {
		side := before
		if strings.HasPrefix(f.Pointer, "/after") {
			side = after
		}
		switch {
		case strings.HasSuffix(f.Pointer, "/quote"):
			side.wrong("quote", "number of the quote: "+f.Message, found)
		case strings.HasSuffix(f.Pointer, "/figure"):
			found.Add("figure", "Figure: "+f.Message)
		default:
			return false
		}
		return true
	})
	if left == "" {
		return ""
	}
	return "The sides cannot be compared: " + left + "."
}

// faultsLeft hands each fault of a use case to the field that takes it, and puts in
// words what none took; what is wrong as a whole is taken by none.
func faultsLeft(err error, take func(answer.FieldError) bool) string {
	var known *answer.Error
	if !errors.As(err, &known) {
		return err.Error()
	}
	rest := *known
	rest.Fields = slices.DeleteFunc(slices.Clone(known.Fields), take)
	if len(rest.Fields) == 0 && len(known.Fields) > 0 {
		return ""
	}
	return frame.OnceEach(&rest)
}

// wrong notes what is wrong with a field of a side.
func (s *compareSide) wrong(name, message string, found *frame.Problems) {
	found.Add(s.prefix+name, s.title+", "+message)
	for i := range s.form.Fields {
		if f := &s.form.Fields[i]; f.Name == s.prefix+name {
			f.Error = found.Of(f.Name)
		}
	}
}
