package cost

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

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
			out = append(out, waitingLine{f.Message, f.Href, strings.ToLower(f.Label), true})
		}
	}
	heads, _, err := c.Site.Service.Quotes(c.R.Context(), "", c.Site.Edge.Config.PageSize)
	if err != nil {
		return nil, err
	}
	for _, h := range heads {
		if days := c.Site.Service.Today().DaysUntil(h.ValidUntil); h.State == quote.Issued && days <= quoteDays {
			out = append(out, waitingLine{fmt.Sprintf("Quote %s to %s runs out on %s", h.Number, h.Customer, c.Style.ShowDay(h.ValidUntil)), "/quotes/" + h.Number, "open", true})
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
		out = append(out, waitingLine{"Offer " + offerName(c.Book, &offer) + " " + runs + c.Style.ShowDay(offer.ValidUntil), form.RecordAddress(e) + "/edit", "renew", days < 0})
	}
	if places := unconfirmed(c, batches); len(places) > 0 {
		out = append(out, waitingLine{"Rows of tax, duty or customs that nobody has confirmed: " + strings.Join(places, ", "), "/landed?" + c.View.Query(), "confirm", true})
	}
	if n := body.NotCounted; n != nil && len(n.Open) > 0 {
		out = append(out, waitingLine{fmt.Sprintf("Not counted, and nothing is said of it: %s", named(n.Open)), "#not-counted", "see", false})
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

// named lists what is not counted by the thing it is of, each once.
func named(open []frame.OmissionLine) string {
	var names []string
	for _, o := range open {
		if !slices.Contains(names, o.Name) {
			names = append(names, o.Name)
		}
	}
	if more := len(names) - 3; more > 0 {
		names = append(names[:3], fmt.Sprintf("%d more", more))
	}
	return strings.Join(names, ", ")
}

// unconfirmed names the destinations whose landed price rests on rows without a source.
func unconfirmed(c *frame.Call, batches []frame.Batch) []string {
	names, out := frame.PlaceNames(c.Book), []string{}
	for _, x := range batches {
		for _, v := range x.Estimate.Variants {
			for _, l := range v.Landed {
				name := cmp.Or(names[l.Destination], l.Destination)
				if restsUnconfirmed(l) && !slices.Contains(out, name) {
					out = append(out, name)
				}
			}
		}
	}
	return out
}

func restsUnconfirmed(l answer.LandedPrice) bool {
	return l.BuyerClears.Total.Unverified || l.AllPaid.Total.Unverified
}

// changedLine is one of the latest changes of what is stored.
type changedLine struct{ Words, Who, Href string }

// latestChanges is how many are told, of so many of the log at most: those that are about
// records and quotes.
const (
	latestChanges = 4
	latestLooked  = 8
)

// changeWords are what is done to a record or quote, as it is told.
var changeWords = map[string]string{"put": "Saved", "change": "Changed", "undo": "Undid a change of", "delete": "Removed",
	"issue quote": "Issued", "revise quote": "Revised", "withdraw quote": "Withdrew"}

func changed(c *frame.Call) ([]changedLine, error) {
	entries, _, err := c.Site.Service.History(c.R.Context(), service.ChangesOf{}, latestLooked)
	var out []changedLine
	for _, e := range entries {
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
	return out, err
}
