package export

import (
	"github.com/xuri/excelize/v2"

	"kerfbook/costing/graph"
)

// look is what tells cells apart. Fills are light tints that stay apart for
// people who see few colours and in grey print; borders say the same again.
type look uint8

const (
	plain look = iota
	typed      // an input: may be changed
	decided
	constant
	head
	heading
	title
	paragraph
	sample // an input as the legend shows it: not to be edited
)

// Colours, after the palette of Okabe and Ito.
const (
	inputFill   = "FFF3C4" // yellow tint
	decidedFill = "D5E8F5" // blue tint
	fixedFill   = "E9E9E9"
	headFill    = "2F3B47"
	headText    = "FFFFFF"
	lineColour  = "B8B8B8"
	inputLine   = "C79A00"
	failText    = "B23A00" // vermilion, dark enough on white
	quietText   = "6B6B6B"
)

// styleKey names one cell style of a workbook.
type styleKey struct {
	look   look
	format string
	wrap   bool
	quiet  bool
	indent bool // to the left, clear of the column before
	right  bool
}

// styles makes each style once.
type styles struct {
	f    *excelize.File
	made map[styleKey]int
}

func (s *styles) id(k styleKey) (int, error) {
	if id, ok := s.made[k]; ok {
		return id, nil
	}
	id, err := s.f.NewStyle(k.style())
	if err == nil {
		s.made[k] = id
	}
	return id, err
}

func (k styleKey) style() *excelize.Style {
	st := &excelize.Style{
		CustomNumFmt: &k.format,
		Font:         &excelize.Font{Family: "Calibri", Size: 10},
		Alignment:    &excelize.Alignment{Vertical: "top", WrapText: k.wrap},
		Protection:   &excelize.Protection{Locked: k.look != typed},
	}
	if k.quiet {
		st.Font.Color = quietText
	}
	if k.indent {
		st.Alignment.Horizontal, st.Alignment.Indent = "left", 1
	}
	if k.right {
		st.Alignment.Horizontal = "right"
	}
	k.look.apply(st)
	return st
}

func (l look) apply(st *excelize.Style) {
	switch l {
	case typed, sample:
		st.Fill, st.Border = fill(inputFill), lines(inputLine, 1, "left", "right", "top", "bottom")
	case decided:
		st.Fill, st.Border = fill(decidedFill), lines(lineColour, 4, "left", "right", "top", "bottom")
		st.Font.Italic = true
	case constant:
		st.Fill = fill(fixedFill)
	case head:
		st.Fill, st.Font.Bold, st.Font.Color = fill(headFill), true, headText
		st.Alignment.Vertical = "center"
	case heading:
		st.Font.Bold, st.Font.Size = true, 11
		st.Border = lines(lineColour, 1, "bottom")
		st.Alignment.Vertical = "bottom"
	case title:
		st.Font.Bold, st.Font.Size = true, 16
	case paragraph:
		st.Font.Size = 11
	}
}

func fill(colour string) excelize.Fill {
	return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{colour}}
}

func lines(colour string, style int, sides ...string) []excelize.Border {
	out := make([]excelize.Border, len(sides))
	for i, side := range sides {
		out[i] = excelize.Border{Type: side, Color: colour, Style: style}
	}
	return out
}

// lookOf chooses the look of a value cell.
func lookOf(kind graph.Kind) look {
	switch kind {
	case graph.Input:
		return typed
	case graph.Decision:
		return decided
	case graph.Fixed:
		return constant
	default:
		return plain
	}
}
