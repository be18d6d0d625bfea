package form

import (
	"maps"
	"net/url"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/web/frame"
	"kerfbook/web/notation"
)

// Selection is what a page about the cost looks at: one variant in a batch of its
// own, or all that the view has in one batch. It travels in the address beside
// the view. The names of its fields begin with a prefix, so that a page can hold
// two.
type Selection struct {
	Prefix string
	Trim   string // as chosen: the id of a trim, or wholeBatch
	Lines  []estimate.MixLine
	Fields []frame.Field // the form of it
}

// wholeBatch stands for all trims of a view that is one batch.
const wholeBatch = "*"

// VariantPicker reads selections from an address.
type VariantPicker struct {
	book  *book.Book
	view  frame.View
	form  url.Values
	style notation.Style
	Whole bool // the view's whole batch may be chosen
	// none is what choosing no trim is called; empty where one must be chosen.
	None  string
	Extra []frame.Option // what may be chosen beside trims, for the caller to read
	// amount is what the quantity is called; empty where none is asked for.
	Amount string
	// first is the line taken where nothing is chosen, if there is one.
	First *estimate.MixLine
}

func PickerOf(c *frame.Call) VariantPicker {
	p := VariantPicker{book: c.Book, view: c.View, form: c.R.Form, style: c.Style, Amount: "Pieces in the batch", Whole: c.View.Together && len(c.View.Lines) > 1}
	if len(c.View.Lines) > 0 {
		p.First = &c.View.Lines[0]
	}
	return p
}

// Read reads the selection with a prefix, and makes its form. Choices that the
// product of the trim does not have are left aside: they were chosen for another.
func (p VariantPicker) Read(prefix string, found *frame.Problems) Selection {
	s := Selection{Prefix: prefix, Trim: p.form.Get(prefix + "trim")}
	if !p.form.Has(prefix + "trim") {
		s.Trim = p.usual()
	}
	line, product := p.line(s.Trim)
	s.Fields = append(s.Fields, p.trimField(s, found))
	switch {
	case product != nil || line.Part != "":
		if product != nil {
			s.Fields = append(s.Fields, p.choose(&line, product, prefix, found)...)
		}
		if p.Amount != "" {
			s.Fields = append(s.Fields, p.pieces(&line, prefix, found))
		}
		s.Lines = []estimate.MixLine{line}
	case s.Trim == wholeBatch && p.Whole:
		s.Lines = p.view.Lines
	}
	return s
}

func (p VariantPicker) usual() string {
	switch {
	case p.Whole:
		return wholeBatch
	case p.None != "" || p.First == nil:
		return ""
	}
	return p.First.Word()
}

// line starts from what the view says of a trim.
func (p VariantPicker) line(trim string) (estimate.MixLine, *bom.Product) {
	for i := range p.book.Products {
		product := &p.book.Products[i]
		for _, t := range product.Trims {
			if string(t.ID) != trim {
				continue
			}
			for _, l := range p.view.Lines {
				if l.Trim == t.ID {
					l.Choices = maps.Clone(l.Choices)
					return l, product
				}
			}
			return estimate.MixLine{Product: product.Number, Trim: t.ID, Quantity: frame.UsualBatch(product)}, product
		}
	}
	if number, alone := strings.CutPrefix(trim, estimate.AlonePrefix); alone {
		if at := slices.IndexFunc(p.view.Lines, func(l estimate.MixLine) bool { return l.Word() == trim }); at >= 0 {
			return p.view.Lines[at], nil
		}
		if part, _ := p.book.Part(bom.ID(number)); part != nil {
			return estimate.MixLine{Part: part.Number, Quantity: bom.Whole(frame.StandardQuantity)}, nil
		}
	}
	return estimate.MixLine{}, nil
}

func (p VariantPicker) trimField(s Selection, found *frame.Problems) frame.Field {
	f := frame.Field{Name: s.Prefix + "trim", Label: "Trim"}
	if p.None != "" {
		f.Options = append(f.Options, frame.Option{Label: p.None})
	}
	if p.Whole {
		f.Options = append(f.Options, frame.Option{Value: wholeBatch, Label: "all in one batch"})
	}
	for _, product := range p.book.Products {
		for _, t := range product.Trims {
			f.Options = append(f.Options, frame.Option{Value: string(t.ID), Label: p.book.TrimName(&product, &t)})
		}
	}
	if part, _ := p.book.Part(bom.ID(strings.TrimPrefix(s.Trim, estimate.AlonePrefix))); part != nil && strings.HasPrefix(s.Trim, estimate.AlonePrefix) {
		f.Options = append(f.Options, frame.Option{Value: s.Trim, Label: part.Name + ", alone"})
	}
	if !f.Offer(append(f.Options, p.Extra...), s.Trim) && s.Trim != "" {
		found.Wrong(&f, "choose one of the list; the book has no "+bom.Shorten(s.Trim))
	}
	return f
}

