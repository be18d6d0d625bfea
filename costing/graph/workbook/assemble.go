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

func (b *assembly) window(n graph.Node, w graph.Window) Row {
	v, known := b.value(w.Input)
	if known && n.Decision.Again != nil && !within(v, w) {
		w.Low, w.High = v, v // taken again, for just this
	}
	name := b.used.claim(cellName(n.Key + "//while"))
	low := Bound{Name: b.used.claim(name + "_low"), Value: w.Low}
	high := Bound{Name: b.used.claim(name + "_high"), Value: w.High}
	in := b.g.Node(w.Input)
	x := snap(b.name(w.Input))
	row := Row{ID: graph.None, Kind: graph.Proof, Verdict: true, Name: name, Low: &low, High: &high,
		Formula: "IF(AND(" + x + ">=" + snap(low.Name) + "," + x + "<=" + snap(high.Name) + "),1,0)",
		Label:   named(in), Unit: in.Unit.String(), FormulaID: how(n), Source: source(n), Key: in.Key}
	if known {
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

// draws adds a check to what was drawn, which does not follow its inputs: each that any
// of it rests on is still as it was.
func (b *assembly) draws() {
	drawn := b.g.Drawn()
	var of []graph.ID
	for _, id := range drawn {
		if behind, there := b.g.Find(b.g.Node(id).Decision.Drawn.Of); there {
			of = append(of, behind)
		}
	}
	if len(of) == 0 {
		return
	}
	behind, _, _ := b.g.Extract(of...)
	var same []string
	for i := range graph.ID(behind.Len()) {
		n := behind.Node(i)
		id, _ := b.g.Find(n.Key)
		if n.Kind != graph.Input {
			continue
		}
		was := Row{ID: graph.None, Kind: graph.Fixed, Label: "drawn with " + named(n), Unit: n.Unit.String(), Source: "as it was drawn", Key: n.Key}
		was.Name = b.used.claim(cellName(n.Key + "//drawn-with"))
		was.Value, was.Known = b.value(id)
		b.printer.fixed = append(b.printer.fixed, was)
		same = append(same, "IF("+snap(b.name(id))+"="+snap(was.Name)+",1,0)")
	}
	n := b.g.Node(drawn[0])
	row := Row{ID: graph.None, Kind: graph.Proof, Verdict: true, Name: b.used.claim(cellName(n.Key + "//drawn")), Value: whole(1), Known: true,
		Label: "draw again: an input that what the draws add rests on was edited", Key: n.Key}
	row.Formula = "MIN(1," + b.list(n, "inputs as they were drawn", same) + ")"
	b.checks = append(b.checks, row)
}

// model puts the sheets in order; empty ones are left out.
func (b *assembly) model() *Model {
	if len(b.checks) > 0 {
		b.checks = append([]Row{b.verdict()}, b.checks...)
	}
	inputs := Sheet{Name: inputsSheet, Role: Inputs}
	for _, d := range b.inputs {
		inputs.Rows = append(append(inputs.Rows, Row{ID: graph.None, Heading: true, Label: d.words}), d.lines(1)...)
	}
	sheets := []Sheet{inputs}
	for _, d := range b.figures {
		sheets = append(sheets, Sheet{Name: b.sheets.claim(inWords(d.words)), Role: Figures, Rows: d.lines(0)})
	}
	sheets = append(sheets,
		Sheet{Name: checksSheet, Role: Checks, Rows: b.checks},
		Sheet{Name: fixedSheet, Role: FixedSet, Rows: append(b.fixed, b.printer.fixed...)},
		Sheet{Name: listsSheet, Role: Lists, Rows: b.lists})
	m := &Model{Blocks: b.blocks, rows: make([]*Row, b.g.Len())}
	for _, s := range sheets {
		if len(s.Rows) == 0 {
			continue
		}
		m.Sheets = append(m.Sheets, s)
		for i := range s.Rows {
			if id := s.Rows[i].ID; id != graph.None {
				m.rows[id] = &s.Rows[i]
			}
		}
	}
	return m
}

// verdict says at the head of the checks whether all of them hold.
func (b *assembly) verdict() Row {
	b.blocks = append(b.blocks, Block{Name: AllChecks, Sheet: checksSheet, From: 1, To: len(b.checks)})
	row := Row{ID: graph.None, Kind: graph.Proof, Verdict: true, Name: EveryCheck,
		Formula: "MIN(" + AllChecks + ")", Label: "every check holds", Known: true, Value: whole(1)}
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
