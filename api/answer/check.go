package answer

import (
	"cmp"
	"errors"
	"slices"
	"strings"

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
	checked, seen := len(problems), map[string]bool{}
	overrides := newOverrideUse(b, day)
	for _, mix := range mixes(b, PriceRequest{}) {
		est, err := estimate.Build(b, mix, day)
		found := obstacles(err, places)
		if err == nil {
			overrides.look(est.Graph)
			found = gaps(est, places, toldBy(problems[:checked]))
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

// gaps lists what the figures of an estimate lack, but for what is told already, and
// what single prices lack, which stay blank without it.
func gaps(est *estimate.Estimate, places text.Places, told func(path string) bool) []book.Problem {
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
	for _, m := range est.Graph.Standing(nil).Missing(Headline(est)...) {
		if told(m.Source.Path) {
			continue
		}
		at := places.Of(m.Source.Path)
		out = append(out, book.Problem{Severity: book.Gap, Path: m.Source.Path, Message: m.Missing + " is missing", Line: at.Line, Column: at.Column})
	}
	for _, f := range est.Graph.Findings() {
		if f.Severity == graph.Gap {
			add(f.Message, f.Path)
		}
	}
	return out
}

// toldBy reports of a place whether problems tell what is missing there: at it, or
// above or below it. A list stands for what is referred to and is not in it.
func toldBy(problems []book.Problem) func(path string) bool {
	return func(path string) bool {
		return slices.ContainsFunc(problems, func(p book.Problem) bool {
			return p.Severity == book.Gap && (p.Path == path || strings.HasPrefix(path, p.Path+".") || strings.HasPrefix(p.Path, path+".") || !strings.Contains(path, "["))
		})
	}
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
