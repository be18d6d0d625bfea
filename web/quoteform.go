package web

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/service"
	"kerfbook/costing/book"
	"kerfbook/costing/quote"
)

// quoteFormBody asks for a quote.
type quoteFormBody struct {
	Number     string // of the quote that is revised, empty for a new one
	Any        bool   // there is something that could be quoted
	Lines      []quoteLineFields
	Goods      []field // destination, channel, buyer, discount
	Customer   []field
	Terms      []field
	Seller     []field
	SellerOpen bool
}

// quoteLineFields are the inputs of one trim.
type quoteLineFields struct {
	Name            string
	Quantity, Batch field
}

// issueForm issues the quote that a page shows.
type issueForm struct {
	Number     string
	Hidden     []field
	Nonce      string
	Unverified []quote.Unverified
	ButtonText string
}

// newQuote asks for a quote.
func (s *site) newQuote(c *call) error {
	values := map[string]string{}
	for _, l := range c.view.Lines {
		values["q."+string(l.Trim)] = l.Quantity.Likely.String()
	}
	if q := c.r.URL.Query(); !q.Has("mix") {
		for name := range values {
			values[name] = ""
		}
	}
	values["valid_days"], values["delivery.term"] = "30", "DAP"
	return c.showQuoteForm("", values, nil)
}

// reviseQuote asks for the next revision, beginning with what the last one was
// asked for with.
func (s *site) reviseQuote(c *call) error {
	d, err := s.svc.Quote(c.r.Context(), chi.URLParam(c.r, "number"), 0)
	if err != nil {
		return err
	}
	return c.showQuoteForm(d.Number, valuesOf(d.Inputs.Request), nil)
}

// postQuote previews a quote, goes back to the form, or issues it.
func (s *site) postQuote(c *call) error {
	number := c.form("number")
	req := requestOf(c)
	switch c.form("act") {
	case "edit":
		return c.showQuoteForm(number, formValues(c), nil)
	case "issue":
		return s.issueQuote(c, number, req)
	}
	d, err := s.svc.PreviewQuote(c.r.Context(), req)
	if service.CodeOf(err) == service.Invalid {
		return c.showQuoteForm(number, formValues(c), quoteFaults(err, req))
	}
	if err != nil {
		return err
	}
	return c.showPreview(d, number, nil)
}

// showPreview shows a quote as it would be issued.
func (c *call) showPreview(d service.QuoteDocument, number string, found problems) error {
	body := quoteShown(d, previewLinker(d))
	form := &issueForm{Number: number, Nonce: rand.Text(), Unverified: d.Unverified, ButtonText: "Issue the quote"}
	if number != "" {
		form.ButtonText = "Issue the next revision of " + number
	}
	for name, value := range formValues(c) {
		form.Hidden = append(form.Hidden, field{Name: name, Value: value})
	}
	slices.SortFunc(form.Hidden, func(a, b field) int { return strings.Compare(a.Name, b.Name) })
	body.Issue = form
	p := c.page("quotes", "Preview of the quote", &body)
	p.Problems = found
	return c.show("quote", p)
}

// previewLinker has nowhere to lead to: a draft keeps no proof yet.
func previewLinker(service.QuoteDocument) linker { return linker{base: ""} }

// issueQuote issues a quote once, however often its button is pressed.
func (s *site) issueQuote(c *call, number string, req service.QuoteRequest) error {
	req.ConfirmUnverified = c.form("confirm_unverified") == "yes"
	fingerprint := sha256.Sum256([]byte(c.r.PostForm.Encode()))
	_, issued, _, err := s.svc.Idempotent(c.r.Context(), c.actor, "page-"+c.form("nonce"), fingerprint, func(ctx context.Context) (int, []byte, error) {
		d, err := s.issue(ctx, c.actor, number, req)
		if err != nil {
			return 0, nil, err
		}
		return http.StatusSeeOther, []byte(d.Number), nil
	})
	switch service.CodeOf(err) {
	case service.Unverified:
		d, previewErr := s.svc.PreviewQuote(c.r.Context(), req)
		if previewErr != nil {
			return previewErr
		}
		var found problems
		found.add("confirm_unverified", "Rows without a source: look at them, then confirm that you stand by them")
		return c.showPreview(d, number, found)
	case service.Invalid:
		return c.showQuoteForm(number, formValues(c), quoteFaults(err, req))
	}
	if err != nil {
		return err
	}
	return c.leadTo("/quotes/"+string(issued), "issued")
}

