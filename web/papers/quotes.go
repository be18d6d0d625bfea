package papers

import (
	"net/url"
	"strconv"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/answer"
	"kerfbook/api/service"
	"kerfbook/api/service/promise"
	"kerfbook/bom"
	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/show"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// quotesBody lists quotes.
type quotesBody struct {
	Rows []quoteRow
	Next string
}

// quoteRow is one quote of the list.
type quoteRow struct {
	Number, Revision, Customer, Place, Currency, State, ValidUntil, Href string
	Total                                                                frame.Fig
}

// quotes lists quotes, the newest first.
func quotes(c *frame.Call) error {
	heads, next, err := c.Site.Service.Quotes(c.R.Context(), c.R.Form.Get("after"), c.Site.Edge.Config.PageSize)
	if err != nil {
		return err
	}
	body := quotesBody{}
	for _, h := range heads {
		total := answer.Figure{Key: frame.TotalKey, Label: "total to pay", Value: h.Total.String(), Unit: h.Currency}
		body.Rows = append(body.Rows, quoteRow{h.Number, frame.Digits(h.Revision), h.Customer, frame.PlaceName(c.Book, h.Destination), h.Currency, string(h.State),
			h.ValidUntil.Words(), "/quotes/" + h.Number, proving(c, h.Number, h.Revision).Money(total)})
	}
	if next != "" {
		body.Next = "/quotes?after=" + url.QueryEscape(next)
	}
	return c.Show("quotes", c.Page("quotes", "Quotes", &body))
}

// QuoteBody is one quote.
type QuoteBody struct {
	View      show.QuoteView
	Lines     []quoteLineRow
	Sums      []amountRow
	Arrival   []amountRow
	Exchange  []amountRow
	Href      string
	Revisions []frame.Link
	Latest    bool
	CanRevise bool
	Withdraw  bool
	Version   string // of the quote, for a change of it
	SureError string
	Files     []frame.Link
	Cost      string // address of the cost workbook
	Compare   string // address of the comparison with what it would cost today
	Issue     *issueForm
	Basis     []basisRow   // for the shop only
	Notes     []string     // beside it
	Unsourced []string     // rows that a price rests on and nobody has given a source for
	Bands     []frame.Link // of the parts that are guessed at, where starter rows are replaced
	Unnamed   bool         // the shop has no name of its own yet
}

// basisRow is what the price of a line rests on.
type basisRow struct {
	Name, Unit                            string
	Quantity, Batch, PieceCost, BatchCost frame.Fig
	Notes                                 []string
}

// bandsOf leads to the bands of the parts of a quote that are guessed at now.
func bandsOf(c *frame.Call, d *quote.Document) (out []frame.Link) {
	for _, l := range d.Lines {
		if p, _ := c.Book.Part(bom.ID(l.Part)); p != nil && p.FirstGuess != nil {
			out = append(out, frame.Link{Label: p.Name, Href: "/parts/" + l.Part + "/first?pieces=" + l.Batch.Value})
		}
	}
	return out
}

// basisShown lays out what the seller looks at beside the document.
func basisShown(b *quote.Basis, link frame.Linker) (rows []basisRow) {
	for _, l := range b.Lines {
		pieces := func(f quote.Figure) frame.Fig {
			return link.Plain(answer.Figure{Key: f.Key, Value: f.Value, Unit: f.Unit})
		}
		money := func(label string, f quote.Figure) frame.Fig { return amount(link, show.QuoteAmount(label, f)) }
		rows = append(rows, basisRow{l.Name, l.BatchCost.Unit, pieces(l.Quantity), pieces(l.Batch),
			money("cost of one piece that the price rests on", l.PieceCost), money("cost of the batch", l.BatchCost), l.Notes})
	}
	return rows
}

// quoteLineRow is one line of goods.
type quoteLineRow struct {
	Name                   string
	Details                []string
	Quantity, Price, Total frame.Fig
}

// amountRow is an amount with its label.
type amountRow struct {
	Label, Note, Unit string
	Strong            bool
	Amount            frame.Fig
}

// revisionOf reads which revision an address names, 0 for the newest.
func revisionOf(c *frame.Call) int {
	n, err := strconv.Atoi(c.R.Form.Get("revision"))
	if err != nil || n < 0 {
		return 0
	}
	return n
}

// quote shows a revision of a quote as it was issued.
func quotePage(c *frame.Call) error {
	return showQuote(c, revisionOf(c), nil)
}

// showQuote shows a revision of a quote with what was wrong with a change of it.
func showQuote(c *frame.Call, revision int, found frame.Problems) error {
	d, err := c.Site.Service.Quote(c.R.Context(), chi.URLParam(c.R, "number"), revision)
	if err != nil {
		return err
	}
	body := quoteShown(d, proving(c, d.Number, d.Revision))
	body.Href = "/quotes/" + d.Number
	at := "?revision=" + frame.Digits(d.Revision)
	for _, f := range []frame.Link{{Label: "PDF, A4", Href: "pdf"}, {Label: "PDF, Letter", Href: "letter.pdf"}, {Label: "CSV for spreadsheets", Href: "csv"},
		{Label: "CSV with semicolons and decimal commas", Href: "semicolon.csv"}, {Label: "CSV as data", Href: "data.csv"}, {Label: "Workbook", Href: "xlsx"}} {
		body.Files = append(body.Files, frame.Link{Label: f.Label, Href: body.Href + "/file/" + f.Href + at})
	}
	if c.Actor.Scopes.Has(service.Read) {
		body.Cost = body.Href + "/file/cost.xlsx" + at
		body.Compare = form.QuoteAgainstToday(d.Number, d.Revision)
		basis, err := d.Document.Basis()
		if err != nil {
			return err
		}
		body.Basis, body.Notes, body.Unsourced = basisShown(basis, proving(c, d.Number, d.Revision)), basis.Notes, basis.Unsourced
		body.Bands = bandsOf(c, d.Document)
	}
	for n := 1; n <= d.Latest; n++ {
		body.Revisions = append(body.Revisions, frame.Link{Label: "Revision " + frame.Digits(n), Href: body.Href + "?revision=" + frame.Digits(n), Current: n == d.Revision})
	}
	body.Latest = d.Revision == d.Latest
	body.CanRevise = d.State != quote.Withdrawn
	body.Withdraw = d.State == quote.Issued
	body.Version, body.SureError = string(d.Version()), found.Of("sure")
	p := c.Page("quotes", body.View.Title, &body)
	p.Cautions = nil // the document has its own
	p.Problems = found
	return c.Show("quote", p)
}

// proving leads to the proofs of a quote, which tell what its goods cost: nowhere for who may
// not see that.
func proving(c *frame.Call, number string, revision int) frame.Linker {
	if !c.Actor.Scopes.Has(service.Read) {
		return frame.Linker{}
	}
	return frame.QuoteLinker(number, revision)
}

// quoteShown lays a document out.
func quoteShown(d promise.Quote, link frame.Linker) QuoteBody {
	v := d.View()
	body := QuoteBody{View: v, Latest: true}
	for _, l := range v.Lines {
		body.Lines = append(body.Lines, quoteLineRow{Name: l.Name, Details: l.Details,
			Quantity: amount(link, l.Quantity), Price: amount(link, l.Price), Total: amount(link, l.Total)})
	}
	body.Sums, body.Arrival, body.Exchange = amounts(link, v.Sums), amounts(link, v.Arrival), amounts(link, v.Exchange)
	return body
}

// amount shows an amount of a document as the document itself writes it.
func amount(l frame.Linker, a show.Amount) frame.Fig {
	if !a.Figure.Known() {
		return frame.Fig{}
	}
	return frame.Fig{Key: a.Figure.Key, Value: a.Figure.Value, Label: a.Label, Unit: a.Unit, Text: frame.Minus(a.Text), Href: l.Href(a.Figure.Key)}
}

func amounts(l frame.Linker, list []show.Amount) []amountRow {
	var out []amountRow
	for _, a := range list {
		if row := amount(l, a); row.Mark() {
			out = append(out, amountRow{a.Label, a.Note, a.Unit, a.Strong, row})
		}
	}
	return out
}

// quoteProof shows how a figure of a quote was made, from what is stored with it.
func quoteProof(c *frame.Call) error {
	number, revision := chi.URLParam(c.R, "number"), revisionOf(c)
	depth := frame.Levels(c.R.Form.Get("levels"))
	step, err := c.Site.Service.ExplainQuote(c.R.Context(), number, revision, frame.Wildcard(c.R), depth)
	if err != nil {
		return err
	}
	link := frame.Linker{Base: "/quotes/" + number + "/proof/", Query: "?revision=" + frame.Digits(revision)}
	body := frame.ProofShown(step, link, depth)
	body.Number, body.BackHref = number, "/quotes/"+number+link.Query
	p := c.Page("quotes", "How "+step.Label+" was made", &body)
	return c.Show("proof", p)
}

// quoteFile sends a quote as a file.
func quoteFile(c *frame.Call) error {
	data, name, mediaType, err := c.Site.Service.QuoteFile(c.R.Context(), c.Actor, chi.URLParam(c.R, "number"), revisionOf(c), chi.URLParam(c.R, "format"))
	if err != nil {
		return err
	}
	return c.Download(data, name, mediaType)
}

// withdrawQuote takes a quote back for good.
func withdrawQuote(c *frame.Call) error {
	number := chi.URLParam(c.R, "number")
	var found frame.Problems
	if c.Form("sure") != "yes" {
		found.Add("sure", "Tick the box that says that the quote is to be withdrawn: it cannot be undone")
		return showQuote(c, 0, found)
	}
	err := c.Site.Service.Update(c.R.Context(), func(tx service.Tx) error {
		return c.Site.Service.WithdrawQuote(c.R.Context(), tx, c.Actor, number, promise.Seen{Quote: answer.Version(c.Form("version"))})
	})
	if answer.CodeOf(err) == answer.Conflict {
		now, err := c.Site.Service.Quote(c.R.Context(), number, 0)
		if err != nil {
			return err
		}
		found.Add("", changedSince(now))
		return showQuote(c, 0, found)
	}
	if err != nil {
		return err
	}
	return c.LeadTo("/quotes/"+number, "withdrawn")
}
