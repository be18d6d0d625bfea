package web

import (
	"fmt"
	"maps"
	"net/url"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/web/frame"
)

// selection is what a page about the cost looks at: one variant in a batch of its
// own, or all that the view has in one batch. It travels in the address beside
// the view. The names of its fields begin with a prefix, so that a page can hold
// two.
type selection struct {
	prefix string
	trim   string // as chosen: the id of a trim, or wholeBatch
	lines  []estimate.MixLine
	fields []frame.Field // the form of it
}

// wholeBatch stands for all trims of a view that is one batch.
const wholeBatch = "*"

// variantPicker reads selections from an address.
type variantPicker struct {
	book  *book.Book
	view  frame.View
	form  url.Values
	whole bool // the view's whole batch may be chosen
	// none is what choosing no trim is called; empty where one must be chosen.
	none  string
	extra []frame.Option // what may be chosen beside trims, for the caller to read
	// amount is what the quantity is called; empty where none is asked for.
	amount string
	// first is the line taken where nothing is chosen, if there is one.
	first *estimate.MixLine
}

func pickerOf(c *frame.Call) variantPicker {
	p := variantPicker{book: c.Book, view: c.View, form: c.R.Form, amount: "Pieces in the batch", whole: c.View.Together && len(c.View.Lines) > 1}
	if len(c.View.Lines) > 0 {
		p.first = &c.View.Lines[0]
	}
	return p
}

// read reads the selection with a prefix, and makes its form. Choices that the
// product of the trim does not have are left aside: they were chosen for another.
func (p variantPicker) read(prefix string, found *frame.Problems) selection {
	s := selection{prefix: prefix, trim: p.form.Get(prefix + "trim")}
	if !p.form.Has(prefix + "trim") {
		s.trim = p.usual()
	}
	line, product := p.line(s.trim)
	s.fields = append(s.fields, p.trimField(s, found))
	switch {
	case product != nil:
		s.fields = append(s.fields, p.choose(&line, product, prefix, found)...)
		if p.amount != "" {
			s.fields = append(s.fields, p.pieces(&line, prefix, found))
		}
		s.lines = []estimate.MixLine{line}
	case s.trim == wholeBatch && p.whole:
		s.lines = p.view.Lines
	}
	return s
}

func (p variantPicker) usual() string {
	switch {
	case p.whole:
		return wholeBatch
	case p.none != "" || p.first == nil:
		return ""
	}
	return string(p.first.Trim)
}

// line starts from what the view says of a trim.
func (p variantPicker) line(trim string) (estimate.MixLine, *bom.Product) {
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
			return estimate.MixLine{Product: product.Number, Trim: t.ID, Quantity: bom.Whole(frame.StandardQuantity)}, product
		}
	}
	return estimate.MixLine{}, nil
}

func (p variantPicker) trimField(s selection, found *frame.Problems) frame.Field {
	f := frame.Field{Name: s.prefix + "trim", Label: "Trim"}
	if p.none != "" {
		f.Options = append(f.Options, frame.Option{Label: p.none})
	}
	if p.whole {
		f.Options = append(f.Options, frame.Option{Value: wholeBatch, Label: "all in one batch"})
	}
	for _, product := range p.book.Products {
		for _, t := range product.Trims {
			f.Options = append(f.Options, frame.Option{Value: string(t.ID), Label: t.Name})
		}
	}
	f.Options = frame.Choose(append(f.Options, p.extra...), s.trim)
	for _, o := range f.Options {
		if o.Chosen {
			return f
		}
	}
	if s.trim != "" {
		found.Add(f.Name, "Trim: choose one of the list; the book has no "+bom.Shorten(s.trim))
		f.Error = found.Of(f.Name)
	}
	return f
}

// choose reads the choices in place of the trim's own.
func (p variantPicker) choose(line *estimate.MixLine, product *bom.Product, prefix string, found *frame.Problems) []frame.Field {
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
			found.Add(f.Name, fmt.Sprintf("%s: choose one of the list; there is no %s", o.Name, bom.Shorten(chosen)))
			f.Error = found.Of(f.Name)
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

func (p variantPicker) pieces(line *estimate.MixLine, prefix string, found *frame.Problems) frame.Field {
	f := frame.Field{Name: prefix + "pieces", Label: p.amount, Suffix: "piece", Mode: "numeric", Value: line.Quantity.Likely.String()}
	if !p.form.Has(f.Name) {
		return f
	}
	f.Value = p.form.Get(f.Name)
	n, err := frame.ReadQuantity(frame.TidyNumber(f.Value))
	if err != nil {
		found.Add(f.Name, p.amount+": "+err.Error())
		f.Error = found.Of(f.Name)
		return f
	}
	line.Quantity = bom.Exactly(n)
	return f
}

// put writes the selection into the query of an address.
func (s selection) put(q url.Values) {
	q.Set(s.prefix+"trim", s.trim)
	if s.trim == wholeBatch || len(s.lines) != 1 {
		return
	}
	putLine(q, s.prefix, s.lines[0])
}

// putLine writes one variant as a selection.
func putLine(q url.Values, prefix string, l estimate.MixLine) {
	q.Set(prefix+"trim", string(l.Trim))
	q.Set(prefix+"pieces", l.Quantity.Likely.String())
	for option, choice := range l.Choices {
		q.Set(prefix+"c."+string(option), string(choice))
	}
}

// Prefixes of the two sides of a comparison, which the other pages link to.
const (
	beforeSide = "a."
	afterSide  = "b."
)

// lineHref is the address of a page about one line of the view.
func lineHref(path string, v frame.View, prefix string, l estimate.MixLine) string {
	q := viewQuery(v)
	putLine(q, prefix, l)
	return path + "?" + q.Encode()
}

func viewQuery(v frame.View) url.Values {
	q, err := url.ParseQuery(v.Query())
	if err != nil {
		return url.Values{}
	}
	return q
}

// What a side may be beside a trim.
const (
	quoteSide = "quote" // as it was issued
	todaySide = "today" // what it asks for, from the book as it is
)

// quoteAgainstToday is the address that compares a quote with what the same would
// cost today.
func quoteAgainstToday(number string, revision int) string {
	q := url.Values{}
	for prefix, kind := range map[string]string{beforeSide: quoteSide, afterSide: todaySide} {
		q.Set(prefix+"trim", kind)
		q.Set(prefix+"quote", number)
		q.Set(prefix+"revision", frame.Digits(revision))
	}
	return "/compare?" + q.Encode()
}
