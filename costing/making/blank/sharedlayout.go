package blank

import (
	"fmt"
	"math/big"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/making/blank/layout"
)

// SharedBlank is a part on shared stock: how many blanks are started, and how many
// a piece of stock yields of them alone.
type SharedBlank struct {
	Part            bom.ID
	Def             *bom.Blank
	Start, PerStock int64
}

// SharedLayout draws the pieces of stock that several parts share, one picture for
// all that are cut alike. The pieces are as many as BuildShared decides on.
func SharedLayout(lot []SharedBlank, stock *bom.Stock) ([]Picture, error) {
	for _, b := range lot {
		if !Dimensioned(stock, b.Def) {
			return nil, &PictureError{fmt.Sprintf("the blank of part %s lacks a dimension for stock %s", b.Part, stock.ID)}
		}
		if b.PerStock < 1 || b.Start < 0 || b.Start > maxStarted {
			return nil, &PictureError{fmt.Sprintf("%d blanks of part %s cannot be laid out on stock %s", b.Start, b.Part, stock.ID)}
		}
	}
	l := layOut(lot, stock)
	return l.pictures, l.err
}

// cuttingPlan is how shared stock is cut.
type cuttingPlan struct {
	rule     string
	pictures []Picture
	alone    int64           // pieces, where there are no pictures
	remnants decimal.Decimal // kept, mm or mm²
	err      error
}

func (l cuttingPlan) pieces() int64 {
	n := l.alone
	for _, p := range l.pictures {
		n += int64(p.Pieces)
	}
	return n
}

func layOut(lot []SharedBlank, stock *bom.Stock) cuttingPlan {
	d, ok := newCommon(lot, stock)
	if !ok {
		out := cuttingPlan{rule: ruleAlone, err: &PictureError{fmt.Sprintf("the dimensions of the blanks or of stock %s have too many digits for a picture", stock.ID)}}
		for _, b := range lot {
			out.alone += (b.Start + b.PerStock - 1) / b.PerStock
		}
		return out
	}
	if stock.Form.Linear() {
		return d.bars()
	}
	return d.sheets()
}

// common are the dimensions that all blanks on a piece of stock agree in, and those
// of each blank, in steps.
type common struct {
	ruler
	lot                               []SharedBlank
	stock                             *bom.Stock
	length, width                     int64
	kerf, trim, grip, margin, keep    int64
	keeps                             bool
	blankLength, blankWidth, diameter []int64
}

func newCommon(lot []SharedBlank, stock *bom.Stock) (common, bool) {
	first := lot[0].Def
	width := stock.WidthMM
	if width == nil {
		width = stock.DiameterMM
	}
	numbers := []*bom.Number{&stock.LengthMM, width, first.KerfMM, first.EndCutMM, first.BarEndMM, first.MarginMM, first.KeepRemnantMM}
	for _, b := range lot {
		numbers = append(numbers, b.Def.LengthMM, b.Def.WidthMM, b.Def.DiameterMM)
	}
	lengths := make([]decimal.Decimal, len(numbers))
	for i, n := range numbers {
		if n != nil {
			lengths[i] = n.Likely
		}
	}
	r, ok := newRuler(3, lengths...)
	if !ok {
		return common{}, false
	}
	n := r.all(lengths)
	d := common{ruler: r, lot: lot, stock: stock, length: n[0], width: n[1], kerf: n[2], trim: n[3], grip: n[4], margin: n[5], keep: n[6],
		keeps: first.KeepRemnantMM != nil}
	for i := 7; i < len(n); i += 3 {
		d.blankLength, d.blankWidth, d.diameter = append(d.blankLength, n[i]), append(d.blankWidth, n[i+1]), append(d.diameter, n[i+2])
	}
	return d, true
}

// canvas is an empty picture of one piece of stock.
func (d common) canvas(pieces int64) *canvas {
	return &canvas{ruler: d.ruler, picture: Picture{Length: d.mm(d.length), Width: d.mm(d.width), Pieces: int(pieces)}}
}

