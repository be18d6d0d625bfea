package quote

import (
	"fmt"
	"strings"

	"kerfbook/costing/graph"
)

// UnverifiedError is a quote that rests on rows without a source which nobody
// has confirmed.
type UnverifiedError struct{ Rows []Unverified }

func (e *UnverifiedError) Error() string {
	var rows []string
	for _, r := range e.Rows {
		rows = append(rows, r.Where)
	}
	return fmt.Sprintf("the quote rests on rows without a source; look at them and confirm: %s", strings.Join(rows, "; "))
}

// Issuable says whether the document may be sent. The error is an
// *UnverifiedError.
func (d *Document) Issuable() error {
	if len(d.Unverified) > 0 && !d.Confirmed {
		return &UnverifiedError{d.Unverified}
	}
	return nil
}

// unverified lists the rows without a source that a figure of the document rests
// on, each once, and those that decided how the consignment is treated.
func (a *assembly) unverified() []Unverified {
	rests := make([]bool, a.g.Len())
	for _, id := range a.shown {
		rests[id] = true
	}
	for id := graph.ID(a.g.Len() - 1); id >= 0; id-- {
		if rests[id] {
			for _, arg := range a.g.Node(id).Args {
				rests[arg] = true
			}
		}
	}
	out, named := []Unverified{}, map[string]bool{}
	for id := range graph.ID(a.g.Len()) {
		src := a.g.Node(id).Source
		if rests[id] && src.Unverified && !named[src.Where] {
			named[src.Where] = true
			out = append(out, Unverified{src.Where, src.CheckedOn, a.g.Node(id).Key})
		}
	}
	return append(out, a.blockers(named)...)
}

// blockers are the rows that stopped the consignment without being a figure.
func (a *assembly) blockers(named map[string]bool) []Unverified {
	prefix := "destination/" + a.destination.Place() + "/" + consignmentKey
	var out []Unverified
	for _, f := range a.g.Findings() {
		where, _, ok := strings.Cut(f.Message, " has no source")
		if f.Severity != graph.Blocker || !strings.HasPrefix(f.Key, prefix) || !ok || named[where] {
			continue
		}
		named[where] = true
		out = append(out, Unverified{Where: where})
	}
	return out
}
