package table

import (
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/show"
	"kerfbook/costing/papers/xlsx"
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

// namedCell is a cell of the quote sheet with a name.
type namedCell struct{ name, at string }

// quoteRows writes the sheet of lines and sums.
type quoteRows struct {
	*xlsx.Rows
	d     *quote.Document
	v     show.QuoteView
	named []namedCell
}

func writeQuoteSheet(f *xlsx.File, d *quote.Document, v show.QuoteView) ([]namedCell, error) {
	if err := f.AddSheet(quoteSheet, xlsx.Paper{}); err != nil {
		return nil, err
	}
	rows, err := f.Rows(quoteSheet, 6, 62, 12, 18, 18, 40)
	if err != nil {
		return nil, err
	}
	q := &quoteRows{Rows: rows, d: d, v: v}
	q.head()
	for i := range v.Lines {
		q.line(i)
	}
	q.sums()
	return q.named, q.Close()
}

func (q *quoteRows) head() {
	words := xlsx.Style{Look: xlsx.Paragraph, Format: xlsx.Text}
	q.Put(26, q.Cell(xlsx.Style{Look: xlsx.Title, Format: xlsx.Text}, q.v.Title))
	q.Put(15, q.Cell(words, "from "+q.d.Seller.Name+" to "+q.d.Customer.Name))
	q.Put(15, q.Cell(words, "Yellow cells may be changed, and the amounts follow. That changes this copy and not the quote; terms stand on the next sheet."))
	var cells []any
	for i, h := range []string{"line", "goods", "pieces", "price per piece, " + q.d.Currency, "amount, " + q.d.Currency, "details"} {
		cells = append(cells, q.Cell(xlsx.Style{Look: xlsx.Head, Format: xlsx.Text, Right: i > 1 && i < 5, Indent: i == 1 || i == 5}, h))
	}
	q.Put(20, cells...)
}

func (q *quoteRows) line(i int) {
	l, row, name := q.v.Lines[i], strconv.Itoa(q.Last+1), "_line_"+strconv.Itoa(i+1)
	pieces := q.input(name+"_pieces", piecesColumn, xlsx.General, l.Quantity)
	price := q.input(name+"_price", priceColumn, amountFormat(l.Price), l.Price)
	total := q.amount(name+"_amount", q.rounded(piecesColumn+row+"*"+priceColumn+row), l.Total)
	number := q.Cell(xlsx.Style{Format: xlsx.Whole}, l.Number)
	words, details := xlsx.Style{Format: xlsx.Text, Wrap: true, Indent: true}, strings.Join(l.Details, "; ")
	lines := 1 + max(len([]rune(l.Name))/70, len(details)/44)
	q.Put(xlsx.Lines(lines), number, q.Cell(words, l.Name), pieces, price, total, q.Cell(words, details))
}

// rounded rounds a formula to the places of the currency.
func (q *quoteRows) rounded(formula string) string {
	return "ROUND(" + formula + "," + strconv.Itoa(int(q.v.Lines[0].Total.Places)) + ")"
}

// input makes a cell of the next row that may be changed.
func (q *quoteRows) input(name, column, format string, a show.Amount) excelize.Cell {
	q.named = append(q.named, namedCell{name, "$" + column + "$" + strconv.Itoa(q.Last+1)})
	return q.Cell(xlsx.Style{Look: xlsx.Typed, Format: format}, xlsx.Number(a.Value()))
}

// amount makes the amount of the next row; without a formula, one that may be
// changed.
func (q *quoteRows) amount(name, formula string, a show.Amount) excelize.Cell {
	if formula == "" {
		return q.input(name, amountColumn, amountFormat(a), a)
	}
	q.named = append(q.named, namedCell{name, "$" + amountColumn + "$" + strconv.Itoa(q.Last+1)})
	k := xlsx.Style{Format: amountFormat(a)}
	if a.Strong {
		k.Look = xlsx.Heading
	}
	value := xlsx.Number(a.Value())
	if a.Negative {
		value = -value
	}
	return q.Formula(k, formula, value)
}

// sums writes the rows below the lines, each as a formula of those above.
func (q *quoteRows) sums() {
	t := q.d.Totals
	q.sum("_goods", "Goods", t.Goods, "SUM("+amountColumn+strconv.Itoa(quoteHeadRow+1)+":"+amountColumn+strconv.Itoa(q.Last)+")")
	net := []string{"_goods"}
	if t.Discount.Known() {
		q.row(show.QuoteAmount("Discount", t.Discount).TakenOff(), "_discount", "-"+q.rounded("_goods*_discount_share"), rate{"_discount_share", t.DiscountShare})
		q.sum("_goods_net", "Goods after discount", t.GoodsNet, "_goods+_discount")
		net = []string{"_goods_net"}
	}
	for _, r := range []struct {
		name, label string
		figure      quote.Figure
	}{{"_delivery", show.DeliveryLabel(q.d.Terms), t.Delivery}, {"_duty", "Import duty, paid by the seller", t.Duty},
		{"_import_charges", "Import charges, paid by the seller", t.Charges}, {"_clearance", "Clearance, paid by the seller", t.Clearance}} {
		if r.figure.Known() {
			q.sum(r.name, r.label, r.figure, "") // typed: it does not follow from others
			net = append(net, r.name)
		}
	}
	q.strong("_net", "Total without tax", t.Net, strings.Join(net, "+"))
	taxes := []string{}
	for i, tax := range q.d.Taxes {
		name := "_tax_" + strconv.Itoa(i+1)
		taxes = append(taxes, name)
		if tax.OwnRounding || tax.Base.Value != t.Net.Value {
			q.sum(name, show.TaxName(tax), tax.Amount, "")
			continue
		}
		q.row(show.QuoteAmount(show.TaxName(tax), tax.Amount), name, q.rounded("_net*"+name+"_rate"), rate{name + "_rate", tax.Rate})
	}
	if len(taxes) == 0 {
		taxes = []string{"0"}
	}
	q.sum("_tax", "Tax", t.Tax, strings.Join(taxes, "+"))
	q.strong("_total", "Total to pay", t.Total, "_net+_tax")
}

func (q *quoteRows) sum(name, label string, f quote.Figure, formula string) {
	q.row(show.QuoteAmount(label, f), name, formula, rate{})
}

func (q *quoteRows) strong(name, label string, f quote.Figure, formula string) {
	a := show.QuoteAmount(label, f)
	a.Strong = true
	q.row(a, name, formula, rate{})
}

// rate is a named share that stands beside the amount it makes.
type rate struct {
	name   string
	figure quote.Figure
}

// row writes a label, a rate if there is one, and an amount.
func (q *quoteRows) row(a show.Amount, name, formula string, r rate) {
	cells := make([]any, 5)
	k := xlsx.Style{Format: xlsx.Text, Indent: true}
	if a.Strong {
		k.Look = xlsx.Heading
	}
	cells[1] = q.Cell(k, a.Label)
	if r.name != "" {
		cells[3] = q.input(r.name, priceColumn, "0.00##%", show.QuoteAmount("", r.figure))
	}
	cells[4] = q.amount(name, formula, a)
	q.Put(18, cells...)
}
