package web

import (
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/answer"
	"kerfbook/api/service"
	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/show"
)

// quotesBody lists quotes.
type quotesBody struct {
	Rows []quoteRow
	Next string
}

// quoteRow is one quote of the list.
type quoteRow struct {
	Number, Revision, Customer, Place, Currency, State, ValidUntil, Href string
	Total                                                                fig
}

// quotes lists quotes, the newest first.
func quotes(c *call) error {
	heads, next, err := c.site.svc.Quotes(c.r.Context(), c.r.Form.Get("after"), c.site.edge.Config.PageSize)
	if err != nil {
		return err
	}
	names := placeNames(c.book)
	body := quotesBody{}
	for _, h := range heads {
		place := names[h.Destination]
		if place == "" {
			place = h.Destination
		}
		total := answer.Figure{Key: totalKey, Label: "total to pay", Value: h.Total.String(), Unit: h.Currency}
		body.Rows = append(body.Rows, quoteRow{h.Number, digitsOf(h.Revision), h.Customer, place, h.Currency, string(h.State),
			h.ValidUntil.Words(), "/quotes/" + h.Number, quoteLinker(h.Number, h.Revision).money(total)})
	}
	if next != "" {
		body.Next = "/quotes?after=" + escape(next)
	}
	return c.show("quotes", c.page("quotes", "Quotes", &body))
}

// quoteBody is one quote.
type quoteBody struct {
	View      show.QuoteView
	Lines     []quoteLineRow
	Sums      []amountRow
	Arrival   []amountRow
	Exchange  []amountRow
	Href      string
	Revisions []link
	Latest    bool
	CanRevise bool
	Withdraw  bool
	Version   string // of the quote, for a change of it
	SureError string
	Files     []link
	Cost      string // address of the cost workbook
	Compare   string // address of the comparison with what it would cost today
	Issue     *issueForm
	Basis     []basisRow // of a preview, for the shop only
	Notes     []string   // beside it
}

// basisRow is what the price of a line rests on.
type basisRow struct {
	Name, Unit                            string
	Quantity, Batch, PieceCost, BatchCost fig
	Notes                                 []string
}

// basisShown lays out what the seller looks at before a quote is issued.
func basisShown(b *quote.Basis, link linker) (rows []basisRow) {
	for _, l := range b.Lines {
		pieces := func(f quote.Figure) fig { return link.plain(answer.Figure{Key: f.Key, Value: f.Value, Unit: f.Unit}) }
		money := func(label string, f quote.Figure) fig { return amount(link, show.QuoteAmount(label, f)) }
		rows = append(rows, basisRow{l.Name, l.BatchCost.Unit, pieces(l.Quantity), pieces(l.Batch),
			money("full cost of one piece", l.PieceCost), money("full cost of the batch", l.BatchCost), l.Notes})
	}
	return rows
}

// quoteLineRow is one line of goods.
type quoteLineRow struct {
	No                     fig
	Name                   string
	Details                []string
	Quantity, Price, Total fig
}

// amountRow is an amount with its label.
type amountRow struct {
	Label, Note, Unit string
	Strong            bool
	Amount            fig
}

// revisionOf reads which revision an address names, 0 for the newest.
func revisionOf(c *call) int {
	n, err := strconv.Atoi(c.r.Form.Get("revision"))
	if err != nil || n < 0 {
		return 0
	}
	return n
}

// quote shows a revision of a quote as it was issued.
func quotePage(c *call) error {
	return showQuote(c, revisionOf(c), nil)
}

