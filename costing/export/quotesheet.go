package export

import (
	"strings"

	"github.com/xuri/excelize/v2"

	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/show"
)

// quoteHeadRow is the row of the quote sheet that names the columns: a title and
// two lines stand above it.
const quoteHeadRow = 4

// Columns of the quote sheet.
const (
	piecesColumn = "C"
	priceColumn  = "D"
	amountColumn = "E"
)

// writeQuote writes lines and sums.
func (q *quoteBook) writeQuote() error {
	if err := q.begin(quoteSheet, 6, 62, 12, 18, 18, 40); err != nil {
		return err
	}
	err := firstError(
		q.quoteTitle,
		q.quoteLines,
		q.quoteSums,
	)
	if err != nil {
		return err
	}
	return q.stream.Flush()
}

func (q *quoteBook) quoteTitle() error {
	name, err := q.cell(styleKey{look: title, format: textFormat}, q.v.Title)
	if err != nil {
		return err
	}
	who, err := q.cell(styleKey{look: paragraph, format: textFormat}, "from "+q.d.Seller.Name+" to "+q.d.Customer.Name)
	if err != nil {
		return err
	}
	about, err := q.cell(styleKey{look: paragraph, format: textFormat},
		"Yellow cells may be changed, and the amounts follow. That changes this copy and not the quote; terms stand on the next sheet.")
	if err != nil {
		return err
	}
	if err := firstError(
		func() error { return q.put(26, name) },
		func() error { return q.put(15, who) },
		func() error { return q.put(15, about) },
	); err != nil {
		return err
	}
	return q.quoteHead()
}

func (q *quoteBook) quoteHead() error {
	var cells []any
	for i, h := range []string{"line", "goods", "pieces", "price per piece, " + q.d.Currency, "amount, " + q.d.Currency, "details"} {
		c, err := q.cell(styleKey{look: head, format: textFormat, right: i > 1 && i < 5, indent: i == 1 || i == 5}, h)
		if err != nil {
			return err
		}
		cells = append(cells, c)
	}
	return q.put(20, cells...)
}

func (q *quoteBook) quoteLines() error {
	for i, l := range q.v.Lines {
		row := itoa(q.row + 1)
		pieces, err1 := q.input("_line_"+itoa(i+1)+"_pieces", piecesColumn, general, l.Quantity)
		price, err2 := q.input("_line_"+itoa(i+1)+"_price", priceColumn, amountFormat(l.Price), l.Price)
		total, err3 := q.formula("_line_"+itoa(i+1)+"_amount", q.rounded(piecesColumn+row+"*"+priceColumn+row), l.Total)
		number, err4 := q.cell(styleKey{format: wholeNumber}, l.Number)
		goods, err5 := q.cell(styleKey{format: textFormat, wrap: true, indent: true}, l.Name)
		details, err6 := q.cell(styleKey{format: textFormat, wrap: true, indent: true}, strings.Join(l.Details, "; "))
		for _, err := range []error{err1, err2, err3, err4, err5, err6} {
			if err != nil {
				return err
			}
		}
		height := lineHeight * float64(1+max(len([]rune(l.Name))/70, len(strings.Join(l.Details, "; "))/44))
		if err := q.put(height, number, goods, pieces, price, total, details); err != nil {
			return err
		}
	}
	return nil
}

// rounded rounds a formula to the places of the currency.
func (q *quoteBook) rounded(formula string) string {
	return "ROUND(" + formula + "," + itoa(int(q.v.Lines[0].Total.Places)) + ")"
}

// input makes a cell of the next row that may be changed.
func (q *quoteBook) input(name, column, format string, a show.Amount) (excelize.Cell, error) {
	q.named = append(q.named, namedCell{name, "$" + column + "$" + itoa(q.row+1)})
	return q.cell(styleKey{look: typed, format: format}, cellNumber(a.Value()))
}

// formula makes the amount of the next row.
func (q *quoteBook) formula(name, formula string, a show.Amount) (excelize.Cell, error) {
	q.named = append(q.named, namedCell{name, "$" + amountColumn + "$" + itoa(q.row+1)})
	k := styleKey{format: amountFormat(a)}
	if a.Strong {
		k.look = heading
	}
	id, err := q.styles.id(k)
	value := cellNumber(a.Value())
	if a.Negative {
		value = -value
	}
	return excelize.Cell{StyleID: id, Formula: formula, Value: value}, err
}

