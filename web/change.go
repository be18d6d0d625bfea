package web

import (
	"strconv"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/edge"
	"kerfbook/bom"
	"kerfbook/costing/book/record"
)

// changeBody shows what a changed input does before it is saved.
type changeBody struct {
	Key, Label, Mix, Day string
	Where                string // the record the input is in
	Before               fig
	Now                  string // of a field that is no number; empty where it is not there
	Part                 string // address of the part that the changed field is in
	Field                field
	Version              string // of the book the effect is about
	Conflict             bool   // somebody else changed the book in between
	Asked                bool   // a value was given and taken
	Rebuilt              bool
	Tables               []effectTable
}

// effectTable compares figures before and after.
type effectTable struct {
	ID, Title string
	Rows      []effectRow
}

// effectRow is one figure before and after.
type effectRow struct {
	Label                     string
	Before, After, Difference fig
}

// whatIf shows the effect of a changed input; nothing is written.
func whatIf(c *call) error {
	body, p, err := changePage(c)
	if err != nil {
		return err
	}
	if c.r.Form.Has("value") {
		if err := effect(c, body, &p.Problems); err != nil {
			return err
		}
		body.Field.Error = p.Problems.of("value")
	}
	return c.show("change", p)
}

// saveChange writes a changed input as the next revision of its record.
func saveChange(c *call) error {
	body, p, err := changePage(c)
	if err != nil {
		return err
	}
	_, err = c.site.svc.ApplyChangeIn(c.r.Context(), c.actor, c.view.Lines, c.view.Day, changesAsked(c), answer.Version(c.form("version")))
	switch answer.CodeOf(err) {
	case answer.Conflict, answer.VersionMissing:
		body.Conflict = true
		if err := effect(c, body, &p.Problems); err != nil {
			return err
		}
		p.Problems.add("value", "New value: somebody else changed the book in the meantime. Compare with what it says now, and save again if your value is still the right one")
	case answer.Invalid:
		p.Problems = append(p.Problems, faultsOf(err, "value", "New value: ")...)
	default:
		if err != nil {
			return err
		}
		if body.Part != "" {
			return c.leadTo(body.Part, "saved")
		}
		return c.leadTo(prover(c.view).href(body.Key), "saved")
	}
	body.Field.Error = p.Problems.of("value")
	return c.show("change", p)
}

// changes are what the form asks to change.
func changesAsked(c *call) []change.Change {
	key, value := c.r.Form.Get("key"), c.r.Form.Get("value")
	if _, _, _, ok := fieldKey(key); ok {
		return []change.Change{{Key: key, Value: strings.TrimSpace(value)}}
	}
	return []change.Change{{Key: key, Value: tidyNumber(value)}}
}

// changePage starts the page of one input.
func changePage(c *call) (*changeBody, page, error) {
	key := c.r.Form.Get("key")
	if !c.faults.empty() {
		return nil, page{}, &edge.Refusal{Kind: edge.BadRequest, Detail: c.faults[0].Message}
	}
	sheet, _, err := c.site.svc.Sheet(c.r.Context(), c.view.Lines, c.view.Day)
	if err != nil {
		return nil, page{}, err
	}
	if _, _, _, ok := fieldKey(key); ok {
		return fieldPage(c, key)
	}
	f := sheet.Figure(key)
	if _, ok := sheet.IsInput(key); !ok {
		return nil, page{}, &edge.Refusal{Kind: edge.NotFound, Detail: "no number that was entered has this key"}
	}
	step, err := sheet.Explain(key, 0)
	if err != nil {
		return nil, page{}, err
	}
	body := &changeBody{
		Key: key, Label: f.Label, Mix: mixText(c.view.Lines), Day: string(c.view.Day), Where: step.Source.Where,
		Before: prover(c.view).plain(f), Version: string(c.version),
		Field: field{Name: "value", Label: "New value", Value: c.typed("value", f.Value), Suffix: f.Unit, Mode: "decimal"},
	}
	return body, c.page("", "What if: "+f.Label, body), nil
}

// fieldPage starts the page of a field of a record, which need not be a number of
// the batch.
func fieldPage(c *call, key string) (*changeBody, page, error) {
	kind, id, path, _ := fieldKey(key)
	number, text, ok := fieldNow(c.book, kind, id, path)
	if !ok {
		return nil, page{}, &edge.Refusal{Kind: edge.NotFound, Detail: "the book has no such record"}
	}
	label := words(path)
	body := &changeBody{
		Key: key, Label: label, Mix: mixText(c.view.Lines), Day: string(c.view.Day), Where: words(kind) + " " + id,
		Before: number, Now: text, Version: string(c.version),
		Field: field{Name: "value", Label: "New value", Value: c.typed("value", text), Hint: "A number or a name; nothing takes an optional field away."},
	}
	if kind == "parts" {
		body.Part = partHref(bom.ID(id), c.view)
	}
	return body, c.page("", "What if: "+label, body), nil
}

