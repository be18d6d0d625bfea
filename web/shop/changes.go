package shop

import (
	"strconv"
	"strings"

	"kerfbook/api/service"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// changesBody is the change log.
type changesBody struct {
	Rows     []changeRow
	Next     string
	Verified bool
	Head     string
	Faults   []string
}

// changeRow is one entry of the log.
type changeRow struct {
	Seq, At, Actor, Action, Object, Href string
}

// changes shows the change log, and checks it when asked to.
func changeLog(c *frame.Call) error {
	before, _ := strconv.ParseInt(c.R.Form.Get("before"), 10, 64) // what is no number asks for the last page
	entries, more, err := c.Site.Service.History(c.R.Context(), max(0, before), c.Site.Edge.Config.PageSize)
	if err != nil {
		return err
	}
	body := changesBody{}
	for _, e := range entries {
		body.Rows = append(body.Rows, changeRow{strconv.FormatInt(e.Seq, 10), frame.Moment(e.At), e.Actor, e.Action, e.Object, objectHref(e.Object)})
	}
	if more {
		body.Next = "/changes?before=" + body.Rows[len(body.Rows)-1].Seq
	}
	if c.R.Form.Get("verify") != "" {
		report, err := c.Site.Service.VerifyLog(c.R.Context())
		if err != nil {
			return err
		}
		body.Verified, body.Head = true, report.Head
		body.Faults = logFaults(report)
	}
	return c.Show("changes", c.Page("changes", "Changes", &body))
}

func logFaults(report service.LogReport) []string {
	var out []string
	for _, f := range report.Faults {
		out = append(out, f.Object+": "+f.Message)
	}
	return out
}

// objectHref is the page of what an entry is about: parts/EMB-010@3 or
// quotes/Q-2026-0001@1.
func objectHref(object string) string {
	kind, rest, ok := strings.Cut(object, "/")
	id, _, _ := strings.Cut(rest, "@")
	if !ok || id == "" {
		return ""
	}
	if kind == "quotes" {
		return "/quotes/" + id
	}
	if _, known := form.KindOf(kind); known {
		return frame.RecordHref(kind, id) + "/revisions"
	}
	return ""
}
