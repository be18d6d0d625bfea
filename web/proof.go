package web

import (
	"errors"
	"net/url"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/edge"
	"kerfbook/costing/book/record"
)

// proof shows how a figure of a batch was made, or where a number was entered.
func proofPage(c *call) error {
	key := wildcard(c.r)
	if strings.HasPrefix(key, "book/") {
		return showEntered(c, key)
	}
	if !c.faults.empty() {
		return &edge.Refusal{Kind: edge.BadRequest, Detail: c.faults[0].Message}
	}
	sheet, changed, err := changedSheet(c)
	if err != nil {
		return err
	}
	depth := levels(c.r.Form.Get("levels"))
	step, err := sheet.Explain(key, depth)
	var unknown *answer.UnknownKeyError
	if errors.As(err, &unknown) {
		return &edge.Refusal{Kind: edge.NotFound, Detail: "this batch has no figure with the key " + key}
	}
	if err != nil {
		return err
	}
	link := prover(c.view)
	if changed != "" {
		link.query += "&change=" + url.QueryEscape(changed)
	}
	body := proofShown(step, link, depth)
	body.Changed = changed
	body.Batch, body.Day = batchWords(c.view), string(c.view.Day)
	if path, ok := sheet.IsInput(key); ok && path != "" && changed == "" {
		body.Change = &changeLink{Key: key, Mix: mixText(c.view.Lines), Day: string(c.view.Day), Unit: step.Unit,
			Field: field{Name: "value", Label: "New value", Value: step.Value, Suffix: step.Unit, Mode: "decimal"}}
	}
	if step.InPlaceOf != "" {
		body.Computed = link.plain(sheet.Figure(step.InPlaceOf))
	}
	if sheet.IsComputed(key) && changed == "" {
		body.OverrideHref = "/book/overrides/new?" + url.Values{"figure": {key}, "unit": {step.Unit}}.Encode()
	}
	for _, f := range sheet.UsedBy(key, 40) {
		body.UsedBy = append(body.UsedBy, link.plain(f))
	}
	return c.show("proof", c.page("", "How "+step.Label+" was made", &body))
}

// changedSheet evaluates the batch of the view, with a change that is not saved
// if the address names one, such as work-centre/MILL/machine-rate=40.
func changedSheet(c *call) (sheet *answer.Sheet, changed string, err error) {
	ctx := c.r.Context()
	changed = c.r.Form.Get("change")
	if changed == "" {
		sheet, _, err = c.site.svc.Sheet(ctx, c.view.Lines, c.view.Day)
		return sheet, "", err
	}
	key, value, _ := strings.Cut(changed, "=")
	sheet, err = c.site.svc.SheetWith(ctx, c.view.Lines, c.view.Day, []change.Change{{Key: key, Value: value}})
	return sheet, changed, err
}

// batchWords says what was estimated.
func batchWords(v view) string {
	var out []string
	for _, l := range v.Lines {
		out = append(out, l.Quantity.Likely.String()+" × "+strings.ReplaceAll(l.Name(), ".", " "))
	}
	return strings.Join(out, ", ")
}

// enteredProof shows where a number was entered that no figure of a batch stands
// for: its key is book/, the kind and id of the record, and the place in it.
func showEntered(c *call, key string) error {
	parts := strings.SplitN(key, "/", 4)
	if len(parts) < 4 {
		return &edge.Refusal{Kind: edge.NotFound, Detail: "the key does not name a place in the book"}
	}
	if parts[1] == "reference" {
		return referenceProof(c, parts[2], parts[3])
	}
	e, ok := record.Find(c.book, parts[1], parts[2])
	if !ok {
		return &edge.Refusal{Kind: edge.NotFound, Detail: "the book has no such record"}
	}
	value, ok := record.Number(e.Value, parts[3])
	if !ok {
		return &edge.Refusal{Kind: edge.NotFound, Detail: "the record has no number at this place"}
	}
	r := reader{kind: e.Kind.Name, id: e.ID}
	shown := r.number(value, parts[3])
	kind, _ := kindOf(e.Kind.Name)
	body := proofBody{Figure: shown.Number, Label: words(parts[3]), Entered: &enteredProof{
		Record: kind.One + " " + e.ID, Href: recordAddress(e), EditHref: recordAddress(e) + "/edit", Place: parts[3], Low: shown.Low, High: shown.High, Shape: shown.Shape, SD: shown.SD,
	}}
	return c.show("proof", c.page("", "Where "+words(parts[3])+" was entered", &body))
}

// referenceProof shows where a number of a row that ships with the program
// stands.
func referenceProof(c *call, id, path string) error {
	value, ok := referenceNumber(id, path)
	if !ok {
		return &edge.Refusal{Kind: edge.NotFound, Detail: "there is no such reference row"}
	}
	shown := reader{kind: "reference", id: id}.number(value, path)
	body := proofBody{Figure: shown.Number, Label: words(path), Entered: &enteredProof{Record: "reference rows", Href: "/sources", Place: id + "." + path, Low: shown.Low, High: shown.High, Shape: shown.Shape, SD: shown.SD}}
	return c.show("proof", c.page("", "Where "+words(path)+" comes from", &body))
}
