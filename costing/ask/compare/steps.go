package compare

import (
	"slices"

	"github.com/shopspring/decimal"
)

// Step is one step from the headline before to the one after, for a waterfall or
// a list. Key is empty for what is pooled.
type Step struct {
	Name
	Change Change
	Amount decimal.Decimal
	Count  int // of lines or shares in it
}

// ByKind adds the lines up by kind of cost, in the order of the headline.
func (r *Result) ByKind() []Step {
	return grouped(r.Lines, func(l Line) Name { return l.Kind })
}

// ByThing adds the lines up by what they belong to: parts and the product itself.
func (r *Result) ByThing() []Step {
	return grouped(r.Lines, func(l Line) Name { return l.Thing })
}

// grouped adds lines up by a name. A group appears or vanishes where all its lines
// do.
func grouped(lines []Line, by func(Line) Name) []Step {
	var out []Step
	at := map[string]int{}
	for _, l := range lines {
		name := by(l)
		i, met := at[name.Key]
		if !met {
			i = len(out)
			at[name.Key] = i
			out = append(out, Step{Name: name, Change: l.Change})
		}
		s := &out[i]
		s.Amount, s.Count = total(s.Amount, l.Share), s.Count+1
		if s.Change != l.Change {
			s.Change = Changes
		}
	}
	return out
}

// Ranked orders steps by size, the largest first, and pools all but the first most
// in one step at the end, so that nothing is lost. Steps of nothing are left out;
// the order of equal ones stays.
func Ranked(steps []Step, most int) []Step {
	out := slices.DeleteFunc(slices.Clone(steps), func(s Step) bool { return s.Amount.IsZero() })
	slices.SortStableFunc(out, func(a, b Step) int { return bySize(a.Amount, b.Amount) })
	if most < 1 || len(out) <= most {
		return out
	}
	rest := Step{Name: Name{Label: "other lines"}, Change: Changes}
	for _, s := range out[most:] {
		rest.Amount, rest.Count = total(rest.Amount, s.Amount), rest.Count+s.Count
	}
	return append(out[:most:most], rest)
}
