package xlsx

import (
	"cmp"

	"github.com/xuri/excelize/v2"
)

// Look is what tells cells apart. Fills are light tints that stay apart for
// people who see few colours and in grey print; borders say the same again.
type Look uint8

// The looks.
const (
	Plain Look = iota
	Typed      // an input: may be changed
	Decided
	Constant
	Head
	Heading
	Title
	Sum // of what stands above
	Paragraph
	Sample // an input as the legend shows it: not to be edited
)

// The number formats that all files share.
const (
	General = "General"
	Money   = "#,##0.00"
	Whole   = "0"
	Percent = "0.0%"
	Text    = "@"
)

// Colours, after the palette of Okabe and Ito.
const (
	inputFill   = "FFF3C4" // yellow tint
	decidedFill = "D5E8F5" // blue tint
	fixedFill   = "E9E9E9"
	headFill    = "2F3B47"
	headText    = "FFFFFF"
	lineColour  = "B8B8B8"
	HoldFill    = "D9F0E6" // bluish green tint
	HoldText    = "00553D"
	FailFill    = "FBE1D3" // vermilion tint
	inputLine   = "C79A00"
	FailText    = "B23A00" // vermilion, dark enough on white
	quietText   = "6B6B6B"
)

// Style is how a cell is shown.
type Style struct {
	Look   Look
	Format string // of numbers; "" for General
	Wrap   bool
	Quiet  bool
	Indent bool // to the left, clear of the column before
	Right  bool
}

// style makes each style once and gives its number.
func (f *File) style(s Style) (int, error) {
	s.Format = cmp.Or(s.Format, General)
	if id, ok := f.styles[s]; ok {
		return id, nil
	}
	st := &excelize.Style{
		CustomNumFmt: &s.Format,
		Font:         &excelize.Font{Family: "Calibri", Size: 10},
		Alignment:    &excelize.Alignment{Vertical: "top", WrapText: s.Wrap},
		Protection:   &excelize.Protection{Locked: s.Look != Typed},
	}
	if s.Quiet {
		st.Font.Color = quietText
	}
	if s.Indent {
		st.Alignment.Horizontal, st.Alignment.Indent = "left", 1
	}
	if s.Right {
		st.Alignment.Horizontal = "right"
	}
	s.Look.apply(st)
	id, err := f.NewStyle(st)
	if err == nil {
		f.styles[s] = id
	}
	return id, err
}

func (l Look) apply(st *excelize.Style) {
	switch l {
	case Typed, Sample:
		st.Fill, st.Border = Fill(inputFill), lines(inputLine, 1, "left", "right", "top", "bottom")
	case Decided:
		st.Fill, st.Border = Fill(decidedFill), lines(lineColour, 4, "left", "right", "top", "bottom")
		st.Font.Italic = true
	case Constant:
		st.Fill = Fill(fixedFill)
	case Head:
		st.Fill, st.Font.Bold, st.Font.Color = Fill(headFill), true, headText
		st.Alignment.Vertical = "center"
	case Heading:
		st.Font.Bold, st.Font.Size = true, 11
		st.Border = lines(lineColour, 1, "bottom")
		st.Alignment.Vertical = "bottom"
	case Sum:
		st.Font.Bold = true
		st.Border = lines(lineColour, 1, "top")
	case Title:
		st.Font.Bold, st.Font.Size = true, 16
	case Paragraph:
		st.Font.Size = 11
	}
}

// Fill fills a cell with a colour.
func Fill(colour string) excelize.Fill {
	return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{colour}}
}

func lines(colour string, style int, sides ...string) []excelize.Border {
	out := make([]excelize.Border, len(sides))
	for i, side := range sides {
		out[i] = excelize.Border{Type: side, Color: colour, Style: style}
	}
	return out
}
