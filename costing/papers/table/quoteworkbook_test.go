package table_test

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
	"github.com/xuri/excelize/v2"

	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/quotetest"
	"kerfbook/costing/papers/recalctest"
	"kerfbook/costing/papers/show"
	"kerfbook/costing/papers/table"
)

func customerBook(t testing.TB, d *quote.Document, v show.QuoteView) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := table.WriteQuoteWorkbook(&out, d, v); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// LibreOffice comes to the same amounts, stored results taken out; and when a
// quantity changes, the total follows.
func TestCustomerWorkbookRecalculates(t *testing.T) {
	t.Parallel()
	var files [][]byte
	var docs []*quote.Document
	for _, c := range []struct{ destination, term string }{{"PT", "DAP"}, {"DE", "FCA"}, {"US", "DDP"}, {"JP", "DDP"}, {"GB", "DAP"}} {
		d, v := quotetest.Issued(t, quotetest.Request(c.destination, c.term))
		files, docs = append(files, customerBook(t, d, v)), append(docs, d)
	}
	answers := recalctest.Recalculate(t, files...)
	for i, d := range docs {
		for name, f := range namedFigures(d) {
			if err := recalctest.Agrees(answers[i][name], decimal.RequireFromString(f.Value)); err != nil {
				t.Errorf("%s %s: %v", d.Destination, name, err)
			}
		}
	}
	again := quotetest.Request("PT", "DAP")
	again.Lines[0].Quantity = "51"
	again.Delivery.Charge = docs[0].Totals.Delivery.Value // the workbook does not know the carrier
	d, _ := quotetest.Issued(t, again)
	more := recalctest.Live(t, files[0], []recalctest.Step{{Set: map[string]string{"_line_1_pieces": "51"}, Get: []string{"_total"}}})
	if err := recalctest.Agrees(more[0]["_total"], decimal.RequireFromString(d.Totals.Total.Value)); err != nil {
		t.Errorf("with 51 pieces: %v", err)
	}
}

func namedFigures(d *quote.Document) map[string]quote.Figure {
	out := map[string]quote.Figure{"_goods": d.Totals.Goods, "_net": d.Totals.Net, "_tax": d.Totals.Tax, "_total": d.Totals.Total, "_goods_net": d.Totals.GoodsNet}
	for i, l := range d.Lines {
		out["_line_"+strconv.Itoa(i+1)+"_amount"] = l.Total
	}
	for i, tax := range d.Taxes {
		out["_tax_"+strconv.Itoa(i+1)] = tax.Amount
	}
	return out
}

// The tax row of a plain sale is a formula, not a number.
func TestTaxesAreLive(t *testing.T) {
	t.Parallel()
	for _, place := range []string{"PT", "DE"} {
		d, v := quotetest.Issued(t, quotetest.Request(place, "DAP"))
		if len(d.Taxes) != 1 || !d.Taxes[0].Rate.Known() {
			t.Fatalf("%s: taxes %+v", place, d.Taxes)
		}
		f := opened(t, d, v)
		found := false
		for _, c := range cells(t, f) {
			found = found || c.formula == "ROUND(_net*_tax_1_rate,2)"
		}
		if !found {
			t.Errorf("%s: the tax does not follow", place)
		}
	}
}

func opened(t testing.TB, d *quote.Document, v show.QuoteView) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(customerBook(t, d, v)))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

type cell struct{ sheet, at, text, formula string }

func cells(t testing.TB, f *excelize.File) []cell {
	t.Helper()
	var out []cell
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		for r, row := range rows {
			for c := range row {
				at, _ := excelize.CoordinatesToCellName(c+1, r+1)
				formula, _ := f.GetCellFormula(sheet, at)
				if row[c] != "" || formula != "" {
					out = append(out, cell{sheet, at, row[c], formula})
				}
			}
		}
	}
	return out
}

// secretWords never stand in what a customer gets.
var secretWords = []string{"cost", "margin", "markup", "profit", "overhead", "proceeds", "machine", "labour", "scrap", "yield", "supplier", "variant/", "part/", "mix/"}

