package cost

import (
	"slices"
	"strconv"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/web/chart"
	"kerfbook/web/frame"
)

// layoutBlock is a picture of the blanks on their stock.
type layoutBlock struct {
	Drawings []drawing
	Key      []timeKind // what the areas are
	Fault    string     // why there is no picture
}

// drawing is one piece of stock, and how it is cut in words.
type drawing struct {
	chart.Sheet
	Words string
}

// areaKinds are the roles of areas with what they are called.
var areaKinds = []timeKind{
	{"blank", "blank"}, {"blank, turned", "blank-turned"}, {"blank of another part", "blank-other"}, {"cut or gap", "cut"},
	{"end cut", "trim"}, {"bar end, held in the machine", "grip"}, {"margin", "margin"}, {"remnant", "remnant"},
}

// layoutOf draws the stock of a part; nil for a part without a blank.
func layoutOf(b *book.Book, def *bom.Part, stock string, sheet *answer.Sheet) *layoutBlock {
	pictures, err := sheet.Pictures(b, def)
	if err != nil {
		return &layoutBlock{Fault: err.Error()}
	}
	if len(pictures) == 0 {
		return nil
	}
	out, used := &layoutBlock{}, map[string]bool{}
	for i, p := range pictures {
		var areas []chart.Area
		mine := 0
		for _, a := range p.Areas {
			class := string(a.Role)
			if class == "blank" && a.Part != "" && a.Part != def.Number {
				class = "blank-other"
			} else if class == "blank" {
				mine++
				if a.Turned {
					class = "blank-turned"
				}
			}
			used[class] = true
			areas = append(areas, chart.Area{Class: class, X: a.X, Y: a.Y, Length: a.Length, Width: a.Width, Round: a.Round})
		}
		words := pictureWords(p.Blanks, mine, p.Omitted, p.Pieces, p.Layout, len(pictures) > 1 || p.Blanks != mine+p.Omitted)
		title := "Layout on " + stock
		if len(pictures) > 1 {
			title += ", pattern " + strconv.Itoa(i+1)
		}
		d := drawing{chart.NewSheet("layout-"+strconv.Itoa(i+1), title, words, p.Length, p.Width, areas), words}
		if d.Tall {
			d.Words += "; drawn wider than to scale"
		}
		out.Drawings = append(out.Drawings, d)
	}
	for _, k := range areaKinds {
		if used[k.Class] {
			out.Key = append(out.Key, k)
		}
	}
	return out
}

// pictureWords says what a piece of stock yields.
func pictureWords(blanks, mine, omitted, pieces int, layout string, shared bool) string {
	words := countOf(blanks, "blank") + " on a piece of stock"
	if shared {
		words += ", " + strconv.Itoa(mine) + " of this part; " + countOf(pieces, "piece") + " cut so"
	}
	if layout != "" {
		words += "; layout " + layout
	}
	if omitted > 0 {
		words += "; " + countOf(omitted, "blank") + " not drawn"
	}
	return words
}

func countOf(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return strconv.Itoa(n) + " " + what
}

// stockFigures are the figures of a blank on its stock, in order.
var stockFigures = []string{"per-stock", "stock-use", "start", "stock-needed", "bar-remnant", "remnant", "blank-mass", "mass", "mass-bought", "mass-remnants", "buy-to-fly", "mass-chips"}

// sharedFigures are those of stock that several parts of the batch share.
var sharedFigures = []string{"pieces", "alone"}

// roughly are figures that nobody reads to the last digit.
var roughly = []string{"blank-mass", "mass", "mass-bought", "mass-remnants", "buy-to-fly", "mass-chips", "plated-area", "coating-mass", "bath-time",
	"charged-area", "mass-charge", "minimum-asked", "surcharge", "charges", "metal-charge", "spoiled-paid"}

// finishFigures are what a finish does to the size of a piece, and what is asked beside
// its prices.
var finishFigures = []string{"thickness", "plated-area", "growth", "growth-diameter", "growth-hole", "growth-thread", "thread-allowance", "edge-radius", "coating-mass", "bath-time",
	"charged-area", "mass-charge", "minimum-asked", "surcharge", "charges", "metal-charge", "spoiled-paid"}

// finishBlock is what an outside finish does to a piece.
type finishBlock struct {
	Title string
	Rows  []frame.FigureRow
}

// finishesOf lists the finishes of a part.
func finishesOf(def *bom.Part, sheet *answer.Sheet, link frame.Linker, key string) []finishBlock {
	var out []finishBlock
	for _, op := range def.Routing {
		if op.Treatment == nil {
			continue
		}
		block := finishBlock{Title: "Operation " + strconv.Itoa(op.Number) + ", " + op.Name}
		block.Rows = figuresBelow(sheet, link, operationAt(key, &op), finishFigures)
		if len(block.Rows) > 0 {
			out = append(out, block)
		}
	}
	return out
}

// figuresBelow lists those of some figures that exist.
func figuresBelow(sheet *answer.Sheet, link frame.Linker, at string, names []string) []frame.FigureRow {
	var out []frame.FigureRow
	for _, name := range names {
		f := sheet.Figure(at + name)
		switch {
		case f.Key == "":
		case name == "stock-use":
			out = append(out, frame.FigureRow{Label: f.Label, Cells: []frame.Fig{link.Percent(f)}})
		case slices.Contains(roughly, name):
			out = append(out, frame.FigureRow{Label: f.Label, Cells: []frame.Fig{link.Places(f, 2)}})
		default:
			out = append(out, frame.FigureRow{Label: f.Label, Cells: []frame.Fig{link.Plain(f)}})
		}
	}
	return out
}