// choose reads the choices in place of the trim's own.
func (p VariantPicker) choose(line *estimate.MixLine, product *bom.Product, prefix string, found *frame.Problems) []frame.Field {
	own := trimOf(product, line.Trim).Choices
	choices := map[bom.ID]bom.ID{}
	var out []frame.Field
	for _, o := range product.Options {
		f := frame.Field{Name: prefix + "c." + string(o.ID), Label: o.Name}
		chosen := string(line.Choices[o.ID])
		if p.form.Has(f.Name) {
			chosen = p.form.Get(f.Name)
		}
		if chosen == string(own[o.ID]) {
			chosen = ""
		}
		known := chosen == ""
		for _, c := range o.Choices {
			name, value := c.Name, string(c.ID)
			if c.ID == own[o.ID] {
				name, value = c.Name+", as in the trim", ""
			}
			known = known || value == chosen
			f.Options = append(f.Options, frame.Option{Value: value, Label: name, Chosen: value == chosen})
		}
		if own[o.ID] == "" {
			f.Options = append([]frame.Option{{Label: "none", Chosen: chosen == ""}}, f.Options...)
		}
		if !known {
			found.Wrong(&f, "choose one of the list; there is no "+bom.Shorten(chosen))
		} else if chosen != "" {
			choices[o.ID] = bom.ID(chosen)
		}
		out = append(out, f)
	}
	line.Choices = choices
	return out
}

func trimOf(p *bom.Product, id bom.ID) bom.Trim {
	for _, t := range p.Trims {
		if t.ID == id {
			return t
		}
	}
	return bom.Trim{}
}

func (p VariantPicker) pieces(line *estimate.MixLine, prefix string, found *frame.Problems) frame.Field {
	f := frame.Field{Name: prefix + "pieces", Label: p.Amount, Suffix: "piece", Mode: "numeric", Value: line.Quantity.Likely.String()}
	if !p.form.Has(f.Name) {
		return f
	}
	f.Value = p.form.Get(f.Name)
	n, err := frame.ReadQuantity(p.style, f.Value)
	if err != nil {
		found.Wrong(&f, err.Error())
		return f
	}
	line.Quantity = bom.Exactly(n)
	return f
}

// Put writes the selection into the query of an address.
func (s Selection) Put(q url.Values) {
	q.Set(s.Prefix+"trim", s.Trim)
	if s.Trim == wholeBatch || len(s.Lines) != 1 {
		return
	}
	PutLine(q, s.Prefix, s.Lines[0])
}

// PutLine writes one variant as a selection.
func PutLine(q url.Values, prefix string, l estimate.MixLine) {
	q.Set(prefix+"trim", l.Word())
	q.Set(prefix+"pieces", l.Quantity.Likely.String())
	for option, choice := range l.Choices {
		q.Set(prefix+"c."+string(option), string(choice))
	}
}

// Prefixes of the two sides of a comparison, which the other pages link to.
const (
	BeforeSide = "a."
	AfterSide  = "b."
)

// LineHref is the address of a page about one line of the view.
func LineHref(path string, v frame.View, prefix string, l estimate.MixLine) string {
	q := ViewQuery(v)
	PutLine(q, prefix, l)
	return path + "?" + q.Encode()
}

func ViewQuery(v frame.View) url.Values {
	q, err := url.ParseQuery(v.Query())
	if err != nil {
		return url.Values{}
	}
	return q
}

// What a side may be beside a trim.
const (
	QuoteSide = "quote" // as it was issued
	TodaySide = "today" // what it asks for, from the book as it is
)

// CostPages links the pages that say more about the cost of a selection.
func CostPages(c *frame.Call, sel Selection, here string) []frame.Link {
	q := ViewQuery(c.View)
	cost := frame.Link{Label: "Cost", Href: "/trims?" + q.Encode(), Current: here == "trims"}
	sel.Prefix = ""
	sel.Put(q)
	out := []frame.Link{cost, {Label: "How sure", Href: "/spread?" + q.Encode(), Current: here == "spread"}}
	if len(sel.Lines) != 1 {
		q = ViewQuery(c.View)
	}
	out = append(out, frame.Link{Label: "How many", Href: "/curve?" + q.Encode(), Current: here == "curve"})
	q = ViewQuery(c.View)
	if len(sel.Lines) == 1 {
		PutLine(q, BeforeSide, sel.Lines[0])
	}
	return append(out, frame.Link{Label: "Why they differ", Href: "/compare?" + q.Encode(), Current: here == "compare"})
}

// QuoteAgainstToday is the address that compares a quote with what the same would
// cost today.
func QuoteAgainstToday(number string, revision int) string {
	q := url.Values{}
	for prefix, kind := range map[string]string{BeforeSide: QuoteSide, AfterSide: TodaySide} {
		q.Set(prefix+"trim", kind)
		q.Set(prefix+"quote", number)
		q.Set(prefix+"revision", frame.Digits(revision))
	}
	return "/compare?" + q.Encode()
}
