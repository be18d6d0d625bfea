package web

// figureRow is a line of figures, one for each trim.
type figureRow struct {
	Label string
	Total bool
	Cells []fig
}

// withUnit puts the unit behind the label, for tables whose lines differ in it.
func (r figureRow) withUnit() figureRow {
	for _, c := range r.Cells {
		if c.Unit != "" {
			r.Label += ", " + c.Unit
			break
		}
	}
	return r
}
