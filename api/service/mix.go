package service

import (
	"fmt"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing"
	"kerfbook/costing/book"
)

// ParseMix reads a mix such as "plain=100,glow+wall=50": trims with quantities,
// each followed by the choices that differ from the trim's own.
func ParseMix(b *book.Book, text string) ([]costing.MixLine, error) {
	var mix []costing.MixLine
	seen := map[string]bool{}
	for item := range strings.SplitSeq(text, ",") {
		l, err := parseMixLine(b, strings.TrimSpace(item))
		if err != nil {
			return nil, err
		}
		if seen[l.Name()] {
			return nil, fmt.Errorf("the mix names %s twice", l.Name())
		}
		seen[l.Name()] = true
		mix = append(mix, l)
	}
	return mix, nil
}

func parseMixLine(b *book.Book, item string) (costing.MixLine, error) {
	name, count, ok := strings.Cut(item, "=")
	if !ok {
		return costing.MixLine{}, fmt.Errorf("%q is no line of a mix; write trim=quantity, such as plain=100", item)
	}
	quantity, err := bom.ParseDecimal(count)
	if err != nil {
		return costing.MixLine{}, fmt.Errorf("quantity of %s: %w", name, err)
	}
	if !quantity.IsPositive() {
		return costing.MixLine{}, fmt.Errorf("quantity of %s: %s is not more than 0", name, quantity)
	}
	words := strings.Split(name, "+")
	product, err := productOf(b, bom.ID(words[0]))
	if err != nil {
		return costing.MixLine{}, err
	}
	choices, err := choicesOf(product, words[1:])
	return costing.MixLine{Product: product.Number, Trim: bom.ID(words[0]), Choices: choices, Quantity: bom.Exactly(quantity)}, err
}

// productOf finds the product that has a trim.
func productOf(b *book.Book, trim bom.ID) (*bom.Product, error) {
	var names []string
	for i := range b.Products {
		for _, t := range b.Products[i].Trims {
			if t.ID == trim {
				return &b.Products[i], nil
			}
			names = append(names, string(t.ID))
		}
	}
	return nil, fmt.Errorf("the book has no trim %q; it has %s", trim, strings.Join(names, ", "))
}

func choicesOf(p *bom.Product, words []string) (map[bom.ID]bom.ID, error) {
	choices := map[bom.ID]bom.ID{}
	for _, w := range words {
		option, ok := optionOf(p, bom.ID(w))
		if !ok {
			return nil, fmt.Errorf("product %s has no choice %q", p.Number, w)
		}
		choices[option] = bom.ID(w)
	}
	return choices, nil
}

func optionOf(p *bom.Product, choice bom.ID) (bom.ID, bool) {
	for _, o := range p.Options {
		for _, c := range o.Choices {
			if c.ID == choice {
				return o.ID, true
			}
		}
	}
	return "", false
}
