package change

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
)

// CallOut is a demand of a drawing, with what a piece of the part costs with it
// and with it relaxed one usual step.
type CallOut struct {
	What    string // the demand: Rz 1 µm of mirror, operation 10
	Relaxed string // what it is compared with: Rz 2 µm, twice as rough
	// Change makes the comparison; it may be asked about like any other change.
	Change Change
	Cost   answer.Comparison // of production by piece: relaxed, as called out, and what the demand costs
	Fault  string            // why there is no comparison
}

// maxCallOuts bounds how many demands of one part are compared.
const maxCallOuts = 24

// CallOuts are the call-outs of a part.
type CallOuts struct {
	List []CallOut
	More int // that are not compared
}

// CallOuts compares each demand of a part's drawing with a relaxed one, each by
// itself, in a batch. Demands beyond the first 24 are counted in more. A part that
// the batch does not use has none.
func (o Origin) CallOuts(ctx context.Context, mix []estimate.MixLine, day bom.Date, part bom.ID) (out CallOuts, err error) {
	held, err := o.Shelf()
	if err != nil {
		return out, err
	}
	before, err := o.Evaluate(ctx, mix, day)
	if err != nil {
		return out, err
	}
	def, _ := o.Book.Part(part)
	if _, used := before.Estimate.Graph.Find(productionKey(part)); def == nil || !used {
		return out, nil
	}
	list := callOuts(o.Book, def)
	out.More = max(0, len(list)-maxCallOuts)
	out.List = list[:min(len(list), maxCallOuts)]
	for i := range out.List {
		if ctx.Err() != nil {
			return out, answer.Errorf(answer.Busy, "it took too long")
		}
		if err := out.List[i].compare(ctx, held, before, mix, productionKey(part)); err != nil {
			return out, err
		}
	}
	return out, nil
}

func productionKey(part bom.ID) string { return "part/" + string(part) + "/each/production" }

// compare evaluates the batch with the demand relaxed.
func (c *CallOut) compare(ctx context.Context, held *Shelf, before *answer.Evaluation, mix []estimate.MixLine, key string) error {
	after, err := held.changedBy(ctx, before, mix, []Change{c.Change})
	if answer.CodeOf(err) == answer.Invalid {
		c.Fault = err.Error()
		return nil
	}
	if err != nil {
		return err
	}
	read := func(e *answer.Evaluation) answer.Figure {
		if id, ok := e.Estimate.Graph.Find(key); ok {
			return answer.ReadFigure(e.Estimate.Graph, e.Values, id)
		}
		return answer.Figure{}
	}
	both, err := answer.Compare([]answer.Figure{read(after)}, []answer.Figure{read(before)})
	if err != nil {
		return err
	}
	c.Cost = both[0]
	return nil
}

// changedBy evaluates a batch with changes.
func (s *Shelf) changedBy(ctx context.Context, before *answer.Evaluation, mix []estimate.MixLine, changes []Change) (*answer.Evaluation, error) {
	edits, err := s.edits(changes, []*graph.Graph{before.Estimate.Graph})
	if err != nil {
		return nil, err
	}
	drafts, err := s.drafts(edits)
	if err != nil {
		return nil, err
	}
	after, _, err := changed(ctx, before, s, mix, edits, drafts)
	return after, err
}

// callOuts lists the demands of a part: roughness and corners of features, finish
// of surfaces, what is measured.
func callOuts(b *book.Book, p *bom.Part) []CallOut {
	l := callOutList{number: p.Number}
	for i := range p.Routing {
		op := &p.Routing[i]
		l.place, l.of = fmt.Sprintf("routing[%d]", i), fmt.Sprintf("operation %d", op.Number)
		for j := range op.Features {
			l.feature(j, &op.Features[j])
		}
		for j, c := range op.Characteristics {
			if c.MeasureMin.Likely.IsPositive() {
				l.add(fmt.Sprintf("characteristics[%d].measure_min", j), "0", c.Name+" measured", "not measured")
			}
		}
		if op.Treatment != nil {
			l.treatment(b, op.Treatment)
		}
	}
	return l.list
}