// effect evaluates the batch with the change.
func effect(c *call, body *changeBody, found *problems) error {
	result, err := c.site.svc.WhatIf(c.r.Context(), c.view.Lines, c.view.Day, changesAsked(c))
	if answer.CodeOf(err) == answer.Invalid {
		*found = append(*found, faultsOf(err, "value", "New value: ")...)
		return nil
	}
	if err != nil {
		return err
	}
	body.Asked, body.Rebuilt, body.Version = true, result.Rebuilt, string(result.Version)
	before := prover(c.view)
	after := before.changedBy(changesAsked(c)[0])
	if body.Tables, err = effects(result, before, after); err != nil {
		return err
	}
	for _, ch := range result.Changes {
		if ch.Kind == "parts" {
			return partEffect(c, body, ch.ID, before, after)
		}
	}
	return nil
}

// partEffect puts what a piece of the changed part takes and costs before the
// headline figures.
func partEffect(c *call, body *changeBody, number string, before, after linker) error {
	ctx := c.r.Context()
	was, _, err := c.site.svc.Sheet(ctx, c.view.Lines, c.view.Day)
	if err != nil {
		return err
	}
	is, err := c.site.svc.SheetWith(ctx, c.view.Lines, c.view.Day, changesAsked(c))
	if err != nil {
		return err
	}
	e, ok := record.Find(c.book, "parts", number)
	if !ok {
		return nil
	}
	def := e.Value.Interface().(bom.Part)
	t, err := compared("effect-part", def.Name+", a piece", pieceFigures(&def, was), pieceFigures(&def, is), before, after)
	if len(t.Rows) > 0 {
		body.Tables = append([]effectTable{t}, body.Tables...)
	}
	return err
}

// pieceFigures are the minutes of the operations of a part and what a piece costs.
func pieceFigures(def *bom.Part, sheet *answer.Sheet) []shownFigure {
	key := "part/" + string(def.Number) + "/"
	minutes := func(l linker, f answer.Figure) fig { return l.places(f, 2) }
	var out []shownFigure
	for _, op := range def.Routing {
		number := strconv.Itoa(op.Number)
		if f := sheet.Figure(key + "op/" + number + "/each/minutes"); f.Key != "" {
			out = append(out, shownFigure{number + " " + op.Name, f, minutes})
		}
	}
	for _, line := range []struct{ name, label string }{{"material", "material"}, {"making", "making"}, {"production", "cost of production"}} {
		if f := sheet.Figure(key + "each/" + line.name); f.Key != "" {
			out = append(out, shownFigure{line.label, f, linker.money})
		}
	}
	return out
}

// effects compares the headline figures.
func effects(result change.WhatIf, before, after linker) ([]effectTable, error) {
	var out []effectTable
	for i, v := range result.Before.Variants {
		if i >= len(result.After.Variants) {
			break
		}
		t, err := compared("effect-"+fieldID(v.Trim), v.Name, headline(v), headline(result.After.Variants[i]), before, after)
		if err != nil {
			return nil, err
		}
		out = append(out, t)
	}
	return out, nil
}

// shownFigure is a headline figure with its name and how it is written.
type shownFigure struct {
	label string
	of    answer.Figure
	write func(linker, answer.Figure) fig
}

// headline lists what a person wants to know first about a variant.
func headline(v answer.VariantPrices) []shownFigure {
	out := []shownFigure{
		{"material", v.Material, linker.money}, {"making", v.Making, linker.money},
		{"cost of production", v.Production, linker.money}, {"full cost", v.Full, linker.money},
	}
	for _, ch := range v.Channels {
		name := ", " + string(ch.Channel)
		out = append(out, shownFigure{"price asked" + name, ch.Shelf, linker.money},
			shownFigure{"profit" + name, ch.Profit, linker.money}, shownFigure{"margin" + name, ch.Margin, linker.percent})
	}
	for _, l := range v.Landed {
		out = append(out, shownFigure{"landed, duty paid, " + l.Destination, l.DutyPaid.Total, linker.money},
			shownFigure{"margin, duty paid, " + l.Destination, l.DutyPaid.Margin, linker.percent})
	}
	return out
}

// compared lays out figures before and after with their differences, which are
// evaluated as figures themselves.
func compared(id, title string, was, is []shownFigure, before, after linker) (effectTable, error) {
	t := effectTable{ID: id, Title: title}
	var a, b []answer.Figure
	for i := range min(len(was), len(is)) {
		a, b = append(a, was[i].of), append(b, is[i].of)
	}
	rows, err := answer.Compare(a, b)
	if err != nil {
		return t, err
	}
	for i, row := range rows {
		out := effectRow{Label: was[i].label, Before: was[i].write(before, row.Before), After: was[i].write(after, row.After)}
		if row.Difference.Key != "" {
			out.Difference = was[i].write(linker{base: "#", query: ""}, row.Difference)
			out.Difference.Href = after.href(row.After.Key)
			out.Difference.Text = signed(out.Difference)
		}
		if unit := row.After.Unit; unit != "" {
			out.Label += ", " + unit
		}
		t.Rows = append(t.Rows, out)
	}
	return t, nil
}

// signed writes a difference with its sign, so that its direction is never told
// by colour alone.
func signed(f fig) string {
	d, ok := answer.Figure{Value: f.Value}.Number()
	text := f.Text
	if share, isShare := strings.CutSuffix(text, " %"); isShare {
		text = share + " points" // of a share, not a share of it
	}
	if ok && d.IsPositive() {
		return "+" + text
	}
	return text
}
