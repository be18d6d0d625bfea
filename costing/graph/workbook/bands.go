package workbook

import (
	"strings"

	"kerfbook/costing/graph"
)

func printBand(p *printer, n graph.Node) string {
	axes, values := n.BandArgs()
	passed := p.passed(n, "edges", n.Axes[0], axes[0])
	return p.inside(n, axes, p.pick(n, "1+"+passed, values))
}

// printBand2 counts bands row by row: passed rows × columns + passed columns + 1.
func printBand2(p *printer, n graph.Node) string {
	axes, values := n.BandArgs()
	rows := p.passed(n, "row-edges", n.Axes[0], axes[0])
	columns := p.passed(n, "column-edges", n.Axes[1], axes[1])
	if count := n.Axes[1].Count(); count > 1 {
		rows = "(" + rows + ")*" + p.count(count)
	}
	index := "1+" + rows + "+" + columns
	return p.inside(n, axes, p.pick(n, index, values))
}

// count gives a number of columns from a fixed cell, since a formula may not
// hold it.
func (p *printer) count(columns int) string {
	digits := whole(columns).String()
	return p.limit(whole(columns), "fixed/columns-"+digits, digits+" columns of a lookup table")
}

// passed counts the inner edges x has passed.
func (p *printer) passed(n graph.Node, part string, b graph.Bands, a graph.AxisArgs) string {
	if len(a.Edges) == 0 {
		return "0*" + p.name(a.X) // x must be defined all the same
	}
	terms := make([]string, len(a.Edges))
	for i, e := range a.Edges {
		sign := ">="
		if b.BelowClosed[i] {
			sign = ">"
		}
		terms[i] = "IF(" + snap(p.name(a.X)) + sign + snap(p.name(e)) + ",1,0)"
	}
	return p.sum(n, part, terms)
}

// inside gives the value within the outer edges and #N/A beyond them.
func (p *printer) inside(n graph.Node, axes []graph.AxisArgs, value string) string {
	var conditions []string
	for i, a := range axes {
		b, x := n.Axes[i], snap(p.name(a.X))
		if b.HasLow {
			conditions = append(conditions, x+sign(">", b.LowClosed)+snap(p.name(a.Low)))
		}
		if b.HasHigh {
			conditions = append(conditions, x+sign("<", b.HighClosed)+snap(p.name(a.High)))
		}
	}
	if len(conditions) == 0 {
		return value
	}
	return "IF(AND(" + strings.Join(conditions, ",") + ")," + value + ",NA())"
}

func sign(open string, closed bool) string {
	if closed {
		return open + "="
	}
	return open
}
