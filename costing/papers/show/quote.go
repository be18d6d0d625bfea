package show

import (
	"cmp"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/costing/money"
	"kerfbook/costing/papers/quote"
)

// QuoteView is a quote in words: what the page, the PDF and the tables of a
// quote show. Every number is an [Amount] with the key of its figure.
type QuoteView struct {
	Title    string // Quote 2026-0001
	Number   string // empty before it is issued
	Revision int
	State    quote.State
	Currency string

	Facts    []Fact // number, days, terms
	Seller   []string
	Customer []string

	Lines   []QuoteLine
	Sums    []Amount // below the lines, the total last
	TaxNote string   // why no tax is charged, or empty

	Arrival     []Amount // import estimated; none within one customs territory
	ArrivalNote string
	Exchange    []Amount

	Notes      []string // paragraphs
	Basis      []string // what the figures rest on
	Cautions   []string
	Unverified []quote.UnverifiedRow
	Confirmed  bool
	Hash       string // of the content, in hex; empty before it is issued
}

// Fact is a label with words.
type Fact struct{ Label, Text string }

// Amount is a label with a number. Text is the number as it is shown, without its
// unit.
type Amount struct {
	Label  string
	Figure quote.Figure
	Text   string
	Unit   string
	Note   string
	Strong bool // a total
	// Places are the decimals of its currency; Negative says that it is taken
	// off, as its text shows.
	Places   int32
	Money    bool
	Negative bool
}

// QuoteLine is one line of goods.
type QuoteLine struct {
	Number   int
	Name     string
	Details  []string // what it is, choices, HS code and origin, batch
	Quantity Amount
	Batch    Amount
	Price    Amount
	Total    Amount
}

// Quote puts a document in words. state and hash are those of the document as
// kept; the hash of a draft is empty.
func Quote(d *quote.Document, state quote.State, hash string) QuoteView {
	v := QuoteView{
		Title: quoteTitle(d), Number: d.Number, Revision: d.Revision, State: state, Currency: d.Currency,
		Facts: quoteFacts(d, state), Seller: partyText(d.Seller), Customer: partyText(d.Customer),
		Sums: quoteSums(d), TaxNote: taxNote(d), Notes: paragraphs(d.Notes), Basis: quoteBasis(d),
		Cautions: d.Cautions, Unverified: d.UnverifiedAbroad(), Confirmed: d.Confirmed, Hash: hash,
	}
	for _, l := range d.Lines {
		v.Lines = append(v.Lines, quoteLine(l))
	}
	v.Arrival, v.ArrivalNote = quoteArrival(d)
	for _, x := range d.Exchange {
		note := x.Card
		if x.Source != "" {
			note += ", source: " + x.Source
		}
		v.Exchange = append(v.Exchange, Amount{Label: x.Label, Figure: x.Rate, Text: Full(value(x.Rate)), Unit: x.Rate.Unit, Note: note})
	}
	return v
}

func quoteTitle(d *quote.Document) string {
	if d.Number == "" {
		return "Draft of a quote"
	}
	title := "Quote " + d.Number
	if d.Revision > 1 {
		title += ", revision " + strconv.Itoa(d.Revision)
	}
	return title
}

func quoteFacts(d *quote.Document, state quote.State) []Fact {
	number := cmp.Or(d.Number, "not issued")
	facts := []Fact{
		{"Quote number", number}, {"Revision", strconv.Itoa(d.Revision)},
		{"Issued on", d.IssuedOn.Words()},
		{"Valid until", "the end of " + d.ValidUntil.Words() + " where the seller is"},
		{"State", string(state)},
		{"Delivery", d.Terms.Delivery + " " + d.Terms.Place + ", Incoterms 2020 (" + quote.TermName(d.Terms.Delivery) + ")"},
		{"Destination", d.Destination},
		{"Currency", d.Currency},
	}
	for _, f := range []Fact{{"Lead time", d.Terms.LeadTime}, {"Payment", d.Terms.Payment}} {
		if f.Text != "" {
			facts = append(facts, f)
		}
	}
	return facts
}

func partyText(p quote.Party) []string {
	out := []string{p.Name}
	out = append(out, p.Address...)
	for _, f := range []Fact{{"", p.Country}, {"Contact: ", p.Contact}, {"Tax number: ", p.TaxNumber}} {
		if f.Text != "" {
			out = append(out, f.Label+f.Text)
		}
	}
	return out
}

func quoteLine(l quote.Line) QuoteLine {
	details := []string{}
	if l.Described != "" {
		details = append(details, l.Described)
	}
	if len(l.Choices) > 0 {
		details = append(details, strings.Join(l.Choices, "; "))
	}
	if l.HSCode != "" {
		details = append(details, "HS code "+l.HSCode+", origin "+l.Origin)
	}
	if l.Batch.Value != l.Quantity.Value {
		details = append(details, "priced at a batch of "+count(l.Batch)+" pieces")
	}
	return QuoteLine{
		Number: l.Number, Name: l.Name, Details: details,
		Quantity: Amount{Label: "quantity", Figure: l.Quantity, Text: count(l.Quantity), Unit: l.Quantity.Unit},
		Batch:    Amount{Label: "batch", Figure: l.Batch, Text: count(l.Batch), Unit: l.Batch.Unit},
		Price:    amount("price of one piece", l.Price), Total: amount("line total", l.Total),
	}
}

// amount shows money with the places of its currency.
func amount(label string, f quote.Figure) Amount {
	code, _, _ := strings.Cut(f.Unit, "/")
	c, ok := money.Lookup(code)
	return Amount{Label: label, Figure: f, Text: grouped(value(f).StringFixed(c.Places)), Unit: f.Unit, Places: c.Places, Money: ok}
}

// QuoteAmount puts a figure of a quote in words: money with the places of its
// currency.
func QuoteAmount(label string, f quote.Figure) Amount { return amount(label, f) }

// TakenOff gives the amount as one that is subtracted.
func (a Amount) TakenOff() Amount {
	a.Text, a.Negative = "-"+a.Text, true
	return a
}

// Value is the number of the amount as its figure has it.
func (a Amount) Value() decimal.Decimal { return value(a.Figure) }

func count(f quote.Figure) string { return grouped(value(f).String()) }

func value(f quote.Figure) decimal.Decimal {
	d, err := decimal.NewFromString(f.Value)
	if err != nil {
		return decimal.Decimal{} // a figure that the document does not have
	}
	return d
}

// grouped sets the thousands of a plain number apart.
func grouped(text string) string {
	whole, rest, _ := strings.Cut(text, ".")
	sign := ""
	if strings.HasPrefix(whole, "-") {
		sign, whole = "-", whole[1:]
	}
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if rest != "" {
		rest = "." + rest
	}
	return sign + whole + rest
}

func paragraphs(text string) []string {
	var out []string
	for line := range strings.SplitSeq(text, "\n") {
		if strings.TrimSpace(line) != "" {
			out = append(out, line)
		}
	}
	return out
}
