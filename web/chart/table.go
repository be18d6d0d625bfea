package chart

// Table holds the numbers of a chart as a table.
type Table struct {
	ID, Caption string
	// Folded is the summary under which a long table is folded; empty leaves it
	// open.
	Folded string
	// ScreenOnly leaves the table out on paper.
	ScreenOnly bool
	Drawn      bool // a bar stands behind the cells of its rows
	Heads      []Head
	Rows       []Row
}

// Head is the head of a column.
type Head struct {
	Name string
	Num  bool // a column of numbers
}

// Row is a line of a table. Href is where its name leads to, if anywhere.
type Row struct {
	Name, Href string
	Total      bool
	Cells      []Mark
	Bar        *RowBar // drawn behind the cells, if anything is
}

// RowBar is an amount drawn from nought, to the right if it is more.
type RowBar struct{ Class, X, Width, Zero string }

// Draw draws the last amounts of the rows to one scale, those of totals apart.
func (t *Table) Draw() {
	least, most := 0.0, 0.0
	for _, r := range t.Rows {
		if at, ok := r.Cells[len(r.Cells)-1].place(); ok && !r.Total {
			least, most = min(least, at), max(most, at)
		}
	}
	for i, r := range t.Rows {
		at, ok := r.Cells[len(r.Cells)-1].place()
		if !ok || r.Total || at == 0 {
			continue
		}
		b := RowBar{Class: "up", X: percent((min(at, 0) - least) / (most - least)), Width: percent(max(at, -at) / (most - least)), Zero: percent(-least / (most - least))}
		if at < 0 {
			b.Class = "down"
		}
		t.Rows[i].Bar, t.Drawn = &b, true
	}
}

// longTable is how many rows a table has at most that is not folded.
const longTable = 16

// folded folds the table if it is long.
func (t Table) folded(summary string) Table {
	if len(t.Rows) > longTable {
		t.Folded = summary
	}
	return t
}

// columns makes the heads of a table: words first, then numbers.
func columns(first string, numbers ...string) []Head {
	out := []Head{{Name: first}}
	for _, n := range numbers {
		out = append(out, Head{n, true})
	}
	return out
}

// spotTable lists marks with their standard errors and chances, where any has
// one.
func spotTable(id, caption, unit string, spots []Spot) Table {
	errors, chances := false, false
	for _, s := range spots {
		errors, chances = errors || s.Error.Text != "", chances || s.Second.Text != ""
	}
	heads := columns("Mark", unit)
	if errors {
		heads = append(heads, Head{"Standard error", true})
	}
	if chances {
		heads = append(heads, Head{"Chance of no more", true})
	}
	t := Table{ID: id + "-table", Caption: caption, Heads: heads}
	for _, s := range spots {
		row := Row{Name: s.Label, Cells: []Mark{s.Mark}}
		if errors {
			row.Cells = append(row.Cells, s.Error)
		}
		if chances {
			row.Cells = append(row.Cells, s.Second)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
