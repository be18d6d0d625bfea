package whatif

import (
	"net/url"
	"slices"
	"strconv"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/service"
	"kerfbook/costing/estimate"
	"kerfbook/web/frame"
)

// scenariosBody lists the scenarios that are kept and holds some against the book.
type scenariosBody struct {
	View  []frame.Link
	List  []scenarioLine
	Heads []string // of the scenarios compared
	Rows  []scenarioRow
	Fault string
}

// scenarioLine is a scenario that is kept.
type scenarioLine struct {
	service.Scenario
	Href, Kept string
	Chosen     bool
	Lapsed     []lapsedLine
	Rename     frame.Field
}

// scenarioRow is a figure of today and of each scenario, with what that differs by.
type scenarioRow struct {
	Label string
	Today frame.Fig
	Then  []frame.Fig
	By    []string
}

// mostCompared is how many scenarios stand side by side where none are chosen.
const mostCompared = 4

// scenarios lists what is kept and compares those chosen, or the first few.
func scenarios(c *frame.Call) error { return showScenarios(c, nil) }

func showScenarios(c *frame.Call, found frame.Problems) error {
	all, err := c.Site.Service.Scenarios(c.R.Context())
	if err != nil {
		return err
	}
	chosen := c.R.Form["with"]
	for _, s := range all[:min(len(all), mostCompared)] {
		if !c.R.Form.Has("with") {
			chosen = append(chosen, s.Name)
		}
	}
	body := &scenariosBody{}
	for i, s := range all {
		line := scenarioLine{Scenario: s, Href: "/change?scenario=" + url.QueryEscape(s.Name), Kept: c.Style.ShowDay(c.Book.TimeZone.Day(s.KeptAt)), Chosen: slices.Contains(chosen, s.Name),
			Rename: frame.Field{Name: "rename." + strconv.Itoa(i), Label: "New name", Value: s.Name}}
		if line.Chosen {
			if len(body.Heads) == 0 {
				lookAt(c, s)
			}
			body.Heads = append(body.Heads, s.Name)
		}
		body.List = append(body.List, line)
	}
	body.View = c.ChangeFields()
	p := c.Page("what-if", "Scenarios", body)
	p.Problems = found
	if len(body.Heads) > 0 && c.Faults.Empty() {
		p.Batch = c.BatchLine(c.View.Mixes()...)
		for _, mix := range c.View.Mixes() {
			err := body.compare(c, mix)
			if frame.Refused(err) {
				body.Fault = "A batch cannot be priced: " + frame.OnceEach(err) + "."
			} else if err != nil {
				return err
			}
		}
	}
	return c.Show("scenarios", p)
}

// lookAt takes the batch that a scenario was thought of for, where the address names none.
func lookAt(c *frame.Call, s service.Scenario) {
	if lines, err := answer.ParseMix(c.Book, s.Batch); err == nil && !c.R.Form.Has("mix") {
		c.View.Lines, c.View.Together = lines, s.As == "one"
	}
}

// compare puts full cost, prices, margins and minutes of one batch side by side.
func (b *scenariosBody) compare(c *frame.Call, mix []estimate.MixLine) error {
	link := frame.Prover(frame.View{Lines: mix, Day: c.View.Day})
	first := len(b.Rows)
	for i := range b.List {
		line := &b.List[i]
		if !line.Chosen {
			continue
		}
		what, err := c.Site.Service.WhatIfOf(c.R.Context(), mix, c.View.Day, line.Changes)
		if err != nil {
			return err
		}
		if line.Lapsed == nil {
			line.Lapsed = lapsedLines(c, what.Lapsed)
		}
		at, after := first, link.ChangedBy(madeIn(what)...)
		for _, m := range what.Moves {
			for _, label := range compared(m, what.Before) {
				f := m.Find(label)
				if at == len(b.Rows) {
					b.Rows = append(b.Rows, scenarioRow{Label: m.Name + ", " + label, Today: shown(link, f.Before)})
				}
				b.Rows[at].Then, b.Rows[at].By = append(b.Rows[at].Then, shown(after, f.After)), append(b.Rows[at].By, frame.Signed(shown(link, f.Difference)))
				at++
			}
		}
	}
	return nil
}

// compared are the labels of the figures of a trim that scenarios are compared by.
func compared(m change.Moves, e answer.Estimate) (out []string) {
	for _, v := range e.Variants {
		if v.Trim != m.Trim {
			continue
		}
		out = append(out, "full cost")
		for _, ch := range v.Channels {
			out = append(out, "price asked, "+string(ch.Channel), "margin, "+string(ch.Channel))
		}
		if m.Find(change.MinutesLabel).Before.Key != "" {
			out = append(out, change.MinutesLabel)
		}
	}
	return out
}

// madeIn are the changes that a what-if made.
func madeIn(w change.WhatIf) (out []change.Change) {
	for _, ch := range w.Changes {
		out = append(out, change.Change{Key: ch.Before.Key, Value: ch.After.Value})
	}
	return out
}

// changeScenario gives a scenario another name, or removes it.
func changeScenario(c *frame.Call) error {
	name, version := c.Form("name"), answer.Version(c.Form("version"))
	var err error
	done := "forgotten"
	if to, renames := strings.CutPrefix(c.Form("do"), "rename."); renames {
		done = "named"
		_, err = c.Site.Service.RenameScenario(c.R.Context(), c.Actor, name, c.Form("rename."+to), version)
	} else {
		err = c.Site.Service.RemoveScenario(c.R.Context(), c.Actor, name, version)
	}
	switch answer.CodeOf(err) {
	case answer.Invalid, answer.Exists, answer.Conflict, answer.NotFound:
		return showScenarios(c, frame.FaultsOf(err, "", ""))
	}
	if err != nil {
		return err
	}
	return c.LeadTo("/scenarios", done)
}

// keepScenario keeps the changes of the form under a name.
func keepScenario(c *frame.Call, b *changeBody) error {
	req := service.ScenarioRequest{Name: c.Form("name"), Batch: frame.MixText(c.View.Lines), Day: c.View.Day, Changes: b.changes()}
	if c.View.Together {
		req.As = "one"
	}
	version := answer.Version("")
	if req.Name == b.Scenario.Name {
		version = answer.Version(c.Form("scenario-version"))
	}
	_, err := c.Site.Service.KeepScenario(c.R.Context(), c.Actor, req, version)
	return err
}
