package frame

import (
	"errors"
	"fmt"
	"maps"
	"net/url"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/web/notation"
)

// View is what a person looks at: which trims in which quantities, each in a
// batch of its own or all in one, with the rates and rules of which day. It
// travels in the address, so that a page can be sent to somebody else.
type View struct {
	Lines    []estimate.MixLine
	Together bool
	Day      bom.Date
}

// StandardQuantity is what a part is looked at in where nothing is said.
const StandardQuantity = 100

// UsualBatch is what the trims of a product are looked at in where nothing is said.
func UsualBatch(p *bom.Product) bom.Number {
	if p.UsualBatch != nil {
		return *p.UsualBatch
	}
	return bom.Whole(StandardQuantity)
}

// standardView looks at every trim of a book in its usual batch.
func standardView(b *book.Book, day bom.Date) View {
	v := View{Day: day}
	for i := range b.Products {
		p := &b.Products[i]
		for _, t := range p.Trims {
			v.Lines = append(v.Lines, estimate.MixLine{Product: p.Number, Trim: t.ID, Quantity: UsualBatch(p)})
		}
	}
	return v
}

// Alone reports that the view looks at one part by itself.
func (v View) Alone() bool { return len(v.Lines) == 1 && v.Lines[0].Part != "" }

// Mixes gives the batches that are estimated.
func (v View) Mixes() [][]estimate.MixLine {
	if v.Together && len(v.Lines) > 0 {
		return [][]estimate.MixLine{v.Lines}
	}
	var out [][]estimate.MixLine
	for _, l := range v.Lines {
		out = append(out, []estimate.MixLine{l})
	}
	return out
}

// Query writes the view as the query of an address.
func (v View) Query() string {
	q := url.Values{"mix": {MixText(v.Lines)}, "day": {string(v.Day)}}
	if v.Together {
		q.Set("as", "one")
	}
	return q.Encode()
}

// MixText writes a mix the way service.ParseMix reads it.
func MixText(lines []estimate.MixLine) string {
	var out []string
	for _, l := range lines {
		words := append([]string{l.Word()}, choiceWords(l)...)
		if l.Margin != nil {
			words[0] += "@" + l.Margin.Likely.String()
		}
		for _, place := range l.Destinations {
			words[0] += "+to:" + place
		}
		out = append(out, strings.Join(words, "+")+"="+l.Quantity.Likely.String())
	}
	return strings.Join(out, ",")
}

// choiceWords writes the choices in place of a trim's own as service.ParseMix
// reads them.
func choiceWords(l estimate.MixLine) []string {
	var out []string
	for _, option := range slices.Sorted(maps.Keys(l.Choices)) {
		out = append(out, string(option)+":"+string(l.Choices[option]))
	}
	return out
}

// QuantityField names the field of the form that holds the quantity of a trim.
func QuantityField(trim bom.ID) string { return "n." + string(trim) }

// ReadView takes the view from an address: the mix as one text, or the fields of
// the form, which leave a trim out by leaving its quantity empty.
func ReadView(b *book.Book, q url.Values, today bom.Date, style notation.Style) (View, Problems) {
	v := View{Day: today, Together: q.Get("as") == "one"}
	var found Problems
	if text := strings.TrimSpace(q.Get("day")); text != "" {
		day, err := style.Day(text)
		if err != nil {
			found.Add("day", "Day: "+err.Error())
		} else {
			v.Day = day
		}
	}
	switch {
	case q.Has("mix"):
		v.Lines = readMix(b, q.Get("mix"), &found)
	case hasQuantities(q):
		v.Lines = readQuantities(b, q, style, &found)
	default:
		v.Lines = standardView(b, v.Day).Lines
	}
	return v, found
}

func hasQuantities(q url.Values) bool {
	for name := range q {
		if strings.HasPrefix(name, "n.") {
			return true
		}
	}
	return false
}

func readMix(b *book.Book, text string, found *Problems) []estimate.MixLine {
	if text == "" {
		return nil
	}
	lines, err := answer.ParseMix(b, text)
	if err != nil {
		found.Add("", "Batch: "+err.Error())
	}
	return lines
}

func readQuantities(b *book.Book, q url.Values, style notation.Style, found *Problems) []estimate.MixLine {
	var lines []estimate.MixLine
	for _, p := range b.Products {
		for _, t := range p.Trims {
			name := QuantityField(t.ID)
			text := q.Get(name)
			if strings.TrimSpace(text) == "" {
				continue
			}
			n, err := ReadQuantity(style, text)
			if err != nil {
				found.Add(name, fmt.Sprintf("Quantity of %s: %v", b.TrimName(&p, &t), err))
				continue
			}
			lines = append(lines, estimate.MixLine{Product: p.Number, Trim: t.ID, Quantity: bom.Exactly(n)})
		}
	}
	if len(lines) == 0 && found.Empty() {
		found.Add("", "Quantity: enter how many pieces of at least one trim")
	}
	return lines
}

// ReadQuantity reads a batch quantity.
func ReadQuantity(style notation.Style, text string) (decimal.Decimal, error) {
	plain, err := style.Whole(text)
	var two *notation.TwoMeaningsError
	if err != nil && !errors.As(err, &two) {
		plain, err = text, nil // the reader of quantities has more to say of it
	}
	var n decimal.Decimal
	if err == nil {
		n, err = answer.ParseQuantity(plain)
	}
	if err != nil {
		return n, fmt.Errorf("enter a whole number of pieces such as 100 (%w)", err)
	}
	return n, nil
}

// PartHref is the address of the page of a part in the batch of a view.
func PartHref(number bom.ID, v View) string {
	switch {
	case len(v.Lines) == 0:
		return "/parts/" + string(number)
	case v.Alone(): // another part is looked at alone as well
		return "/parts/" + string(number) + "?day=" + string(v.Day)
	}
	return "/parts/" + string(number) + "?" + v.Query()
}
