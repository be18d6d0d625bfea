package layout

// Box is a rectangle in steps.
type Box struct{ X, Y, Length, Width int64 }

// Grid is a grid of blanks of a × b.
type Grid struct {
	A, B, Gap     int64
	Columns, Rows int64
	Turned        bool
}

// Offcuts are what a grid leaves of a piece: beside its columns and above its rows.
func (g Grid) Offcuts(piece Box) []Box {
	if g.Columns == 0 || g.Rows == 0 {
		return []Box{{piece.X, piece.Y, piece.Length - g.Gap, piece.Width - g.Gap}}
	}
	// Sides of the piece contain a gap that is no metal: each offcut is shorter by it.
	x, y := g.Columns*(g.A+g.Gap), g.Rows*(g.B+g.Gap)
	return []Box{
		{piece.X + x, piece.Y, piece.Length - x - g.Gap, piece.Width - g.Gap},
		{piece.X, piece.Y + y, x - g.Gap, piece.Width - y - g.Gap},
	}
}
