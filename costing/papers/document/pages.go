package document

import (
	"strconv"
	"strings"
	"time"
	"unicode"

	"codeberg.org/go-pdf/fpdf"

	"kerfbook/costing/papers/fonts"
	"kerfbook/costing/papers/show"
)

// Measures of a page, in mm.
const (
	marginMM = 18.0
	headMM   = 14.0 // above the text
	footMM   = 16.0 // below it
	lineMM   = 4.6
)

// pages lays text out on pages. Everything is placed by its own reckoning,
// so that nothing is cut off at an edge.
type pages struct {
	pdf    *fpdf.Fpdf
	v      show.QuoteView
	of     int // number of pages; 0 while it is counted
	left   float64
	width  float64 // between the margins
	bottom float64 // end of the text
	y      float64
	style  string // of the font in use
	points float64
	// onNewPage repeats the head of a table.
	onNewPage func()
}

func newPages(v show.QuoteView, paper Paper, at time.Time, of int) *pages {
	pdf := fpdf.New("P", "mm", string(paper), "")
	pdf.SetCreationDate(at)
	pdf.SetModificationDate(at)
	pdf.SetCatalogSort(true)
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetCellMargin(0)
	pdf.SetTitle(printable(v.Title+", "+v.Seller[0]), true)
	pdf.SetAuthor(printable(v.Seller[0]), true)
	pdf.SetProducer("Kerfbook", true)
	pdf.SetLang("en")
	pdf.AddUTF8FontFromBytes("sans", "", fonts.Regular())
	pdf.AddUTF8FontFromBytes("sans", "B", fonts.Bold())
	wide, high := pdf.GetPageSize()
	return &pages{pdf: pdf, v: v, of: of, left: marginMM, width: wide - 2*marginMM, bottom: high - footMM - 4}
}

// newPage begins a page with its header and footer; the font in use stays.
func (p *pages) newPage() {
	style, points := p.style, p.points
	p.pdf.AddPage()
	_, high := p.pdf.GetPageSize()
	p.regular(8)
	p.pdf.SetTextColor(90, 90, 90)
	p.textAt(p.left, headMM-5, p.width*0.6, p.short(p.v.Seller[0], p.width*0.6), "L")
	p.textAt(p.left+p.width*0.6, headMM-5, p.width*0.4, p.short(p.v.Title, p.width*0.4), "R")
	page := "page " + strconv.Itoa(p.pdf.PageNo()) + " of " + strconv.Itoa(max(p.of, 1))
	p.textAt(p.left, high-footMM, p.width, page, "R")
	p.pdf.SetTextColor(0, 0, 0)
	p.pdf.SetDrawColor(184, 184, 184)
	p.pdf.Line(p.left, headMM, p.left+p.width, headMM)
	p.y = headMM + 5
	if p.onNewPage != nil {
		p.onNewPage()
	}
	if points > 0 {
		p.font(style, points)
	}
}

// room goes to a new page if less than a height is left.
func (p *pages) room(mm float64) {
	if p.y+mm > p.bottom {
		p.newPage()
	}
}

// keep goes to a new page if a block does not fit here but would there.
func (p *pages) keep(mm float64) {
	if p.y+mm > p.bottom && mm < p.bottom-headMM-20 {
		p.newPage()
	}
}

func (p *pages) gap(mm float64) { p.y += mm }

func (p *pages) rule() {
	p.pdf.SetDrawColor(210, 210, 210)
	p.pdf.Line(p.left, p.y+0.7, p.left+p.width, p.y+0.7)
	p.y += 2
}

func (p *pages) regular(points float64) { p.font("", points) }
func (p *pages) bold(points float64)    { p.font("B", points) }

func (p *pages) font(style string, points float64) {
	p.style, p.points = style, points
	p.pdf.SetFont("sans", style, points)
}

// title heads a section and keeps with the lines after it.
func (p *pages) title(text string) {
	p.room(4 * lineMM)
	p.bold(10)
	p.pdf.Bookmark(text, 0, p.y)
	p.textAt(p.left, p.y, p.width, text, "L")
	p.y += lineMM + 1
}

// paragraph writes wrapped text in the font that is set.
func (p *pages) paragraph(text string, line float64) {
	for _, l := range p.wrap(text, p.width) {
		p.room(line)
		p.textAt(p.left, p.y, p.width, l, "L")
		p.y += line
	}
}

// small writes what only a later check looks at.
func (p *pages) small(text string) {
	p.regular(7)
	p.pdf.SetTextColor(90, 90, 90)
	p.paragraph(text, lineMM)
	p.pdf.SetTextColor(0, 0, 0)
}

// textAt writes one line into a box that it has been measured for.
func (p *pages) textAt(x, y, width float64, text, align string) {
	p.pdf.SetXY(x, y)
	p.pdf.CellFormat(width, lineMM, printable(text), "", 0, align+"M", false, 0, "")
}

// wrap breaks text into lines that fit a width, within a word where it must.
func (p *pages) wrap(text string, width float64) []string {
	text = printable(text)
	if text == "" {
		return []string{""}
	}
	var out []string
	line := ""
	for word := range strings.FieldsSeq(text) {
		if line != "" && p.pdf.GetStringWidth(line+" "+word) <= width {
			line += " " + word
			continue
		}
		if line != "" {
			out = append(out, line)
		}
		for p.pdf.GetStringWidth(word) > width {
			head := p.fitting(word, width)
			out, word = append(out, head), word[len(head):]
		}
		line = word
	}
	return append(out, line)
}

// fitting is the longest beginning of a text that fits a width, a character at
// least.
func (p *pages) fitting(text string, width float64) string {
	fits := 0
	for i, r := range text {
		end := i + len(string(r))
		if fits > 0 && p.pdf.GetStringWidth(text[:end]) > width {
			break
		}
		fits = end
	}
	return text[:fits]
}

func (p *pages) wrapAll(texts []string, width float64) []string {
	var out []string
	for _, t := range texts {
		out = append(out, p.wrap(t, width)...)
	}
	return out
}

// short cuts a running head to one line.
func (p *pages) short(text string, width float64) string {
	text = printable(text)
	if p.pdf.GetStringWidth(text) <= width {
		return text
	}
	return p.fitting(text, width-p.pdf.GetStringWidth("…")) + "…"
}

// printable replaces what the font table cannot address and what is no
// character.
func printable(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= 0xFFFE:
			return '\uFFFD'
		case unicode.IsControl(r):
			return ' '
		default:
			return r
		}
	}, text)
}
