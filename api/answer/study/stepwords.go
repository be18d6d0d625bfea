package study

import (
	"cmp"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
)

// decimalIn reads a decimal that was written by the program.
func decimalIn(text string) decimal.Decimal {
	d, _ := decimal.NewFromString(text)
	return d
}

var ordinals = [...]string{"", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"}

// Ordinal writes 97 as 97th.
func Ordinal(n Pieces) string {
	ending := "th"
	if tens := n / 10 % 10; tens != 1 {
		ending = cmp.Or(map[Pieces]string{1: "st", 2: "nd", 3: "rd"}[n%10], ending)
	}
	return strconv.FormatInt(int64(n), 10) + ending
}

// ordinalWord writes small numbers as words.
func ordinalWord(n Pieces) string {
	if n > 0 && int(n) < len(ordinals) {
		return ordinals[n]
	}
	return Ordinal(n)
}

// brief says what steps as it is said in a workshop: "a fifth bar". alone leaves out the
// name of the part where there is no other.
func (s CurveStep) brief(b *book.Book, alone bool) string {
	elements := strings.Split(s.Figure.Key, "/")
	last := elements[len(elements)-1]
	if last == "lot-charge" && s.Takes != nil {
		return "the minimum charge of " + s.place(b, elements) + map[bool]string{true: " holds", false: " is passed"}[strings.Contains(s.Takes.Label, "minimum charge")]
	}
	count := decimalIn(s.Is)
	if s.Is == "" || s.Takes != nil || !count.IsInteger() || !count.IsPositive() {
		return s.Words
	}
	nth := ordinalWord(Pieces(count.IntPart()))
	article := "a "
	if strings.HasPrefix(nth, "eighth") || strings.HasPrefix(nth, "eleventh") || strings.HasPrefix(nth, "8") || nth == "11th" || nth == "18th" {
		article = "an "
	}
	what := ""
	switch last {
	case "stock-needed", "stock-alone", "pieces", "least":
		what = stockForm(b, elements)
	case "loads":
		what = "load at " + s.place(b, elements)
	case "setups":
		what = "set-up at " + s.place(b, elements)
	case "quantity-base":
		what = "pack"
	}
	switch {
	case what == "":
		return s.Words
	case decimalIn(s.Is).LessThan(decimalIn(s.Was)):
		return "one " + what + " fewer" + s.of(alone)
	case last == "quantity-base" && s.Figure.Unit != "":
		return s.Words
	case last == "loads" || last == "setups":
		return article + nth + " " + what
	}
	return article + nth + " " + what + s.of(alone)
}

func (s CurveStep) of(alone bool) string {
	if alone || s.Figure.Of == "" {
		return ""
	}
	return " for " + s.Figure.Of
}

// place names the operation that a key is of.
func (s CurveStep) place(b *book.Book, elements []string) string {
	for i, e := range elements {
		if e != "op" || i+1 >= len(elements) {
			continue
		}
		for _, op := range routingOf(b, elements) {
			if strconv.Itoa(op.Number) == elements[i+1] && op.Name != "" {
				return op.Name
			}
		}
	}
	return s.Figure.Of
}

func routingOf(b *book.Book, elements []string) []bom.Operation {
	switch {
	case elements[0] == "part":
		if p, _ := b.Part(bom.ID(elements[1])); p != nil {
			return p.Routing
		}
	case elements[0] == "variant":
		for i := range b.Products {
			for _, t := range b.Products[i].Trims {
				if name, _, _ := strings.Cut(elements[1], "."); string(t.ID) == name {
					return b.Products[i].Routing
				}
			}
		}
	}
	return nil
}

// stockForm names a piece of the stock that a key is of.
func stockForm(b *book.Book, elements []string) string {
	id := bom.ID(elements[1])
	if elements[0] == "part" {
		if p, _ := b.Part(id); p != nil && p.Blank != nil {
			id = p.Blank.Stock
		}
	}
	if s, _ := b.Stock(id); s != nil {
		return s.Form.Words()
	}
	return "piece of stock"
}
