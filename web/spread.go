package web

import (
	"context"
	"errors"
	"net/http"
	"net/url"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/api/edge"
	"kerfbook/api/service"
)

// spreadBody shows how sure the figures of a batch are.
type spreadBody struct {
	Form      *spreadForm
	Pages     []link // the other pages about the cost
	Fault     string
	Cancelled bool
	Shown     *spreadShown
}

// progressBody shows how far a run has got.
type progressBody struct {
	Pages   []link
	Percent int
	Known   bool // how much there is to do
	Run     string
	Back    string // query of the page that asked
	Again   string // address of it
}

// spread draws the figures of a selection, or shows how far the draws have got.
func spread(c *call) error { return spreadPage(c, false) }

// spreadCancelled shows the form of a run that was ended.
func spreadCancelled(c *call) error { return spreadPage(c, true) }

func spreadPage(c *call, cancelled bool) error {
	found := c.faults
	sel, ask, fault, err := askSpread(c, &found)
	if err != nil {
		return err
	}
	ask.form.View, ask.form.Day = hiddenView(c), dayField(c)
	body := &spreadBody{Form: &ask.form, Pages: costPages(c, sel, "spread"), Fault: fault, Cancelled: cancelled}
	p := c.page("spread", "How sure", body)
	p.Query = c.view.Query()
	if !cancelled && fault == "" && found.empty() && len(sel.lines) > 0 {
		p.Batch = c.batchLine(sel.lines)
		done, err := draw(c, ask, body, p)
		if err != nil || done {
			return err
		}
	}
	p.Problems = found
	return c.show("spread", p)
}

// askSpread reads the form of a spread. A selection that cannot be estimated is
// said to be so.
func askSpread(c *call, found *problems) (sel selection, ask *spreadAsk, fault string, err error) {
	sel = pickerOf(c).read("", found)
	known, fault, err := spreadChoices(c, sel)
	if err != nil {
		return sel, nil, "", err
	}
	return sel, readSpread(c.r.Form, sel, c.view.Day, known, found), fault, nil
}

// spreadChoices lists what can be asked about a selection; one that cannot be
// estimated is said to be so.
func spreadChoices(c *call, sel selection) (known study.SpreadChoices, fault string, err error) {
	if !c.faults.empty() || len(sel.lines) == 0 {
		return known, "", nil
	}
	known, err = c.site.svc.SpreadChoices(c.r.Context(), change.Batch{Mix: sel.lines, Day: c.view.Day})
	if answer.CodeOf(err) == answer.Invalid {
		return known, "The batch cannot be priced: " + onceEach(err) + ".", nil
	}
	return known, "", err
}

// draw waits for the draws for as long as a page may take. done tells that a page
// was sent: how far the draws have got. What is wrong with the request becomes a
// problem of the form.
func draw(c *call, ask *spreadAsk, body *spreadBody, p page) (done bool, err error) {
	run, err := c.site.svc.Spread(c.r.Context(), ask.req)
	if err != nil {
		return false, ask.refused(err)
	}
	c.release() // draws wait for places of their own
	waiting, stop := context.WithTimeout(c.r.Context(), c.site.patience)
	defer stop()
	result, ok, err := run.Wait(waiting)
	switch {
	case errors.Is(err, context.Canceled) && c.r.Context().Err() == nil:
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
	if answer.CodeOf(err) != answer.Invalid {
		return err
	}
	a.refuse(err)
	return nil
}

// showProgress sends a page that asks again by itself, without scripts.
func showProgress(c *call, at service.Progress, asked *spreadBody, p page) error {
	query := c.r.URL.RawQuery
	body := progressBody{Pages: asked.Pages, Run: at.Run, Back: query, Again: "/spread?" + query}
	if at.Total > 0 {
		body.Known, body.Percent = true, min(99, 100*at.Done/at.Total)
	}
	p.Title, p.Body = "Drawing", &body
	c.w.Header().Set("Refresh", "1")
	return c.show("progress", p)
}

// cancelSpread ends a run, and leads back to the form that began it.
func cancelSpread(c *call) error {
	if err := c.site.svc.CancelSpread(c.r.Context(), c.form("run")); err != nil && answer.CodeOf(err) != answer.NotFound {
		return err
	}
	back, err := url.ParseQuery(c.form("back"))
	if err != nil {
		return &edge.Refusal{Kind: edge.BadRequest, Detail: "what was sent is no form that can be read"}
	}
	http.Redirect(c.w, c.r, "/spread/cancelled?"+back.Encode(), http.StatusSeeOther)
	return nil
}
