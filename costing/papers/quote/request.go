package quote

// Request is what a quote is asked for with. Numbers and days are the text a
// person typed, so that everything wrong with a request can be said at once. It is
// read with [text.DecodeAnyText].
type Request struct {
	Lines []RequestLine `json:"lines" book:"lines,required"`
	// Destination is a place the book sells to, such as GB or CA-ON; of parts by themselves,
	// any.
	Destination string `json:"destination" book:"destination,required"`
	// Channel says whose prices hold; that of the destination if empty.
	Channel string `json:"channel,omitempty" book:"channel"`
	// Buyer is consumer or business; that of the destination if empty.
	// A channel that sells to resellers sells to businesses, whatever the
	// destination says.
	Buyer string `json:"buyer,omitempty" book:"buyer"`
	// BuyerReason says why a consumer buys in such a channel.
	BuyerReason string `json:"buyer_reason,omitempty" book:"buyer_reason"`
	// Discount is a share of the goods, such as 0.05; what the channel grants if
	// empty.
	Discount string `json:"discount,omitempty" book:"discount"`

	Seller   Party `json:"seller,omitzero" book:"seller"` // the name is that of the book
	Customer Party `json:"customer" book:"customer,required"`

	// Either of the two.
	ValidDays  int    `json:"valid_days,omitempty" book:"valid_days,min=0"`
	ValidUntil string `json:"valid_until,omitempty" book:"valid_until"`

	Delivery     Delivery `json:"delivery" book:"delivery,required"`
	PaymentTerms string   `json:"payment_terms,omitempty" book:"payment_terms"`
	LeadTime     string   `json:"lead_time,omitempty" book:"lead_time"`
	Notes        string   `json:"notes,omitempty" book:"notes"`
	Language     string   `json:"language,omitempty" book:"language"` // en

	// ConfirmUnverified says that rows without a source have been looked at and
	// are stood by.
	ConfirmUnverified bool `json:"confirm_unverified,omitempty" book:"confirm_unverified"`
}

// RequestLine is one variant, or a part by itself, with the pieces asked for.
type RequestLine struct {
	Product string            `json:"product" book:"product"` // may be empty if one product has the trim
	Trim    string            `json:"trim" book:"trim"`
	Choices map[string]string `json:"choices,omitempty" book:"choices"` // in place of the trim's own
	// Part stands in the place of product and trim; Margin is asked of it, as a share such
	// as 0.4, in place of that of the channel.
	Part   string `json:"part,omitempty" book:"part"`
	Margin string `json:"margin,omitempty" book:"margin"`
	// Quantity is what is offered; Batch is the quantity made at once that it is
	// priced at, the same if empty.
	Quantity string `json:"quantity" book:"quantity,required"`
	Batch    string `json:"batch,omitempty" book:"batch"`
}

// Party is who sells or buys.
type Party struct {
	Name      string   `json:"name,omitempty" book:"name"`
	Address   []string `json:"address,omitempty" book:"address"`
	Country   string   `json:"country,omitempty" book:"country"`
	Contact   string   `json:"contact,omitempty" book:"contact"`
	TaxNumber string   `json:"tax_number,omitempty" book:"tax_number"`
}

// Delivery is where goods and risk pass over.
type Delivery struct {
	Term  string `json:"term" book:"term"`   // of Incoterms 2020: DAP
	Place string `json:"place" book:"place"` // named place: Munich
	// Charge is what is asked for delivery, in the currency of the book and
	// without tax; what the book asks if empty.
	Charge string `json:"charge,omitempty" book:"charge"`
}

// FieldError is one thing wrong with a request: Path in words (lines[0].trim),
// Pointer as a JSON pointer (/lines/0/trim).
type FieldError struct {
	Path, Pointer, Message string
}

// InvalidError is everything wrong with a request.
type InvalidError struct{ Fields []FieldError }

func (e *InvalidError) Error() string {
	text := "the quote cannot be made as asked for"
	for _, f := range e.Fields {
		text += "\n" + f.Path + ": " + f.Message
	}
	return text
}

// term is one of the eleven rules of Incoterms 2020.
type term struct {
	code, name string
	// carried says that the seller pays the main carriage.
	carried bool
	// allPaid says that the seller clears the goods for import and pays.
	allPaid bool
}

func terms() []term {
	return []term{
		{code: "EXW", name: "ex works"},
		{code: "FCA", name: "free carrier"},
		{code: "FAS", name: "free alongside ship"},
		{code: "FOB", name: "free on board"},
		{code: "CPT", name: "carriage paid to", carried: true},
		{code: "CIP", name: "carriage and insurance paid to", carried: true},
		{code: "CFR", name: "cost and freight", carried: true},
		{code: "CIF", name: "cost, insurance and freight", carried: true},
		{code: "DAP", name: "delivered at place", carried: true},
		{code: "DPU", name: "delivered at place unloaded", carried: true},
		{code: "DDP", name: "delivered duty paid", carried: true, allPaid: true},
	}
}

// Terms lists the codes of Incoterms 2020.
func Terms() []string {
	var out []string
	for _, t := range terms() {
		out = append(out, t.code)
	}
	return out
}

func termOf(code string) (term, bool) {
	for _, t := range terms() {
		if t.code == code {
			return t, true
		}
	}
	return term{}, false
}

// TermName gives the words of a code of Incoterms 2020, empty for another text.
func TermName(code string) string {
	t, _ := termOf(code)
	return t.name
}
