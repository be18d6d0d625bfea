package whatif

import (
	"cmp"
	"net/url"
	"slices"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// candidate is something of the book that may be changed.
type candidate struct {
	Key, Label, Where, Now string
	Takes                  bool // what it is can only be taken away
	used                   bool // the batch has a number of it
}

// mostCandidates is how many are listed.
const mostCandidates = 12

// candidates finds what a batch has numbers of, or of whose records it has some, by words
// of it: fields, and entries and records that may be taken away.
func candidates(c *frame.Call, sheet *answer.Sheet, asked string) (out []candidate, more bool, err error) {
	o, err := c.Site.Service.Origin(c.R.Context())
	if err != nil {
		return nil, false, err
	}
	held, err := o.Shelf()
	if err != nil {
		return nil, false, err
	}
	words, used := wordsOf(c, asked), sheet.Records()
	for _, k := range record.Kinds() {
		kind, _ := form.KindOf(k.Name)
		for r, places := range held.Places(k) {
			if !used[r.Path] {
				continue
			}
			where := kind.One + " " + r.ID
			about := strings.ToLower(where + " " + form.NameOf(r))
			for _, p := range places() {
				if slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(about, w) && !p.Says(w) }) {
					continue
				}
				one := candidate{Key: strings.TrimSuffix("book/"+k.Name+"/"+r.ID+"/"+p.At, "/"), Label: p.Label, Where: where, Now: c.AsTyped(p.Now), Takes: p.Takes}
				if f := sheet.Entered(text.Field(r.Path, p.At)); f.Key != "" {
					one.Key, one.used = f.Key, true
				}
				out = append(out, one)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b candidate) int { return cmp.Compare(rank(a), rank(b)) })
	return out[:min(len(out), mostCandidates)], len(out) > mostCandidates, nil
}

// wordsOf are the words of a search in small letters, numbers in plain notation.
func wordsOf(c *frame.Call, asked string) []string {
	words := strings.Fields(strings.ToLower(asked))
	for i, w := range words {
		if n, err := c.Style.Number(w, ""); err == nil {
			words[i] = n.Plain
		}
	}
	return words
}

// beginnings search for the machines and the stock of a batch, for somebody who has no
// word yet.
func beginnings(c *frame.Call, sheet *answer.Sheet) (out []frame.Link) {
	used := sheet.Records()
	for _, kind := range []string{"work_centres", "stocks"} {
		for _, r := range form.RecordsOf(c.Book, kind) {
			if name := form.NameOf(r); used[r.Path] && len(out) < mostCandidates {
				out = append(out, frame.Link{Label: name, Href: "/change?" + c.View.Query() + "&find=" + url.QueryEscape(name)})
			}
		}
	}
	return out
}

// rank puts numbers of the batch first, then other fields, then what may be taken away.
func rank(c candidate) int {
	switch {
	case c.used:
		return 0
	case c.Takes:
		return 2
	}
	return 1
}
