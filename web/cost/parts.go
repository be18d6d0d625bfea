package cost

import (
	"strings"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/web/frame"
)

// partsBody is the list of parts.
type partsBody struct {
	Search frame.Field
	Any    bool // the book holds parts at all
	Rows   []partRow
	Paging frame.Paging
	In     string // what the costs are in
}

// partsShown is how many parts stand on a page.
const partsShown = 40

// partRow is one part of the list.
type partRow struct {
	Measured                           bool // counted in another unit than the piece
	Number, Name, Revision, Kind, Href string
	Need, Cost                         frame.Fig
}

// parts lists the parts whose number, name or kind holds what is searched for.
func parts(c *frame.Call) error {
	search := strings.TrimSpace(c.R.Form.Get("search"))
	body := partsBody{
		Search: frame.Field{Name: "search", Label: "Number, name or kind", Value: search, Kind: "search"},
		Any:    len(c.Book.Parts) > 0, In: string(c.Book.Currency),
	}
	p := c.Page("parts", "Parts", &body)
	sheet, link, err := c.Whole()
	if err != nil {
		return err
	}
	var found []bom.Part
	for _, part := range c.Book.Parts {
		if matches(part, search) {
			found = append(found, part)
		}
	}
	found, body.Paging = frame.Paged(c, found, partsShown)
	priced := false
	for _, part := range found {
		row := partLine(part, sheet, link, c.View)
		body.Rows = append(body.Rows, row)
		priced = priced || row.Need.Mark()
	}
	if priced {
		p.Batch = c.BatchLine(c.View.Lines)
	}
	return c.Show("parts", p)
}

func matches(p bom.Part, search string) bool {
	text := strings.ToLower(string(p.Number) + " " + p.Name + " " + string(p.Kind))
	for word := range strings.FieldsSeq(strings.ToLower(search)) {
		if !strings.Contains(text, word) {
			return false
		}
	}
	return true
}

func partLine(p bom.Part, sheet *answer.Sheet, link frame.Linker, v frame.View) partRow {
	row := partRow{Number: string(p.Number), Name: p.Name, Revision: p.Revision, Kind: string(p.Kind), Href: "/parts/" + string(p.Number) + "?day=" + string(v.Day), Measured: !p.ByPiece()}
	key := "part/" + string(p.Number) + "/"
	row.Need = link.Plain(sheet.Figure(key + "need"))
	row.Cost = link.Money(sheet.Figure(key + "each/production"))
	return row
}
