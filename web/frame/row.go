package frame

// FigureRow is a line of figures, one for each trim.
type FigureRow struct {
	Label string
	Total bool
	Cells []Fig
}

// WithUnit puts the unit behind the label, for tables whose lines differ in it.
func (r FigureRow) WithUnit() FigureRow {
	for _, c := range r.Cells {
		if c.Unit != "" {
			r.Label += ", " + c.Unit
			break
		}
	}
	return r
}
