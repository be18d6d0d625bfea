package promise

import (
	"fmt"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/papers/quote"
)

// Preview is what somebody had before them when they decided to issue, revise or
// withdraw a quote. What is empty is not compared.
type Seen struct {
	Book  answer.Version // of the book that the preview was made from
	Day   bom.Date       // that the preview was priced on
	Quote answer.Version // of the quote that is revised or withdrawn
}

// figures refuses to make a quote from another book, or on another day, than the
// preview was made from.
func (w Seen) figures(version answer.Version, day bom.Date) error {
	switch {
	case w.Book != "" && w.Book != version:
		return answer.Errorf(answer.FiguresChanged, "the book has changed since the preview; look at a new preview, then issue")
	case w.Day != "" && w.Day != day:
		return answer.Errorf(answer.FiguresChanged, "the preview was priced on %s and today is %s; look at a new preview, then issue", bom.Shorten(string(w.Day)), day)
	}
	return nil
}

// Unchanged refuses a change of a quote that is not as it was seen. It is asked in
// the transaction of the change.
func (q StoredQuote) Unchanged(seen []Seen, today bom.Date) error {
	state := q.on(today)
	for _, one := range seen {
		if one.Quote != "" && one.Quote != quoteVersion(q.Number, q.Revision, q.Revision, state) {
			return answer.Errorf(answer.Conflict, "quote %s has changed in the meantime: it is at revision %d, %s", q.Number, q.Revision, state)
		}
	}
	return nil
}

// on is the state of a quote on a day, of its newest revision.
func (q StoredQuote) on(today bom.Date) quote.State {
	return quote.On(quote.State(q.State), q.Revision, q.Revision, q.ValidUntil, today)
}

// Version names one state of a quote: a revision, whether it is the newest, and
// what has become of it.
func (d Quote) Version() answer.Version {
	return quoteVersion(d.Number, d.Revision, d.Latest, d.State)
}

func quoteVersion(number string, revision, latest int, state quote.State) answer.Version {
	return answer.Version(fmt.Sprintf("%s.%d.%d.%s", number, revision, latest, state))
}
