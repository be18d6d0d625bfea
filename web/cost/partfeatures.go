package cost

import (
	"reflect"
	"strconv"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/text"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// minutesBlock is why the features of a part take the minutes they do.
type minutesBlock struct {
	CSVHref string
	Tables  []featureTable
}

// featureTable is what an operation cuts.
type featureTable struct {
	ID, Title  string
	Rows       []featureRow
	Dimensions form.ContentTable
}

// featureRow is one feature as the tool chosen cuts it.
type featureRow struct {
	Name, Kind                 string
	Line                       frame.Fig // mm, of an engraving
	AnyLine                    bool      // no width is entered for it
	Tool, ToolHref             string
	Each                       frame.Fig // min by metre, dm², character or piece, of what is done by hand
	EachUnit                   string
	Spindle, Speed, Feed, Path frame.Fig
	Passes                     []passCount
	AtCut, AtMotor             frame.Fig // kW
	Minutes, Moves, Cost       frame.Fig
	Limits                     []limitLink
	Others                     []otherTool
	More                       string // further tools; empty for none
}

// limitLink names what holds a feature back, and leads to the check that says so.
type limitLink struct{ Words, Href string }

// passCount is passes counted in one way, such as in depth.
type passCount struct {
	Count frame.Fig
	Words string
}

// otherTool is a tool that would cut the feature at another cost.
type otherTool struct {
	Name string
	Cost frame.Fig
}

// minutesOf lays out the operations of a part that are described by features; nil
// where there are none.
func minutesOf(b *book.Book, def *bom.Part, r form.Reader, sheet *answer.Sheet, link frame.Linker, v frame.View) *minutesBlock {
	rows := answer.MinutesOf(b, def, sheet).Features
	if len(rows) == 0 {
		return nil
	}
	out := &minutesBlock{CSVHref: "/parts/" + string(def.Number) + "/minutes.csv"}
	if len(v.Lines) > 0 {
		out.CSVHref += "?" + v.Query()
	}
	for i := range def.Routing {
		op := &def.Routing[i]
		if len(op.Features) == 0 {
			continue
		}
		number := strconv.Itoa(op.Number)
		t := featureTable{ID: "features-" + number, Title: "Operation " + number + ", " + op.Name}
		for _, f := range rows[:len(op.Features)] {
			t.Rows = append(t.Rows, featureRowOf(f, link))
		}
		rows = rows[len(op.Features):]
		t.Dimensions = r.Table("Dimensions entered for operation "+number, reflect.ValueOf(op.Features), text.Field(text.Index("routing", i), "features"))
		out.Tables = append(out.Tables, t)
	}
	return out
}

func featureRowOf(f answer.FeatureMinutes, link frame.Linker) featureRow {
	row := featureRow{Name: f.Name, Kind: f.Kind, Line: link.Places(f.Line, 3), AnyLine: f.AnyLine,
		Minutes: link.Places(f.Cutting, 3), Moves: link.Places(f.Moves, 3), Cost: link.Money(f.Cost),
		Each: link.Places(f.Each, 3), EachUnit: f.EachUnit,
		Spindle: link.Places(f.Spindle, 0), Speed: link.Places(f.Speed, 1), Feed: link.Places(f.Feed, 2), Path: link.Places(f.Path, 1),
		AtCut: link.Places(f.AtCut, 2), AtMotor: link.Places(f.AtMotor, 2)}
	if f.Tool != "" {
		row.Tool, row.ToolHref = f.ToolName, frame.RecordHref("tools", f.Tool)
	}
	for _, p := range f.Passes {
		row.Passes = append(row.Passes, passCount{link.Plain(p.Count), p.Words})
	}
	for _, l := range f.Limits {
		row.Limits = append(row.Limits, limitLink{l.Words, link.Href(l.Key)})
	}
	for _, o := range f.Others {
		row.Others = append(row.Others, otherTool{o.Name, link.Money(o.Cost)})
	}
	if f.More > 0 {
		row.More = strconv.Itoa(f.More)
	}
	return row
}

// minutesCSV sends why the features of a part take the minutes they do, as a table
// that a spreadsheet opens safely.
func minutesCSV(c *frame.Call) error {
	number := chi.URLParam(c.R, "number")
	def, _ := c.Book.Part(bom.ID(number))
	if def == nil {
		return &edge.Refusal{Kind: edge.NotFound, Detail: "the book has no part with this number"}
	}
	sheet, _, err := c.Whole()
	if err != nil {
		return err
	}
	profile, err := c.CSVProfile()
	if err != nil {
		return err
	}
	data, err := answer.MinutesOf(c.Book, def, sheet).CSV(profile)
	if err != nil {
		return err
	}
	return c.Download(data, number+" minutes.csv", frame.CSVType)
}
