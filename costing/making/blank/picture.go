package blank

import (
	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

// Picture is where the blanks lie on one piece of stock, as someone sees it who
// looks down on it: x runs along its length from the left, y across it from the
// edge nearest to the viewer, all in mm.
type Picture struct {
	// Length and Width of the piece. The width of a bar is the side one looks
	// on: its width, or its diameter.
	Length, Width decimal.Decimal
	// Layout names the pattern on a sheet ("as drawn", "turned", "mixed",
	// "square rows", …); it is empty for a bar.
	Layout string
	// Blanks is the number of blanks on the piece, those left out included.
	Blanks int
	// Pieces is how many pieces of stock are cut like this one: 1 unless the
	// stock is shared by several parts.
	Pieces int
	// Areas do not overlap, except that a disc is given by the square around
	// it. They come in the order blanks, cuts, the rest.
	Areas []Area
	// Omitted is the number of blanks that are not in Areas, on a piece with
	// more than a picture can show.
	Omitted int
}

// Area is one rectangle of a picture, or the disc that touches its four sides.
type Area struct {
	Role          Role
	X, Y          decimal.Decimal // its corner next to the origin
	Length, Width decimal.Decimal // along x and along y; a cut without kerf has a side of 0
	Round         bool
	Turned        bool   // a rectangular blank whose length lies across the stock
	Part          bom.ID // whose blank it is, on shared stock
}

// Role says what becomes of an area.
type Role string

// The roles of an area.
const (
	BlankArea Role = "blank"
	Cut       Role = "cut"     // lost as kerf, or the gap between neighbours
	Trim      Role = "trim"    // cut off a bar before the first blank
	Grip      Role = "grip"    // held while the bar is cut, and not usable
	Margin    Role = "margin"  // left free along the edges of a sheet
	Remnant   Role = "remnant" // left over when the piece is full
)

// maxAreas bounds a picture; no page shows more.
const maxAreas = 4000
