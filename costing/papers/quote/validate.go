package quote

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/trade"
)

// Limits of a request.
const (
	maxLines   = 100
	maxText    = 200
	maxAddress = 8
	maxNotes   = 4000
	maxDays    = 3650
)

// order is a request that has been checked against the book.
type order struct {
	book    *book.Book
	request Request
	day     bom.Date
	until   bom.Date

	mix         []estimate.MixLine // at batch quantities
	quantities  []bom.Number
	destination trade.Destination
	path        string // of the destination in the book
	channel     trade.Channel
	term        term
	discount    *bom.Number
	charge      *bom.Number

	fields []FieldError
}

// check reads a request. The error is an *InvalidError with all that is wrong.
func check(b *book.Book, req Request, day bom.Date) (*order, error) {
	o := &order{book: b, request: req, day: day}
	o.checkDestination()
	o.checkLines()
	o.checkChannel()
	o.checkParties()
	o.checkValidity()
	o.checkTerms()
	o.checkNumbers()
	if len(o.fields) > 0 {
		return nil, &InvalidError{o.fields}
	}
	return o, nil
}

// fail records a fault in a field such as lines[0].trim.
func (o *order) fail(path, format string, args ...any) {
	pointer := "/" + strings.NewReplacer("[", "/", "]", "", ".", "/").Replace(path)
	o.fields = append(o.fields, FieldError{path, pointer, fmt.Sprintf(format, args...)})
}

func (o *order) checkDestination() {
	found, at := o.book.Destination(o.request.Destination)
	elsewhere := trade.Elsewhere(o.request.Destination)
	trims := slices.ContainsFunc(o.request.Lines, func(l RequestLine) bool { return l.Part == "" })
	switch {
	case found != nil:
		o.destination, o.path = *found, fmt.Sprintf("destinations[%d]", at)
	case !trims && elsewhere.Country.CheckText(string(elsewhere.Country), true) == nil:
		o.destination, o.path = elsewhere, "destinations"
	default:
		var places []string
		for _, d := range o.book.Destinations {
			places = append(places, d.Place())
		}
		o.fail("destination", "the book does not sell to %s; it sells to %s", shown(o.request.Destination), strings.Join(places, ", "))
		return
	}
	switch kind := trade.BuyerKind(o.request.Buyer); kind {
	case "":
	case trade.Consumer, trade.Business:
		o.destination.Buyer = kind
	default:
		o.fail("buyer", "%s is no kind of buyer; write consumer or business", shown(o.request.Buyer))
	}
}

func (o *order) checkChannel() {
	id := cmp.Or(bom.ID(o.request.Channel), o.destination.Channel)
	if id == "" {
		var priced bool
		if id, priced = o.pricedIn(); !priced && len(o.fields) == 0 {
			o.fail("channel", "no channel has a price for all lines; enter the prices that are missing, or quote the lines apart")
			return
		}
	}
	if found, _ := o.book.Channel(id); found != nil {
		o.channel = *found
	} else if id != "" || len(o.fields) > 0 {
		o.fail("channel", "the book has no channel %s", shown(string(id)))
		return
	}
	o.checkReseller()
	for i, l := range o.mix {
		if !slices.Contains(o.channelsOf(l), id) && l.Product+l.Part != "" {
			o.fail(fmt.Sprintf("lines[%d].trim", i), "%s has no price in channel %s", l.Name(), id)
		}
	}
}

// checkReseller makes the buyer in a channel for resellers a business, which bears
// other taxes than a consumer.
func (o *order) checkReseller() {
	o.checkText("buyer_reason", o.request.BuyerReason)
	switch {
	case o.channel.ResellerMargin == nil:
	case o.request.Buyer == "":
		o.destination.Buyer = trade.Business
	case o.request.Buyer == string(trade.Consumer) && strings.TrimSpace(o.request.BuyerReason) == "":
		o.fail("buyer", "channel %s sells to resellers, who are businesses; take business, take another channel, or say under buyer_reason why a consumer buys at a reseller's price", o.channel.ID)
	}
}

// pricedIn is the channel with the lowest id that all lines have a price in: none, of
// parts in a book without channels.
func (o *order) pricedIn() (id bom.ID, ok bool) {
	if len(o.mix) == 0 {
		return "", false
	}
	in := o.channelsOf(o.mix[0])
	for _, l := range o.mix[1:] {
		also := o.channelsOf(l)
		in = slices.DeleteFunc(in, func(id bom.ID) bool { return !slices.Contains(also, id) })
	}
	if len(in) == 0 {
		return "", false
	}
	return slices.Min(in), true
}

// channelsOf lists the channels a line has a price in.
func (o *order) channelsOf(l estimate.MixLine) []bom.ID {
	var in []bom.ID
	if l.Part != "" && l.Margin != nil && len(o.book.Channels) == 0 {
		return []bom.ID{""}
	}
	for _, c := range o.book.Channels {
		if l.Part != "" && (l.Margin != nil || c.Margin != nil) {
			in = append(in, c.ID)
		}
	}
	for _, p := range o.book.Prices {
		if p.Product == l.Product && (p.Trim == "" || p.Trim == l.Trim) {
			in = append(in, p.Channel)
		}
	}
	return in
}