// Every number of the workbook is one that the document shows, and no word tells
// of costs.
func TestCustomerFilesTellNoCost(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ destination, term string }{{"PT", "DAP"}, {"US", "DDP"}, {"CH", "DAP"}} {
		d, v := quotetest.Issued(t, quotetest.Request(c.destination, c.term))
		shown := shownNumbers(d)
		for _, x := range cells(t, opened(t, d, v)) {
			for _, word := range secretWords {
				if strings.Contains(strings.ToLower(x.text+x.formula), word) {
					t.Errorf("%s %s!%s: %q in %q", c.destination, x.sheet, x.at, word, x.text+x.formula)
				}
			}
			if n, err := decimal.NewFromString(x.text); err == nil && !shown[n.Abs().Round(9).String()] {
				t.Errorf("%s %s!%s: %s is not in the document", c.destination, x.sheet, x.at, x.text)
			}
		}
		for _, profile := range []table.Profile{table.Data, table.Spreadsheet} {
			text := strings.ToLower(customerCSV(t, v, profile))
			for _, word := range secretWords {
				if strings.Contains(text, word) {
					t.Errorf("%s: %q in the CSV", c.destination, word)
				}
			}
		}
	}
}

func shownNumbers(d *quote.Document) map[string]bool {
	t := d.Totals
	figures := []quote.Figure{t.Goods, t.DiscountShare, t.Discount, t.GoodsNet, t.Delivery, t.Duty, t.Charges, t.Clearance, t.Net, t.Tax, t.Total}
	for _, l := range d.Lines {
		figures = append(figures, l.Quantity, l.Price, l.Total)
	}
	for _, x := range d.Taxes {
		figures = append(figures, x.Rate, x.Amount)
	}
	if a := d.Arrival; a != nil {
		figures = append(figures, a.CustomsValue, a.Duty, a.Charges, a.Tax, a.Clearance, a.Door, a.Landed)
	}
	for _, x := range d.Exchange {
		figures = append(figures, x.Rate)
	}
	out := map[string]bool{"1": true, "2": true} // numbers of the lines, and of the revision
	for _, f := range figures {
		if n, err := decimal.NewFromString(f.Value); err == nil {
			out[n.Round(9).String()] = true
		}
	}
	return out
}

func customerCSV(t testing.TB, v show.QuoteView, profile table.Profile) string {
	t.Helper()
	var out bytes.Buffer
	if err := table.WriteQuoteCSV(&out, v, profile); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestTextIsNeverAFormula(t *testing.T) {
	t.Parallel()
	for _, bad := range quotetest.Dangerous {
		d, v := quotetest.Issued(t, quotetest.Saying(bad))
		for _, x := range cells(t, opened(t, d, v)) {
			if x.formula != "" && strings.Trim(x.formula, "_abcdefghijklmnopqrstuvwxyzROUNDSMCE0123456789(),*+-:") != "" {
				t.Errorf("%s!%s: a formula %q", x.sheet, x.at, x.formula)
			}
			if x.formula == strings.TrimPrefix(bad, "=") {
				t.Errorf("%s!%s: the text is a formula", x.sheet, x.at)
			}
		}
		rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(customerCSV(t, v, table.Spreadsheet), "\uFEFF"))).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range rows {
			for i, field := range row {
				number := i >= 4 && i <= 6
				if field != "" && strings.ContainsAny(field[:1], "=+-@\t\r\n") && !number {
					t.Errorf("%q stands bare in the CSV", field)
				}
			}
		}
	}
}

func TestCSVHasEveryAmount(t *testing.T) {
	t.Parallel()
	d, v := quotetest.Issued(t, quotetest.Request("US", "DDP"))
	rows, err := csv.NewReader(strings.NewReader(customerCSV(t, v, table.Data))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	byKey := map[string]string{}
	for _, row := range rows[1:] {
		byKey[row[8]] = row[6]
	}
	for _, f := range []quote.Figure{d.Lines[0].Total, d.Lines[1].Total, d.Totals.Goods, d.Totals.Delivery, d.Totals.Duty, d.Totals.Net, d.Totals.Total} {
		if got := byKey[f.Key]; got != decimal.RequireFromString(f.Value).StringFixed(2) {
			t.Errorf("%s: %q, want %s", f.Key, got, f.Value)
		}
	}
	if got := byKey[d.Totals.Discount.Key]; got != "-"+decimal.RequireFromString(d.Totals.Discount.Value).StringFixed(2) {
		t.Errorf("discount: %q", got)
	}
}

func TestCustomerWorkbookIsTheSameEveryTime(t *testing.T) {
	t.Parallel()
	d, v := quotetest.Issued(t, quotetest.Request("GB", "DAP"))
	first := customerBook(t, d, v)
	for range 5 {
		if !bytes.Equal(first, customerBook(t, d, v)) {
			t.Fatal("other bytes")
		}
	}
}
