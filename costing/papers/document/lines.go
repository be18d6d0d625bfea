package document

import (
	"strconv"

	"kerfbook/costing/papers/show"
)

// columns are the columns of the lines; the description takes what is left.
var columns = []struct {
	head  string
	width float64 // mm; 0: what is left
	align string
}{
	{"", 7, "R"}, {"goods", 0, "L"}, {"pieces", 18, "R"}, {"price per piece", 40, "R"}, {"amount", 34, "R"},
}

// columnPad keeps text clear of the edges of its column, in mm.
const columnPad = 1.5

// columnText writes a cell of the table.
func (p *pages) columnText(x, y float64, column int, text string) {
	p.textAt(x+columnPad, y, p.columnWidth(column)-2*columnPad, text, columns[column].align)
}

func (p *pages) columnWidth(i int) float64 {
	if w := columns[i].width; w > 0 {
		return w
	}
	rest := p.width
	for _, c := range columns {
		rest -= c.width
	}
	return rest
}

// lines is the table of the goods. Its head stands on every page it takes.
func (p *pages) lines() {
	p.room(4 * lineMM)
	p.lineHead()
	p.onNewPage = p.lineHead
	for _, l := range p.v.Lines {
		p.line(l)
	}
	p.onNewPage = nil
	p.gap(2)
}

func (p *pages) lineHead() {
	p.bold(9)
	p.pdf.SetFillColor(47, 59, 71)
	p.pdf.SetTextColor(255, 255, 255)
	p.pdf.Rect(p.left, p.y, p.width, lineMM+2, "F")
	x := p.left
	for i, c := range columns {
		head := c.head
		if i > 2 {
			head += ", " + p.v.Currency
		}
		p.columnText(x, p.y+1, i, head)
		x += p.columnWidth(i)
	}
	p.pdf.SetTextColor(0, 0, 0)
	p.y += lineMM + 3
	p.regular(9)
}

// line is one row of the table: the numbers beside the first line of the name.
func (p *pages) line(l show.QuoteLine) {
	p.regular(9)
	name := p.wrap(l.Name, p.columnWidth(1)-2*columnPad)
	p.regular(8)
	details := p.wrapAll(l.Details, p.columnWidth(1)-2*columnPad)
	p.keep(float64(len(name)+len(details))*lineMM + 2)
	cells := []string{strconv.Itoa(l.Number), "", l.Quantity.Text, l.Price.Text, l.Total.Text}
	for i, text := range append(name, details...) {
		p.room(lineMM)
		p.regular(9)
		if i >= len(name) {
			p.regular(8)
		}
		cells[1] = text
		x := p.left
		for c := range columns {
			if i == 0 || c == 1 {
				p.columnText(x, p.y, c, cells[c])
			}
			x += p.columnWidth(c)
		}
		p.y += lineMM
	}
	p.rule()
}

// sums are the rows below the table.
func (p *pages) sums() {
	p.keep(float64(len(p.v.Sums)+1) * (lineMM + 1))
	for _, a := range p.v.Sums {
		p.amountRow(a)
	}
	if p.v.TaxNote != "" {
		p.regular(9)
		p.gap(1)
		p.paragraph(p.v.TaxNote, lineMM)
	}
	p.gap(4)
}

// amountRow is a label with a number at the right edge.
func (p *pages) amountRow(a show.Amount) {
	const numberMM = 33.0
	from := p.width * 0.32
	p.regular(9)
	if a.Strong {
		p.bold(9)
	}
	for i, text := range p.wrap(a.Label, p.width-from-numberMM-18) {
		p.room(lineMM + 1)
		p.textAt(p.left+from, p.y, p.width-from-numberMM-18, text, "L")
		if i == 0 {
			p.textAt(p.left+p.width-numberMM-18, p.y, 18, a.Unit, "R")
			p.textAt(p.left+p.width-numberMM, p.y, numberMM-columnPad, a.Text, "R")
		}
		p.y += lineMM + 0.6
	}
}