func (s *site) issue(ctx context.Context, a service.Actor, number string, req service.QuoteRequest) (service.QuoteDocument, error) {
	if number != "" {
		return s.svc.ReviseQuote(ctx, a, number, req)
	}
	return s.svc.IssueQuote(ctx, a, req)
}

// formValues are the fields of the quote form that were sent.
func formValues(c *call) map[string]string {
	out := map[string]string{}
	for name, values := range c.r.PostForm {
		switch name {
		case "act", "nonce", "confirm_unverified", "number", "sure":
		default:
			out[name] = values[0]
		}
	}
	return out
}

// requestOf reads what was asked for. Numbers stay text: what is wrong with them
// is said all at once.
func requestOf(c *call) service.QuoteRequest {
	get := func(name string) string { return strings.TrimSpace(c.r.PostForm.Get(name)) }
	req := service.QuoteRequest{
		Destination: get("destination"), Channel: get("channel"), Buyer: get("buyer"), Discount: tidyNumber(get("discount")),
		Seller: partyOf(get, "seller"), Customer: partyOf(get, "customer"), ValidUntil: get("valid_until"),
		Delivery:     quote.Delivery{Term: get("delivery.term"), Place: get("delivery.place"), Charge: tidyNumber(get("delivery.charge"))},
		PaymentTerms: get("payment_terms"), LeadTime: get("lead_time"), Notes: strings.ReplaceAll(get("notes"), "\r\n", "\n"),
	}
	if days, err := strconv.Atoi(tidyNumber(get("valid_days"))); err == nil && req.ValidUntil == "" {
		req.ValidDays = days
	}
	for _, p := range c.book.Products {
		for _, t := range p.Trims {
			if n := tidyNumber(get("q." + string(t.ID))); n != "" {
				req.Lines = append(req.Lines, quote.RequestLine{Product: string(p.Number), Trim: string(t.ID), Quantity: n, Batch: tidyNumber(get("b." + string(t.ID)))})
			}
		}
	}
	return req
}

func partyOf(get func(string) string, who string) quote.Party {
	p := quote.Party{Country: strings.ToUpper(get(who + ".country")), Contact: get(who + ".contact"), TaxNumber: get(who + ".tax_number")}
	if who == "customer" {
		p.Name = get("customer.name")
	}
	for line := range strings.SplitSeq(get(who+".address"), "\n") {
		if line = strings.TrimSpace(line); line != "" {
			p.Address = append(p.Address, line)
		}
	}
	return p
}

// valuesOf fills the form with what a quote was asked for with.
func valuesOf(req service.QuoteRequest) map[string]string {
	out := map[string]string{
		"destination": req.Destination, "channel": req.Channel, "buyer": req.Buyer, "discount": req.Discount,
		"valid_days": "30", "delivery.term": req.Delivery.Term, "delivery.place": req.Delivery.Place, "delivery.charge": req.Delivery.Charge,
		"payment_terms": req.PaymentTerms, "lead_time": req.LeadTime, "notes": req.Notes, "customer.name": req.Customer.Name,
	}
	for who, p := range map[string]quote.Party{"customer": req.Customer, "seller": req.Seller} {
		out[who+".address"], out[who+".country"] = joined(p.Address), p.Country
		out[who+".contact"], out[who+".tax_number"] = p.Contact, p.TaxNumber
	}
	for _, l := range req.Lines {
		out["q."+l.Trim], out["b."+l.Trim] = l.Quantity, l.Batch
	}
	return out
}

// quoteFaults places what is wrong with a request at the fields of the form.
func quoteFaults(err error, req service.QuoteRequest) problems {
	var found problems
	var known *service.Error
	if !errors.As(err, &known) {
		return found
	}
	for _, f := range known.Fields {
		name := fieldAt(f.Path, req)
		label := quoteLabels[name]
		if label != "" {
			label += ": "
		}
		found.add(name, label+f.Message)
	}
	if len(known.Fields) == 0 {
		found.add("", known.Message)
	}
	return found
}

// fieldAt gives the field of the form for a place in the request.
func fieldAt(path string, req service.QuoteRequest) string {
	rest, ok := strings.CutPrefix(path, "lines[")
	if !ok {
		name, _, _ := strings.Cut(path, "[")
		if name == "valid_until" || name == "valid_days" {
			return "valid_days"
		}
		return name
	}
	index, rest, _ := strings.Cut(rest, "]")
	i, err := strconv.Atoi(index)
	if err != nil || i >= len(req.Lines) {
		return ""
	}
	if strings.HasPrefix(rest, ".batch") {
		return "b." + req.Lines[i].Trim
	}
	return "q." + req.Lines[i].Trim
}

