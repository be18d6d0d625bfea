package web

import (
	"errors"
	"slices"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/costing/estimate"
)

// batch is one estimate of the view.
type batch struct {
	estimate answer.Estimate
	sheet    *answer.Sheet
	lines    []estimate.MixLine
	link     linker
}

// batches estimates what the view looks at. A batch that cannot be estimated is
// said to be so; that is no fault of the page.
func (c *call) batches() (out []batch, fault string, err error) {
	for i, mix := range c.view.mixes() {
		e, _, err := c.site.svc.Estimate(c.r.Context(), mix, c.view.Day)
		if err == nil {
			var sheet *answer.Sheet
			if sheet, _, err = c.site.svc.Sheet(c.r.Context(), mix, c.view.Day); err == nil {
				out = append(out, batch{e, sheet, mix, c.view.prover(i)})
			}
		}
		if answer.CodeOf(err) == answer.Invalid {
			fault = "A batch cannot be priced: " + onceEach(err) + "."
		} else if err != nil {
			return nil, "", err
		}
	}
	return out, fault, nil
}

// onceEach puts what is wrong with a batch in words. A fault that says the same as
// the whole is said once.
func onceEach(err error) string {
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

// whole estimates everything the view looks at as one batch, in which parts are
// pooled. Without trims, or where they cannot be priced, the sheet is empty.
func (c *call) whole() (*answer.Sheet, linker, error) {
	link := prover(c.view)
	if len(c.view.Lines) == 0 || !c.faults.empty() {
		return answer.EmptySheet(), link, nil
	}
	sheet, _, err := c.site.svc.Sheet(c.r.Context(), c.view.Lines, c.view.Day)
	if answer.CodeOf(err) == answer.Invalid {
		return answer.EmptySheet(), link, nil
	}
	return sheet, link, err
}