// callOutList collects demands.
type callOutList struct {
	number    bom.ID
	place, of string
	list      []CallOut
}

func (l *callOutList) add(field, value, what, relaxed string) {
	l.list = append(l.list, CallOut{What: what + ", " + l.of, Relaxed: relaxed,
		Change: Change{Key: fmt.Sprintf("%sparts/%s/%s.%s", fieldPrefix, l.number, l.place, field), Value: value}})
}

func (l *callOutList) feature(j int, f *bom.Feature) {
	at := fmt.Sprintf("features[%d].", j)
	if f.RzUM != nil {
		l.doubled(at+"rz_um", "Rz %s µm", " of "+f.Name, *f.RzUM, "twice as rough")
	}
	if f.RaUM != nil {
		l.doubled(at+"ra_um", "Ra %s µm", " of "+f.Name, *f.RaUM, "twice as rough")
	}
	if f.CornerRadiusMM != nil {
		l.corner(at, f)
	}
}

func (l *callOutList) doubled(field, words, of string, n bom.Number, how string) {
	twice := n.Likely.Mul(decimal.NewFromInt(2)).String()
	l.add(field, twice, fmt.Sprintf(words, text.Digits(n.Likely))+of, fmt.Sprintf(words, twice)+", "+how)
}

// corner compares with a radius twice as large, or the largest that fits.
func (l *callOutList) corner(at string, f *bom.Feature) {
	widest, how := f.CornerRadiusMM.Likely.Mul(decimal.NewFromInt(2)), "twice as large"
	for _, side := range []*bom.Number{f.LengthMM, f.WidthMM} {
		if side == nil {
			continue
		}
		if half := side.Low.Mul(decimal.New(5, -1)); half.LessThan(widest) {
			widest, how = half, "the largest that fits"
		}
	}
	if widest.GreaterThan(f.CornerRadiusMM.Likely) {
		l.add(at+"corner_radius_mm", widest.String(), "corner radius "+text.Digits(f.CornerRadiusMM.Likely)+" mm of "+f.Name, "corner radius "+widest.String()+" mm, "+how)
	}
}

func (l *callOutList) treatment(b *book.Book, t *bom.Treatment) {
	if t.ThicknessUM != nil {
		half := t.ThicknessUM.Likely.Mul(decimal.New(5, -1)).String()
		l.add("treatment.thickness_um", half, "thickness "+text.Digits(t.ThicknessUM.Likely)+" µm", half+" µm, half as thick")
	} else if thinner := thinnerClass(b, t); thinner != "" {
		l.add("treatment.class", thinner, "class "+t.Class, "class "+thinner+", the next thinner one")
	}
	if t.Masks != nil && t.Masks.Likely.IsPositive() {
		l.add("treatment.masks", "", "masks", "without masks")
	}
}

// thinnerClass is the class of the same finish with the next smaller least
// thickness; empty if there is none.
func thinnerClass(b *book.Book, t *bom.Treatment) string {
	process, _ := b.Process(t.Process)
	finishes, err := rates.ReferenceFinishes()
	if t.Class == "" || process == nil || err != nil {
		return ""
	}
	own, err := finishes.Class(process.Finish, t.Class)
	if err != nil || own.Value.LeastUM == nil {
		return ""
	}
	thinner := slices.DeleteFunc(slices.Clone(finishes.Classes), func(c rates.FinishClass) bool {
		return c.Finish != own.Value.Finish || c.LeastUM == nil || !c.LeastUM.Likely.LessThan(own.Value.LeastUM.Likely)
	})
	if len(thinner) == 0 {
		return ""
	}
	next := slices.MaxFunc(thinner, func(c, d rates.FinishClass) int {
		return cmp.Or(c.LeastUM.Likely.Cmp(d.LeastUM.Likely), cmp.Compare(string(d.ID), string(c.ID)))
	})
	return string(next.ID)
}
