package answer

import (
	"cmp"
	"errors"
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/text"
)

// Check gives all problems of a book: how its records fit together, and, where
// they do, what stops an estimate of each trim, to every destination, on the
// day. Places are those the book was read with.
func Check(b *book.Book, places text.Places, day bom.Date) []book.Problem {
	problems := book.Check(b, places, day)
	if book.HasFault(problems) {
		return problems
	}
	seen := map[string]bool{}
	overrides := newOverrideUse(b, day)
	for _, mix := range mixes(b, PriceRequest{}) {
		est, err := estimate.Build(b, mix, day)
		found := obstacles(err, places)
		if err == nil {
			overrides.look(est.Graph)
			found = gaps(est, places)
		}
		for _, p := range found {
			if !seen[p.Path+p.Message] {
				seen[p.Path+p.Message] = true
				problems = append(problems, p)
			}
		}
	}
	problems = append(problems, overrides.unused(places)...)
	slices.SortStableFunc(problems, func(p, q book.Problem) int {
		return cmp.Or(cmp.Compare(p.Line, q.Line), cmp.Compare(p.Column, q.Column))
	})
	return problems
}

// gaps lists what the book lacks for single prices, which stay blank without it.
func gaps(est *estimate.Estimate, places text.Places) []book.Problem {
	var out []book.Problem
	add := func(message, path string) {
		at := places.Of(path)
		out = append(out, book.Problem{Severity: book.Warning, Path: path, Message: message, Line: at.Line, Column: at.Column})
	}
	for _, l := range est.Landed {
		for _, m := range l.Missing {
			add(m.Text(), m.Path)
		}
	}
	for _, f := range est.Graph.Findings() {
		if f.Severity == graph.Gap {
			add(f.Message, f.Path)
		}
	}
	return out
}

// obstacles takes a joined error of costing apart, each part with its place.
func obstacles(err error, places text.Places) []book.Problem {
	if err == nil {
		return nil
	}
	if all := graph.Joined(err); all[0] != err {
		var out []book.Problem
		for _, e := range all {
			out = append(out, obstacles(e, places)...)
		}
		return out
	}
	p := book.Problem{Severity: book.Fault, Message: err.Error()}
	var build *estimate.BuildError
	if errors.As(err, &build) {
		p.Path, p.Message = build.Path, build.Message
	}
	var node *graph.FaultError
	if errors.As(err, &node) {
		p.Path, p.Message = node.Path, node.Detail
	}
	at := places.Of(p.Path)
	p.Line, p.Column = at.Line, at.Column
	return []book.Problem{p}
}