// quoteSums writes the rows below the lines, each as a formula of those above.
func (q *quoteBook) quoteSums() error {
	s := &quoteSums{quoteBook: q, last: q.row}
	t := q.d.Totals
	s.sum("_goods", "Goods", t.Goods, "SUM("+amountColumn+itoa(quoteHeadRow+1)+":"+amountColumn+itoa(s.last)+")")
	net := []string{"_goods"}
	if t.Discount.Known() {
		s.rate("_discount_share", t.DiscountShare)
		s.row(show.QuoteAmount("Discount", t.Discount).TakenOff(), "_discount", "-"+q.rounded("_goods*_discount_share"))
		s.sum("_goods_net", "Goods after discount", t.GoodsNet, "_goods+_discount")
		net = []string{"_goods_net"}
	}
	for _, r := range []struct {
		name, label string
		figure      quote.Figure
	}{{"_delivery", "Delivery to " + q.d.Terms.Place, t.Delivery}, {"_duty", "Import duty, paid by the seller", t.Duty},
		{"_import_charges", "Import charges, paid by the seller", t.Charges}, {"_clearance", "Clearance, paid by the seller", t.Clearance}} {
		if r.figure.Known() {
			s.given(r.name, r.label, r.figure)
			net = append(net, r.name)
		}
	}
	s.strong("_net", "Total without tax", t.Net, strings.Join(net, "+"))
	taxes := s.taxes()
	s.sum("_tax", "Tax", t.Tax, taxes)
	s.strong("_total", "Total to pay", t.Total, "_net+_tax")
	return s.err
}

// quoteSums keeps the first error of the rows it writes.
type quoteSums struct {
	*quoteBook
	last    int           // row of the last line
	pending *quote.Figure // rate that goes beside the next amount
	name    string
	err     error
}

// taxes writes a row per rate and gives the formula of their sum.
func (s *quoteSums) taxes() string {
	names := []string{}
	for i, t := range s.d.Taxes {
		name := "_tax_" + itoa(i+1)
		names = append(names, name)
		label := show.TaxName(t)
		if t.OwnRounding || t.Base.Value != s.d.Totals.Net.Value {
			s.given(name, label, t.Amount)
			continue
		}
		s.rate(name+"_rate", t.Rate)
		s.sum(name, label, t.Amount, s.rounded("_net*"+name+"_rate"))
	}
	if len(names) == 0 {
		return "0"
	}
	return strings.Join(names, "+")
}

// rate sets a share beside the amount to come.
func (s *quoteSums) rate(name string, f quote.Figure) { s.name, s.pending = name, &f }

func (s *quoteSums) sum(name, label string, f quote.Figure, formula string) {
	s.row(show.QuoteAmount(label, f), name, formula)
}

func (s *quoteSums) strong(name, label string, f quote.Figure, formula string) {
	a := show.QuoteAmount(label, f)
	a.Strong = true
	s.row(a, name, formula)
}

// given writes an amount that is typed and does not follow from others.
func (s *quoteSums) given(name, label string, f quote.Figure) { s.sum(name, label, f, "") }

// row writes a label, a rate if one is pending, and an amount.
func (s *quoteSums) row(a show.Amount, name, formula string) {
	if s.err != nil {
		return
	}
	cells := make([]any, 5)
	k := styleKey{format: textFormat, indent: true}
	if a.Strong {
		k.look = heading
	}
	cells[1], s.err = s.cell(k, a.Label)
	if s.pending != nil && s.err == nil {
		cells[3], s.err = s.input(s.name, priceColumn, "0.00##%", show.QuoteAmount("", *s.pending))
		s.pending = nil
	}
	if s.err == nil && formula == "" {
		cells[4], s.err = s.input(name, amountColumn, amountFormat(a), a)
	} else if s.err == nil {
		cells[4], s.err = s.formula(name, formula, a)
	}
	if s.err == nil {
		s.err = s.put(18, cells...)
	}
}
