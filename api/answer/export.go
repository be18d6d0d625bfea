package answer

import (
	"bytes"
	"context"
	"fmt"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/workbook"
	"kerfbook/costing/papers/costbook"
	"kerfbook/costing/papers/table"
)

// Cautions are said wherever figures leave the program.
func Cautions() []string {
	return []string{
		"Cutting data are starting values for a trained machinist on a guarded machine.",
		"Plating and anodising baths, coolants and metal dust: follow safety data sheets and local rules.",
		"Mains-powered lighting needs the tests and marks of its market; strong magnets and lithium cells are restricted in air freight.",
		"Duty, tax and classification are estimates as of the day stated and not advice; a licensed broker or the authority decides.",
	}
}

// MakingCautions are those that concern how a part is made.
func MakingCautions(p *bom.Part) []string {
	var cutting, baths bool
	for _, op := range p.Routing {
		cutting = cutting || op.Kind == bom.Machining
		baths = baths || op.Treatment != nil
	}
	all := Cautions()
	var out []string
	if cutting {
		out = append(out, all[0])
	}
	if cutting || baths {
		out = append(out, all[1])
	}
	return out
}

// CostWorkbook writes the whole cost model of a batch as a workbook of live
// formulas.
func (o Origin) CostWorkbook(ctx context.Context, mix []estimate.MixLine, day bom.Date) ([]byte, error) {
	e, err := o.Evaluate(ctx, mix, day)
	if err != nil {
		return nil, err
	}
	if err := Complete(e.Estimate.Graph, e.Values, Headline(e.Estimate)...); err != nil {
		return nil, err
	}
	tables := firstPage{e.Estimate}.tables()
	model, err := workbook.Build(e.Estimate.Graph, e.Values, costbook.Shown(tables)...)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	err = costbook.Write(&out, model, costbook.Meta{
		Title: "Cost of " + mixText(mix), Subject: "Batch priced with the rates of " + string(day),
		Author: o.Book.Name, Version: string(o.Version), Day: day, Tables: tables, Cautions: Cautions(), Share: IsShareRow,
	})
	return out.Bytes(), err
}

// IsShareRow tells a share on a sheet as [Figure.IsShare] does.
func IsShareRow(r *workbook.Row) bool { return Figure{Key: r.Key, Unit: r.Unit}.IsShare() }

// FiguresCSV writes every figure of a batch, one row each.
func (o Origin) FiguresCSV(ctx context.Context, mix []estimate.MixLine, day bom.Date, profile table.Profile) ([]byte, error) {
	e, err := o.Evaluate(ctx, mix, day)
	if err != nil {
		return nil, err
	}
	r := NewReader(e.Estimate.Graph, e.Values)
	rows := [][]table.Cell{table.Texts("key", "figure", "value", "unit", "formula", "source")}
	for id := range graph.ID(e.Estimate.Graph.Len()) {
		n := e.Estimate.Graph.Node(id)
		value := table.Text("")
		if f := r.Figure(id); f.Value != "" {
			d, _ := e.Values.Raw(id)
			value = table.Number(d)
		} else if f.AtLeast != "" {
			value = table.Text("at least " + f.AtLeast + ", without: " + strings.Join(f.Without, ", "))
		}
		rows = append(rows, []table.Cell{table.Text(n.Key), table.Text(n.Label), value,
			table.Text(n.Unit.String()), table.Text(n.Formula), table.Text(n.Source.Where)})
	}
	var out bytes.Buffer
	err = table.WriteCSV(&out, rows, profile)
	return out.Bytes(), err
}

// Headline lists the figures a person looks for first.
func Headline(est *estimate.Estimate) []graph.ID {
	var out []graph.ID
	for _, v := range est.Variants {
		out = append(out, v.Quantity, v.Material, v.Making, v.Special, v.Production, v.Full)
		for _, p := range v.Prices {
			out = append(out, p.Shelf, p.Margin)
		}
	}
	for _, l := range est.Landed {
		out = append(out, l.BuyerClears.Total, l.BuyerClears.KeptBook, l.AllPaid.Total, l.AllPaid.KeptBook)
	}
	return Compact(out)
}

// Compact leaves out figures that do not exist and those already listed.
func Compact(ids []graph.ID) []graph.ID {
	seen := map[graph.ID]bool{graph.None: true}
	var out []graph.ID
	for _, id := range ids {
		if !seen[id] {
			seen[id] = true
			out = append(out, id)
		}
	}
	return out
}

func mixText(mix []estimate.MixLine) string {
	var names []string
	for _, l := range mix {
		names = append(names, fmt.Sprintf("%s × %s", l.Quantity.Likely, l.Name()))
	}
	return strings.Join(names, ", ")
}
