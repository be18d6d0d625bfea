package cost

import (
	"errors"
	"net/url"
	"slices"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/edge"
	"kerfbook/costing/book/record"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// proof shows how a figure of a batch was made, or where a number was entered.
func proofPage(c *frame.Call) error {
	key := frame.Wildcard(c.R)
	if strings.HasPrefix(key, "book/") {
		return showEntered(c, key)
	}
	if !c.Faults.Empty() {
		return &edge.Refusal{Kind: edge.BadRequest, Detail: c.Faults[0].Message}
	}
	sheet, changed, err := changedSheet(c)
	if err != nil {
		return err
	}
	depth := frame.Levels(c.R.Form.Get("levels"))
	step, err := sheet.Explain(key, depth)
	var unknown *answer.UnknownKeyError
	if errors.As(err, &unknown) {
		return &edge.Refusal{Kind: edge.NotFound, Detail: "this batch has no figure with the key " + key}
	}
	if err != nil {
		return err
	}
	link := frame.Prover(c.View).ChangedBy(changed...)
	body := frame.ProofShown(step, link, depth)
	for _, ch := range changed {
		body.Changed = append(body.Changed, ch.Key+"="+ch.Value)
	}
	if path, ok := sheet.IsInput(key); ok && path != "" && !slices.ContainsFunc(changed, func(ch change.Change) bool { return ch.Key == key }) {
		body.Change = &frame.ChangeLink{Hidden: append(c.ChangeFields(changed...), frame.Link{Label: "key", Href: key}),
			Field: frame.Field{Name: frame.ValueName(len(changed)), Label: "New value", Value: c.Style.Text(step.Value), Suffix: step.Unit, Mode: "decimal"}}
	}
	if step.InPlaceOf != "" {
		body.Computed = link.Plain(sheet.Figure(step.InPlaceOf))
	}
	if sheet.IsComputed(key) && len(changed) == 0 {
		body.OverrideHref = "/book/overrides/new?" + url.Values{"figure": {key}, "unit": {step.Unit}}.Encode()
	}
	for _, f := range sheet.UsedBy(key, 40) {
		one := link.Plain(f)
		if f.Of != "" {
			one.Label = f.Of + ": " + f.Label
		}
		body.UsedBy = append(body.UsedBy, one)
	}
	p := c.Page("trims", "How "+step.Label+" was made", &body)
	p.Batch = c.BatchLine(c.View.Lines)
	return c.Show("proof", p)
}

// changedSheet evaluates the batch of the view, with the changes that the address names and
// that are not saved, such as work-centre/MILL/machine-rate=40.
func changedSheet(c *frame.Call) (sheet *answer.Sheet, changed []change.Change, err error) {
	ctx := c.R.Context()
	for _, said := range c.R.Form["change"] {
		key, value, _ := strings.Cut(said, "=")
		changed = append(changed, change.Change{Key: key, Value: value})
	}
	if changed == nil {
		sheet, _, err = c.Site.Service.Sheet(ctx, c.View.Lines, c.View.Day)
		return sheet, nil, err
	}
	sheet, err = c.Site.Service.SheetWith(ctx, c.View.Lines, c.View.Day, changed)
	return sheet, changed, err
}

// enteredProof shows where a number was entered that no figure of a batch stands
// for: its key is book/, the kind and id of the record, and the place in it.
func showEntered(c *frame.Call, key string) error {
	parts := strings.SplitN(key, "/", 4)
	if len(parts) < 4 {
		return &edge.Refusal{Kind: edge.NotFound, Detail: "the key does not name a place in the book"}
	}
	if parts[1] == "reference" {
		return referenceProof(c, parts[2], parts[3])
	}
	e, ok := record.Find(c.Book, parts[1], parts[2])
	if !ok {
		return &edge.Refusal{Kind: edge.NotFound, Detail: "the book has no such record"}
	}
	value, ok := record.Number(e.Value, parts[3])
	if !ok {
		return &edge.Refusal{Kind: edge.NotFound, Detail: "the record has no number at this place"}
	}
	r := form.Reader{Kind: e.Kind.Name, Id: e.ID}
	shown := r.Number(value, parts[3])
	kind, _ := form.KindOf(e.Kind.Name)
	body := frame.ProofBody{Figure: shown.Number, Label: form.Label(e.Kind.Name, parts[3]), Entered: &frame.EnteredProof{
		Record: kind.One + " " + e.ID, Href: form.RecordAddress(e), EditHref: form.RecordAddress(e) + "/edit", Low: shown.Low, High: shown.High, Shape: shown.Shape, SD: shown.SD,
	}}
	return c.Show("proof", c.Page("book", "Where "+form.Label(e.Kind.Name, parts[3])+" was entered", &body))
}

// referenceProof shows where a number of a row that ships with the program
// stands.
func referenceProof(c *frame.Call, id, path string) error {
	value, ok := form.ReferenceNumber(id, path)
	if !ok {
		return &edge.Refusal{Kind: edge.NotFound, Detail: "there is no such reference row"}
	}
	shown := form.Reader{Kind: "reference", Id: id}.Number(value, path)
	body := frame.ProofBody{Figure: shown.Number, Label: form.Words(path), Entered: &frame.EnteredProof{Record: "reference rows", Href: "/sources", Low: shown.Low, High: shown.High, Shape: shown.Shape, SD: shown.SD}}
	return c.Show("proof", c.Page("sources", "Where "+form.Words(path)+" comes from", &body))
}
