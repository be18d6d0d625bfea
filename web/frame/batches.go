package frame

import (
	"errors"
	"slices"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/costing/estimate"
)

// Batch is one estimate of the view.
type Batch struct {
	Estimate answer.Estimate
	Sheet    *answer.Sheet
	Lines    []estimate.MixLine
	Link     Linker
}

// Batches estimates what the view looks at. A batch that cannot be estimated is
// said to be so; that is no fault of the page.
func (c *Call) Batches() (out []Batch, fault string, err error) {
	for i, mix := range c.View.Mixes() {
		e, _, err := c.Site.Service.Estimate(c.R.Context(), mix, c.View.Day)
		if err == nil {
			var sheet *answer.Sheet
			if sheet, _, err = c.Site.Service.Sheet(c.R.Context(), mix, c.View.Day); err == nil {
				out = append(out, Batch{e, sheet, mix, c.View.prover(i)})
			}
		}
		if answer.CodeOf(err) == answer.Invalid {
			fault = "A batch cannot be priced: " + OnceEach(err) + "."
		} else if err != nil {
			return nil, "", err
		}
	}
	return out, fault, nil
}

// OnceEach puts what is wrong with a batch in words. A fault that says the same as
// the whole is said once.
func OnceEach(err error) string {
	var known *answer.Error
	if !errors.As(err, &known) {
		return err.Error()
	}
	said := []string{known.Message}
	for _, f := range known.Fields {
		if !slices.Contains(said, f.Message) {
			said = append(said, f.Message)
		}
	}
	return strings.Join(said, "; ")
}

// Whole estimates everything the view looks at as one batch, in which parts are
// pooled. Without trims, or where they cannot be priced, the sheet is empty.
func (c *Call) Whole() (*answer.Sheet, Linker, error) {
	link := Prover(c.View)
	if len(c.View.Lines) == 0 || !c.Faults.Empty() {
		return answer.EmptySheet(), link, nil
	}
	sheet, _, err := c.Site.Service.Sheet(c.R.Context(), c.View.Lines, c.View.Day)
	if answer.CodeOf(err) == answer.Invalid {
		return answer.EmptySheet(), link, nil
	}
	return sheet, link, err
}
