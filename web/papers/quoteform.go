package papers

import (
	"cmp"
	"crypto/rand"
	"crypto/sha256"
	"errors"
	"maps"
	"net/http"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"
	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/service"
	"kerfbook/api/service/promise"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
	"kerfbook/costing/estimate"
	"kerfbook/costing/papers/quote"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// quoteFormBody asks for a quote.
type quoteFormBody struct {
	Number     string // of the quote that is revised, empty for a new one
	Any        bool   // there is something that could be quoted
	Hidden     []frame.Field
	Lines      []quoteLineFields
	Parts      bool           // parts by themselves are quoted
	Others     []frame.Option // further ones
	Goods      []frame.Field  // destination, channel, buyer, discount
	Customer   []frame.Field
	Terms      []frame.Field
	Seller     []frame.Field
	SellerOpen bool
}

// quoteLineFields are the inputs of one trim or part.
type quoteLineFields struct {
	Name   string
	Fields []frame.Field
}

// issueForm issues the quote that a page shows.
type issueForm struct {
	Number     string
	Hidden     []frame.Field
	Nonce      string
	Unverified []quote.UnverifiedRow
	RanOut     []quote.RanOut
	Looked     []frame.Looked // at the parts of it, by who may see cost
	ButtonText string
}

// newQuote asks for a quote. What it rests on is the usual batch, whatever was looked at.
func newQuote(c *frame.Call) error {
	values := map[string]string{}
	for i := range c.Book.Products {
		p := &c.Book.Products[i]
		for _, t := range p.Trims {
			if p.UsualBatch != nil {
				values["b."+string(t.ID)] = p.UsualBatch.Likely.String()
			}
		}
	}
	values["valid_days"], values["delivery.term"], values["seller.country"] = "30", "DAP", string(c.Book.Country)
	if err := sellerKnown(c, values); err != nil {
		return err
	}
	for _, l := range c.View.Lines {
		if !c.R.Form.Has("mix") || l.Part == "" {
			continue
		}
		margin := ""
		if l.Margin != nil {
			margin = c.Style.Text(form.PercentText(l.Margin.Likely.String()))
		}
		addPart(values, string(l.Part), l.Quantity.Likely.String(), margin)
		if len(l.Destinations) > 0 {
			values["destination"] = l.Destinations[0]
		}
		if d, _ := c.Book.Destination(values["destination"]); d == nil || d.Carrier == "" {
			values["delivery.term"] = "FCA" // collected: nothing is known of the freight
		}
	}
	return showQuoteForm(c, "", values, nil)
}

// sellerKnown fills in what the newest quote said of the seller.
func sellerKnown(c *frame.Call, values map[string]string) error {
	quotes, _, err := c.Site.Service.Quotes(c.R.Context(), "", 1)
	if err != nil || len(quotes) == 0 {
		return err
	}
	last, err := c.Site.Service.Quote(c.R.Context(), quotes[0].Number, 0)
	if err != nil {
		return err
	}
	for name, text := range valuesOf(quote.Request{Seller: c.Actor.Shown(last).Inputs.Request.Seller}) {
		if strings.HasPrefix(name, "seller.") && text != "" {
			values[name] = text
		}
	}
	return nil
}

// unnamed reports a shop that has the name which a first part gave it.
func unnamed(b *book.Book) bool { return b.Name == form.ShopUnnamed }

// nameShop keeps the name that is typed for a shop that has none yet.
func nameShop(c *frame.Call) error {
	name := strings.TrimSpace(c.Form("seller.name"))
	if name == "" || !unnamed(c.Book) || !c.Actor.Scopes.Has(service.Write) {
		return nil
	}
	stored, err := c.Site.Service.Record(c.R.Context(), record.ShopKind, record.ShopKind, 0)
	if err != nil {
		return err
	}
	d, err := change.ReadRecord(record.ShopKind, record.ShopKind, stored.Text, stored.Version)
	if err != nil {
		return err
	}
	shop := d.Value.Interface().(record.Shop)
	shop.Name = name
	named, err := change.NewDraft(d.Kind, d.ID, reflect.ValueOf(shop), nil)
	if err != nil {
		return answer.Unexpected(err)
	}
	named.IfMatch = stored.Version
	_, err = c.Site.Service.Save(c.R.Context(), c.Actor, []change.Draft{named})
	return err
}

// reviseQuote asks for the next revision, beginning with what the last one was
// asked for with.
func reviseQuote(c *frame.Call) error {
	d, err := c.Site.Service.Quote(c.R.Context(), chi.URLParam(c.R, "number"), 0)
	if err != nil {
		return err
	}
	values := valuesOf(c.Actor.Shown(d).Inputs.Request)
	values["version"] = string(d.Version())
	for _, name := range []string{"discount", "delivery.charge"} {
		values[name] = c.Style.Text(values[name])
	}
	if days := daysOf(d); days > 0 {
		values["valid_days"] = strconv.Itoa(days)
	}
	return showQuoteForm(c, d.Number, values, nil)
}

// postQuote previews a quote, goes back to the form, or issues it.
func postQuote(c *frame.Call) error {
	number, values := c.Form("number"), formValues(c)
	if part := bom.ID(c.Form("add")); c.Form("act") == "add" {
		if p, _ := c.Book.Part(part); p != nil {
			addPart(values, string(part), "", "")
		}
		return showQuoteForm(c, number, values, nil)
	}
	req, found := requestOf(c, values)
	if !found.Empty() {
		return showQuoteForm(c, number, values, found)
	}
	if err := nameShop(c); err != nil {
		return showQuoteForm(c, number, values, frame.FaultsOf(err, "seller.name", "The name of your shop: "))
	}
	switch c.Form("act") {
	case "edit":
		return showQuoteForm(c, number, values, nil)
	case "issue":
		return issueQuote(c, number, req)
	}
	return preview(c, number, req, values, nil)
}

// preview shows a quote as it would be issued, or its form where it is at fault.
func preview(c *frame.Call, number string, req quote.Request, values map[string]string, found frame.Problems) error {
	d, err := c.Site.Service.PreviewQuote(c.R.Context(), c.Actor, number, req)
	err = c.Told(err)
	if answer.CodeOf(err) == answer.Invalid {
		return showQuoteForm(c, number, values, quoteFaults(err, lineKeys(c.Book, values)))
	}
	if err != nil {
		return err
	}
	return showPreview(c, d, number, values, found)
}

// showPreview shows a quote as it would be issued, and keeps with it which book
// and which day its figures are of.
func showPreview(c *frame.Call, d promise.Quote, number string, values map[string]string, found frame.Problems) error {
	nowhere := frame.Linker{} // a draft keeps no proof yet
	body := quoteShown(d, nowhere)
	form := &issueForm{Number: number, Nonce: rand.Text(), Unverified: d.Unverified, RanOut: d.RanOut, ButtonText: "Issue the quote"}
	if number != "" {
		form.ButtonText = "Issue the next revision of " + number
	}
	for _, name := range slices.Sorted(maps.Keys(values)) {
		form.Hidden = append(form.Hidden, frame.Field{Name: name, Value: values[name]})
	}
	form.Hidden = append(form.Hidden, frame.Field{Name: "book_version", Value: string(d.Book)}, frame.Field{Name: "priced_on", Value: string(d.Inputs.Day)})
	body.Issue, body.Unnamed = form, unnamed(c.Book) && d.Seller.Name == c.Book.Name
	if d.Basis != nil { // of who may see it
		body.Basis, body.Notes, body.Unsourced = basisShown(d.Basis, nowhere), d.Basis.Notes, d.Basis.Unsourced
		body.Bands = bandsOf(c, d.Document)
		for _, l := range d.Lines {
			batch, err := decimal.NewFromString(l.Batch.Value)
			if l.Part == "" || err != nil {
				continue
			}
			e, _, err := c.Site.Service.Estimate(c.R.Context(), estimate.Alone(bom.ID(l.Part), batch, nil), c.View.Day)
			if err != nil {
				return err
			}
			form.Looked = append(form.Looked, frame.LookAt(c, e))
		}
	}
	p := c.Page("quotes", "Preview of the quote", &body)
	p.Problems = found
	return c.Show("quote", p)
}

// issueQuote issues a quote once, however often its button is pressed.
func issueQuote(c *frame.Call, number string, req quote.Request) error {
	req.ConfirmUnverified = c.Form("confirm_unverified") == "yes"
	seen := promise.Seen{Book: answer.Version(c.Form("book_version")), Day: bom.Date(c.Form("priced_on")), Quote: answer.Version(c.Form("version"))}
	fingerprint := sha256.Sum256([]byte(c.R.PostForm.Encode()))
	_, issued, _, err := c.Site.Service.Idempotent(c.R.Context(), c.Actor, "page-"+c.Form("nonce"), fingerprint, func(tx service.Tx) (int, []byte, error) {
		d, err := c.Site.Service.IssueQuote(c.R.Context(), tx, c.Actor, number, req, seen)
		if err != nil {
			return 0, nil, err
		}
		return http.StatusSeeOther, []byte(d.Number), nil
	})
	if err != nil {
		return notIssued(c, number, req, err)
	}
	return c.LeadTo("/quotes/"+string(issued), "issued")
}

// notIssued shows what stands in the way, with everything that was typed: the
// form where it is at fault, and a new preview where the world has moved on.
func notIssued(c *frame.Call, number string, req quote.Request, err error) error {
	var found frame.Problems
	values := formValues(c)
	err = c.Told(err)
	switch answer.CodeOf(err) {
	case answer.Invalid:
		return showQuoteForm(c, number, values, quoteFaults(err, lineKeys(c.Book, values)))
	case answer.Unverified:
		found.Add("confirm_unverified", "Rows without a source or prices that have run out: look at them, then confirm that you stand by them")
	case answer.FiguresChanged:
		found.Add("", "The figures have changed since the preview: look again, then issue")
	case answer.Conflict:
		if number == "" {
			return err
		}
		now, err := c.Site.Service.Quote(c.R.Context(), number, 0)
		if err != nil {
			return err
		}
		values["version"] = string(now.Version())
		found.Add("", changedSince(now))
	default:
		return err
	}
	return preview(c, number, req, values, found) // unless the book has lost what was asked for
}

// changedSince says what has become of a quote that somebody else changed.
func changedSince(now promise.Quote) string {
	text := "Quote " + now.Number + " has changed in the meantime: it is at revision " + frame.Digits(now.Revision) + ", " + string(now.State) + ". "
	if now.State == quote.Withdrawn {
		return text + "It cannot be changed any more"
	}
	return text + "Look at that one, then decide again"
}

// formValues are the fields of the quote form that were sent.
func formValues(c *frame.Call) map[string]string {
	out := map[string]string{}
	for name, values := range c.R.PostForm {
		switch name {
		case "act", "add", "nonce", "confirm_unverified", "number", "sure", "book_version", "priced_on":
		default:
			out[name] = values[0]
		}
	}
	return out
}

// requestOf reads what was asked for. Numbers stay text: what is wrong with them
// is said all at once.
func requestOf(c *frame.Call, values map[string]string) (quote.Request, frame.Problems) {
	get := func(name string) string { return strings.TrimSpace(values[name]) }
	var found frame.Problems
	read := func(name, plain string, err error) string {
		switch {
		case err == nil:
			return plain
		case form.TwoMeanings(err):
			found.Add(name, cmp.Or(quoteLabels[name], "Pieces")+": "+err.Error())
		}
		return get(name)
	}
	number := func(name, unit string) string {
		n, err := c.Style.Number(get(name), unit)
		return read(name, n.Plain, err)
	}
	count := func(name string) string {
		n, err := c.Style.Whole(get(name))
		return read(name, n, err)
	}
	req := quote.Request{
		Destination: get("destination"), Channel: get("channel"), Buyer: get("buyer"), BuyerReason: get("buyer_reason"), Discount: number("discount", "share"),
		Seller: partyOf(get, "seller"), Customer: partyOf(get, "customer"), ValidUntil: get("valid_until"),
		Delivery:     quote.Delivery{Term: get("delivery.term"), Place: get("delivery.place"), Charge: number("delivery.charge", string(c.Book.Currency))},
		PaymentTerms: get("payment_terms"), LeadTime: get("lead_time"), Notes: strings.ReplaceAll(get("notes"), "\r\n", "\n"),
	}
	if days, err := form.WholeNumber(c.Style, get("valid_days")); err == nil && req.ValidUntil == "" {
		req.ValidDays = days
	}
	for _, l := range formLines(c.Book, values) {
		if n := count("q." + l.key); n != "" {
			asked := quote.RequestLine{Product: l.product, Trim: l.trim, Choices: l.choices, Part: l.part, Quantity: n, Batch: count("b." + l.key), Margin: get("m." + l.key)}
			if share, err := form.ReadPercent(c.Style, asked.Margin); err == nil && l.part != "" {
				asked.Margin = share.String()
			}
			req.Lines = append(req.Lines, asked)
		}
	}
	return req, found
}

func partyOf(get func(string) string, who string) quote.Party {
	country, _ := form.Country(get(who + ".country")) // what is none is refused with the quote
	p := quote.Party{Country: string(country), Contact: get(who + ".contact"), TaxNumber: get(who + ".tax_number")}
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
func valuesOf(req quote.Request) map[string]string {
	out := map[string]string{
		"destination": req.Destination, "channel": req.Channel, "buyer": req.Buyer, "buyer_reason": req.BuyerReason, "discount": req.Discount,
		"valid_days": "30", "delivery.term": req.Delivery.Term, "delivery.place": req.Delivery.Place, "delivery.charge": req.Delivery.Charge,
		"payment_terms": req.PaymentTerms, "lead_time": req.LeadTime, "notes": req.Notes, "customer.name": req.Customer.Name,
	}
	for who, p := range map[string]quote.Party{"customer": req.Customer, "seller": req.Seller} {
		out[who+".address"], out[who+".country"] = strings.Join(p.Address, "\n"), p.Country
		out[who+".contact"], out[who+".tax_number"] = p.Contact, p.TaxNumber
	}
	fillLines(out, req.Lines)
	return out
}

// quoteFaults places what is wrong with a request at the fields of the form.
func quoteFaults(err error, lines []string) frame.Problems {
	var found frame.Problems
	var known *answer.Error
	if !errors.As(err, &known) {
		return found
	}
	for _, f := range known.Fields {
		name := fieldAt(f.Path, lines)
		label := quoteLabels[name]
		if label != "" {
			label += ": "
		}
		found.Add(name, label+f.Message)
	}
	if len(known.Fields) == 0 {
		found.Add("", known.Message)
	}
	return found
}

// fieldAt gives the field of the form for a place in the request, whose lines
// have the keys.
func fieldAt(path string, lines []string) string {
	rest, ok := strings.CutPrefix(path, "lines[")
	if !ok {
		name, _, _ := strings.Cut(path, "[")
		switch name {
		case "valid_until", "valid_days":
			return "valid_days"
		case "seller.name": // that of the book
			return ""
		}
		return name
	}
	index, rest, _ := strings.Cut(rest, "]")
	i, err := strconv.Atoi(index)
	if err != nil || i < 0 || i >= len(lines) {
		return ""
	}
	if strings.HasPrefix(rest, ".batch") {
		return "b." + lines[i]
	}
	if strings.HasPrefix(rest, ".margin") {
		return "m." + lines[i]
	}
	return "q." + lines[i]
}

// quoteLabels names the fields of the form.
var quoteLabels = map[string]string{
	"lines": "Goods", "destination": "Destination", "channel": "Channel", "buyer": "Buyer", "buyer_reason": "Why a consumer", "discount": "Discount",
	"customer.name": "Customer", "customer.address": "Address", "customer.country": "Country", "customer.contact": "Contact", "customer.tax_number": "Tax number",
	"valid_days": "Valid for", "valid_until": "Valid until", "delivery.term": "Delivery term", "delivery.place": "Named place", "delivery.charge": "Delivery charge",
	"payment_terms": "Payment", "lead_time": "Lead time", "notes": "Notes",
	"seller.address": "Your address", "seller.country": "Your country", "seller.contact": "Your contact", "seller.tax_number": "Your tax number",
}

// showQuoteForm shows the form with what was typed.
func showQuoteForm(c *frame.Call, number string, values map[string]string, found frame.Problems) error {
	body := quoteFormBody{Number: number}
	fill := func(f frame.Field) frame.Field {
		f.Value, f.Error = values[f.Name], found.Of(f.Name)
		f.Label = cmp.Or(f.Label, quoteLabels[f.Name])
		if f.Options != nil {
			f.Options = frame.Choose(f.Options, f.Value)
		}
		return f
	}
	for _, l := range formLines(c.Book, values) {
		line := quoteLineFields{l.name, []frame.Field{
			fill(frame.Field{Name: "q." + l.key, Label: "Pieces of " + l.name, Mode: "numeric", Suffix: "piece"}),
			fill(frame.Field{Name: "b." + l.key, Label: l.name + ", made at once", Mode: "numeric", Suffix: "piece"})}}
		if l.part != "" {
			line.Fields = append(line.Fields, fill(frame.Field{Name: "m." + l.key, Label: l.name + ", margin asked", Hint: form.MarginHint, Mode: "decimal", Suffix: "%"}))
			body.Parts = true
		}
		body.Lines = append(body.Lines, line)
		if kept := values[askedAs+l.key]; kept != "" {
			body.Hidden = append(body.Hidden, frame.Field{Name: askedAs + l.key, Value: kept})
		}
	}
	if version := values["version"]; version != "" {
		body.Hidden = append(body.Hidden, frame.Field{Name: "version", Value: version})
	}
	body.Any = len(body.Lines) > 0 && (len(c.Book.Destinations) > 0 || body.Parts)
	for i := range c.Book.Parts {
		if p := &c.Book.Parts[i]; body.Parts && p.ByPiece() && values[askedAs+partKey(string(p.Number))] == "" {
			body.Others = append(body.Others, frame.Option{Value: string(p.Number), Label: p.Name})
		}
	}
	filled := func(fields []frame.Field) []frame.Field {
		for i := range fields {
			fields[i] = fill(fields[i])
		}
		return fields
	}
	body.Goods, body.Terms = filled(goodsFields(c.Book, values["destination"])), filled(termFields(string(c.Book.Currency)))
	seller := partyFields("seller")
	if unnamed(c.Book) && c.Actor.Scopes.Has(service.Write) {
		seller = slices.Insert(seller, 0, frame.Field{Name: "seller.name", Label: "Name of your shop", Hint: "Stands on every paper; kept with the shop.", Wide: true})
	}
	body.Customer, body.Seller = filled(partyFields("customer")), filled(seller)
	// Whoever buys has to see whose paper it is.
	body.SellerOpen = slices.ContainsFunc(body.Seller, func(f frame.Field) bool { return f.Error != "" || f.Name == "seller.address" && f.Value == "" })
	title := "New quote"
	if number != "" {
		title = "Revise quote " + number
	}
	p := c.Page("quotes", title, &body)
	p.Problems = found
	return c.Show("quoteform", p)
}

// goodsFields asks where and how the goods are sold: in the destinations of the book, or
// where a part by itself was priced.
func goodsFields(b *book.Book, asked string) []frame.Field {
	places := []frame.Option{}
	for _, d := range b.Destinations {
		places = append(places, frame.Option{Value: d.Place(), Label: frame.PlaceName(b, d.Place())})
	}
	for _, place := range []string{asked, string(b.Country)} {
		if d, _ := b.Destination(place); d == nil && place != "" && (place == asked || len(b.Destinations) == 0) {
			places = append(places, frame.Option{Value: place, Label: frame.PlaceName(b, place)})
		}
	}
	to := frame.Field{Name: "destination", Options: places}
	discount := frame.Field{Name: "discount", Label: "Discount", Hint: "Such as 5 %, or 0.05 of the price. Empty means what the channel grants.", Mode: "decimal"}
	buyer := frame.Field{Name: "buyer", Options: []frame.Option{{Value: "", Label: "that of the destination"}, {Value: "consumer", Label: "consumer"}, {Value: "business", Label: "business"}}}
	if len(b.Channels) == 0 {
		discount.Hint = "Such as 5 %, or 0.05 of the price."
		return []frame.Field{to, buyer, discount}
	}
	buyer.Options[0].Label = "that of the channel or destination"
	channels := []frame.Option{{Value: "", Label: "that of the destination"}}
	for _, ch := range b.Channels {
		channels = append(channels, frame.Option{Value: string(ch.ID), Label: ch.Name})
	}
	return []frame.Field{to, {Name: "channel", Options: channels}, buyer,
		{Name: "buyer_reason", Hint: "Only where a consumer buys in a channel for resellers; the customer does not see it."}, discount}
}

func partyFields(who string) []frame.Field {
	var out []frame.Field
	if who == "customer" {
		out = append(out, frame.Field{Name: "customer.name", Wide: true, Autocomplete: "off"})
	}
	return append(out,
		frame.Field{Name: who + ".address", Rows: 4, Wide: true},
		frame.CountryField(who+".country", "", "Its name, or two letters such as DE.", ""),
		frame.Field{Name: who + ".contact", Wide: true},
		frame.Field{Name: who + ".tax_number", Hint: "Empty until you have it."},
	)
}

// shortTerms are what the usual terms of sale come to.
var shortTerms = map[string]string{"FCA": "collected", "DAP": "buyer clears", "DDP": "all paid"}

func termFields(currency string) []frame.Field {
	var terms []frame.Option
	for _, code := range quote.Terms() {
		label := code + ": " + quote.TermName(code)
		if short := shortTerms[code]; short != "" {
			label = short + " (" + label + ")"
		}
		terms = append(terms, frame.Option{Value: code, Label: label})
	}
	return []frame.Field{
		{Name: "delivery.term", Options: terms, Hint: "Collected: their carrier takes the goods over at your door. Buyer clears: you deliver, duty and tax are theirs. All paid: you deliver, with duty and tax in the price."},
		{Name: "delivery.place", Hint: "Where goods and risk pass over: of collected goods your own town, else the buyer's, such as Munich."},
		{Name: "delivery.charge", Hint: "Of all parcels, without tax. Empty means what the book asks; of collected goods there is none.", Mode: "decimal", Suffix: currency},
		{Name: "valid_days", Hint: "Counted from the day of issue.", Mode: "numeric", Suffix: "days"},
		{Name: "payment_terms", Wide: true},
		{Name: "lead_time", Hint: "With what it counts from, such as six weeks from the order.", Wide: true},
		{Name: "notes", Rows: 5, Wide: true, Hint: "Assumptions and exclusions."},
	}
}