// showQuote shows a revision of a quote with what was wrong with a change of it.
func showQuote(c *call, revision int, found problems) error {
	d, err := c.site.svc.Quote(c.r.Context(), chi.URLParam(c.r, "number"), revision)
	if err != nil {
		return err
	}
	body := quoteShown(d, quoteLinker(d.Number, d.Revision))
	body.Href = "/quotes/" + d.Number
	at := "?revision=" + digitsOf(d.Revision)
	for _, f := range []link{{Label: "PDF, A4", Href: "pdf"}, {Label: "PDF, Letter", Href: "letter.pdf"}, {Label: "CSV for spreadsheets", Href: "csv"},
		{Label: "CSV as data", Href: "data.csv"}, {Label: "Workbook", Href: "xlsx"}} {
		body.Files = append(body.Files, link{Label: f.Label, Href: body.Href + "/file/" + f.Href + at})
	}
	body.Cost = body.Href + "/file/cost.xlsx" + at
	body.Compare = quoteAgainstToday(d.Number, d.Revision)
	for n := 1; n <= d.Latest; n++ {
		body.Revisions = append(body.Revisions, link{"Revision " + digitsOf(n), body.Href + "?revision=" + digitsOf(n), n == d.Revision})
	}
	body.Latest = d.Revision == d.Latest
	body.CanRevise = d.State != quote.Withdrawn
	body.Withdraw = d.State == quote.Issued
	body.Version, body.SureError = string(d.Version()), found.of("sure")
	p := c.page("quotes", body.View.Title, &body)
	p.Cautions = nil // the document has its own
	p.Problems = found
	return c.show("quote", p)
}

// quoteShown lays a document out.
func quoteShown(d service.QuoteDocument, link linker) quoteBody {
	v := d.View()
	body := quoteBody{View: v, Latest: true}
	for _, l := range v.Lines {
		body.Lines = append(body.Lines, quoteLineRow{Name: l.Name, Details: l.Details,
			Quantity: amount(link, l.Quantity), Price: amount(link, l.Price), Total: amount(link, l.Total)})
	}
	body.Sums, body.Arrival, body.Exchange = amounts(link, v.Sums), amounts(link, v.Arrival), amounts(link, v.Exchange)
	return body
}

// amount shows an amount of a document as the document itself writes it.
func amount(l linker, a show.Amount) fig {
	if !a.Figure.Known() {
		return fig{}
	}
	return fig{Key: a.Figure.Key, Value: a.Figure.Value, Label: a.Label, Unit: a.Unit, Text: minus(a.Text), Href: l.href(a.Figure.Key)}
}

func amounts(l linker, list []show.Amount) []amountRow {
	var out []amountRow
	for _, a := range list {
		if row := amount(l, a); row.Mark() {
			out = append(out, amountRow{a.Label, a.Note, a.Unit, a.Strong, row})
		}
	}
	return out
}

// quoteProof shows how a figure of a quote was made, from what is stored with it.
func quoteProof(c *call) error {
	number, revision := chi.URLParam(c.r, "number"), revisionOf(c)
	depth := levels(c.r.Form.Get("levels"))
	step, err := c.site.svc.ExplainQuote(c.r.Context(), number, revision, wildcard(c.r), depth)
	if err != nil {
		return err
	}
	link := linker{"/quotes/" + number + "/proof/", "?revision=" + digitsOf(revision)}
	body := proofShown(step, link, depth)
	body.Number, body.BackHref = number, "/quotes/"+number+link.query
	p := c.page("quotes", "How "+step.Label+" was made", &body)
	return c.show("proof", p)
}

// quoteFile sends a quote as a file.
func quoteFile(c *call) error {
	data, name, mediaType, err := c.site.svc.QuoteFile(c.r.Context(), chi.URLParam(c.r, "number"), revisionOf(c), chi.URLParam(c.r, "format"))
	if err != nil {
		return err
	}
	return c.download(data, name, mediaType)
}

// withdrawQuote takes a quote back for good.
func withdrawQuote(c *call) error {
	number := chi.URLParam(c.r, "number")
	var found problems
	if c.form("sure") != "yes" {
		found.add("sure", "Tick the box that says that the quote is to be withdrawn: it cannot be undone")
		return showQuote(c, 0, found)
	}
	err := c.site.svc.WithdrawQuote(c.r.Context(), c.actor, number, service.Seen{Quote: answer.Version(c.form("version"))})
	if answer.CodeOf(err) == answer.Conflict {
		now, err := c.site.svc.Quote(c.r.Context(), number, 0)
		if err != nil {
			return err
		}
		found.add("", changedSince(now))
		return showQuote(c, 0, found)
	}
	if err != nil {
		return err
	}
	return c.leadTo("/quotes/"+number, "withdrawn")
}

// joined puts lines into one text.
func joined(lines []string) string { return strings.Join(lines, "\n") }
