package answer

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
)

// ParseMix reads a mix such as "plain=100,glow+wall=50": trims with quantities in
// whole pieces, each followed by choices in place of the trim's own. A choice that
// two options have is written option:choice; a part alone is part:HS-010=100, at a margin, and
// in countries, part:HS-010@0.4+to:DE+to:CH=100.
func ParseMix(b *book.Book, text string) ([]estimate.MixLine, error) {
	var mix []estimate.MixLine
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

func parseMixLine(b *book.Book, item string) (estimate.MixLine, error) {
	name, count, ok := strings.Cut(item, "=")
	if !ok {
		return estimate.MixLine{}, fmt.Errorf("%q is no line of a mix; write trim=quantity, such as plain=100", item)
	}
	quantity, err := ParseQuantity(count)
	if err != nil {
		return estimate.MixLine{}, fmt.Errorf("quantity of %s: %w", name, err)
	}
	if number, alone := strings.CutPrefix(name, estimate.AlonePrefix); alone {
		number, places, _ := strings.Cut(number, "+to:")
		number, margin, asked := strings.Cut(number, "@")
		id, err := bom.ParseID(number)
		if err == nil && !slices.ContainsFunc(b.Parts, func(p bom.Part) bool { return p.Number == id }) {
			err = fmt.Errorf("the book has no part %s", id)
		}
		l := estimate.MixLine{Part: id, Quantity: bom.Exactly(quantity)}
		if places != "" {
			l.Destinations = strings.Split(places, "+to:")
		}
		if asked && err == nil {
			var share decimal.Decimal
			if share, err = bom.ParseDecimal(margin); err == nil && (share.IsNegative() || !share.LessThan(decimal.New(1, 0))) {
				err = fmt.Errorf("%s is no margin; it is a share from 0 to below 1", margin)
			}
			wanted := bom.Exactly(share)
			l.Margin = &wanted
		}
		if err == nil {
			err = l.Check()
		}
		return l, err
	}
	words := strings.Split(name, "+")
	product, err := ProductOf(b, bom.ID(words[0]))
	if err != nil {
		return estimate.MixLine{}, err
	}
	choices, err := choicesOf(product, words[1:])
	return estimate.MixLine{Product: product.Number, Trim: bom.ID(words[0]), Choices: choices, Quantity: bom.Exactly(quantity)}, err
}

// ProductOf finds the product that has a trim.
func ProductOf(b *book.Book, trim bom.ID) (*bom.Product, error) {
	var names []string
	for i := range b.Products {
		for _, t := range b.Products[i].Trims {
			if t.ID == trim {
				return &b.Products[i], nil
			}
			names = append(names, string(t.ID))
		}
	}
	if len(names) == 0 {
		return nil, NoTrim()
	}
	return nil, fmt.Errorf("the book has no trim %q; it has %s", trim, strings.Join(names, ", "))
}

// NoTrim says what a book lacks in which nothing can be priced.
func NoTrim() error {
	return Invalidf("the book has no product with a trim: ask for the price of a part alone, or add a product whose positions name the parts that go into it, with a trim under which it is sold")
}

// ParseQuantity reads how many pieces a batch is to give: a whole number, and no
// range.
func ParseQuantity(text string) (decimal.Decimal, error) {
	quantity, err := bom.ParseDecimal(text)
	switch {
	case err != nil && looksLikeRange.MatchString(text):
		return quantity, fmt.Errorf("%s is a range, and a batch is made in one quantity; how cost changes with it is what the batch curve shows", bom.Shorten(text))
	case err != nil:
		return quantity, err
	case !quantity.IsPositive():
		return quantity, fmt.Errorf("%s is not more than 0", quantity)
	}
	return quantity, WholePieces(quantity)
}

// WholePieces refuses a part of a piece, and more pieces than are estimated.
func WholePieces(quantity decimal.Decimal) error {
	switch {
	case !quantity.IsInteger():
		return fmt.Errorf("%s is no whole number of pieces", bom.Shorten(quantity.String()))
	case quantity.GreaterThan(decimal.NewFromInt(estimate.MostPieces)):
		return fmt.Errorf("%s is above %d pieces, the largest batch that is estimated; ask for fewer", bom.Shorten(quantity.String()), estimate.MostPieces)
	}
	return nil
}

// looksLikeRange finds two numbers with something between them that people write
// for "to", and the ranges of a book.
var looksLikeRange = regexp.MustCompile(`^\s*(\{.*\}|[0-9.]+\s*(-|–|—|…|\.\.+|to)\s*[0-9.]+)\s*$`)

func choicesOf(p *bom.Product, words []string) (map[bom.ID]bom.ID, error) {
	choices := map[bom.ID]bom.ID{}
	for _, w := range words {
		option, choice, err := optionOf(p, w)
		if err != nil {
			return nil, err
		}
		choices[option] = choice
	}
	return choices, nil
}

// optionOf finds the option that a word such as wall or mount:wall chooses in.
func optionOf(p *bom.Product, word string) (option, choice bom.ID, err error) {
	named, rest, both := strings.Cut(word, ":")
	if !both {
		named, rest = "", word
	}
	var found []bom.ID
	for _, o := range p.Options {
		for _, c := range o.Choices {
			if string(c.ID) == rest && (named == "" || string(o.ID) == named) {
				found = append(found, o.ID)
			}
		}
	}
	switch len(found) {
	case 0:
		return "", "", fmt.Errorf("product %s has no choice %q", p.Number, word)
	case 1:
		return found[0], bom.ID(rest), nil
	default:
		return "", "", fmt.Errorf("options %s and %s both have a choice %s; write %s:%s", found[0], found[1], rest, found[0], rest)
	}
}
