package cost

import (
	"net/url"
	"slices"
	"strconv"

	"kerfbook/api/answer"
	"kerfbook/api/service"
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

// scenarioRow is a figure of today and of each scenario; a title where it has none.
type scenarioRow struct {
	Label string
	Today frame.Fig
	Then  []scenarioCell
	Plain string // today, where it is no figure of the batch
}

// scenarioCell is a figure of a scenario, with what it differs by.
type scenarioCell struct {
	Figure    frame.Fig
	Plain, By string
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
	if len(chosen) == 0 {
		for _, s := range all[:min(len(all), mostCompared)] {
			chosen = append(chosen, s.Name)
		}
	}
	body := &scenariosBody{}
	for i, s := range all {
		line := scenarioLine{Scenario: s, Href: "/change?scenario=" + url.QueryEscape(s.Name), Kept: c.Style.ShowDay(c.Book.TimeZone.Day(s.KeptAt)), Chosen: slices.Contains(chosen, s.Name),
			Rename: frame.Field{Name: "rename." + strconv.Itoa(i), Label: "New name", Value: s.Name}}
		if line.Chosen && len(body.Heads) == 0 && !c.R.Form.Has("mix") {
			if lines, err := answer.ParseMix(c.Book, s.Batch); err == nil {
				c.View.Lines, c.View.Together = lines, s.As == "one"
			}
		}
		if line.Chosen {
			body.Heads = append(body.Heads, s.Name)
		}
		body.List = append(body.List, line)
	}
	body.View = hidden(c.View)
	p := c.Page("what-if", "Scenarios", body)
	p.Problems = found
	if len(body.Heads) > 0 && c.Faults.Empty() {
		p.Batch = c.BatchLine(c.View.Mixes()...)
		for _, mix := range c.View.Mixes() {
			if err := body.compare(c, frame.View{Lines: mix, Day: c.View.Day}); err != nil {
				return err
			}
		}
	}
	return c.Show("scenarios", p)
}

// compare puts the figures of one batch side by side.
func (b *scenariosBody) compare(c *frame.Call, v frame.View) error {
	found, err := c.Site.Service.CompareScenarios(c.R.Context(), v.Lines, v.Day, b.Heads)
	if answer.CodeOf(err) == answer.Invalid || answer.CodeOf(err) == answer.Incomplete {
		b.Fault = "A batch cannot be priced: " + frame.OnceEach(err) + "."
		return nil
	}
	if err != nil {
		return err
	}
	link := frame.Prover(v)
	for _, t := range found.Trims {
		for _, f := range t.Figures {
			write := writing(f.Today.Unit)
			row := scenarioRow{Label: t.Name + ", " + f.Label, Today: write(link, f.Today)}
			for i, then := range f.Then {
				row.Then = append(row.Then, scenarioCell{Figure: write(link.ChangedBy(found.Scenarios[i].Changes()...), then), By: signed(write(frame.Linker{}, f.Differences[i]))})
			}
			b.Rows = append(b.Rows, row)
		}
	}
	if m := found.Minutes; m.Today.Key != "" {
		write := writing(m.Today.Unit)
		name := frame.LineWords(c.Book, v.Lines[0])
		if len(v.Lines) > 1 {
			name = "the batch"
		}
		row := scenarioRow{Label: name + ", " + m.Label + " a piece", Plain: write(frame.Linker{}, m.Today).Text}
		for i, then := range m.Then {
			row.Then = append(row.Then, scenarioCell{Plain: write(frame.Linker{}, then).Text, By: signed(write(frame.Linker{}, m.Differences[i]))})
		}
		b.Rows = append(b.Rows, row)
	}
	for i := range b.List {
		for _, s := range found.Scenarios {
			if line := &b.List[i]; s.Name == line.Name && line.Lapsed == nil {
				line.Lapsed = lapsedLines(c, s.Lapsed)
			}
		}
	}
	return nil
}

// changeScenario gives a scenario another name, or removes it.
func changeScenario(c *frame.Call) error {
	name, version := c.Form("name"), answer.Version(c.Form("version"))
	var err error
	done := "forgotten"
	if c.Form("do") == "rename" {
		done = "named"
		_, err = c.Site.Service.KeepScenario(c.R.Context(), c.Actor, service.ScenarioRequest{Name: name, Rename: c.Form("rename"), IfMatch: version})
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
	if req.Name == b.Scenario.Name {
		req.IfMatch = answer.Version(c.Form("scenario-version"))
	}
	_, err := c.Site.Service.KeepScenario(c.R.Context(), c.Actor, req)
	return err
}