// quoteLabels names the fields of the form.
var quoteLabels = map[string]string{
	"lines": "Goods", "destination": "Destination", "channel": "Channel", "buyer": "Buyer", "discount": "Discount",
	"customer.name": "Customer", "customer.address": "Address", "customer.country": "Country", "customer.contact": "Contact", "customer.tax_number": "Tax number",
	"valid_days": "Valid for", "valid_until": "Valid until", "delivery.term": "Delivery term", "delivery.place": "Named place", "delivery.charge": "Delivery charge",
	"payment_terms": "Payment", "lead_time": "Lead time", "notes": "Notes",
	"seller.address": "Your address", "seller.country": "Your country", "seller.contact": "Your contact", "seller.tax_number": "Your tax number",
}

// showQuoteForm shows the form with what was typed.
func (c *call) showQuoteForm(number string, values map[string]string, found problems) error {
	body := quoteFormBody{Number: number}
	fill := func(f field) field {
		f.Value, f.Error = values[f.Name], found.of(f.Name)
		if f.Label == "" {
			f.Label = quoteLabels[f.Name]
		}
		if f.Options != nil {
			f.Options = choose(f.Options, f.Value)
		}
		return f
	}
	for _, p := range c.book.Products {
		for _, t := range p.Trims {
			body.Lines = append(body.Lines, quoteLineFields{t.Name,
				fill(field{Name: "q." + string(t.ID), Label: "Pieces of " + t.Name, Mode: "numeric", Suffix: "piece"}),
				fill(field{Name: "b." + string(t.ID), Label: t.Name + ", made at once", Mode: "numeric", Suffix: "piece"})})
		}
	}
	body.Any = len(body.Lines) > 0 && len(c.book.Destinations) > 0
	for _, f := range goodsFields(c.book) {
		body.Goods = append(body.Goods, fill(f))
	}
	for _, f := range partyFields("customer") {
		body.Customer = append(body.Customer, fill(f))
	}
	for _, f := range termFields(string(c.book.Currency)) {
		body.Terms = append(body.Terms, fill(f))
	}
	for _, f := range partyFields("seller") {
		f = fill(f)
		body.SellerOpen = body.SellerOpen || f.Error != ""
		body.Seller = append(body.Seller, f)
	}
	title := "New quote"
	if number != "" {
		title = "Revise quote " + number
	}
	p := c.page("quotes", title, &body)
	p.Problems = found
	return c.show("quoteform", p)
}

func goodsFields(b *book.Book) []field {
	names := placeNames(b)
	places := []option{}
	for _, d := range b.Destinations {
		places = append(places, option{Value: d.Place(), Label: names[d.Place()]})
	}
	channels := []option{{Value: "", Label: "that of the destination"}}
	for _, ch := range b.Channels {
		channels = append(channels, option{Value: string(ch.ID), Label: ch.Name})
	}
	return []field{
		{Name: "destination", Options: places},
		{Name: "channel", Options: channels},
		{Name: "buyer", Options: []option{{Value: "", Label: "that of the destination"}, {Value: "consumer", Label: "consumer"}, {Value: "business", Label: "business"}}},
		{Name: "discount", Label: "Discount, as a share", Hint: "Such as 0.05. Empty means what the channel grants.", Mode: "decimal"},
	}
}

func partyFields(who string) []field {
	var out []field
	if who == "customer" {
		out = append(out, field{Name: "customer.name", Wide: true, Autocomplete: "off"})
	}
	return append(out,
		field{Name: who + ".address", Rows: 4, Wide: true},
		field{Name: who + ".country", Hint: "Two letters, such as DE."},
		field{Name: who + ".contact", Wide: true},
		field{Name: who + ".tax_number"},
	)
}

func termFields(currency string) []field {
	var terms []option
	for _, code := range quote.Terms() {
		terms = append(terms, option{Value: code, Label: code + ": " + quote.TermName(code)})
	}
	return []field{
		{Name: "delivery.term", Options: terms},
		{Name: "delivery.place", Hint: "Where goods and risk pass over, such as Munich."},
		{Name: "delivery.charge", Hint: "Without tax. Empty means what the book asks.", Mode: "decimal", Suffix: currency},
		{Name: "valid_days", Hint: "Counted from the day of issue.", Mode: "numeric", Suffix: "days"},
		{Name: "payment_terms", Wide: true},
		{Name: "lead_time", Hint: "With what it counts from, such as six weeks from the order.", Wide: true},
		{Name: "notes", Rows: 5, Wide: true, Hint: "Assumptions and exclusions."},
	}
}
