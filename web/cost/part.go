package cost

import (
	"net/url"
	"reflect"
	"slices"
	"strconv"

	"github.com/go-chi/chi/v5"
	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
	"kerfbook/costing/estimate"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
	"kerfbook/web/chart"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// partBody is one part.
type partBody struct {
	Number, Name, Revision, Kind string
	Need, Left, Cost             frame.Fig // Left is what the order of a bought part leaves over
	One                          string    // of what it is counted in: a piece, 1 m
	Used                         bool      // by the batch that is looked at
	Alone                        *aloneBlock
	Guessed                      bool   // a first guess stands in for what is not entered
	AloneHref                    string // of the page of the part by itself
	Safety                       []string
	Chart                        *chart.Waterfall
	Costs                        []frame.FigureRow
	In                           string
	Stock                        *stockBlock
	Open                         string // the fold that was asked for
	Operations                   []operationRow
	CostColumns                  []estimate.OperationColumn
	Work                         *workBlock
	Minutes                      *minutesBlock
	Finishes                     []finishBlock
	CallOuts                     *callOutBlock
	Try                          []frame.Link  // hidden fields of the form that looks for what to change
	CSVHref                      string        // of operations and features; empty where a part has none
	CSV                          []frame.Field // how it is wanted
	Children                     []childRow
	Special                      *form.Content
	Offers                       []form.Content
	WhereUsed                    []useLine
	NotCounted                   *frame.NotCounted
	EditHref, RevisionsHref      string
	ModelHref                    string // of a part that is made from stock
}

// stockBlock is what a part is cut from.
type stockBlock struct {
	Name, Href          string
	Blank               form.Content
	Layout              []frame.FigureRow // what a piece of stock yields and the batch takes
	Picture             *layoutBlock
	Form                string
	Begun, Gives, Takes frame.Fig // why so much of it: pieces begun, from one, needed
}

// operationRow is one operation with its times and costs in the batch.
type operationRow struct {
	Number                         form.Entry
	Name, Kind, Centre, CentreHref string
	Setup, Piece, UnitsIn, Yield   frame.Fig
	Occupied, Attended             frame.Fig
	Costs                          []frame.Fig // by partBody.CostColumns
	Each                           pieceRow
}

// childRow is a part used in this one.
type childRow struct {
	Number, Name, Href  string
	Quantity, Operation form.Entry
	Scrap               form.Entry
}

// useLine is where a part is used.
type useLine struct {
	Label, Href string
	Quantity    form.Entry
}

// part shows one part.
func part(c *frame.Call) error {
	number := chi.URLParam(c.R, "number")
	e, ok := record.Find(c.Book, "parts", number)
	if !ok {
		return &edge.Refusal{Kind: edge.NotFound, Detail: "the book has no part with this number"}
	}
	def := e.Value.Interface().(bom.Part)
	found := c.Faults
	var alone *aloneBlock
	if !c.R.Form.Has("mix") || c.View.Alone() && c.View.Lines[0].Part == def.Number {
		var quantities []decimal.Decimal
		if alone, quantities = askAlone(c, def.Number, &found); !alone.Wrong {
			if err := alone.fill(c, quantities); err != nil {
				return err
			}
		}
	}
	sheet, link, err := c.Whole()
	if err != nil {
		return err
	}
	body := partShown(c.Book, def, e, sheet, link, c.View)
	body.CSV = c.CSVFields()
	body.Open = c.R.Form.Get("open")
	body.Alone, body.AloneHref = alone, "/parts/"+number
	if alone != nil {
		body.EditHref += "?pieces=" + url.QueryEscape(alone.Pieces)
	}
	body.Guessed = def.FirstGuess != nil
	p := c.Page("parts", def.Name+" "+number, &body)
	p.Problems = found
	if body.Used {
		p.Batch = c.BatchLine(c.View.Lines)
		p.Cautions = answer.MakingCautions(&def)
		if body.CallOuts, err = callOuts(c, def.Number); err != nil {
			return err
		}
		if len(def.Routing) > 0 || def.Blank != nil {
			body.Try = c.ChangeFields()
		}
	}
	return c.Show("part", p)
}

func partShown(b *book.Book, def bom.Part, e record.Record, sheet *answer.Sheet, link frame.Linker, v frame.View) partBody {
	key := "part/" + e.ID + "/"
	r := form.Reader{Sheet: sheet, Link: link, Kind: e.Kind.Name, Id: e.ID, Root: e.Path}
	body := partBody{
		Number: e.ID, Name: def.Name, Revision: def.Revision, Kind: string(def.Kind), Safety: def.Safety,
		Need: link.Plain(sheet.Figure(key + "need")), Cost: link.Money(sheet.Figure(key + "each/production")),
		In: string(b.Currency), EditHref: form.RecordAddress(e) + "/edit", RevisionsHref: form.RecordAddress(e) + "/revisions",
	}
	if body.One = "a piece"; !def.ByPiece() {
		body.One = "1 " + string(def.CountedIn)
	}
	if def.Kind == bom.Bought {
		body.Left = link.Plain(sheet.Figure(key + "leftover"))
	}
	body.Used = body.Need.Mark()
	x := costColumn{of: answer.VariantPrices{Trim: e.ID}, sheet: sheet, link: link, prefix: "part/"}
	if v.Alone() {
		x.prefix = "variant/"
	}
	body.Costs = costRows([]costColumn{x})
	if steps := buildUp(x); len(steps) > 0 {
		w := chart.NewWaterfall("build-up", "Build-up of the cost of "+def.Name,
			"Each bar adds to the one before; the dark bar is the total. The table beside has the same figures.", steps, chart.Widest(steps))
		body.Chart = &w
	}
	body.Stock = stockOf(b, def, r, sheet, link, key)
	body.Work = workOf(def, sheet, link, key)
	body.Minutes = minutesOf(b, &def, r, sheet, link, v)
	body.Finishes = finishesOf(&def, sheet, link, key)
	if def.Kind == bom.Made {
		body.ModelHref = "/parts/" + e.ID + "/model"
	}
	if def.Kind != bom.Bought {
		body.CSVHref = "/parts/" + e.ID + "/operations.csv"
	}
	body.CostColumns = costColumns(&def, sheet, key)
	for i, op := range def.Routing {
		row := operationOf(b, &def, op, r, i, sheet, link, key)
		row.costs(body.CostColumns, sheet, link, operationAt(key, &op))
		body.Operations = append(body.Operations, row)
	}
	body.Children = childrenOf(b, def, r, v)
	if len(def.Special) > 0 {
		special := r.Inside("", reflect.ValueOf(struct {
			Special []bom.SpecialCost `book:"special_direct"`
		}{def.Special}), "")
		body.Special = &special
	}
	body.Offers = offersFor(b, e.ID, sheet, link)
	if i := slices.IndexFunc(b.Parts, func(p bom.Part) bool { return p.Number == def.Number }); i >= 0 {
		body.NotCounted = frame.NotCountedOf(answer.NotCountedPart(b, i))
		if body.NotCounted != nil {
			body.NotCounted.Making, body.NotCounted.ByItself = true, b.Uses().ByItself(&b.Parts[i])
		}
	}
	body.WhereUsed = usesOf(b, bom.ID(e.ID), sheet, link, v)
	return body
}

func stockOf(b *book.Book, def bom.Part, r form.Reader, sheet *answer.Sheet, link frame.Linker, key string) *stockBlock {
	if def.Blank == nil {
		return nil
	}
	out := &stockBlock{Name: string(def.Blank.Stock), Href: frame.RecordHref("stocks", string(def.Blank.Stock)),
		Blank: r.Inside("", reflect.ValueOf(*def.Blank), "blank")}
	if e, ok := record.Find(b, "stocks", string(def.Blank.Stock)); ok {
		out.Name = form.NameOf(e)
	}
	out.Layout = append(figuresBelow(sheet, link, key, stockFigures), figuresBelow(sheet, link, "stock/"+string(def.Blank.Stock)+"/shared/", sharedFigures)...)
	out.Picture = layoutOf(b, &def, out.Name, sheet)
	figure := func(name string) frame.Fig { return link.Plain(sheet.Figure(key + name)) }
	out.Begun, out.Gives, out.Takes = figure("start"), figure("per-stock"), figure("stock-needed")
	if st, _ := b.Stock(def.Blank.Stock); st != nil {
		out.Form = st.Form.Words()
	}
	return out
}

func operationOf(b *book.Book, def *bom.Part, op bom.Operation, r form.Reader, i int, sheet *answer.Sheet, link frame.Linker, key string) operationRow {
	at := operationAt(key, &op)
	two := func(name string) frame.Fig { return link.Places(sheet.Figure(at+name), 2) }
	setup := two("setup-time")
	if _, guessed := def.Guessed(&op); guessed && !setup.Mark() {
		setup = link.Places(sheet.Figure(guessAt(def, &op, key)+"setup-time"), 2)
	}
	row := operationRow{
		Number: r.Number(bom.Whole(int64(op.Number)), text.Field(text.Index("routing", i), "number")),
		Name:   op.Name, Kind: string(op.Kind), Centre: string(op.WorkCentre),
		Setup: setup, Piece: two("piece-time"), UnitsIn: two("units-in"), Yield: link.Percent(sheet.Figure(at + "yield")),
		Occupied: two("occupied"), Attended: two("attended"),
		Each: pieceOf(sheet, link, at),
	}
	kind := "work_centres"
	if op.Treatment != nil {
		kind, row.Centre = "outside_processes", string(op.Treatment.Process)
	}
	if e, ok := record.Find(b, kind, row.Centre); ok {
		row.Centre, row.CentreHref = form.NameOf(e), form.RecordAddress(e)
	}
	return row
}

func childrenOf(b *book.Book, def bom.Part, r form.Reader, v frame.View) []childRow {
	var out []childRow
	for i, ch := range def.Children {
		at := text.Index("children", i)
		row := childRow{Number: string(ch.Part), Href: frame.PartHref(ch.Part, v), Quantity: r.Number(ch.Quantity, text.Field(at, "quantity"))}
		if e, ok := record.Find(b, "parts", string(ch.Part)); ok {
			row.Name = form.NameOf(e)
		}
		if ch.Operation > 0 {
			row.Operation = r.Number(bom.Whole(int64(ch.Operation)), text.Field(at, "operation"))
		}
		if ch.FittingScrap != nil {
			row.Scrap = r.Number(*ch.FittingScrap, text.Field(at, "fitting_scrap"))
		}
		out = append(out, row)
	}
	return out
}

// offersFor lays out the offers for a part or stock.
func offersFor(b *book.Book, id string, sheet *answer.Sheet, link frame.Linker) []form.Content {
	var out []form.Content
	for _, e := range form.RecordsOf(b, "offers") {
		offer := e.Value.Interface().(rates.Offer)
		if string(offer.For) == id {
			r := form.Reader{Sheet: sheet, Link: link, Kind: e.Kind.Name, Id: e.ID, Root: e.Path}
			out = append(out, r.Record("Offer of "+string(offer.Supplier), e.Value))
		}
	}
	return out
}

// usesOf lists where a part is used: in other parts, and in positions of
// products.
func usesOf(b *book.Book, number bom.ID, sheet *answer.Sheet, link frame.Linker, v frame.View) []useLine {
	var out []useLine
	for _, e := range form.RecordsOf(b, "parts") {
		for i, ch := range e.Value.Interface().(bom.Part).Children {
			if ch.Part == number {
				r := form.Reader{Sheet: sheet, Link: link, Kind: e.Kind.Name, Id: e.ID, Root: e.Path}
				out = append(out, useLine{form.NameOf(e), frame.PartHref(bom.ID(e.ID), v), r.Number(ch.Quantity, text.Field(text.Index("children", i), "quantity"))})
			}
		}
	}
	for _, e := range form.RecordsOf(b, "products") {
		for i, pos := range e.Value.Interface().(bom.Product).Positions {
			if pos.Part == number {
				r := form.Reader{Sheet: sheet, Link: link, Kind: e.Kind.Name, Id: e.ID, Root: e.Path}
				out = append(out, useLine{form.NameOf(e) + ", position " + strconv.Itoa(pos.Number), form.RecordAddress(e), r.Number(pos.Quantity, text.Field(text.Index("positions", i), "quantity"))})
			}
		}
	}
	return out
}
