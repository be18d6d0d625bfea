package study

import (
	"context"
	"errors"
	"net/http"
	"net/url"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/api/edge"
	"kerfbook/api/service/runs"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// spreadBody shows how sure the figures of a batch are.
type spreadBody struct {
	Form      *spreadForm
	Pages     []frame.Link // the other pages about the cost
	Fault     string
	Cancelled bool
	Shown     *spreadView
}

// progressBody shows how far a run has got.
type progressBody struct {
	Pages   []frame.Link
	Percent int
	Known   bool // how much there is to do
	Run     string
	Back    string // query of the page that asked
	Again   string // address of it
}

// spread draws the figures of a selection, or shows how far the draws have got.
func spread(c *frame.Call) error { return spreadPage(c, false) }

// spreadCancelled shows the form of a run that was ended.
func spreadCancelled(c *frame.Call) error { return spreadPage(c, true) }

func spreadPage(c *frame.Call, cancelled bool) error {
	found := c.Faults
	sel, ask, fault, err := AskSpread(c, &found)
	if err != nil {
		return err
	}
	ask.form.View, ask.form.Day = hiddenView(c), dayField(c)
	body := &spreadBody{Form: &ask.form, Pages: form.CostPages(c, sel, "spread"), Fault: fault, Cancelled: cancelled}
	p := c.Page("trims", "How sure", body)
	p.Query = c.View.Query()
	if !cancelled && fault == "" && found.Empty() && len(sel.Lines) > 0 {
		p.Batch = c.BatchLine(sel.Lines)
		done, err := draw(c, ask, body, p)
		if err != nil || done {
			return err
		}
	}
	p.Problems = found
	return c.Show("spread", p)
}

// AskSpread reads the form of a spread. A selection that cannot be estimated is
// said to be so.
func AskSpread(c *frame.Call, found *frame.Problems) (sel form.Selection, ask *spreadAsk, fault string, err error) {
	sel = form.PickerOf(c).Read("", found)
	known, fault, err := spreadChoices(c, sel)
	if err != nil {
		return sel, nil, "", err
	}
	return sel, readSpread(c.R.Form, c.Style, sel, c.View.Day, known, found), fault, nil
}

// spreadChoices lists what can be asked about a selection; one that cannot be
// estimated is said to be so.
func spreadChoices(c *frame.Call, sel form.Selection) (known study.SpreadChoices, fault string, err error) {
	if !c.Faults.Empty() || len(sel.Lines) == 0 {
		return known, "", nil
	}
	known, err = c.Site.Service.SpreadChoices(c.R.Context(), change.Batch{Mix: sel.Lines, Day: c.View.Day})
	if frame.Refused(err) {
		return known, "The batch cannot be priced: " + frame.OnceEach(err) + ".", nil
	}
	return known, "", err
}

// draw waits for the draws for as long as a page may take. done tells that a page
// was sent: how far the draws have got. What is wrong with the request becomes a
// problem of the form.
func draw(c *frame.Call, ask *spreadAsk, body *spreadBody, p frame.Page) (done bool, err error) {
	run, err := c.Site.Service.Spread(c.R.Context(), ask.Req)
	if err != nil {
		return false, ask.refused(err)
	}
	c.Release() // draws wait for places of their own
	waiting, stop := context.WithTimeout(c.R.Context(), c.Site.Patience)
	defer stop()
	result, ok, err := run.Wait(waiting)
	switch {
	case errors.Is(err, context.Canceled) && c.R.Context().Err() == nil:
		body.Cancelled = true // by somebody else who looks at it
		return false, nil
	case err != nil:
		return false, ask.refused(err)
	case !ok:
		return true, showProgress(c, run.Progress(), body, p)
	}
	body.Shown, err = showSpread(c, result, ask)
	return false, err
}

// refused takes what is wrong with a request into the form, and gives back any
// other error.
func (a *spreadAsk) refused(err error) error {
	if !frame.Refused(err) {
		return err
	}
	a.refuse(err)
	return nil
}

// showProgress sends a page that asks again by itself, without scripts.
func showProgress(c *frame.Call, at runs.Progress, asked *spreadBody, p frame.Page) error {
	query := c.R.URL.RawQuery
	body := progressBody{Pages: asked.Pages, Run: at.Run, Back: query, Again: "/spread?" + query}
	if at.Total > 0 {
		body.Known, body.Percent = true, min(99, 100*at.Done/at.Total)
	}
	p.Title, p.Body = "Drawing", &body
	c.W.Header().Set("Refresh", "1")
	return c.Show("progress", p)
}

// cancelSpread ends a run, and leads back to the form that began it.
func cancelSpread(c *frame.Call) error {
	if err := c.Site.Service.CancelSpread(c.R.Context(), c.Form("run")); err != nil && answer.CodeOf(err) != answer.NotFound {
		return err
	}
	back, err := url.ParseQuery(c.Form("back"))
	if err != nil {
		return &edge.Refusal{Kind: edge.BadRequest, Detail: "what was sent is no form that can be read"}
	}
	http.Redirect(c.W, c.R, "/spread/cancelled?"+back.Encode(), http.StatusSeeOther)
	return nil
}
