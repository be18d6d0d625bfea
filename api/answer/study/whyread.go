package study

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/ask/compare"
	"kerfbook/costing/book"
	"kerfbook/costing/graph"
	"kerfbook/costing/money"
)

// read reads the result of a comparison.
func (d *Difference) read(r *compare.Result, most int, placeOf func(compare.Name) compare.Name) error {
	d.Before.Figure, d.After.Figure = comparedFigure(r.Before), comparedFigure(r.After)
	d.Unit, d.Difference, d.Same, d.Alike = r.Before.Unit.String(), r.Difference.String(), r.Same, r.Alike
	d.Lines, d.Shares, d.Method = []CostLine{}, []InputShare{}, methodOf(r.Method)
	round := rounder{from: r.Before.Value, unit: r.Before.Unit}
	d.Kinds = round.steps(slices.DeleteFunc(r.ByKind(), func(s compare.Step) bool { return s.Amount.IsZero() }))
	d.Places = round.places(compare.WithStaying(r.ByPlace(placeOf), most, samePlaces))
	d.Things = round.steps(compare.Ranked(r.ByThing(), most))
	for i, cents := range rounded(&round, r.Lines, func(l compare.Line) decimal.Decimal { return l.Share }) {
		l := r.Lines[i]
		d.Lines = append(d.Lines, CostLine{Kind: comparedName(l.Kind), Thing: comparedName(l.Thing), Name: comparedName(l.Name), Change: string(l.Change),
			Before: optional(l.Before), After: optional(l.After), Amount: l.Share.String(), Alike: l.Alike, Rounded: cents})
	}
	for i, cents := range rounded(&round, r.Shares, func(s compare.Share) decimal.Decimal { return s.Amount }) {
		d.Shares = append(d.Shares, shareOf(r.Shares[i], cents))
	}
	d.Rounded = round.ends
	return round.err
}

// placesOf gives, of the things that lines belong to, the place of the product that they
// go to with all that goes into it. A part that goes to several places, or to none that
// has a name, stands for itself.
func placesOf(b *book.Book) func(compare.Name) compare.Name {
	at := map[bom.ID]map[compare.Name]bool{}
	var goes func(part bom.ID, place compare.Name)
	goes = func(part bom.ID, place compare.Name) {
		if at[part] == nil {
			at[part] = map[compare.Name]bool{}
		}
		if at[part][place] {
			return
		}
		at[part][place] = true
		if p, _ := b.Part(part); p != nil {
			for _, c := range p.Children {
				goes(c.Part, place)
			}
		}
	}
	for i := range b.Products {
		p := &b.Products[i]
		for _, pos := range p.Positions {
			place := compare.Name{Key: "part/" + string(pos.Part)} // by itself
			for _, known := range p.Places {
				if known.ID == pos.Place {
					place = compare.Name{Key: "product/" + string(p.Number) + "/place/" + string(known.ID), Label: known.Name}
				}
			}
			goes(pos.Part, place)
		}
	}
	return func(thing compare.Name) compare.Name {
		number, isPart := strings.CutPrefix(thing.Key, "part/")
		for place := range at[bom.ID(number)] {
			if isPart && len(at[bom.ID(number)]) == 1 && place.Label != "" {
				return place
			}
		}
		if strings.HasPrefix(thing.Key, "variant/") { // the same on both sides, whatever its trim
			return compare.Name{Key: "variant", Label: "the product itself"}
		}
		return thing
	}
}

// rounder rounds lists of amounts to the smallest coin, so that each leads from
// the figure before to the one after.
type rounder struct {
	from decimal.Decimal
	unit graph.Unit
	ends RoundedEnds
	err  error
}

// coin is the smallest unit of a figure's currency; ok is false for what is no
// money.
func (r *rounder) coin() (step decimal.Decimal, ok bool) {
	code, _, _ := strings.Cut(r.unit.String(), "/")
	c, ok := money.Lookup(code)
	return c.MinorUnit(), ok
}

// rounded rounds the amounts of a list; without a coin each is empty.
func rounded[T any](r *rounder, list []T, amount func(T) decimal.Decimal) []RoundedAmount {
	out := make([]RoundedAmount, len(list))
	step, ok := r.coin()
	if !ok || len(list) == 0 && r.ends != (RoundedEnds{}) {
		return out
	}
	amounts := make([]decimal.Decimal, len(list))
	for i, one := range list {
		amounts[i] = amount(one)
	}
	all, err := compare.Round(r.from, amounts, r.unit, step)
	if err != nil {
		r.err = err
		return out
	}
	r.ends = RoundedEnds{all.From.String(), all.To.String(), all.Difference.String()}
	for i, s := range all.Steps {
		out[i] = RoundedAmount{Amount: s.Amount.String(), Level: s.Level.String()}
		if s.Known {
			out[i].Percent = s.Percent.String()
		}
	}
	return out
}

// steps rounds steps.
func (r *rounder) steps(of []compare.Step) []CostStep {
	out := []CostStep{}
	for i, a := range rounded(r, of, func(s compare.Step) decimal.Decimal { return s.Amount }) {
		out = append(out, CostStep{comparedName(of[i].Name), string(of[i].Change), Pieces(of[i].Count), of[i].Amount.String(), a})
	}
	return out
}

// samePlaces is what the places are called that cost the same on both sides.
const samePlaces = "places that cost the same"

// places rounds steps with their sides.
func (r *rounder) places(of []compare.Step) []PlaceStep {
	out := []PlaceStep{}
	for i, s := range r.steps(of) {
		p := PlaceStep{CostStep: s, Before: of[i].Before.String(), After: of[i].After.String()}
		if s.Change == LineAppears {
			p.Before = ""
		} else if s.Change == LineVanishes {
			p.After = ""
		}
		out = append(out, p)
	}
	step, ok := r.coin()
	if !ok || r.err != nil {
		return out
	}
	sides, err := compare.RoundSides(of, r.unit, step)
	if err != nil {
		r.err = err
		return out
	}
	for i, s := range sides {
		p := &out[i]
		if p.Before != "" {
			p.RoundedBefore = s.Before.String()
		}
		if p.After != "" {
			p.RoundedAfter = s.After.String()
		}
	}
	return out
}

func shareOf(s compare.Share, cents RoundedAmount) InputShare {
	out := InputShare{Kind: string(s.Kind), Amount: s.Amount.String(), Rounded: cents}
	switch s.Kind {
	case compare.OfLine:
		name := comparedName(s.Line.Name)
		out.Line = &name
	case compare.OfAll:
		for _, p := range s.Inputs {
			out.Inputs = append(out.Inputs, FigurePair{comparedFigure(p.Before), comparedFigure(p.After)})
		}
	default:
		out.Before, out.After = comparedFigure(s.Before), comparedFigure(s.After)
		out.BeforeChosen, out.AfterChosen = s.Before.Chosen, s.After.Chosen
	}
	return out
}

func comparedFigure(f compare.Figure) answer.Figure {
	return answer.Figure{Key: f.Key, Label: f.Label, Of: f.Of, Value: f.Value.String(), Unit: f.Unit.String()}
}

func comparedName(n compare.Name) FigureName { return FigureName{Key: n.Key, Label: n.Label, Of: n.Of} }

func methodOf(m compare.Method) SharingMethod {
	return SharingMethod{Rule: string(m.Rule), Inputs: Pieces(m.Inputs), Evaluations: Pieces(m.Evaluations), Pieces: Pieces(m.Pieces),
		Settled: m.Settled, Tolerance: textOf(m.Tolerance, statisticDigits), Moved: textOf(m.Moved, errorDigits), Reason: m.Reason}
}
