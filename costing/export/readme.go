package export

import (
	"errors"

	"github.com/xuri/excelize/v2"
)

const readMeSheet = "read me"

// legend explains the cells in plain words.
var legend = []struct {
	look  look
	label string
	text  string
}{
	{sample, "input", "Yellow cells are inputs. Change them; everything else follows at once."},
	{decided, "decided", "Blue cells were decided for the inputs as they were (a layout, a pick). They do not follow; the sheet “checks” says FAILS when an input has left what they were decided for."},
	{constant, "fixed", "Grey cells are fixed: conversion factors and rounding steps. White cells are formulas, and every formula names the figures it uses."},
}

// readMe writes the first page: what the file is, what the colours mean, and the
// cautions.
func (b *bookWriter) readMe() error {
	if err := b.f.SetSheetName("Sheet1", readMeSheet); err != nil {
		return err
	}
	if err := b.frame(readMeSheet); err != nil {
		return err
	}
	stream, err := b.f.NewStreamWriter(readMeSheet)
	if err != nil {
		return err
	}
	if err := stream.SetColWidth(2, 2, 100); err != nil {
		return err
	}
	if err := stream.SetColWidth(1, 1, 14); err != nil {
		return err
	}
	p := page{b: b, stream: stream}
	p.introduce()
	if p.err != nil {
		return p.err
	}
	return stream.Flush()
}

// page writes the rows of the first sheet and keeps the first error.
type page struct {
	b      *bookWriter
	stream *excelize.StreamWriter
	row    int
	err    error
}

func (p *page) introduce() {
	m := p.b.meta
	p.line(title, m.Title)
	p.line(paragraph, m.Subject)
	p.line(paragraph, "Figures for "+string(m.Day)+by(m.Author))
	p.line(heading, "How to read the sheets")
	for _, l := range legend {
		p.pair(l.look, l.label, l.text)
	}
	if len(m.Cautions) > 0 {
		p.line(heading, "Cautions")
	}
	for i, c := range m.Cautions {
		p.pair(paragraph, itoa(i+1), c)
	}
}

func by(author string) string {
	if author == "" {
		return ""
	}
	return ", by " + author
}

// line writes text over both columns.
func (p *page) line(l look, text string) {
	p.write(styleKey{look: l, format: textFormat}, text, styleKey{look: l, format: textFormat}, "")
}

// pair writes a label and a paragraph beside it.
func (p *page) pair(l look, label, text string) {
	p.write(styleKey{look: l, format: textFormat}, label,
		styleKey{look: paragraph, format: textFormat, wrap: true, indent: true}, text)
}

func (p *page) write(first styleKey, a string, second styleKey, b string) {
	p.row++
	if p.err != nil || a == "" && b == "" {
		return
	}
	left, err := p.b.styles.id(first)
	right, err2 := p.b.styles.id(second)
	if p.err = errors.Join(err, err2); p.err != nil {
		return
	}
	values := []any{excelize.Cell{StyleID: left, Value: a}, excelize.Cell{StyleID: right}}
	if b != "" {
		values[1] = excelize.Cell{StyleID: right, Value: b}
	}
	p.err = p.stream.SetRow("A"+itoa(p.row), values, excelize.RowOpts{Height: height(first.look, b)})
}

// height leaves a paragraph the lines it needs, in points: not every program
// lets a row grow by itself.
func height(l look, text string) float64 {
	const lineOf, perLine = 15.0, 100
	if l == title || l == heading {
		return 26
	}
	return lineOf*float64(1+len([]rune(text))/perLine) + 3
}
