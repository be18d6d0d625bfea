package study

import (
	"cmp"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/study"
	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// curveBody shows a cost against the batch quantity.
type curveBody struct {
	View   []frame.Link
	Pages  []frame.Link
	First  []frame.Field
	Second []frame.Field
	Range  []frame.Field
	Of     string // what is made, where it is one thing
	Fault  string
	Shown  *curveView
}

// usualRange is what is drawn where nothing is said: from half to double of what is asked
// for, of a part or trim that is looked at in few pieces a little more.
func usualRange(lines []estimate.MixLine) (from, to int64) {
	n := int64(frame.StandardQuantity)
	if len(lines) > 0 {
		n = lines[0].Quantity.Likely.IntPart()
	}
	return max(1, n/2), max(2*n+1, n+20)
}

// curveFigures are the costs of a piece that can be drawn, by the last element of
// their keys.
var curveFigures = []frame.Option{{Value: "full", Label: "full cost"}, {Value: "production", Label: "cost of production"}, {Value: "material", Label: "material"}, {Value: "making", Label: "making"}}

// curveAsk reads the form of a curve and makes the request of it.
type curveAsk struct {
	body  *curveBody
	found *frame.Problems
	Req   study.CurveRequest
	lines []estimate.MixLine // of the curves
}

// curve draws the cost of one variant, or of two, against the batch quantity.
func curve(c *frame.Call) error {
	found := c.Faults
	a := AskCurve(c, &found)
	body := a.body
	p := c.Page("trims", "How many", body)
	p.Query = c.View.Query()
	if found.Empty() && len(a.lines) > 0 {
		if err := a.draw(c); err != nil {
			return err
		}
	}
	if body.Shown != nil {
		p.Batch = frame.BatchLine{Text: "Each quantity in a batch of its own", Day: string(c.View.Day)}
		if len(a.lines) == 1 {
			body.Of = frame.LineWords(c.Book, a.lines[0])
			p.Batch.Text = a.lines[0].Quantity.Likely.String() + " × " + body.Of + ", each quantity in a batch of its own"
		}
	}
	p.Problems = found
	return c.Show("curve", p)
}

// AskCurve reads the form of a curve.
func AskCurve(c *frame.Call, found *frame.Problems) *curveAsk {
	first := onlyOne(c).Read("", found)
	other := onlyOne(c)
	other.None, other.Amount = "none", ""
	second := other.Read(form.AfterSide, found)
	a := &curveAsk{found: found, body: &curveBody{View: hiddenView(c), Pages: form.CostPages(c, first, "curve"), First: first.Fields, Second: second.Fields}}
	if len(first.Lines) > 0 {
		a.lines = append(first.Lines, second.Lines...)
	}
	a.read(c)
	return a
}

// onlyOne picks single variants.
func onlyOne(c *frame.Call) form.VariantPicker {
	p := form.PickerOf(c)
	p.Whole, p.Amount = false, "How many"
	return p
}

// read reads the range and the figure.
func (a *curveAsk) read(c *frame.Call) {
	a.Req = study.CurveRequest{Day: c.View.Day}
	figure := frame.Field{Name: "figure", Label: "Cost of a piece"}
	name := cmp.Or(c.R.Form.Get("figure"), curveFigures[0].Value)
	from, to := usualRange(a.lines)
	a.Req.From = a.quantity(c, "from", "From", from)
	a.Req.To = a.quantity(c, "to", "To", to)
	if !figure.Offer(curveFigures, name) {
		a.found.Wrong(&figure, "choose one of the list; there is no "+bom.Shorten(name))
	}
	a.body.Range = append(a.body.Range, figure, dayField(c))
	for i, l := range a.lines {
		if i == 0 {
			a.Req.Quantity = l.Quantity.Likely.IntPart()
		}
		a.Req.Curves = append(a.Req.Curves, study.SelectionOf(l, "variant/"+l.Name()+"/each/"+name))
	}
}

// quantity reads an end of the range.
func (a *curveAsk) quantity(c *frame.Call, name, label string, usual int64) int64 {
	f := frame.Field{Name: name, Label: label, Suffix: "piece", Mode: "numeric", Value: c.Typed(name, strconv.FormatInt(usual, 10))}
	n, err := frame.ReadQuantity(c.Style, f.Value)
	if err != nil {
		a.found.Wrong(&f, err.Error())
		n = decimal.New(usual, 0)
	}
	a.body.Range = append(a.body.Range, f)
	if n.NumDigits() > 18 {
		return 1 << 62 // refused as too many
	}
	return n.IntPart()
}

func (a *curveAsk) draw(c *frame.Call) error {
	result, _, err := c.Site.Service.Curve(c.R.Context(), a.Req)
	if frame.Refused(err) {
		a.refuse(err)
		return nil
	}
	if err != nil {
		return err
	}
	a.body.Shown, err = showCurves(c, result, a.lines)
	return err
}

// refuse turns what the use case says is wrong into problems of the fields, or
// into a fault of the batch.
func (a *curveAsk) refuse(err error) {
	fields := byName(a.body.Range, a.body.First, a.body.Second)
	left := faultsLeft(err, func(f answer.FieldError) bool {
		at, ok := fields[curveField(f.Pointer)]
		if ok {
			a.found.Wrong(at, f.Message)
		}
		return ok
	})
	if left != "" {
		a.body.Fault = "The curve cannot be drawn: " + left + "."
	}
}

// curveField names the field that a place of the request comes from.
func curveField(pointer string) string {
	head, rest, _ := strings.Cut(strings.TrimPrefix(pointer, "/"), "/")
	switch {
	case head == "from", head == "to":
		return head
	case head == "quantity":
		return "pieces"
	case head == "curves" && strings.HasSuffix(rest, "figure"):
		return "figure"
	}
	return ""
}

// at is one variant in a batch of some pieces.
func atPieces(l estimate.MixLine, n study.Pieces) estimate.MixLine {
	l.Quantity = bom.Whole(int64(n))
	return l
}
