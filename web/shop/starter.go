package shop

import (
	"cmp"
	"slices"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/edge"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// startersBody lists what ships with the program and can be taken into the book.
type startersBody struct {
	Kind   form.RecordKind
	Search frame.Field
	Rows   []starterRow
	Paging frame.Paging
	Begin  bool // there is no shop yet to take it in
	// Machines with the hour that they are built up to, in a currency.
	Machines []machineRow
	Currency string
}

// starterRow is a material, a set of tools, a set-up or sizes of stock.
type starterRow struct {
	ID, Name, About string
	Source, Age     string
	Sources         string // address of its rows
	Comes, Kept     int    // records that come in, and that the book has
	Open            []string
	Into            []frame.Option // edit forms of work centres or new stock, filled in with it
}

// machineRow is a machine with what its hour is built up from.
type machineRow struct {
	starterRow
	Cells        []string
	Rate, AtHalf frame.Fig
	Stat         string // place of both in the answer
}

// machines lists those that ship with the program, with their hour.
func machines(c *frame.Call, all []change.Taking) ([]machineRow, error) {
	hours, err := answer.StarterHours(c.Book.Currency)
	if err != nil {
		return nil, err
	}
	var out []machineRow
	for i, h := range hours {
		at := slices.IndexFunc(all, func(s change.Taking) bool { return s.ID == h.Starter })
		s, link := all[at], frame.Linker{}
		r := s.Machines[0].HourRate
		row := machineRow{starterRow: starterRow{ID: string(s.ID), Name: s.Name, About: s.About, Age: frame.Age(c.Site.Service.Today(), s.CheckedOn), Kept: len(s.Kept)},
			Rate: link.Money(h.Rate), AtHalf: link.Money(h.AtHalf), Stat: "/" + frame.Digits(i)}
		for _, n := range []*bom.Number{&r.Replacement, &r.LifeYears, &r.HoursPerYear, r.PowerKW, r.AreaM2} {
			text := c.Style.Text(n.Likely.String())
			if n.IsRange {
				text += " (" + c.Style.Text(n.Low.String()) + " to " + c.Style.Text(n.High.String()) + ")"
			}
			row.Cells = append(row.Cells, text)
		}
		out = append(out, row)
	}
	return out, nil
}

// startersShown is how many stand on a page.
const startersShown = 20

// starters shows the materials or sets of tools that ship with the program.
func starters(c *frame.Call) error { return showStarters(c, nil) }

func showStarters(c *frame.Call, found frame.Problems) error {
	k, err := startersAsked(c)
	if err != nil {
		return err
	}
	all, err := change.Takings(c.Book)
	if err != nil {
		return err
	}
	search := strings.TrimSpace(c.R.Form.Get("search"))
	body := startersBody{Kind: k, Begin: c.Version == "",
		Search: frame.Field{Name: "search", Label: "Name, number or group", Value: search, Kind: "search"}}
	for _, s := range all {
		text := strings.ToLower(string(s.ID) + " " + s.Name + " " + s.About)
		asked := !slices.ContainsFunc(strings.Fields(strings.ToLower(search)), func(word string) bool { return !strings.Contains(text, word) })
		if !asked || k.Kind != s.Kind() || len(s.Machines) > 0 {
			continue
		}
		var into []frame.Option
		for i := range c.Book.WorkCentres {
			if w := &c.Book.WorkCentres[i]; s.Setup != nil && !onlyByHand(c.Book, w.ID) {
				into = append(into, frame.Option{Value: frame.RecordHref(k.Kind, string(w.ID)) + "/edit?take=" + string(s.ID), Label: w.Name})
			}
		}
		for i := range s.Stocks {
			id := string(s.Stocks[i].ID)
			into = append(into, frame.Option{Value: "/book/stocks/new?take=" + string(s.ID) + "&size=" + id, Label: strings.TrimPrefix(id, string(s.ID)+"-")})
		}
		body.Rows = append(body.Rows, starterRow{Into: into, ID: string(s.ID), Name: s.Name, About: s.About, Source: s.Source, Sources: "/sources?about=" + string(s.ID),
			Age:   frame.Age(c.Site.Service.Today(), s.CheckedOn),
			Comes: len(s.Drafts), Kept: len(s.Kept), Open: s.Open})
	}
	body.Rows, body.Paging = frame.Paged(c, body.Rows, startersShown)
	title := k.Name
	if k.Kind == "work_centres" {
		title, body.Currency = "Machines and set-ups", string(c.Book.Currency)
		if body.Machines, err = machines(c, all); err != nil {
			return err
		}
	}
	p := c.Page("book", title+" to begin with", &body)
	p.Problems = found
	return c.Show("starters", p)
}

// onlyByHand reports a work centre of which the book has operations, and none that
// machines.
func onlyByHand(b *book.Book, id bom.ID) bool {
	used, machines := false, false
	note := func(routing []bom.Operation) {
		for i := range routing {
			here := routing[i].WorkCentre == id
			used, machines = used || here, machines || here && routing[i].Kind == bom.Machining
		}
	}
	for i := range b.Parts {
		note(b.Parts[i].Routing)
	}
	for i := range b.Products {
		note(b.Products[i].Routing)
	}
	return used && !machines
}

// startersAsked gives the kind of record, of those that there is something of to
// begin with.
func startersAsked(c *frame.Call) (form.RecordKind, error) {
	k, err := kindAsked(c)
	if err == nil && k.Kind != "materials" && k.Kind != "tools" && k.Kind != "work_centres" && k.Kind != "stocks" {
		err = &edge.Refusal{Kind: edge.NotFound, Detail: "nothing of this kind ships with the program"}
	}
	return k, err
}

// takeStarter takes one of them into the book.
func takeStarter(c *frame.Call) error {
	k, err := startersAsked(c)
	if err != nil {
		return err
	}
	var drafts []change.Draft
	for _, name := range c.R.PostForm["name"] {
		taken, err := change.Take(c.Book, bom.ID(name))
		if err != nil {
			return err
		}
		for _, d := range taken.Drafts { // two sets may have a tool in common
			if !slices.ContainsFunc(drafts, func(o change.Draft) bool { return o.ID == d.ID }) {
				drafts = append(drafts, d)
			}
		}
	}
	if len(drafts) == 0 {
		return c.LeadTo("/book/"+k.Kind, "")
	}
	done, err := c.Site.Service.Save(c.R.Context(), c.Actor, drafts)
	switch code := answer.CodeOf(err); {
	case code == answer.Invalid || code == answer.Conflict || code == answer.NotFound: // or there is no shop yet
		return showStarters(c, frame.FaultsOf(err, "search", ""))
	case err != nil:
		return err
	case len(done.Records) == 1:
		return c.LeadTo(frame.RecordHref(k.Kind, done.Records[0].ID), "taken")
	}
	return c.LeadTo("/book/"+k.Kind, "taken")
}

// confirmTaken keeps that somebody has looked at records that came with the program.
func confirmTaken(c *frame.Call) error {
	k, err := kindAsked(c)
	if err != nil {
		return err
	}
	kind, _ := record.KindOf(k.Kind)
	var drafts []change.Draft
	for _, id := range c.R.PostForm["name"] {
		stored, err := c.Site.Service.Record(c.R.Context(), k.Kind, id, 0)
		if err != nil {
			return err
		}
		d, err := change.Confirm(kind, stored.ID, stored.Text, stored.Version, cmp.Or(c.Actor.Name, "the shop"), c.Site.Service.Today())
		if err != nil {
			return err
		}
		drafts = append(drafts, d)
	}
	if len(drafts) == 0 {
		return c.LeadTo("/book/"+k.Kind, "")
	}
	if _, err := c.Site.Service.Save(c.R.Context(), c.Actor, drafts); err != nil {
		return err
	}
	if len(drafts) == 1 {
		return c.LeadTo(frame.RecordHref(k.Kind, drafts[0].ID), "saved")
	}
	return c.LeadTo("/book/"+k.Kind, "saved")
}