func (o *order) checkParties() {
	c := o.request.Customer
	if strings.TrimSpace(c.Name) == "" {
		o.fail("customer.name", "name the customer")
	}
	o.checkParty("customer", c)
	o.checkParty("seller", o.request.Seller)
}

func (o *order) checkParty(path string, p Party) {
	o.checkText(path+".name", p.Name)
	o.checkText(path+".contact", p.Contact)
	o.checkText(path+".tax_number", p.TaxNumber)
	if p.TaxNumber != "" && !strings.ContainsFunc(p.TaxNumber, unicode.IsDigit) && undrawn(p.TaxNumber) == "" {
		o.fail(path+".tax_number", "%s has no digit, so it is no tax number; leave it empty until you have it", shown(p.TaxNumber))
	}
	if len(p.Address) > maxAddress {
		o.fail(path+".address", "more than %d lines", maxAddress)
	}
	for i, l := range p.Address {
		o.checkText(fmt.Sprintf("%s.address[%d]", path, i), l)
	}
	if p.Country != "" && bom.Country(p.Country).CheckText(p.Country, true) != nil {
		o.fail(path+".country", "%s is no country; write a code of two capital letters such as PT", shown(p.Country))
	}
}

// checkText wants one line of text of a sane length.
func (o *order) checkText(path, text string) { o.checkWords(path, text, maxText, "") }

func (o *order) checkWords(path, text string, most int, controls string) {
	switch {
	case !utf8.ValidString(text):
		o.fail(path, "the text is not UTF-8")
	case utf8.RuneCountInString(text) > most:
		o.fail(path, "more than %d characters", most)
	case strings.ContainsFunc(text, func(r rune) bool { return unicode.IsControl(r) && !strings.ContainsRune(controls, r) }):
		o.fail(path, "control characters are not possible here")
	case undrawn(text) != "":
		o.fail(path, "%s", undrawn(text))
	}
}

func (o *order) checkValidity() {
	r := o.request
	switch {
	case r.ValidDays != 0 && r.ValidUntil != "":
		o.fail("valid_until", "give either a number of days or a day, not both")
	case r.ValidUntil != "":
		day, err := bom.ParseDate(r.ValidUntil)
		if err != nil {
			o.fail("valid_until", "%s", err)
		} else if day < o.day {
			o.fail("valid_until", "%s has passed", day)
		}
		o.until = day
	case r.ValidDays < 1 || r.ValidDays > maxDays:
		o.fail("valid_days", "say for how many days (1 to %d) the quote is valid, or until which day", maxDays)
	default:
		o.until = o.day.Plus(r.ValidDays)
	}
}

func (o *order) checkTerms() {
	d := o.request.Delivery
	t, ok := termOf(d.Term)
	if !ok {
		o.fail("delivery.term", "%s is no rule of Incoterms 2020; there are %s", shown(d.Term), strings.Join(Terms(), ", "))
	}
	o.term = t
	if strings.TrimSpace(d.Place) == "" {
		o.fail("delivery.place", "name the place, such as Munich")
	}
	o.checkText("delivery.place", d.Place)
	o.checkText("payment_terms", o.request.PaymentTerms)
	o.checkText("lead_time", o.request.LeadTime)
	o.checkWords("notes", o.request.Notes, maxNotes, "\n")
	if l := o.request.Language; l != "" && l != "en" {
		o.fail("language", "quotes are written in en only")
	}
}

func (o *order) checkNumbers() {
	o.discount = o.channel.CustomerDiscount
	if text := o.request.Discount; text != "" {
		if n, ok := o.number("discount", text); ok && (n.Likely.IsNegative() || !n.Likely.LessThan(one)) {
			o.fail("discount", "a share from 0 to below 1, such as 0.05")
		} else {
			o.discount = &n
		}
	}
	if text := o.request.Delivery.Charge; text != "" {
		n, ok := o.number("delivery.charge", text)
		switch {
		case ok && n.Likely.IsNegative():
			o.fail("delivery.charge", "less than nothing")
		case ok && !o.term.carried && o.term.code != "":
			o.fail("delivery.charge", "under %s the buyer pays the carriage; leave the charge empty, or choose DAP (you deliver, the buyer clears)", o.term.code)
		}
		o.charge = &n
	}
}

func (o *order) number(path, text string) (bom.Number, bool) {
	d, err := bom.ParseDecimal(text)
	if err != nil {
		o.fail(path, "%s", err)
	}
	return bom.Exactly(d), err == nil
}

// shown repeats what was typed, shortened.
func shown(text string) string {
	if text == "" {
		return "nothing"
	}
	return fmt.Sprintf("%.40q", text)
}
