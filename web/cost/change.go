package cost

import (
	"strconv"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/edge"
	"kerfbook/bom"
	"kerfbook/costing/book/field"
	"kerfbook/costing/book/record"
	"kerfbook/costing/trade"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// changeBody shows what a changed input does before it is saved.
type changeBody struct {
	Key, Label, Mix, Day string
	Where                string // the record the input is in
	Before               frame.Fig
	Now                  string // of a field that is no number; empty where it is not there
	Back                 string // address that a saved field leads back to; empty for its proof
	Field                frame.Field
	Of                   *frame.Field  // beside it, of what a price rests on
	Value                string        // that is saved, as it was typed
	change               change.Change // in plain notation
	Version              string        // of the book the effect is about
	Conflict             bool          // somebody else changed the book in between
	Asked                bool          // a value was given and taken
	Rebuilt              bool
	Tables               []effectTable
}

// effectTable compares figures before and after.
type effectTable struct {
	ID, Title string
	Rows      []effectRow
	Notes     []string
}

// effectRow is one figure before and after.
type effectRow struct {
	Label                     string
	Before, After, Difference frame.Fig
}

// whatIf shows the effect of a changed input; nothing is written.
func whatIf(c *frame.Call) error {
	body, p, err := changePage(c)
	if err != nil {
		return err
	}
	if c.R.Form.Has("value") && p.Problems.Empty() {
		if err := effect(c, body, &p.Problems); err != nil {
			return err
		}
		body.mark(p.Problems)
	}
	return c.Show("change", p)
}

// saveChange writes a changed input as the next revision of its record.
func saveChange(c *frame.Call) error {
	body, p, err := changePage(c)
	if err != nil {
		return err
	}
	if !p.Problems.Empty() {
		return c.Show("change", p)
	}
	_, err = c.Site.Service.ApplyChangeIn(c.R.Context(), c.Actor, c.View.Lines, c.View.Day, []change.Change{body.change}, answer.Version(c.Form("version")))
	switch answer.CodeOf(err) {
	case answer.Conflict, answer.VersionMissing:
		body.Conflict = true
		if err := effect(c, body, &p.Problems); err != nil {
			return err
		}
		p.Problems.Add("value", "New value: somebody else changed the book in the meantime. Compare with what it says now, and save again if your value is still the right one")
	case answer.Invalid:
		p.Problems = append(p.Problems, frame.FaultsOf(err, "value", "New value: ")...)
	default:
		if err != nil {
			return err
		}
		if body.Back != "" {
			return c.LeadTo(body.Back, "saved")
		}
		return c.LeadTo(frame.Prover(c.View).Href(body.Key), "saved")
	}
	body.mark(p.Problems)
	return c.Show("change", p)
}

// ask reads what the form asks to change a number to, or a field, which may take a word
// in place of a number.
func (b *changeBody) ask(c *frame.Call, unit string, wordsToo bool, found *frame.Problems) {
	b.change = change.Change{Key: b.Key, Value: strings.TrimSpace(b.Value)}
	if !c.R.Form.Has("value") {
		return
	}
	n, err := c.Style.Number(b.Value, unit)
	switch {
	case err == nil:
		b.change.Value, b.Field.Understood = n.Plain, n.Said
	case !wordsToo || form.TwoMeanings(err):
		found.Wrong(&b.Field, err.Error())
	}
}

// typed writes a value as the person types it, where it is a number.
func typed(c *frame.Call, value string) string {
	if _, err := bom.ParseDecimal(value); err != nil {
		return value
	}
	return c.Style.Text(value)
}

// changePage starts the page of one input.
func changePage(c *frame.Call) (*changeBody, frame.Page, error) {
	key := c.R.Form.Get("key")
	if !c.Faults.Empty() {
		return nil, frame.Page{}, &edge.Refusal{Kind: edge.BadRequest, Detail: c.Faults[0].Message}
	}
	sheet, _, err := c.Site.Service.Sheet(c.R.Context(), c.View.Lines, c.View.Day)
	if err != nil {
		return nil, frame.Page{}, err
	}
	if _, _, _, ok := fieldKey(key); ok {
		return fieldPage(c, key)
	}
	f := sheet.Figure(key)
	if _, ok := sheet.IsInput(key); !ok {
		return nil, frame.Page{}, &edge.Refusal{Kind: edge.NotFound, Detail: "no number that was entered has this key"}
	}
	step, err := sheet.Explain(key, 0)
	if err != nil {
		return nil, frame.Page{}, err
	}
	body := &changeBody{
		Key: key, Label: f.Label, Mix: frame.MixText(c.View.Lines), Day: string(c.View.Day), Where: step.Source.Where,
		Before: frame.Prover(c.View).Plain(f), Version: string(c.Version),
		Field: frame.Field{Name: "value", Label: "New value", Value: c.Typed("value", c.Style.Text(f.Value)), Suffix: f.Unit, Mode: "decimal"},
	}
	body.Value = body.Field.Value
	p := c.Page("trims", "What if: "+f.Label, body)
	body.ask(c, f.Unit, false, &p.Problems)
	return body, p, nil
}

// fieldPage starts the page of a field of a record, which need not be a number of
// the batch.
func fieldPage(c *frame.Call, key string) (*changeBody, frame.Page, error) {
	kind, id, path, _ := fieldKey(key)
	number, text, ok := fieldNow(c.Book, kind, id, path)
	if !ok {
		return nil, frame.Page{}, &edge.Refusal{Kind: edge.NotFound, Detail: "the book has no such record"}
	}
	label := form.Words(path)
	body := &changeBody{
		Key: key, Label: label, Mix: frame.MixText(c.View.Lines), Day: string(c.View.Day), Where: form.Words(kind) + " " + id,
		Before: number, Now: text, Version: string(c.Version),
		Field: frame.Field{Name: "value", Label: "New value", Value: c.Typed("value", typed(c, text)), Hint: "A number or a name; nothing takes an optional field away."},
	}
	if kind == "parts" {
		body.Back = partHref(bom.ID(id), c.View)
	}
	body.Value = body.Field.Value
	e, _ := field.Under(kind, path)
	p := c.Page("trims", "What if: "+body.Label, body)
	body.ask(c, e.Unit, true, &p.Problems)
	if isBasis(key) {
		basisForm(c, body, trade.CostBasis(text))
		body.change.Value = body.Value
	}
	return body, p, nil
}

// mark puts what is wrong with a value at the field it was entered into.
func (b *changeBody) mark(found frame.Problems) {
	at := &b.Field
	if b.Of != nil && trade.CostBasis(b.Value).Drawn() {
		at = b.Of
	}
	at.Error = found.Of("value")
}

// effect evaluates the batch with the change.
func effect(c *frame.Call, body *changeBody, found *frame.Problems) error {
	result, err := c.Site.Service.WhatIf(c.R.Context(), c.View.Lines, c.View.Day, []change.Change{body.change})
	if answer.CodeOf(err) == answer.Invalid {
		*found = append(*found, frame.FaultsOf(err, "value", "New value: ")...)
		return nil
	}
	if err != nil {
		return err
	}
	body.Asked, body.Rebuilt, body.Version = true, result.Rebuilt, string(result.Version)
	before := frame.Prover(c.View)
	after := before.ChangedBy(body.change)
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
func partEffect(c *frame.Call, body *changeBody, number string, before, after frame.Linker) error {
	ctx := c.R.Context()
	was, _, err := c.Site.Service.Sheet(ctx, c.View.Lines, c.View.Day)
	if err != nil {
		return err
	}
	is, err := c.Site.Service.SheetWith(ctx, c.View.Lines, c.View.Day, []change.Change{body.change})
	if err != nil {
		return err
	}
	e, ok := record.Find(c.Book, "parts", number)
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
	minutes := func(l frame.Linker, f answer.Figure) frame.Fig { return l.Places(f, 2) }
	var out []shownFigure
	for _, op := range def.Routing {
		number := strconv.Itoa(op.Number)
		if f := sheet.Figure(key + "op/" + number + "/each/minutes"); f.Key != "" {
			out = append(out, shownFigure{number + " " + op.Name, f, minutes})
		}
	}
	for _, line := range []struct{ name, label string }{{"material", "material"}, {"making", "making"}, {"production", "cost of production"}} {
		if f := sheet.Figure(key + "each/" + line.name); f.Key != "" {
			out = append(out, shownFigure{line.label, f, frame.Linker.Money})
		}
	}
	return out
}

// effects compares the headline figures.
func effects(result change.WhatIf, before, after frame.Linker) ([]effectTable, error) {
	var out []effectTable
	for i, v := range result.Before.Variants {
		if i >= len(result.After.Variants) {
			break
		}
		is := result.After.Variants[i]
		drawn := drawnIn(v, is)
		t, err := compared("effect-"+frame.FieldID(v.Trim), v.Name, headline(v, drawn), headline(is, drawn), before, after)
		if err != nil {
			return nil, err
		}
		t.Notes = basisNotes(v, is, drawn)
		out = append(out, t)
	}
	return out, nil
}

// shownFigure is a headline figure with its name and how it is written.
type shownFigure struct {
	label string
	of    answer.Figure
	write func(frame.Linker, answer.Figure) frame.Fig
}

// headline lists what a person wants to know first about a variant, and what prices
// rest on in the channels that draws are behind.
func headline(v answer.VariantPrices, drawn map[bom.ID]bool) []shownFigure {
	out := []shownFigure{
		{"material", v.Material, frame.Linker.Money}, {"making", v.Making, frame.Linker.Money},
		{"cost of production", v.Production, frame.Linker.Money}, {"full cost", v.Full, frame.Linker.Money},
	}
	for _, ch := range v.Channels {
		name := ", " + string(ch.Channel)
		if drawn[ch.Channel] {
			out = append(out, shownFigure{answer.RestsOnLabel + name, costBehind(v, ch), frame.Linker.Money})
		}
		out = append(out, shownFigure{"price asked" + name, ch.Shelf, frame.Linker.Money},
			shownFigure{"profit" + name, ch.Profit, frame.Linker.Money}, shownFigure{"margin" + name, ch.Margin, frame.Linker.Percent})
	}
	for _, l := range v.Landed {
		out = append(out, shownFigure{"landed, all paid, " + l.Destination, l.AllPaid.Total, frame.Linker.Money},
			shownFigure{"margin, all paid, " + l.Destination, l.AllPaid.Margin, frame.Linker.Percent})
	}
	return out
}

// compared lays out figures before and after with their differences, which are
// evaluated as figures themselves.
func compared(id, title string, was, is []shownFigure, before, after frame.Linker) (effectTable, error) {
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
			out.Difference = was[i].write(frame.Linker{Base: "#", Query: ""}, row.Difference)
			out.Difference.Href = after.Href(row.After.Key)
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
func signed(f frame.Fig) string {
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
