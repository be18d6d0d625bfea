package blank

// box is a rectangle in steps.
type box struct{ x, y, length, width int64 }

// blankGrid is a grid of blanks of a × b.
type blankGrid struct {
	a, b, gap     int64
	columns, rows int64
	turned        bool
}

// offcuts are what a grid leaves of a piece: beside its columns and above its rows.
func (g blankGrid) offcuts(piece box) []box {
	if g.columns == 0 || g.rows == 0 {
		return []box{{piece.x, piece.y, piece.length - g.gap, piece.width - g.gap}}
	}
	x, y := g.columns*(g.a+g.gap), g.rows*(g.b+g.gap)
	return []box{
		{piece.x + x, piece.y, piece.length - x - g.gap, piece.width - g.gap},
		{piece.x, piece.y + y, x - g.gap, piece.width - y - g.gap},
	}
}