func (d common) bars() cuttingPlan {
	room := d.length - d.trim - d.grip
	// As in S1: without a grip the last cut is saved.
	if d.grip == 0 {
		room += d.kerf
	}
	w, n := make([]int64, len(d.lot)), make([]int64, len(d.lot))
	for i, b := range d.lot {
		w[i], n[i] = d.blankLength[i]+d.kerf, b.Start
		if w[i] > room {
			return cuttingPlan{rule: barsRule()} // perStock says so before
		}
	}
	out := cuttingPlan{rule: barsRule()}
	var remnants int64
	order := layout.LongestFirst(w)
	for _, p := range layout.ShareBars(room, w, n) {
		c := d.canvas(p.Times)
		rest, all := d.length-d.trim, int64(0)
		var blanks []barBlank
		for _, i := range order {
			all += p.Counts[i]
			rest -= p.Counts[i] * w[i]
			for range min(p.Counts[i], maxAreas) {
				blanks = append(blanks, barBlank{d.blankLength[i], d.lot[i].Part})
			}
		}
		if d.keeps && rest >= d.keep {
			remnants += rest * p.Times
		}
		c.sawn(d, blanks)
		c.omit(all - int64(c.picture.Blanks))
		out.pictures = append(out.pictures, c.done())
	}
	out.remnants = decimal.New(remnants, -d.places)
	return out
}

func (d common) sheets() cuttingPlan {
	list := make([]layout.SheetBlank, len(d.lot))
	for i, b := range d.lot {
		list[i] = layout.SheetBlank{Length: d.blankLength[i] + d.kerf, Width: d.blankWidth[i] + d.kerf, Turn: !b.Def.Grain,
			Wanted: b.Start, PerFull: b.PerStock}
		if d.diameter[i] > 0 {
			// The square around a disc: cuts from edge to edge cannot nest rows of them.
			list[i].Length, list[i].Width, list[i].Turn = d.diameter[i]+d.kerf, d.diameter[i]+d.kerf, false
		}
	}
	out := cuttingPlan{rule: ruleSheets}
	area := new(big.Int)
	for _, p := range layout.ShareSheets(d.length-2*d.margin+d.kerf, d.width-2*d.margin+d.kerf, list) {
		var pic Picture
		var err error
		if p.Only >= 0 {
			pic, err = d.only(p)
		} else {
			pic = d.together(p)
		}
		if err != nil {
			return cuttingPlan{rule: ruleSheets, err: err}
		}
		out.pictures = append(out.pictures, pic)
		area.Add(area, d.offcuts(pic))
	}
	out.remnants = decimal.NewFromBigInt(area, -2*d.places)
	return out
}

// together draws a sheet of blanks laid one by one.
func (d common) together(p layout.SheetPattern) Picture {
	c := d.canvas(p.Times)
	c.picture.Layout = "together"
	c.margins(d)
	for _, f := range p.Free {
		c.left(Remnant, layout.Box{X: d.margin + f.X, Y: d.margin + f.Y, Length: f.Length - d.kerf, Width: f.Width - d.kerf})
	}
	for _, l := range p.Blanks {
		c.part = d.lot[l.Blank].Part
		c.blank(layout.Box{X: d.margin + l.At.X, Y: d.margin + l.At.Y, Length: l.At.Length - d.kerf, Width: l.At.Width - d.kerf}, l.Turned, d.diameter[l.Blank] > 0)
	}
	return c.done()
}

// only draws a sheet with blanks of one part in the layout it has for itself. On a
// part-used sheet the places of blanks that are not cut are left over.
func (d common) only(p layout.SheetPattern) (Picture, error) {
	b := d.lot[p.Only]
	pic, err := Layout(b.Def, d.stock)
	if err != nil {
		return Picture{}, err
	}
	left := int(p.Count)
	for i, a := range pic.Areas {
		if a.Role != BlankArea {
			continue
		}
		if left == 0 {
			pic.Areas[i].Role, pic.Areas[i].Round, pic.Areas[i].Turned = Remnant, false, false
			continue
		}
		left--
		pic.Areas[i].Part = b.Part
	}
	pic.Pieces, pic.Blanks, pic.Omitted = int(p.Times), int(p.Count), left
	slices.SortStableFunc(pic.Areas, func(a, b Area) int { return drawnOrder[a.Role] - drawnOrder[b.Role] })
	return pic, nil
}

// drawnOrder puts blanks before cuts before the rest.
var drawnOrder = map[Role]int{BlankArea: -2, Cut: -1}

// offcuts is the area of the offcuts of a picture that are kept, in square steps.
func (d common) offcuts(p Picture) *big.Int {
	var area int64
	for _, a := range p.Areas {
		length, _ := d.steps(a.Length)
		width, _ := d.steps(a.Width)
		if d.keeps && a.Role == Remnant && min(length, width) >= d.keep {
			area += length * width
		}
	}
	return new(big.Int).Mul(big.NewInt(area), big.NewInt(int64(p.Pieces)))
}
