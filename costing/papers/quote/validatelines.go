package quote

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/bom/variant"
	"kerfbook/costing/estimate"
)

var (
	one        = decimal.New(1, 0)
	mostPieces = decimal.New(1, 7)
)

func (o *order) checkLines() {
	lines := o.request.Lines
	if len(lines) == 0 || len(lines) > maxLines {
		o.fail("lines", "a quote has 1 to %d lines", maxLines)
		return
	}
	seen := map[string]int{}
	for i, l := range lines {
		path := fmt.Sprintf("lines[%d]", i)
		m, quantity := o.line(path, l)
		if first, twice := seen[m.Name()]; twice && m.Product+m.Part != "" {
			o.fail(path+".trim", "line %d offers the same variant; put the quantities together", first+1)
		}
		seen[m.Name()] = i
		o.mix, o.quantities = append(o.mix, m), append(o.quantities, quantity)
	}
}

// line checks one line; a line with a fault names neither product nor part.
func (o *order) line(path string, l RequestLine) (estimate.MixLine, bom.Number) {
	before := len(o.fields)
	quantity := o.pieces(path+".quantity", l.Quantity)
	batch := quantity
	if l.Batch != "" {
		batch = o.pieces(path+".batch", l.Batch)
	}
	m := estimate.MixLine{Trim: bom.ID(l.Trim), Quantity: batch}
	if l.Part != "" {
		return o.alone(path, l, batch, before), quantity
	}
	if l.Margin != "" {
		o.fail(path+".margin", "a margin is asked of a part by itself; trims have theirs under prices")
	}
	p, t := o.trim(path, l)
	if t == nil {
		return m, quantity
	}
	o.choices(path, p, t, l, &m)
	if len(o.fields) == before {
		m.Product = p.Number
	}
	return m, quantity
}

// alone checks a line of a part by itself.
func (o *order) alone(path string, l RequestLine, batch bom.Number, before int) estimate.MixLine {
	m := estimate.MixLine{Trim: bom.ID(l.Part), Quantity: batch}
	if p, _ := o.book.Part(bom.ID(l.Part)); p == nil || !p.ByPiece() {
		o.fail(path+".part", "the book has no part %s that is counted in pieces", shown(l.Part))
	}
	if l.Product != "" || l.Trim != "" || len(l.Choices) > 0 {
		o.fail(path+".part", "a line names a part, or a product with its trim")
	}
	margin := bom.Number{}
	if l.Margin != "" {
		n, ok := o.number(path+".margin", l.Margin)
		if ok && (n.Likely.IsNegative() || !n.Likely.LessThan(one)) {
			o.fail(path+".margin", "a share from 0 to below 1, such as 0.4")
		}
		margin = n
	}
	if len(o.fields) > before {
		return m
	}
	m.Part, m.Trim = m.Trim, ""
	if l.Margin != "" {
		m.Margin = &margin
	}
	return m
}

func (o *order) pieces(path, text string) bom.Number {
	n, ok := o.number(path, text)
	if ok && (!n.Likely.IsPositive() || !n.Likely.IsInteger() || n.Likely.GreaterThan(mostPieces)) {
		o.fail(path, "%s is no number of pieces; whole numbers from 1 to %s", n.Likely, mostPieces)
	}
	return n
}

// trim finds the trim of a line, and its product.
func (o *order) trim(path string, l RequestLine) (*bom.Product, *bom.Trim) {
	known := false
	for i := range o.book.Products {
		p := &o.book.Products[i]
		if l.Product != "" && string(p.Number) != l.Product {
			continue
		}
		known = true
		if at := slices.IndexFunc(p.Trims, func(t bom.Trim) bool { return string(t.ID) == l.Trim }); at >= 0 {
			return p, &p.Trims[at]
		}
	}
	if !known {
		o.fail(path+".product", "the book has no product %s", shown(l.Product))
	} else {
		o.fail(path+".trim", "there is no trim %s", shown(l.Trim))
	}
	return nil, nil
}

// choices takes over the choices that differ from the trim's own, if they give a
// variant.
func (o *order) choices(path string, p *bom.Product, t *bom.Trim, l RequestLine, m *estimate.MixLine) {
	selection := map[bom.ID]bom.ID{}
	maps.Copy(selection, t.Choices)
	for option, choice := range l.Choices {
		if selection[bom.ID(option)] != bom.ID(choice) {
			if m.Choices == nil {
				m.Choices = map[bom.ID]bom.ID{}
			}
			m.Choices[bom.ID(option)] = bom.ID(choice)
		}
		selection[bom.ID(option)] = bom.ID(choice)
	}
	_, err := variant.Resolve(p, selection)
	var invalid *variant.InvalidError
	switch {
	case errors.As(err, &invalid):
		for _, f := range invalid.Faults {
			o.fail(path+".choices", "%s", strings.TrimSpace(f.Error()))
		}
	case err != nil:
		o.fail(path+".choices", "%s", err)
	}
}
