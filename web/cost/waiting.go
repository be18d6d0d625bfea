package cost

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/service"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
	"kerfbook/costing/papers/quote"
	"kerfbook/costing/rates"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// waitingLine is one thing that waits for somebody, with where it is done.
type waitingLine struct {
	Words, Href, Do string
	Stops           bool // a price or a quote
	Stake           frame.Fig
	StakeIs         string
}

// Days before the end of an offer or a quote on which it is told.
const (
	offerDays = 30
	quoteDays = 14
)

// waiting lists what waits: what is missing, what runs out, and rows to confirm.
func waiting(c *frame.Call, body *startBody, batches []frame.Batch) ([]waitingLine, error) {
	var out []waitingLine
	for _, f := range body.Findings {
		if f.Severity == "gap" || f.Severity == "error" {
			out = append(out, waitingLine{Words: f.Message, Href: f.Href, Do: strings.ToLower(f.Label), Stops: true})
		}
	}
	heads, _, err := c.Site.Service.Quotes(c.R.Context(), "", c.Site.Edge.Config.PageSize)
	if err != nil {
		return nil, err
	}
	for _, h := range heads {
		if days := c.Site.Service.Today().DaysUntil(h.ValidUntil); h.State == quote.Issued && days <= quoteDays {
			out = append(out, waitingLine{Words: fmt.Sprintf("Quote %s to %s runs out on %s", h.Number, h.Customer, c.Style.ShowDay(h.ValidUntil)), Href: "/quotes/" + h.Number, Do: "open", Stops: true})
		}
	}
	for _, e := range form.RecordsOf(c.Book, "offers") {
		offer := e.Value.Interface().(rates.Offer) // its kind says so
		if offer.ValidUntil == "" {
			continue
		}
		days := c.View.Day.DaysUntil(offer.ValidUntil)
		if days > offerDays {
			continue
		}
		runs := "runs out on "
		if days < 0 {
			runs = "ran out on "
		}
		out = append(out, waitingLine{Words: "Offer " + offerName(c.Book, &offer) + " " + runs + c.Style.ShowDay(offer.ValidUntil), Href: form.RecordAddress(e) + "/edit", Do: "renew", Stops: days < 0})
	}
	out = append(out, unconfirmed(c, batches)...)
	if n := body.NotCounted; n != nil && len(n.Open) > 0 {
		out = append(out, waitingLine{Words: fmt.Sprintf("Not counted, and nothing is said of it: %s", named(n.Open)), Href: "#not-counted", Do: "see"})
	}
	return out, nil
}

// offerName says whose offer it is and for what.
func offerName(b *book.Book, o *rates.Offer) string {
	supplier, what := string(o.Supplier), string(o.For)
	if s, _ := b.Supplier(o.Supplier); s != nil {
		supplier = cmp.Or(s.Name, supplier)
	}
	if p, _ := b.Part(o.For); p != nil {
		what = cmp.Or(p.Name, what)
	}
	if s, _ := b.Stock(o.For); s != nil {
		what = cmp.Or(s.Name, what)
	}
	return "of " + supplier + " for " + what
}

// named lists what is not counted and of what, each once.
func named(open []frame.OmissionLine) string {
	var names []string
	for _, o := range open {
		if name := o.What + " of " + o.Name; !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	if more := len(names) - 3; more > 0 {
		names = append(names[:3], fmt.Sprintf("%d more", more))
	}
	return strings.Join(names, ", ")
}

// unconfirmedTold is how many places that rest on rows without a source have a line each.
const unconfirmedTold = 4

// unconfirmed lists the destinations whose landed price rests on rows without a source, with
// the largest amount a piece that is at stake.
func unconfirmed(c *frame.Call, batches []frame.Batch) []waitingLine {
	seen := map[string]bool{}
	var out []waitingLine
	for _, x := range batches {
		for _, v := range x.Estimate.Variants {
			for _, l := range v.Landed {
				s := l.BuyerClears
				if !s.Total.Unverified && l.AllPaid.Total.Unverified {
					s = l.AllPaid
				}
				if !s.Total.Unverified || seen[l.Destination] {
					continue
				}
				seen[l.Destination] = true
				line := waitingLine{Words: frame.PlaceName(c.Book, l.Destination) + ": rows of tax, duty or customs that nobody has confirmed", Href: "/landed?" + c.View.Query(), Do: "confirm", Stops: true}
				most := decimal.Decimal{}
				for _, f := range []answer.Figure{s.Duty, s.Charges, s.Tax} {
					if d, ok := f.Number(); ok && f.Unverified && d.GreaterThan(most) {
						most, line.Stake, line.StakeIs = d, x.Link.Money(f), f.Label+" of "+v.Name
					}
				}
				out = append(out, line)
			}
		}
	}
	if more := len(out) - unconfirmedTold; more > 0 {
		out = append(out[:unconfirmedTold], waitingLine{Words: fmt.Sprintf("Rows that nobody has confirmed for %d more places", more), Href: "/landed?" + c.View.Query(), Do: "confirm", Stops: true})
	}
	return out
}

// changedLine is one of the latest changes of what is stored.
type changedLine struct{ Words, Who, Href string }

// latestChanges is how many are told, of so many of the log at most: those that are about
// records and quotes.
const (
	latestChanges = 4
	latestLooked  = 21
)

// changeWords are what is done to a record or quote, as it is told.
var changeWords = map[string]string{"put": "Saved", "change": "Changed", "undo": "Undid a change of", "delete": "Removed",
	"issue quote": "Issued", "revise quote": "Revised", "withdraw quote": "Withdrew"}

// changed lists the latest changes, and says how many there are since the person last
// looked at them.
func changed(c *frame.Call) (out []changedLine, since string, err error) {
	entries, _, err := c.Site.Service.History(c.R.Context(), service.ChangesOf{}, latestLooked)
	seen, looked := c.SeenChange()
	n := 0
	for _, e := range entries {
		if e.Seq > seen {
			n++
		}
		kind, id, _ := strings.Cut(e.Object, "/")
		id, _, _ = strings.Cut(id, "@")
		line := changedLine{Words: changeWords[e.Action] + " ", Who: e.Actor + ", " + frame.Moment(e.At)}
		r, known := record.Find(c.Book, kind, id)
		switch {
		case line.Words == " " || len(out) == latestChanges:
			continue
		case known:
			line.Words, line.Href = line.Words+form.NameOf(r), form.RecordAddress(r)+"/revisions"
		case kind == "quotes":
			line.Words, line.Href = line.Words+"quote "+id, "/quotes/"+id
		default:
			line.Words += id
		}
		out = append(out, line)
	}
	switch {
	case !looked:
	case n == 0:
		since = "Nothing changed since you last looked"
	case n == latestLooked:
		since = fmt.Sprintf("More than %d changes since you last looked", latestLooked-1)
	default:
		since = fmt.Sprintf("Changes since you last looked: %d", n)
	}
	return out, since, err
}
