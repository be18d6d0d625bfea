package quote

import (
	"fmt"
	"strings"

	"kerfbook/costing/papers/fonts"
)

// undrawn says which characters of a text the PDF would show as boxes, empty if
// none.
func undrawn(text string) string {
	const most = 3
	var named []string
	missing := fonts.Missing(text)
	for _, r := range missing[:min(len(missing), most)] {
		named = append(named, fmt.Sprintf("%c (U+%04X)", r, r))
	}
	if len(named) == 0 {
		return ""
	}
	list := strings.Join(named, ", ")
	if more := len(missing) - most; more > 0 {
		list += fmt.Sprintf(" and %d more", more)
	}
	return "the PDF of a quote cannot draw " + list + "; write it in letters such as Latin, Greek or Cyrillic"
}

// needGlyphs wants what the document takes from the book to be drawable too.
func (w *work) needGlyphs(d *Document) error {
	o := order{}
	look := func(path, what, text string) {
		if fault := undrawn(text); fault != "" {
			o.fail(path, "the %s in the book, %.40q: %s", what, text, fault)
		}
	}
	look("seller.name", "name of the shop", d.Seller.Name)
	for i, l := range d.Lines {
		look(fmt.Sprintf("lines[%d].trim", i), "name of the line", l.Name+" "+strings.Join(l.Choices, "; "))
	}
	for _, t := range d.Taxes {
		look("destination", "name of a tax", t.Name)
	}
	if d.Arrival != nil {
		look("destination", "name of the import rule", d.Arrival.Regime)
	}
	for _, x := range d.Exchange {
		look("destination", "source of the exchange rate", x.Label+x.Card+x.Source)
	}
	for _, c := range d.Cautions {
		look("lines", "caution", c)
	}
	for _, u := range d.Unverified {
		look("destination", "name of a row", u.Where)
	}
	if len(o.fields) > 0 {
		return &InvalidError{o.fields}
	}
	return nil
}
