package answer

import (
	"cmp"
	"errors"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/check"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/text"
)

// Check gives all problems of a book: how its records fit together, and, where
// they do, what stops an estimate of each trim, to every destination, on the
// day. Places are those the book was read with. What it builds is there to be priced.
func (o Origin) Check(places text.Places, day bom.Date) []check.Problem {
	b := o.Book
	problems := check.Book(b, places, day)
	if check.HasFault(problems) {
		return problems
	}
	checked, seen := len(problems), map[string]bool{}
	overrides := &overrideUse{book: b, open: book.OverridesOn(b.Overrides, day), hints: map[int]string{}}
	for _, mix := range mixes(b, PriceRequest{}) {
		est, err := estimate.Build(b, mix, day)
		found := obstacles(err, places)
		if err == nil {
			o.Memory.graphs.Put(o.Key(mix, day).batch, newFrame(est))
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
	slices.SortStableFunc(problems, func(p, q check.Problem) int {
		return cmp.Or(cmp.Compare(p.Line, q.Line), cmp.Compare(p.Column, q.Column))
	})
	return problems
}

// gaps lists what the figures of an estimate lack, but for what is told already, and
// what single prices lack, which stay blank without it.
func gaps(est *estimate.Estimate, places text.Places, told func(path string) bool) []check.Problem {
	var out []check.Problem
	add := func(message, path string) {
		at := places.Of(path)
		out = append(out, check.Problem{Severity: check.Warning, Path: path, Message: message, Line: at.Line, Column: at.Column})
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
		out = append(out, check.Problem{Severity: check.Gap, Path: m.Source.Path, Message: m.Missing + " is missing", Line: at.Line, Column: at.Column})
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
func toldBy(problems []check.Problem) func(path string) bool {
	return func(path string) bool {
		return slices.ContainsFunc(problems, func(p check.Problem) bool {
			return p.Severity == check.Gap && (p.Path == path || strings.HasPrefix(path, p.Path+".") || strings.HasPrefix(p.Path, path+".") || !strings.Contains(path, "["))
		})
	}
}

// obstacles takes a joined error of costing apart, each part with its place.
func obstacles(err error, places text.Places) []check.Problem {
	if err == nil {
		return nil
	}
	if all := graph.Joined(err); all[0] != err {
		var out []check.Problem
		for _, e := range all {
			out = append(out, obstacles(e, places)...)
		}
		return out
	}
	p := check.Problem{Severity: check.Fault, Message: err.Error()}
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
	return []check.Problem{p}
}

// overrideUse finds the overrides in force on a day whose figure no estimate has.
type overrideUse struct {
	book   *book.Book
	open   []int          // places of those not met yet
	hints  map[int]string // a key that ends alike
	looked bool           // at an estimate
}

// look notes which overrides an estimate uses.
func (u *overrideUse) look(g *graph.Graph) {
	u.looked = true
	var left []int
	for _, i := range u.open {
		key := string(u.book.Overrides[i].Figure)
		if _, used := g.Computed(key); used {
			continue
		}
		left = append(left, i)
		if near := Similar(g, key); len(near) > 0 && u.hints[i] == "" {
			u.hints[i] = "; there is " + near[0]
		}
	}
	u.open = left
}

// unused warns of those that are left. Where nothing could be estimated it says
// nothing.
func (u *overrideUse) unused(places text.Places) []check.Problem {
	if !u.looked {
		return nil
	}
	var out []check.Problem
	for _, i := range u.open {
		p := check.UnusedOverride(u.book, i, u.hints[i])
		at := places.Of(p.Path)
		p.Line, p.Column = at.Line, at.Column
		out = append(out, p)
	}
	return out
}
