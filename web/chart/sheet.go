package chart

import (
	"strings"

	"github.com/shopspring/decimal"
)

// Area is a rectangle of a sheet, or the disc within it, in mm; y runs away from
// the viewer.
type Area struct {
	Class               string
	X, Y, Length, Width decimal.Decimal
	Round               bool
}

// Sheet is a drawing of a piece of stock as one looks down on it.
type Sheet struct {
	ID          string
	Title, Desc string
	Box         string // of the drawing, in mm
	Aspect      string // how it fills its place
	Tall        bool   // drawn higher than to scale, because it is long and thin
	Shapes      []Shape
}

// Shape is all areas of one class as one path.
type Shape struct{ Class, Path string }

// longAndThin is how many times longer than wide a piece may be to be drawn to scale.
const longAndThin = 8

// NewSheet draws areas on a piece of stock. A long and thin piece without discs is
// drawn wider than to scale.
func NewSheet(id, title, desc string, length, width decimal.Decimal, areas []Area) Sheet {
	s := Sheet{ID: id, Title: title, Desc: desc, Box: "0 0 " + length.String() + " " + width.String(), Aspect: "xMinYMin meet"}
	if length.GreaterThan(width.Mul(decimal.NewFromInt(longAndThin))) {
		s.Tall, s.Aspect = true, "none"
	}
	paths, order := map[string]*strings.Builder{}, []string{}
	for _, a := range areas {
		if paths[a.Class] == nil {
			paths[a.Class], order = new(strings.Builder), append(order, a.Class)
		}
		a.write(paths[a.Class], width)
	}
	for _, class := range order {
		s.Shapes = append(s.Shapes, Shape{class, paths[class].String()})
	}
	return s
}

// write adds the outline of an area; a page counts y downwards.
func (a Area) write(out *strings.Builder, width decimal.Decimal) {
	top := width.Sub(a.Y).Sub(a.Width)
	if !a.Round {
		out.WriteString("M" + a.X.String() + " " + top.String() + "h" + a.Length.String() + "v" + a.Width.String() + "H" + a.X.String() + "z")
		return
	}
	r := a.Width.Mul(decimal.New(5, -1)).String()
	arc := "a" + r + " " + r + " 0 1 0 "
	out.WriteString("M" + a.X.String() + " " + top.Add(a.Width.Mul(decimal.New(5, -1))).String() +
		arc + a.Length.String() + " 0" + arc + a.Length.Neg().String() + " 0z")
}
