package workbook

import (
	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// windows adds a check to every input a decision rests on: still between the
// bounds it was decided for.
func (b *assembly) windows() {
	for i := range b.g.Len() {
		n := b.g.Node(graph.ID(i))
		if n.Decision == nil || len(n.Decision.Valid) == 0 {
			continue
		}
		b.checks = append(b.checks, Row{ID: graph.None, Heading: true, Label: "inputs still those of the decision: " + named(n), Key: n.Key})
		for _, w := range n.Decision.Valid {
			b.checks = append(b.checks, b.window(n, w))
		}
	}
}

func (b *assembly) window(n *graph.Node, w graph.Window) Row {
	name := b.used.claim(cellName(n.Key + "//while"))
	low := Bound{Name: b.used.claim(name + "_low"), Value: w.Low}
	high := Bound{Name: b.used.claim(name + "_high"), Value: w.High}
	in := b.g.Node(w.Input)
	x := snap(b.name(w.Input))
	row := Row{ID: graph.None, Kind: graph.Proof, Verdict: true, Name: name, Low: &low, High: &high,
		Formula: "IF(AND(" + x + ">=" + snap(low.Name) + "," + x + "<=" + snap(high.Name) + "),1,0)",
		Label:   named(in), Unit: in.Unit.String(), FormulaID: how(n), Source: source(n), Key: in.Key}
	if v, ok := b.value(w.Input); ok {
		row.Value, row.Known = truth(within(v, w)), true
	}
	return row
}

func within(v decimal.Decimal, w graph.Window) bool {
	v = v.Round(graph.SnapPlaces)
	return v.Cmp(w.Low.Round(graph.SnapPlaces)) >= 0 && v.Cmp(w.High.Round(graph.SnapPlaces)) <= 0
}

func truth(holds bool) decimal.Decimal {
	if holds {
		return whole(1)
	}
	return decimal.Zero
}

// model puts the sheets in order; empty ones are left out.
func (b *assembly) model(headline []graph.ID) (*Model, error) {
	first := Sheet{Name: headlineSheet, Role: Headline}
	for _, id := range headline {
		if id < 0 || int(id) >= b.g.Len() {
			return nil, &HeadlineError{id}
		}
		first.Rows = append(first.Rows, b.headline(id))
	}
	if len(b.checks) > 0 {
		first.Rows = append(first.Rows, b.verdict())
	}
	sheets := append([]Sheet{first}, b.figures...)
	sheets = append(sheets,
		Sheet{Name: checksSheet, Role: Checks, Rows: b.checks},
		Sheet{Name: fixedSheet, Role: FixedSet, Rows: append(b.fixed, b.printer.fixed...)},
		Sheet{Name: listsSheet, Role: Lists, Rows: b.lists})
	m := &Model{Blocks: b.blocks}
	for _, s := range sheets {
		if len(s.Rows) > 0 {
			m.Sheets = append(m.Sheets, s)
		}
	}
	return m, nil
}

// headline shows a node on the first sheet: a reference to its cell.
func (b *assembly) headline(id graph.ID) Row {
	n := b.g.Node(id)
	row := Row{ID: id, Kind: graph.Computed, Verdict: n.Op == graph.Check, Formula: b.name(id),
		Label: named(n), Unit: n.Unit.String(), FormulaID: how(n), Source: source(n), Key: n.Key}
	row.Value, row.Known = b.value(id)
	return row
}

// verdict says on the first sheet whether all checks hold.
func (b *assembly) verdict() Row {
	block := b.used.claim("_all_checks")
	b.blocks = append(b.blocks, Block{Name: block, Sheet: checksSheet, From: 0, To: len(b.checks) - 1})
	row := Row{ID: graph.None, Kind: graph.Proof, Verdict: true, Name: b.used.claim("_every_check_holds"),
		Formula: "MIN(" + block + ")", Label: "every check holds", Key: checksSheet, Known: true, Value: whole(1)}
	for _, c := range b.checks {
		if c.Heading {
			continue
		}
		row.Known = row.Known && c.Known
		row.Value = decimal.Min(row.Value, c.Value)
	}
	return row
}

func (m *Model) check() error {
	for _, s := range m.Sheets {
		if len(s.Rows) > MaxRows {
			return &SizeError{s.Name, len(s.Rows)}
		}
	}
	return nil
}
