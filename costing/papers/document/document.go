package document

import (
	"io"
	"time"

	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/show"
)

// Paper is a size of paper.
type Paper string

// The sizes.
const (
	A4     Paper = "A4"
	Letter Paper = "Letter"
)

// Write writes a quote as the customer's document, a PDF. The file is dated with the day of
// issue, so that the same quote gives the same bytes. It carries title, author,
// language and bookmarks but no structure tags, which the library cannot write:
// the page of the quote is its accessible form.
//
// The error is a day of issue that is none, or what w or the library returned.
func Write(w io.Writer, d *quote.Document, v show.QuoteView, paper Paper) error {
	at, err := time.Parse(time.DateOnly, string(d.IssuedOn))
	if err != nil {
		return err
	}
	// The number of pages is known once the pages are there.
	counted := newPages(v, paper, at, 0)
	counted.write()
	p := newPages(v, paper, at, counted.pdf.PageNo())
	p.write()
	return p.pdf.Output(w)
}

// write lays the document out from top to bottom.
func (p *pages) write() {
	p.newPage()
	p.heading()
	p.parties()
	p.facts()
	p.lines()
	p.sums()
	p.arrival()
	p.section("Exchange rates", amountTexts(p.v.Exchange))
	p.section("Notes", p.v.Notes)
	p.section("What the figures rest on", p.v.Basis)
	p.section("Cautions", p.v.Cautions)
	if p.v.Hash != "" {
		p.small("To tell a changed copy from the stored quote (SHA-256): " + p.v.Hash)
	}
}

func amountTexts(rows []show.Amount) []string {
	var out []string
	for _, r := range rows {
		out = append(out, r.Label+": "+r.Text+" "+r.Unit+" ("+r.Note+")")
	}
	return out
}

// heading says what the document is, and whether it holds.
func (p *pages) heading() {
	p.bold(16)
	p.paragraph(p.v.Title, 8)
	if p.v.State != quote.Issued {
		p.bold(11)
		p.paragraph("This quote is not open: it is "+stateText(p.v.State)+".", 6)
	}
	p.gap(2)
}

func stateText(s quote.State) string {
	if s == quote.Draft {
		return "a draft that has not been issued"
	}
	return string(s)
}

// parties stand side by side.
func (p *pages) parties() {
	half := p.width/2 - 4
	p.regular(9)
	left, right := p.wrapAll(p.v.Seller, half), p.wrapAll(p.v.Customer, half)
	p.columnsHead("Seller", "Customer", half)
	for i := range max(len(left), len(right)) {
		p.room(lineMM)
		y := p.y
		p.textAt(p.left, y, half, lineOf(left, i), "L")
		p.textAt(p.left+p.width/2, y, half, lineOf(right, i), "L")
		p.y += lineMM
	}
	p.gap(3)
}

func (p *pages) columnsHead(left, right string, half float64) {
	p.bold(9)
	p.textAt(p.left, p.y, half, left, "L")
	p.textAt(p.left+p.width/2, p.y, half, right, "L")
	p.y += lineMM
	p.regular(9)
}

func lineOf(lines []string, i int) string {
	if i < len(lines) {
		return lines[i]
	}
	return ""
}

func (p *pages) facts() {
	const labelMM = 34.0
	for _, f := range p.v.Facts {
		p.regular(9)
		lines := p.wrap(f.Text, p.width-labelMM)
		for i, l := range lines {
			p.room(lineMM)
			if i == 0 {
				p.bold(9)
				p.textAt(p.left, p.y, labelMM, f.Label, "L")
				p.regular(9)
			}
			p.textAt(p.left+labelMM, p.y, p.width-labelMM, l, "L")
			p.y += lineMM
		}
	}
	p.gap(4)
}

// arrival shows what import comes to.
func (p *pages) arrival() {
	if len(p.v.Arrival) == 0 {
		return
	}
	p.keep(float64(len(p.v.Arrival)+4) * (lineMM + 1))
	p.title("On arrival, estimated")
	p.regular(9)
	p.paragraph(p.v.ArrivalNote, lineMM)
	p.gap(1)
	for _, a := range p.v.Arrival {
		p.amountRow(a)
	}
	p.gap(3)
}

// section is a heading with paragraphs; nothing without any.
func (p *pages) section(title string, paragraphs []string) {
	if len(paragraphs) == 0 {
		return
	}
	p.title(title)
	p.regular(9)
	for _, text := range paragraphs {
		p.paragraph(text, lineMM)
		p.gap(0.8)
	}
	p.gap(2)
}
