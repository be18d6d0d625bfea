package chart

import "testing"

// TestDraw: bars of a table lie on one scale with nought in it, and totals have none.
func TestDraw(t *testing.T) {
	t.Parallel()
	row := func(value string) Row { return Row{Cells: []Mark{{Value: "7"}, {Value: value}}} }
	table := Table{Rows: []Row{row("3"), row("-1"), row("0"), {Total: true, Cells: []Mark{{Value: "2"}}}}}
	table.Draw()
	want := []*RowBar{{"up", "25.00%", "75.00%", "25.00%"}, {"down", "0.00%", "25.00%", "25.00%"}, nil, nil}
	for i, r := range table.Rows {
		if (r.Bar == nil) != (want[i] == nil) || r.Bar != nil && *r.Bar != *want[i] {
			t.Errorf("row %d: %+v", i, r.Bar)
		}
	}
}
