package cost

import (
	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/web/frame"
)

// startBody says what waits, and what each trim costs, asks and earns.
type startBody struct {
	batchForm
	PerPiece   string // what every amount is in
	Empty      bool   // nothing is in the book
	Fault      string // why a batch cannot be estimated
	Trims      bool
	Findings   []frame.FindingLine
	Guessed    []frame.Link // the bands of parts that rest on a first guess
	NotCounted *frame.NotCounted
	Waiting    []waitingLine
	Changed    []changedLine
	Since      string // how many since the person last looked
	Sizes      *sizeTable
}

// batchForm asks which trims are looked at, in which batches.
type batchForm struct {
	Action     string
	Quantities []frame.Field
	Together   bool
	Day        frame.Field
}

func batchFormOf(c *frame.Call, action string) batchForm {
	return batchForm{Action: action, Quantities: quantityFields(c), Together: c.View.Together,
		Day: frame.Field{Name: "day", Label: "Rates and rules of the day", Value: c.Typed("day", c.Style.ShowDay(c.View.Day)), Error: c.Faults.Of("day")}}
}

func quantityFields(c *frame.Call) []frame.Field {
	at := map[bom.ID]string{}
	for _, l := range c.View.Lines {
		at[l.Trim] = l.Quantity.Likely.String()
	}
	var out []frame.Field
	for _, p := range c.Book.Products {
		for _, t := range p.Trims {
			name := frame.QuantityField(t.ID)
			out = append(out, frame.Field{Name: name, Label: c.Book.TrimName(&p, &t), Suffix: "piece", Mode: "numeric",
				Value: c.Typed(name, at[t.ID]), Error: c.Faults.Of(name)})
		}
	}
	return out
}

// start says what waits for somebody, and prices the trims of the view in a few sizes.
func start(c *frame.Call) error {
	body := startBody{batchForm: batchFormOf(c, "/"), Empty: c.Version == "", PerPiece: "in " + string(c.Book.Currency)}
	p := c.Page("start", "Today", &body)
	p.Problems = c.Faults
	if !c.Faults.Empty() {
		return c.Show("start", p)
	}
	batches, fault, err := c.Batches()
	if err != nil {
		return err
	}
	body.Fault = fault
	var omitted []answer.NotCounted
	for _, x := range batches {
		body.Trims = body.Trims || len(x.Estimate.Variants) > 0
		omitted = append(omitted, x.Estimate.NotCounted...)
	}
	body.NotCounted, body.Findings = frame.NotCountedOf(omitted), findingsOf(c.Book, batches)
	body.Guessed = guessed(c.Book, batches)
	if body.Trims && fault == "" {
		if body.Waiting, err = waiting(c, &body, batches); err != nil {
			return err
		}
		if body.Changed, body.Since, err = changed(c); err != nil {
			return err
		}
		if body.Sizes, err = sizes(c); err != nil {
			return err
		}
	}
	if body.Trims {
		p.Batch = c.BatchLine(c.View.Mixes()...)
		p.Cautions = answer.Cautions()
	}
	return c.Show("start", p)
}
